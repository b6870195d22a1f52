//! All verdicts of a winter beside other ways to the same figures, on the same file.
//!
//! On a file of one winter (12,000 counts) and one of ten (120,000 counts) is worked out how each pruner of the last
//! winter stands: with this program; with pandas and scipy, and with `DuckDB` (`benches/peers/*.py`, installed from `PyPI` into a
//! folder of the build); and the `sqlite3` shell scans the same rows with one GROUP BY (`benches/peers/scan.sql`), which
//! is the least that such figures need. Figures are compared to 1e-9 before any time is told. What is not on the
//! machine is left out, with a word.

use std::collections::BTreeMap;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use serde::Deserialize;
use serde_json::json;
use thirdwood::demo::fill_large;
use thirdwood::orchard::{Rule, Size, Winter};
use thirdwood::report::{Period, Season, Standing, Subject};
use thirdwood::store::Store;

use crate::common::{folder, median, winters_of};
use crate::table::Table;

const RUNS: usize = 9;
const NEEDED: [&str; 4] = [
    "pandas",
    "scipy",
    "duckdb==1.5.5",
    "duckdb-extension-sqlite-scanner==1.5.5",
];

/// For each pruner and metric: trees; mean; the interval that light and heavy rest on; the one of in balance.
type Figures = BTreeMap<String, [f64; 6]>;

#[derive(Deserialize)]
struct Answer {
    seconds: Vec<f64>,
    figures: Figures,
}

pub fn run(table: &mut Table) {
    let folder = folder();
    let python = python();
    for winters in [1, 10] {
        let file = folder.path().join(format!("{winters}.db"));
        let winter = fill(&file, winters);
        let of = format!("one winter of {winters}");
        compare(table, &of, &file, &winter, python.as_deref());
    }
}

fn fill(file: &Path, winters: u16) -> Winter {
    let store = Store::open(file).unwrap();
    fill_large(&store, winters_of(winters, 12_000)).unwrap();
    store.winters().unwrap().pop().unwrap()
}

/// A Python with what the peers need, made once in the build's folder.
fn python() -> Option<PathBuf> {
    let home = Path::new(env!("CARGO_TARGET_TMPDIR")).join("peers");
    let python = home.join("bin/python");
    let done = |command: &mut Command| command.status().is_ok_and(|status| status.success());
    let there = python.exists() || done(Command::new("python3").args(["-m", "venv"]).arg(&home));
    let pip = [
        "-m",
        "pip",
        "install",
        "--quiet",
        "--disable-pip-version-check",
    ];
    if there && done(Command::new(&python).args(pip).args(NEEDED)) {
        return Some(python);
    }
    println!(
        "LEFT OUT: pandas and DuckDB, for python3 with venv and pip could not install {NEEDED:?}"
    );
    None
}

fn compare(table: &mut Table, of: &str, file: &Path, winter: &Winter, python: Option<&Path>) {
    let (ours, [whole, again]) = ours(file, winter);
    let mut rows = |name: &str, seconds: &[f64], aims: [f64; 2]| {
        let times: Vec<Duration> = seconds
            .iter()
            .copied()
            .map(Duration::from_secs_f64)
            .collect();
        let peer = (name, median(&times));
        let ways = [
            "all verdicts, from opening the file",
            "all verdicts, the winter read before",
        ];
        for ((way, took), aim) in ways.into_iter().zip([whole, again]).zip(aims) {
            table.aimed(&format!("{way}, {of}"), took, aim, peer);
        }
    };
    match scan(file, winter) {
        Some(seconds) => rows("sqlite3 shell, one GROUP BY", &seconds, [1.5, 1.5]),
        None => println!("LEFT OUT: the sqlite3 shell, which is not on this machine"),
    }
    for (name, script, aim) in [
        ("pandas and scipy", "with_pandas.py", 0.05),
        ("DuckDB", "with_duckdb.py", 1.0),
    ] {
        let Some(python) = python else { continue };
        let answer = peer(python, script, file, winter);
        println!(
            "{name}: {} figures agree to 1e-9",
            same(name, &ours, &answer.figures)
        );
        rows(name, &answer.seconds, [aim, aim]);
    }
}

/// Our figures, with the time from opening the file, and with that of working them out afresh.
fn ours(file: &Path, winter: &Winter) -> (Figures, [Duration; 2]) {
    let period = Period::so_far(winter.budburst);
    let (mut whole, mut again) = (Vec::new(), Vec::new());
    let mut found = Vec::new();
    for _ in 0..RUNS {
        let began = Instant::now();
        let store = Store::open(file).unwrap();
        let season = Season::load(&store, winter.clone()).unwrap();
        let read = Instant::now();
        found = season.crew_standings(period);
        again.push(read.elapsed());
        whole.push(began.elapsed());
    }
    let figures = found.iter().flat_map(figures).collect();
    (figures, [median(&whole), median(&again)])
}

fn figures(standing: &Standing) -> Vec<(String, [f64; 6])> {
    let Subject::Pruner { id, .. } = standing.subject else {
        panic!("a standing of no pruner");
    };
    let names = ["one", "two", "three", "four", "buds"];
    let line = |(name, metric): (&str, &thirdwood::judge::MetricVerdict)| {
        let (flag, balance) = (metric.flag, metric.balance);
        let mean = metric.mean.unwrap();
        let of = [
            f64::from(metric.n),
            mean,
            flag.lo,
            flag.hi,
            balance.lo,
            balance.hi,
        ];
        (format!("{} {name}", id.0.simple()), of)
    };
    names
        .into_iter()
        .zip(&standing.judgement.metrics)
        .map(line)
        .collect()
}

fn peer(python: &Path, script: &str, file: &Path, winter: &Winter) -> Answer {
    let rule = Rule::default();
    let ask = json!({
        "file": file, "winter": winter.id.0.simple().to_string(), "runs": RUNS,
        "limits": Size::ALL.map(|size| [rule.bud_limit(size).least, rule.bud_limit(size).most]),
    });
    let script = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("benches/peers")
        .join(script);
    let mut child = (Command::new(python).arg(&script))
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    child
        .stdin
        .take()
        .unwrap()
        .write_all(ask.to_string().as_bytes())
        .unwrap();
    let output = child.wait_with_output().unwrap();
    assert!(output.status.success(), "{} failed", script.display());
    serde_json::from_slice(&output.stdout).unwrap()
}

/// How many figures were compared, all within 1e-9.
fn same(name: &str, ours: &Figures, theirs: &Figures) -> usize {
    assert_eq!(ours.len(), theirs.len(), "{name}: other pruners");
    for (key, figures) in ours {
        let other = theirs
            .get(key)
            .unwrap_or_else(|| panic!("{name} has no {key}"));
        for (a, b) in figures.iter().zip(other) {
            assert!((a - b).abs() < 1e-9, "{name}: {key} {figures:?} {other:?}");
        }
    }
    assert!(ours.len() > 100, "{} lines", ours.len());
    ours.len() * 6
}

/// Seconds of the scan by the shell's own timer.
fn scan(file: &Path, winter: &Winter) -> Option<Vec<f64>> {
    let query = include_str!("../peers/scan.sql");
    let mut asked = format!(
        ".mode list\n.parameter init\n.parameter set :winter \"x'{}'\"\n.timer on\n",
        winter.id.0.simple()
    );
    for _ in 0..RUNS {
        asked.push_str(query);
        asked.push('\n');
    }
    let mut child = Command::new("sqlite3")
        .arg("-readonly")
        .arg(file)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .ok()?;
    child
        .stdin
        .take()
        .unwrap()
        .write_all(asked.as_bytes())
        .unwrap();
    let output = String::from_utf8(child.wait_with_output().unwrap().stdout).unwrap();
    let real = |line: &str| {
        line.strip_prefix("Run Time: real ")?
            .split(' ')
            .next()?
            .parse()
            .ok()
    };
    let seconds: Vec<f64> = output.lines().filter_map(real).collect();
    let groups = output.lines().filter(|line| line.contains('|')).count();
    assert!(
        seconds.len() == RUNS && groups >= RUNS * 40,
        "the scan found {groups} groups:\n{output}"
    );
    Some(seconds)
}
