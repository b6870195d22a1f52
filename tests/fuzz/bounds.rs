//! Memory stays bounded, whatever a file holds or says of itself. Each is read by a process of its own, whose peak is
//! read from the system afterwards.

use std::fmt::Write as _;
use std::io::{self, Read, Write as _};
use std::process::Command;

use flate2::Compression;
use flate2::write::GzEncoder;
use sha2::{Digest as _, Sha256};
use thirdwood::demo::{LargeSpec, fill_large};
use thirdwood::exchange::bundle::{BundleError, Limits, read_from};
use thirdwood::exchange::{self, ExchangeError, ImportOptions, Table};
use thirdwood::report::papers::{Paper, Wanted};
use thirdwood::report::{Making, Season, tables};
use thirdwood::store::Store;

use crate::tell;

const JOB: &str = "THIRDWOOD_FUZZ_BOUND";

/// What the largest files may take, MiB: a table of 64 MiB, its lines, and what is wrong with each of them.
const BOUND_MIB: u64 = 320;

/// Just what is still read as a table, bytes.
const LARGEST: usize = 64 << 20;

/// A line of which each cell is wrong, as long as the largest table can have of it.
const WRONG: &[u8] = b"number,\x1b[2J a name that is far longer than names may be, with which somebody fills a table, a line and a line more, and so on\n";

const JOBS: [(&str, fn()); 11] = [
    ("a table of the shortest lines", || {
        refused(b"number,name\n", b"1,\n");
    }),
    ("a table of lines that are all wrong", || {
        refused(b"number,name\n", WRONG);
    }),
    ("a table of one line of cells", || {
        refused(b"number,name\n", b",");
    }),
    ("a table of headings without end", || {
        refused(b"", b"number,");
    }),
    ("a table whose quotation mark is never closed", || {
        refused(b"number,name\n1,\"", b"\"\n\",");
    }),
    ("a table that is no text", || {
        refused(b"number,name\n", b"\xff\n");
    }),
    ("a table without end", endless),
    ("a bundle that unpacks to a thousand times its size", || {
        bomb(b"\0");
    }),
    ("a bundle of lines without end", || {
        bomb(b"{\"thirdwood_bundle\":2}\n");
    }),
    ("a bundle of many records", many_records),
    ("the papers of a large winter", papers),
];

fn read_table(reader: impl Read) -> Result<exchange::ImportReport, ExchangeError> {
    let store = Store::in_memory().unwrap();
    let options = ImportOptions {
        dry_run: false,
        today: "2027-01-12".parse().unwrap(),
        new_id: &mut uuid::Uuid::now_v7,
    };
    exchange::import(&store, Table::Crew, reader, options)
}

/// The largest table of this beginning and this over and over: refused, and said why.
fn refused(begin: &'static [u8], again: &'static [u8]) {
    let times = (LARGEST - begin.len()) / again.len();
    let mut left = times;
    let mut rest: &[u8] = begin;
    let reader = std::iter::from_fn(move || {
        if rest.is_empty() && left > 0 {
            (left, rest) = (left - 1, again);
        }
        let (first, more) = rest.split_first()?;
        rest = more;
        Some(*first)
    });
    let report = read_table(Bytes(reader)).unwrap();
    assert!(!report.kept && !report.problems.is_empty());
}

struct Bytes<I>(I);

impl<I: Iterator<Item = u8>> Read for Bytes<I> {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        let filled = buffer.iter_mut().zip(&mut self.0);
        Ok(filled.map(|(slot, byte)| *slot = byte).count())
    }
}

fn endless() {
    let read = read_table(io::repeat(b'1'));
    assert!(matches!(read, Err(ExchangeError::TooLarge { .. })));
}

fn bomb(again: &[u8]) {
    let mut zip = GzEncoder::new(Vec::new(), Compression::best());
    let chunk = again.repeat((1 << 20) / again.len());
    for _ in 0..128 {
        zip.write_all(&chunk).unwrap();
    }
    let packed = zip.finish().unwrap();
    assert!(packed.len() < 1 << 20, "{}", packed.len());
    let read = read_from(packed.as_slice(), "it", Limits::default());
    let error = read.unwrap_err();
    assert!(!matches!(error, BundleError::Read { .. }), "{error}");
}

/// Records of which all together would take far more than is allowed, looked over one by one.
fn many_records() {
    const RECORDS: usize = 300_000;
    const MOST_MIB: u64 = 64;
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("many.bundle");
    let mut zip = GzEncoder::new(std::fs::File::create(&path).unwrap(), Compression::fast());
    let mut hash = Sha256::new();
    let mut line = |text: String| {
        hash.update(&text);
        hash.update(b"\n");
        writeln!(zip, "{text}").unwrap();
    };
    line(format!(
        "{{\"thirdwood_bundle\":2,\"schema\":1,\"orchards\":[],\"tablet\":\"A\",\"base\":[],\"heads\":[],\"sets\":1,\"records\":{RECORDS}}}"
    ));
    line("{\"set\":\"00000000000000000000000000000001\",\"parents\":[],\"height\":1,\"tablet\":\"A\"}".to_owned());
    for record in 0..RECORDS {
        let note = format!("{:x} ", record.wrapping_mul(2_654_435_761)).repeat(40);
        line(format!(
            "{{\"kind\":\"count\",\"key\":\"{record:032x}\",\"set\":0,\"body\":{{\"note\":\"{note}\"}}}}"
        ));
    }
    let sum: String = hash.finalize().iter().fold(String::new(), |mut sum, byte| {
        let _ = write!(sum, "{byte:02x}");
        sum
    });
    writeln!(zip, "{{\"sha256\":\"{sum}\"}}").unwrap();
    zip.finish().unwrap();
    let looked = thirdwood::exchange::bundle::look(&path).unwrap();
    assert_eq!(looked.records, RECORDS);
    let peak = peak_mib();
    assert!(peak < MOST_MIB, "{peak} MiB for {RECORDS} records");
}

/// Every paper in every format, and the workbook of all, of a winter three times as large as a large one; few pruners,
/// so that each has thousands of trees. Then tables with just as many counts as may stand in them.
fn papers() {
    const COUNTS: usize = 40_000;
    let folder = tempfile::tempdir().unwrap();
    let store = Store::open(&folder.path().join("large.db")).unwrap();
    let spec = LargeSpec {
        winters: 1,
        blocks: 34,
        pruners: 8,
        counts_per_winter: COUNTS,
        seed: 1,
    };
    assert_eq!(fill_large(&store, spec).unwrap(), COUNTS);
    let winter = store.winters().unwrap().pop().unwrap();
    let season = Season::load(&store, winter).unwrap();
    drop(store);
    let mut days: Vec<_> = season.counts().iter().map(|c| c.head.at.day).collect();
    days.sort();
    let all = Wanted::all(days[COUNTS - 1]);
    let (files, cautions) = made(&season, &all, false);
    assert_eq!(files, all.files());
    // crew, blocks, and the workbook of all
    let left_out = cautions
        .iter()
        .filter(|words| words.contains("export counts"));
    assert!(left_out.count() >= 3, "{cautions:?}");
    let most = Wanted {
        papers: vec![Paper::Crew],
        ..Wanted::all(days[tables::MOST_COUNTS].pred_opt().unwrap())
    };
    assert!(tables::entered(&season, most.day) > tables::MOST_COUNTS * 9 / 10);
    assert_eq!(made(&season, &most, true), (most.files(), Vec::new()));
}

/// How many papers were made, and what was said with them.
fn made(season: &Season, wanted: &Wanted, figures: bool) -> (usize, Vec<String>) {
    let making = Making {
        figures,
        ..Making::default()
    };
    let (mut files, mut cautions) = (0, Vec::new());
    for file in wanted.make(season, &making) {
        files += 1;
        cautions.extend(file.unwrap().caution);
    }
    (files, cautions)
}

/// The process that reads.
#[test]
fn reader() {
    let Ok(name) = std::env::var(JOB) else { return };
    let (_, job) = JOBS.iter().find(|(known, _)| *known == name).unwrap();
    job();
    println!("peak {}", peak_mib());
}

/// The most memory that this process held so far, MiB.
fn peak_mib() -> u64 {
    let status = std::fs::read_to_string("/proc/self/status").unwrap();
    let line = status
        .lines()
        .find_map(|line| line.strip_prefix("VmHWM:"))
        .unwrap();
    line.trim().trim_end_matches(" kB").parse::<u64>().unwrap() / 1024
}

#[test]
#[cfg(target_os = "linux")]
fn memory_is_bounded() {
    for (name, _) in &JOBS {
        let output = Command::new(std::env::current_exe().unwrap())
            .args(["--exact", "bounds::reader", "--nocapture"])
            .env(JOB, name)
            .output()
            .unwrap();
        let said = String::from_utf8_lossy(&output.stdout).into_owned();
        assert!(
            output.status.success(),
            "{name}: {said}{}",
            String::from_utf8_lossy(&output.stderr)
        );
        let peak = said
            .lines()
            .find_map(|line| line.split_once("peak ")?.1.parse::<u64>().ok());
        let peak = peak.unwrap_or_else(|| panic!("{name}: {said}"));
        tell(&format!("{name}: {peak} MiB at most"));
        assert!(peak < BOUND_MIB, "{name} took {peak} MiB");
    }
}
