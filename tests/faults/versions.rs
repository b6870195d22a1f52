//! Files of earlier versions, and of a newer one.

use std::path::{Path, PathBuf};
use std::sync::LazyLock;

use rusqlite::Connection;
use thirdwood::store::{Store, StoreError};

use crate::world::{House, dump, tell};

/// How many earlier versions there are.
pub static EARLIER: LazyLock<i64> = LazyLock::new(|| now() - 1);

/// The file of a version, as `cargo test --test schema -- --ignored` made it when that was the newest.
pub fn fixture(version: i64) -> PathBuf {
    let name = format!("tests/fixtures/schema{version}.db");
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(name);
    assert!(
        path.exists(),
        "no file of version {version}: tests/schema.rs makes them"
    );
    path
}

/// The newest version.
pub fn now() -> i64 {
    let house = House::empty();
    drop(house.store());
    version(&house.file)
}

pub fn version(file: &Path) -> i64 {
    let conn = Connection::open(file).unwrap();
    conn.query_row("PRAGMA user_version", [], |row| row.get(0))
        .unwrap()
}

/// The copy that is kept before a file is brought up.
pub fn copy_before(file: &Path, from: i64) -> PathBuf {
    let mut name = file.as_os_str().to_owned();
    name.push(format!(".before-{}", from + 1));
    PathBuf::from(name)
}

/// Every value that the fixture has is in the file, where it was.
pub fn holds_what_it_held(file: &Path, from: i64) {
    let names_apart = version(file) >= 6;
    let place = |line: String| {
        let apart = |line: String| {
            // names stand apart since version 6; an empty one stands nowhere
            line.replace("pruner.name#", "pruner_name.name#")
                .replace("pruner.label#", "pruner_name.label#")
        };
        match line.split_once('#').zip(line.split_once('=')) {
            // what is still to be gathered is a set: a line of it may move down where others come in
            Some(((table, _), (_, value))) if table.starts_with("changed.") => {
                format!("{table}={value}")
            }
            _ if names_apart => apart(line),
            _ => line,
        }
    };
    let had: Vec<String> = dump(&fixture(from)).into_iter().map(place).collect();
    let has: std::collections::HashSet<String> = dump(file).into_iter().map(place).collect();
    let lost: Vec<&String> = had.iter().filter(|line| !has.contains(*line)).collect();
    assert!(lost.is_empty(), "{}: lost {lost:?}", file.display());
}

/// It opens, is sound, and the work in it is read.
pub fn opens_with_all(file: &Path) {
    let store = Store::open(file).unwrap();
    let winter = store.winters().unwrap().remove(0);
    assert_eq!(store.work(winter.id).unwrap()[0].minutes, Some(450));
    assert_eq!(store.check().unwrap().problems, Vec::<String>::new());
}

#[test]
fn every_earlier_version_is_brought_up_with_a_copy_first() {
    for from in 1..=*EARLIER {
        let house = House::copy_of(&fixture(from));
        opens_with_all(&house.file);
        assert_eq!(version(&house.file), *EARLIER + 1);
        holds_what_it_held(&house.file, from);
        let copy = copy_before(&house.file, from);
        assert_eq!(version(&copy), from);
        assert_eq!(dump(&copy), dump(&fixture(from)));
    }
    tell(&format!(
        "{} earlier versions brought up, each with a copy first",
        *EARLIER
    ));
}

#[test]
fn a_newer_version_is_refused_and_not_touched() {
    for newer in [now() + 1, 99, i64::from(i32::MAX)] {
        let house = House::empty();
        drop(house.store());
        let conn = Connection::open(&house.file).unwrap();
        conn.execute_batch(&format!(
            "PRAGMA journal_mode = DELETE; PRAGMA user_version = {newer}"
        ))
        .unwrap();
        drop(conn);
        let before = std::fs::read(&house.file).unwrap();
        let refused = Store::open(&house.file).unwrap_err();
        assert!(
            matches!(refused, StoreError::Newer { found, .. } if found == newer),
            "{refused}"
        );
        assert_eq!(std::fs::read(&house.file).unwrap(), before);
        assert_eq!(
            house.folder.path().read_dir().unwrap().count(),
            1,
            "nothing is made beside it"
        );
    }
}
