//! Bundles that are cut, flipped or made up: refused with a clear word, nothing changed, memory bounded.

use std::io::Write;

use flate2::Compression;
use flate2::write::GzEncoder;
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha20Rng;
use sha2::{Digest, Sha256};
use thirdwood::exchange::bundle::{BundleError, Limits, read_from, write_to};
use thirdwood::orchard::*;
use thirdwood::store::StoreError;
use thirdwood::store::bundle::{Kind, Parcel, TakeIn};

use crate::device::*;

pub fn full() -> Device {
    let mut device = Device::new(1);
    let (block, pruner, winter) = settle_in(&mut device);
    for tree in 1..=12 {
        let id = CountId(device.id());
        for age in Age::ALL {
            let begin = device.store.count(id).unwrap().is_none();
            let head = head(&block, &pruner, &winter, tree);
            device
                .store
                .tap(id, begin.then_some(&head), Tap::Piece(age))
                .unwrap();
        }
    }
    device
}

pub fn packed(parcel: &Parcel) -> Vec<u8> {
    let mut bytes = Vec::new();
    write_to(parcel, &mut bytes).unwrap();
    bytes
}

/// Lines packed as a bundle with a checksum that fits, whatever they say.
pub fn forged(lines: &[String]) -> Vec<u8> {
    let mut zip = GzEncoder::new(Vec::new(), Compression::best());
    let mut hash = Sha256::new();
    for line in lines {
        hash.update(line.as_bytes());
        hash.update(b"\n");
        writeln!(zip, "{line}").unwrap();
    }
    write!(zip, "{{\"sha256\":\"").unwrap();
    for byte in hash.finalize() {
        write!(zip, "{byte:02x}").unwrap();
    }
    writeln!(zip, "\"}}").unwrap();
    zip.finish().unwrap()
}

pub fn lines(parcel: &Parcel) -> Vec<String> {
    let mut text = String::new();
    std::io::Read::read_to_string(
        &mut flate2::read::GzDecoder::new(packed(parcel).as_slice()),
        &mut text,
    )
    .unwrap();
    let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
    lines.pop();
    lines
}

pub fn read(bytes: &[u8]) -> Result<Parcel, BundleError> {
    read_from(bytes, "the bundle", Limits::default())
}

#[test]
fn cut_and_flipped_bundles_are_refused() {
    let parcel = full().all();
    let whole = packed(&parcel);
    assert_eq!(read(&whole).unwrap(), parcel);
    let mut refused = 0;
    for length in 0..whole.len() {
        assert!(read(&whole[..length]).is_err(), "cut to {length} bytes");
        refused += 1;
    }
    let mut random = ChaCha20Rng::seed_from_u64(20_270_112);
    for _ in 0..1_000 {
        let mut flipped = whole.clone();
        let at = random.random_range(0..flipped.len());
        flipped[at] ^= 1 << random.random_range(0..8);
        // the header of the packing has bits that mean nothing (time, system): then the content is the same
        match read(&flipped) {
            Ok(same) => assert_eq!(same, parcel, "bit of byte {at}"),
            Err(_) => refused += 1,
        }
    }
    let mut longer = whole.clone();
    longer.extend(b"more");
    assert!(read(&longer).is_err());
    assert!(refused > whole.len() + 950, "{refused}");
    println!(
        "{} cuts and 1000 flipped bits: {refused} refused, the rest read the same",
        whole.len()
    );
}

#[test]
fn other_files_and_newer_ones_are_told_apart() {
    let parcel = full().all();
    for foreign in [
        &b""[..],
        b"SQLite format 3\0",
        b"name;number\n",
        &forged(&["{}".into()]),
        &forged(&["[1]".into()]),
    ] {
        assert!(matches!(read(foreign), Err(BundleError::NotABundle { .. })));
    }
    let mut later = lines(&parcel);
    later[0] = later[0].replace("\"thirdwood_bundle\":3", "\"thirdwood_bundle\":4");
    assert!(matches!(
        read(&forged(&later)),
        Err(BundleError::Newer { .. })
    ));
    let mut later = lines(&parcel);
    later[0] = later[0].replace(
        &format!("\"schema\":{}", thirdwood::store::schema()),
        "\"schema\":999",
    );
    assert!(matches!(
        read(&forged(&later)),
        Err(BundleError::Newer { .. })
    ));
    let device = full();
    assert!(matches!(
        thirdwood::exchange::bundle::read(device.folder()),
        Err(BundleError::NotABundle { .. })
    ));
}

#[test]
fn what_would_fill_memory_or_disk_is_refused() {
    let header = "{\"thirdwood_bundle\":2,\"schema\":1,\"orchards\":[],\"tablet\":\"A\",\"base\":[],\"heads\":[],\"sets\":0,\"records\":RECORDS}";
    let header = |records: &str| header.replace("RECORDS", records);
    let too_large = |bytes: &[u8]| matches!(read(bytes), Err(BundleError::TooLarge { .. }));
    assert!(too_large(&forged(&[header("2000001")])));
    // one endless line, and many small ones: both unpack to a thousand times their size
    assert!(too_large(&forged(&[header("1"), "x".repeat(64 << 20)])));
    let record = format!(
        "{{\"kind\":\"setting\",\"key\":\"{}\",\"set\":0,\"body\":{{\"value\":\"\"}}}}",
        "0".repeat(1000)
    );
    let bomb: Vec<String> = std::iter::once(header("40000").replace("\"sets\":0", "\"sets\":1"))
        .chain(["{\"set\":\"00000000000000000000000000000001\",\"parents\":[],\"height\":1,\"tablet\":\"A\"}".to_owned()])
        .chain(std::iter::repeat_n(record, 40_000))
        .collect();
    assert!(too_large(&forged(&bomb)));
    let small = Limits {
        file: 100,
        ..Limits::default()
    };
    assert!(matches!(
        read_from(packed(&full().all()).as_slice(), "it", small),
        Err(BundleError::TooLarge { .. })
    ));
}

/// Well made as a file, but saying what cannot be: refused when taken in, nothing kept.
#[test]
#[allow(clippy::too_many_lines)] // most of it is the list of what is made up
fn made_up_content_is_refused_and_nothing_is_kept() {
    let source = full();
    let parcel = source.all();
    let target = Device::new(2);
    target.take(&parcel);
    let before = target.dump();
    let good = lines(&parcel);
    assert!(!parcel.sets[0].names);
    let set = parcel.sets[0].id.simple().to_string();
    let new_set = "00000000000000000000000000000abc";
    let find = |kind: &str| {
        good.iter()
            .find(|line| line.contains(&format!("\"kind\":\"{kind}\"")))
            .unwrap()
            .clone()
    };
    let swaps: [(&str, &str, &str); 16] = [
        ("count", "\"taps\":\"1234\"", "\"taps\":\"1239\""),
        ("count", "\"taps\":\"1234\"", "\"taps\":\"1234a\""),
        ("count", "\"taps\":\"1234\"", "\"taps\":7"),
        ("count", "\"stage\":\"after\"", "\"stage\":\"later\""),
        ("count", "\"day\":\"2027-01-12\"", "\"day\":\"2027-13-45\""),
        (
            "count",
            "\"counter\":\"Ana\"",
            "\"counter\":\"A\\u001b[2Jna\"",
        ),
        ("count", "\"tree\":1,", "\"tree\":99999,"),
        ("count", "\"note\":\"\"", "\"note\":\"\",\"more\":1"),
        ("count", "\"row\":1,", "\"row\":77,"),
        (
            "block",
            "\"name\":\"River\"",
            "\"name\":\"\\u001b[31mRiver\"",
        ),
        ("block", "\"row_spacing_m\":4.0", "\"row_spacing_m\":1e999"),
        ("block", "\"row_spacing_m\":4.0", "\"row_spacing_m\":-4.0"),
        ("pruner", "\"number\":3", "\"number\":0"),
        ("pruner", "\"active\":1", "\"active\":\"yes\""),
        (
            "winter",
            "\"start\":\"2027-01-01\"",
            "\"start\":\"2027-09-09\"",
        ),
        ("row", "\"places\":20", "\"places\":null"),
    ];
    let mut tried = 0;
    let mut attempt = |lines: Vec<String>, name: &str| {
        let outcome = read(&forged(&lines))
            .map_err(|e| e.to_string())
            .and_then(|parcel| {
                let outcome = target.store.take_in(
                    &parcel,
                    TakeIn {
                        join_orchards: true,
                        dry_run: false,
                    },
                    &mut |_| true,
                );
                outcome.map_err(|e| match e {
                    StoreError::Bundle(why) => why,
                    other => panic!("{name}: {other}"),
                })
            });
        assert!(outcome.is_err(), "{name} was taken in");
        assert_eq!(target.dump(), before, "{name}");
        tried += 1;
    };
    for (kind, from, to) in swaps {
        let line = find(kind);
        assert!(line.contains(from), "{line}");
        let mut header = good[0].clone();
        header = header.replace(
            &format!("\"records\":{}", parcel.changes.len()),
            "\"records\":1",
        );
        header = header.replace(&format!("\"sets\":{}", parcel.sets.len()), "\"sets\":1");
        header = header.replace("\"base\":[]", &format!("\"base\":[\"{set}\"]"));
        let second = format!(
            "{{\"set\":\"{new_set}\",\"parents\":[\"{set}\"],\"height\":2,\"tablet\":\"X\"}}"
        );
        attempt(
            vec![header, second, line.replace(from, to)],
            &format!("{kind} with {to}"),
        );
    }
    // records under keys that are none, of kinds that are none, twice, of heights that do not follow
    let one_more = |line: String, height: &str| {
        let header = good[0].replace(
            &format!("\"records\":{}", parcel.changes.len()),
            "\"records\":2",
        );
        let header = header.replace(&format!("\"sets\":{}", parcel.sets.len()), "\"sets\":1");
        let header = header.replace("\"base\":[]", &format!("\"base\":[\"{set}\"]"));
        let second = format!(
            "{{\"set\":\"{new_set}\",\"parents\":[\"{set}\"],\"height\":{height},\"tablet\":\"X\"}}"
        );
        vec![header, second, line.clone(), line]
    };
    let pruner = find("pruner");
    attempt(one_more(pruner.clone(), "2"), "one named twice");
    attempt(
        one_more(pruner.clone(), "9"),
        "a height that does not follow",
    );
    attempt(
        one_more(
            pruner.replace("\"kind\":\"pruner\"", "\"kind\":\"sqlite_schema\""),
            "2",
        ),
        "no kind",
    );
    attempt(
        one_more(
            pruner.replace("\"key\":\"", "\"key\":\"'; DROP TABLE pruner; --"),
            "2",
        ),
        "no key",
    );
    println!("{tried} made-up bundles refused, nothing kept");
}

/// Settings that are not the orchard's, such as a tablet's theme, do not come in by a bundle that was made up.
#[test]
fn a_bundle_cannot_set_up_the_tablet() {
    let parcel = full().all();
    let mut target = Device::new(2);
    settle_in(&mut target);
    target
        .store
        .set(thirdwood::store::Setting::Theme, "dark")
        .unwrap();
    let mut forged_parcel = parcel.clone();
    let mut change = parcel.changes[0].clone();
    change.kind = Kind::Setting;
    change.key = "theme".into();
    change.body = "{\"value\":\"bright\"}".into();
    forged_parcel.changes.push(change);
    let how = TakeIn {
        join_orchards: true,
        dry_run: false,
    };
    let outcome = target.store.take_in(&forged_parcel, how, &mut |_| true);
    assert!(matches!(outcome, Err(StoreError::Bundle(_))), "{outcome:?}");
    let theme = target
        .store
        .setting(thirdwood::store::Setting::Theme)
        .unwrap();
    assert_eq!(theme.as_deref(), Some("dark"));
}
