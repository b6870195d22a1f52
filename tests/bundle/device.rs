//! A tablet of the tests, and its file laid bare.

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::path::{Path, PathBuf};

use chrono::NaiveDate;
use rusqlite::types::ValueRef;
use rusqlite::{Connection, OpenFlags};
use thirdwood::orchard::*;
use thirdwood::store::Store;
use thirdwood::store::bundle::{Parcel, Since, TakeIn, Taken};
use uuid::Uuid;

use crate::drafts;
pub use crate::drafts::pruner_draft;

/// Carried tables; not carried: `key` of counts, which is a number of the file.
const TABLES: [&str; 26] = [
    "block",
    "block_row",
    "missing_tree",
    "pruner",
    "pruner_name",
    "name_removed",
    "winter",
    "block_budburst",
    "rule",
    "work",
    "draw",
    "drawn_tree",
    "go_back",
    "lost_days",
    "worked_week",
    "stint",
    "pay",
    "pay_special",
    "tree_mark",
    "aim",
    "factor",
    "growth",
    "tagged_unit",
    "harvest",
    "joined",
    "orchard_id",
];

pub struct Device {
    pub store: Store,
    folder: tempfile::TempDir,
    made: u128,
    pub nr: u128,
}

/// A folder in memory where there is one: these tests commit ten thousands of times.
pub fn folder() -> tempfile::TempDir {
    let memory = Path::new("/dev/shm");
    if memory.is_dir() {
        tempfile::tempdir_in(memory).unwrap()
    } else {
        tempfile::tempdir().unwrap()
    }
}

impl Device {
    pub fn new(nr: u128) -> Self {
        Self::in_folder(nr, folder())
    }

    pub fn in_folder(nr: u128, folder: tempfile::TempDir) -> Self {
        let store = Store::open(&folder.path().join("orchard.db")).unwrap();
        Self {
            store,
            folder,
            made: 0,
            nr,
        }
    }

    pub fn path(&self) -> PathBuf {
        self.folder.path().join("orchard.db")
    }

    pub fn folder(&self) -> &Path {
        self.folder.path()
    }

    /// A new identity, the same in each run.
    pub fn id(&mut self) -> Uuid {
        self.made += 1;
        Uuid::from_u128((self.nr << 100) + self.made)
    }

    pub fn parcel(&self, since: &Since) -> Parcel {
        self.store.parcel(since).unwrap()
    }

    pub fn all(&self) -> Parcel {
        self.parcel(&Since::Beginning)
    }

    pub fn take(&self, parcel: &Parcel) -> Taken {
        let how = TakeIn {
            join_orchards: true,
            ..TakeIn::default()
        };
        self.store.take_in(parcel, how, &mut |_| true).unwrap()
    }

    /// Everything that is carried, as text: the tables, and what stands behind them.
    pub fn dump(&self) -> Vec<String> {
        carried(&self.path())
    }
}

/// Everything of a file that is carried, as text.
pub fn carried(file: &Path) -> Vec<String> {
    let conn = Connection::open_with_flags(file, OpenFlags::SQLITE_OPEN_READ_ONLY).unwrap();
    let mut lines = Vec::new();
    for table in TABLES {
        lines.extend(rows(&conn, table, &format!("SELECT * FROM {table}")));
    }
    let counts =
        "SELECT (SELECT group_concat(piece || coalesce(size, '') || coalesce(buds, '') || with_piece, ' ')
            FROM (SELECT * FROM tap WHERE count = key ORDER BY seq)), tree_count.* FROM tree_count";
    lines.extend(rows(&conn, "count", counts));
    lines.extend(rows(
        &conn,
        "setting",
        "SELECT * FROM setting WHERE key IN ('orchard', 'extras', 'currency', 'sheet language', 'names')",
    ));
    let versions =
        "SELECT kind, version.key, change_set.id, removed, beside, body, digest FROM version
            JOIN change_set ON nr = change_set";
    lines.extend(rows(&conn, "version", versions));
    let replaced = "SELECT kind, replaced.key, change_set.id, digest FROM replaced
            JOIN change_set ON nr = change_set";
    lines.extend(rows(&conn, "replaced", replaced));
    lines.extend(rows(
        &conn,
        "change set",
        "SELECT id, height, names FROM change_set",
    ));
    lines.sort();
    lines
}

fn rows(conn: &Connection, name: &str, sql: &str) -> Vec<String> {
    let mut find = conn.prepare(sql).unwrap();
    let columns: Vec<String> = find.column_names().map(str::to_owned).collect();
    let mut rows = find.query([]).unwrap();
    let mut lines = Vec::new();
    while let Some(row) = rows.next().unwrap() {
        let mut line = name.to_owned();
        for (at, column) in columns
            .iter()
            .enumerate()
            .filter(|(_, column)| *column != "key" || name != "count")
        {
            let value = match row.get_ref(at).unwrap() {
                ValueRef::Null => "-".to_owned(),
                ValueRef::Integer(n) => n.to_string(),
                ValueRef::Real(x) => format!("{x:?}"),
                ValueRef::Text(text) => String::from_utf8(text.to_vec()).unwrap(),
                ValueRef::Blob(blob) => format!("{blob:02x?}"),
            };
            write!(line, " {column}={value}").unwrap();
        }
        lines.push(line);
    }
    lines
}

/// Panics with the first lines that differ.
pub fn assert_same(one: &Device, two: &Device, when: &str) {
    let (a, b) = (one.dump(), two.dump());
    if a != b {
        let only = |x: &[String], y: &[String]| {
            let lines: Vec<_> = x
                .iter()
                .filter(|line| !y.contains(line))
                .take(6)
                .cloned()
                .collect();
            lines.join("\n  ")
        };
        panic!(
            "{when}: tablets {} and {} differ\nonly on the first:\n  {}\nonly on the second:\n  {}",
            one.nr,
            two.nr,
            only(&a, &b),
            only(&b, &a)
        );
    }
}

/// Everybody gets everything; the first gathers, then hands out, so two rounds are enough.
pub fn all_meet(devices: &[Device]) {
    for device in &devices[1..] {
        devices[0].take(&device.all());
    }
    for device in &devices[1..] {
        device.take(&devices[0].all());
    }
}

pub fn day(d: u32) -> NaiveDate {
    NaiveDate::from_ymd_opt(2027, 1, d).unwrap()
}

pub fn block_draft(name: &str, rows: &str, missing: &str) -> BlockDraft {
    BlockDraft {
        stems: 6,
        ..drafts::block_draft(name, rows, missing)
    }
}

pub fn winter_draft(label: &str) -> WinterDraft {
    WinterDraft {
        label: label.into(),
        start: day(1),
        budburst: day(1) + chrono::Days::new(80),
        block_budburst: BTreeMap::new(),
    }
}

/// A block, a pruner and a winter on this tablet.
pub fn settle_in(device: &mut Device) -> (Block, Pruner, Winter) {
    let block = Block::new(BlockId(device.id()), block_draft("River", "1-4x20", "")).unwrap();
    let pruner = Pruner::new(PrunerId(device.id()), pruner_draft(3, "Mele")).unwrap();
    let winter = Winter::new(WinterId(device.id()), winter_draft("2026/27")).unwrap();
    device.store.save_block(&block).unwrap();
    device.store.save_pruner(&pruner).unwrap();
    device.store.save_winter(&winter).unwrap();
    (block, pruner, winter)
}

pub fn head(block: &Block, pruner: &Pruner, winter: &Winter, tree: u16) -> CountHead {
    CountHead {
        winter: winter.id,
        block: block.id,
        row: 1,
        tree,
        pruner: Some(pruner.id),
        stage: Stage::After,
        part: Part::Whole,
        chosen: Chosen::Drawn,
        counter: "Ana".into(),
        at: Stamp::parse_rfc3339("2027-01-12T09:30:00+01:00").unwrap(),
        again: false,
        note: String::new(),
    }
}
