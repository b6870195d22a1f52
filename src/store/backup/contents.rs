//! How much is in a file, to compare it with a backup.

use std::path::Path;

use rusqlite::Connection;

use super::super::read_only::untouched;
use super::super::{Store, StoreError};

/// What is counted: the words for one and for many, and the rows.
const KINDS: [(&str, &str, &str); 10] = [
    ("count", "counts", "tree_count"),
    (
        "count in the figures",
        "counts in the figures",
        "tree_count WHERE removed = 0",
    ),
    ("tap", "taps", "tap"),
    ("work entry", "work entries", "work WHERE removed = 0"),
    (
        "row sent back",
        "rows sent back",
        "go_back WHERE removed = 0",
    ),
    ("draw", "draws", "draw"),
    ("pruner", "pruners", "pruner"),
    ("block", "blocks", "block"),
    ("winter", "winters", "winter"),
    ("drawn tree", "drawn trees", "drawn_tree"),
];

/// How many of each kind of thing a file holds.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Contents([u64; KINDS.len()]);

impl Contents {
    /// Counts them.
    pub(in crate::store) fn read(conn: &Connection) -> Result<Self, StoreError> {
        let mut found = [0; KINDS.len()];
        for ((_, _, rows), slot) in KINDS.into_iter().zip(&mut found) {
            let sql = format!("SELECT count(*) FROM {rows}");
            *slot = conn.query_row(&sql, [], |row| row.get::<_, i64>(0))? as u64;
        }
        Ok(Self(found))
    }

    /// Counts, removed ones included.
    pub fn counts(&self) -> u64 {
        self.0[0]
    }

    /// Taps.
    pub fn taps(&self) -> u64 {
        self.0[2]
    }

    /// In words: counts, taps, work entries, pruners and blocks.
    pub fn words(&self) -> String {
        let told = [0, 2, 3, 6, 7].map(|kind| words(kind, self.0[kind]));
        told.join(", ")
    }
}

/// What is fewer or more in a file than in another, a phrase each: `3 taps fewer`; drawn trees go with their draw, and
/// counts out of the figures with all counts.
pub fn change(from: &Contents, to: &Contents) -> Vec<String> {
    let told = [0, 2, 3, 4, 5, 6, 7, 8].into_iter().filter_map(|kind| {
        let (from, to) = (from.0[kind], to.0[kind]);
        let way = match from.cmp(&to) {
            std::cmp::Ordering::Equal => return None,
            std::cmp::Ordering::Less => "more",
            std::cmp::Ordering::Greater => "fewer",
        };
        Some(format!("{} {way}", words(kind, from.abs_diff(to))))
    });
    told.collect()
}

fn words(kind: usize, number: u64) -> String {
    let (one, many, _) = KINDS[kind];
    format!("{number} {}", if number == 1 { one } else { many })
}

impl Store {
    /// How much the file holds.
    pub fn contents(&self) -> Result<Contents, StoreError> {
        Contents::read(&self.conn)
    }
}

/// How much a backup holds.
pub(in crate::store) fn contents_of(backup: &Path) -> Result<Contents, StoreError> {
    Contents::read(&untouched(backup)?)
}

/// What is fewer now than it was then, a phrase each: `3 taps fewer (17; 20 then)`.
pub fn fewer(now: &Contents, then: &Contents) -> Vec<String> {
    let pairs = now.0.iter().zip(&then.0).enumerate();
    pairs
        .filter(|(_, (now, then))| now < then)
        .map(|(kind, (now, then))| {
            format!("{} fewer ({now}; {then} then)", words(kind, then - now))
        })
        .collect()
}
