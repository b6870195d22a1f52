//! Damaged files: opened with the right figures, or refused with a clear word and the backup that helps; never a
//! panic, never silently wrong figures but where a single number has no second trace in the file.

use std::collections::{BTreeMap, BTreeSet};
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::Path;

use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha20Rng;
use rusqlite::Connection;
use thirdwood::store::{Store, StoreError, backup, with_backup};

use crate::common;
use crate::world::{House, back_up, counted, dump, figures, tell};

const VARIANTS: usize = 1_000;

/// Columns whose values the file keeps twice: in an index, or in taps and their sums. Any other value stands in the
/// file once: a bit that flips within it, so that another allowed value stands there, leaves no trace. Only a checksum
/// on each row would tell, and the database keeps none.
fn kept_twice(file: &Path) -> BTreeSet<String> {
    let conn = Connection::open(file).unwrap();
    // the primary key of a table without rowid is the table itself
    let mut find = conn
        .prepare(
            "SELECT t.name || '.' || c.name FROM pragma_table_list t, pragma_index_list(t.name) i, pragma_index_info(i.name) c
             WHERE t.schema = 'main' AND c.name IS NOT NULL AND NOT (t.wr AND i.origin = 'pk')
             UNION SELECT 'tap.' || name FROM pragma_table_info('tap')
             UNION SELECT 'tree_count.' || name FROM pragma_table_info('tree_count') WHERE dflt_value = '0'
             AND name NOT IN ('closed', 'removed', 'again')",
        )
        .unwrap();
    let columns = find.query_map([], |row| row.get(0)).unwrap();
    columns.map(Result::unwrap).collect()
}

/// Tables without an index of their own, to which no other table refers. Where such a table fills one page, and the page
/// of an empty table of the same shape takes its place, it is empty, and nothing else tells. (`thirdwood check` tells
/// what there is less of than in the backup.) Taps are compared with their sums.
fn stand_alone(file: &Path) -> BTreeSet<String> {
    let conn = Connection::open(file).unwrap();
    let mut find = conn
        .prepare(
            "SELECT name FROM pragma_table_list t WHERE schema = 'main' AND type = 'table' AND name <> 'tap'
             AND NOT EXISTS (SELECT 1 FROM pragma_index_list(t.name) i WHERE NOT (t.wr AND i.origin = 'pk'))
             AND name NOT IN (SELECT f.\"table\" FROM pragma_table_list o, pragma_foreign_key_list(o.name) f)",
        )
        .unwrap();
    let tables = find.query_map([], |row| row.get(0)).unwrap();
    tables.map(Result::unwrap).collect()
}

const SWAPPED: &str = "a page in the place of another";

/// How a file is damaged.
fn damage(whole: &[u8], random: &mut ChaCha20Rng, variant: usize) -> (&'static str, Vec<u8>) {
    let mut bytes = whole.to_vec();
    let at = random.random_range(0..bytes.len());
    match variant % 10 {
        0..3 => {
            // every other one at a page's end, where the rest looks whole
            let cut = if variant.is_multiple_of(2) {
                at
            } else {
                at / 4096 * 4096
            };
            bytes.truncate(cut);
            ("cut off", bytes)
        }
        3..8 => {
            // most of a small file is empty: where something stands it matters
            let used: Vec<usize> = (0..bytes.len()).filter(|at| bytes[*at] != 0).collect();
            bytes[used[random.random_range(0..used.len())]] ^= 1 << random.random_range(0..8);
            ("a bit flipped", bytes)
        }
        8 => {
            let sector = at / 512 * 512;
            bytes[sector..sector + 512].fill(0);
            ("a sector of zeros", bytes)
        }
        _ => {
            let from = random.random_range(0..bytes.len() / 4096) * 4096;
            let page = at / 4096 * 4096;
            bytes.copy_within(from..from + 4096, page);
            (SWAPPED, bytes)
        }
    }
}

/// What became of a damaged file.
#[derive(Debug, PartialEq, Eq, PartialOrd, Ord, Clone, Copy)]
enum Outcome {
    Right,
    Refused,
    Once,
}

#[test]
fn damaged_files_are_refused_or_right() {
    let (template, _) = counted(24);
    let house = House::copy_of(&template.file);
    back_up(&house.file);
    let whole = std::fs::read(&house.file).unwrap();
    let (right, values) = (figures(&house.store()).unwrap(), dump(&house.file));
    let mut random = ChaCha20Rng::seed_from_u64(20_270_112);
    let mut seen: BTreeMap<(&str, Outcome), usize> = BTreeMap::new();
    let (mut columns, mut swapped) = (BTreeSet::new(), BTreeSet::new());
    let mut restored = 0;
    for variant in 0..VARIANTS {
        let (how, bytes) = damage(&whole, &mut random, variant);
        write(&house, &bytes);
        let read = catch_unwind(AssertUnwindSafe(|| read(&house)));
        let read = read.unwrap_or_else(|_| panic!("variant {variant}, {how}: a panic"));
        let outcome = match read {
            Ok(found) if found == right => Outcome::Right,
            Ok(_) => {
                let differ = differing(&values, &dump(&house.file));
                if how == SWAPPED {
                    swapped.extend(
                        differ
                            .iter()
                            .map(|column| column.split('.').next().unwrap().to_owned()),
                    );
                } else {
                    columns.extend(differ);
                }
                Outcome::Once
            }
            Err(e) => {
                refusal_is_clear(&e, variant);
                if variant % 5 == 0 && can_restore(&e) {
                    backup::restore(&house.file, 1, common::today()).unwrap();
                    assert_eq!(read_again(&house), right, "variant {variant}");
                    restored += 1;
                }
                Outcome::Refused
            }
        };
        *seen.entry((how, outcome)).or_default() += 1;
    }
    for ((how, outcome), times) in &seen {
        tell(&format!("{how}: {times} {outcome:?}"));
    }
    let once: usize = seen
        .iter()
        .filter(|((_, outcome), _)| *outcome == Outcome::Once)
        .map(|(_, times)| times)
        .sum();
    tell(&format!(
        "{VARIANTS} damaged files, {restored} of them restored and compared; {once} undetectable by design, in values \
         that stand in the file once: {columns:?}, or in a table of one page: {swapped:?}"
    ));
    let twice = kept_twice(&template.file);
    assert!(
        twice.contains("tree_count.thick7") && twice.contains("work.day"),
        "{twice:?}"
    );
    for column in &columns {
        assert!(
            !twice.contains(column),
            "{column} could have been found out"
        );
    }
    let alone = stand_alone(&template.file);
    assert!(
        alone.contains("drawn_tree") && !alone.contains("block_row"),
        "{alone:?}"
    );
    for table in &swapped {
        assert!(alone.contains(table), "{table} could have been found out");
    }
    assert!(restored > 50, "{restored}");
    assert!(once * 20 < VARIANTS, "{once}");
}

fn write(house: &House, bytes: &[u8]) {
    for beside in ["orchard.db-wal", "orchard.db-shm", "orchard.db-journal"] {
        let _ = std::fs::remove_file(house.folder.path().join(beside));
    }
    std::fs::write(&house.file, bytes).unwrap();
}

/// As a command does that prints figures.
fn read(house: &House) -> Result<String, StoreError> {
    let store = Store::open(&house.file)?;
    store.vouch()?;
    figures(&store).map_err(|e| with_backup(&house.file, e))
}

fn read_again(house: &House) -> String {
    read(house).unwrap()
}

fn can_restore(e: &StoreError) -> bool {
    matches!(e, StoreError::HasBackup { number: 1, .. })
}

/// It names the backup; only a file that says that it is of a newer version is left alone.
fn refusal_is_clear(e: &StoreError, variant: usize) {
    let words = e.to_string();
    let newer = matches!(e, StoreError::Newer { .. });
    assert!(
        newer || words.contains("`thirdwood restore 1` puts it back"),
        "variant {variant}: {words}"
    );
}

/// Columns in which two files differ.
fn differing(one: &[String], other: &[String]) -> Vec<String> {
    let (one, other): (BTreeSet<_>, BTreeSet<_>) = (one.iter().collect(), other.iter().collect());
    let lines = one.symmetric_difference(&other);
    lines
        .filter_map(|line| Some(line.split_once('#')?.0.to_owned()))
        .collect()
}

#[test]
fn what_the_file_keeps_twice_is_compared() {
    let (house, _) = counted(6);
    back_up(&house.file);
    let wrong = [
        "UPDATE tree_count SET two = two + 1 WHERE key = 3",
        "UPDATE tree_count SET thick4 = 4, thick3 = 0 WHERE key = 2",
        "UPDATE tap SET piece = 2 WHERE count = 1 AND seq = 1",
        "DROP TRIGGER tap_taken_back; DELETE FROM tap WHERE count = 1 AND seq = 4",
        "UPDATE tap SET seq = 99 WHERE count = 4 AND seq = 2",
        "PRAGMA foreign_keys = OFF; UPDATE tree_count SET pruner = x'00000000000000000000000000000009' WHERE key = 5",
        "DROP TRIGGER tap_added",
    ];
    for sql in wrong {
        let damaged = House::copy_of(&house.file);
        let conn = rusqlite::Connection::open(&damaged.file).unwrap();
        conn.execute_batch(sql).unwrap();
        drop(conn);
        let store = damaged.store();
        let refused = store.vouch().unwrap_err();
        assert!(
            matches!(refused, StoreError::Corrupt(_)),
            "{sql}: {refused}"
        );
        assert!(!store.check().unwrap().problems.is_empty(), "{sql}");
    }
    house.store().vouch().unwrap();
    tell(&format!(
        "{} kinds of wrong sums, references and triggers found",
        wrong.len()
    ));
}

#[test]
fn an_emptied_file_is_no_beginning() {
    let (house, small) = counted(3);
    back_up(&house.file);
    let right = figures(&house.store()).unwrap();
    write(&house, b"");
    let refused = Store::open(&house.file).unwrap_err();
    refusal_is_clear(&refused, 0);
    assert_eq!(
        std::fs::metadata(&house.file).unwrap().len(),
        0,
        "nothing was begun in it"
    );
    backup::restore(&house.file, 1, common::today()).unwrap();
    assert_eq!(read_again(&house), right);
    // one that is gone is begun anew, and it is said that there was one
    for beside in ["orchard.db", "orchard.db-wal", "orchard.db-shm"] {
        let _ = std::fs::remove_file(house.folder.path().join(beside));
    }
    let store = house.store();
    assert!(
        store
            .warning()
            .unwrap()
            .contains("`thirdwood restore` lists them")
    );
    assert_eq!(store.pruners().unwrap().len(), 0);
    drop(store);
    backup::restore(&house.file, 1, common::today()).unwrap();
    assert_eq!(house.store().pruners().unwrap()[0].id, small.pruners[0].id);
}
