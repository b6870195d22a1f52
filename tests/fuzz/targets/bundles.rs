//! Bundles: damaged, or made up with a checksum that fits.

use std::fmt::Write as _;
use std::io::{Read as _, Write as _};

use flate2::Compression;
use flate2::write::GzEncoder;
use serde_json::Value;
use sha2::{Digest, Sha256};
use thirdwood::exchange::bundle::{BundleError, Limits, read_from, write_to};
use thirdwood::store::bundle::{Parcel, Since, TakeIn};
use thirdwood::store::{Store, StoreError};

use super::checks::{all_tables, harmless, note_kept, sheets};
use super::orchard::{emptied, scratch};

/// What the first byte says of the rest.
const RAW: u8 = 0;
const COUNTED: u8 = 1;
const ON_EMPTY: u8 = 4;

/// Enough for all that a run can hold, and soon reached.
const LIMITS: Limits = Limits {
    file: 1 << 20,
    text: 4 << 20,
    line: 64 << 10,
    records: 10_000,
    sets: 1_000,
    orchards: 64,
    links: 10_000,
    ratio: 200,
};

/// The first byte says what the rest is: bit by bit a file as it stands, or its text, to which packing and checksum are
/// made; whether the numbers of its first line are put right; whether an empty file takes it in.
pub fn run(bytes: &[u8]) {
    let Some((how, rest)) = bytes.split_first() else {
        return;
    };
    let packed = match how & 3 {
        RAW => rest.to_vec(),
        COUNTED => packed(&counted(rest)),
        _ => packed(rest),
    };
    let parcel = match read_from(packed.as_slice(), "the bundle", LIMITS) {
        Ok(parcel) => parcel,
        Err(error) => {
            assert!(!matches!(error, BundleError::Read { .. }), "{error}");
            return harmless(&error.to_string());
        }
    };
    if how & ON_EMPTY == 0 {
        scratch(|store| taken(store, &parcel));
    } else {
        emptied(|store| taken(store, &parcel));
    }
}

fn taken(store: &Store, parcel: &Parcel) {
    let before = all_tables(store);
    let how = TakeIn {
        dry_run: false,
        join_orchards: true,
    };
    let take = |store: &Store, parcel| store.take_in(parcel, how, &mut |_| true);
    match take(store, parcel) {
        Ok(_) => note_kept(),
        Err(
            error @ (StoreError::Bundle(_)
            | StoreError::Altered(_)
            | StoreError::TooMuch(_)
            | StoreError::Gap),
        ) => {
            harmless(&error.to_string());
            return assert_eq!(
                before,
                all_tables(store),
                "a refused bundle changed something"
            );
        }
        Err(error) => panic!("{error:?}"),
    }
    let (after, whole) = (all_tables(store), store.parcel(&Since::Beginning).unwrap());
    take(store, parcel).unwrap();
    assert_eq!(after, all_tables(store), "taken in twice");
    assert_eq!(whole, store.parcel(&Since::Beginning).unwrap());
    let mut written = Vec::new();
    write_to(&whole, &mut written).unwrap();
    assert_eq!(read_from(written.as_slice(), "it", LIMITS).unwrap(), whole);
    assert_eq!(store.check().unwrap().problems, Vec::<String>::new());
    sheets(store);
    // a tablet that has nothing yet ends with the same
    let other = Store::in_memory().unwrap();
    take(&other, &whole).unwrap();
    assert_eq!(after, all_tables(&other));
}

/// The text packed, with a checksum at its end.
fn packed(text: &[u8]) -> Vec<u8> {
    let mut zip = GzEncoder::new(Vec::new(), Compression::fast());
    let mut text = text.to_vec();
    if text.last() != Some(&b'\n') {
        text.push(b'\n');
    }
    zip.write_all(&text).unwrap();
    let mut sum = String::new();
    for byte in Sha256::digest(&text) {
        write!(sum, "{byte:02x}").unwrap();
    }
    writeln!(zip, "{{\"sha256\":\"{sum}\"}}").unwrap();
    zip.finish().unwrap()
}

/// The text with as many change sets and records in its first line as there are.
fn counted(text: &[u8]) -> Vec<u8> {
    let mut lines: Vec<&[u8]> = text
        .split(|byte| *byte == b'\n')
        .filter(|line| !line.is_empty())
        .collect();
    let Some((first, rest)) = lines.split_first_mut() else {
        return Vec::new();
    };
    let sets = rest
        .iter()
        .take_while(|line| line.windows(10).any(|part| part == b"\"parents\":"))
        .count();
    let Ok(Value::Object(mut header)) = serde_json::from_slice(first) else {
        return text.to_vec();
    };
    header.insert("sets".into(), sets.into());
    header.insert("records".into(), (rest.len() - sets).into());
    let header = Value::Object(header).to_string();
    *first = header.as_bytes();
    lines.join(&b'\n')
}

/// The invented orchard as a bundle's text without its checksum.
pub fn text_of() -> String {
    let mut text = String::new();
    scratch(|store| {
        let mut packed = Vec::new();
        write_to(&store.parcel(&Since::Beginning).unwrap(), &mut packed).unwrap();
        flate2::read::GzDecoder::new(packed.as_slice())
            .read_to_string(&mut text)
            .unwrap();
    });
    let end = text.trim_end().rfind('\n').unwrap();
    text.truncate(end + 1);
    text
}
