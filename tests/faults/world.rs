//! A small invented orchard in a file, what is in it, and what the program makes of it.

use std::fmt::Write as _;
use std::io::Write as _;
use std::path::{Path, PathBuf};

use rusqlite::types::ValueRef;
use rusqlite::{Connection, OpenFlags};
use thirdwood::exchange::{self, ExchangeError, Table};
use thirdwood::orchard::*;
use thirdwood::report::{Season, json};
use thirdwood::store::backup::{self, Keep, Made, Stop};
use thirdwood::store::{CountFilter, Setting, Store, StoreError};

use crate::common::{self, Small};

/// Says how many runs there were, also where the test harness keeps what tests print to itself.
pub fn tell(words: &str) {
    let _ = writeln!(std::io::stderr(), "faults: {words}");
}

/// A folder with a file in it.
pub struct House {
    pub folder: tempfile::TempDir,
    pub file: PathBuf,
}

impl House {
    pub fn empty() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("orchard.db");
        Self { folder, file }
    }

    /// A copy of a file that is not in use.
    pub fn copy_of(template: &Path) -> Self {
        let house = Self::empty();
        std::fs::copy(template, &house.file).unwrap();
        house
    }

    pub fn store(&self) -> Store {
        Store::open(&self.file).unwrap()
    }
}

/// The small orchard with `trees` closed counts of some taps each, settings, a rule and a row sent back. The file
/// is closed: all is in it, and nothing beside it.
pub fn counted(trees: u16) -> (House, Small) {
    let house = House::empty();
    let store = house.store();
    let small = common::fill(&store);
    for tree in 1..=trees {
        add_count(&store, &small, tree);
    }
    store.set(Setting::Orchard, "Fernhollow").unwrap();
    store
        .save_rule(small.winter.id, None, &Rule::default())
        .unwrap();
    let back = GoBack {
        id: GoBackId(common::id(700)),
        winter: small.winter.id,
        block: small.block.id,
        row: 2,
        pruner: small.pruners[1].id,
        day: common::today(),
        reason: "thick wood in the top".into(),
        settled: None,
    };
    store.save_go_back(&back).unwrap();
    drop(store);
    let conn = Connection::open(&house.file).unwrap();
    conn.execute_batch("PRAGMA journal_mode = DELETE; VACUUM")
        .unwrap();
    (house, small)
}

/// One closed count of row 1 or 2, with taps that differ from tree to tree.
pub fn add_count(store: &Store, small: &Small, tree: u16) {
    let count = CountId(common::id(1000 + u128::from(tree)));
    let row = 1 + tree % 2;
    let head = CountHead {
        winter: small.winter.id,
        block: small.block.id,
        row,
        tree: tree / 2 + 1,
        pruner: Some(small.pruners[usize::from(row) - 1].id),
        stage: Stage::After,
        part: Part::Whole,
        chosen: Chosen::ByEye,
        counter: "Sina".into(),
        at: Stamp::new(
            1_799_740_800_000 + i64::from(tree) * 60_000,
            60,
            common::today(),
        )
        .unwrap(),
        again: false,
        note: String::new(),
    };
    store.begin_count(count, &head).unwrap();
    for tap in script().take(12 + usize::from(tree) % 9) {
        store.tap(count, None, tap).unwrap();
    }
    store.close_count(count, true).unwrap();
}

/// Taps over and over: pieces and units in a mixed order.
pub fn script() -> impl Iterator<Item = Tap> {
    let unit = |size: usize, buds: u8| Tap::TwoYear(Size::ALL[size], Buds::new(buds).unwrap());
    (0usize..).map(move |i| match i % 4 {
        3 => unit(i / 4 % 3, (i % 8) as u8),
        _ => Tap::Piece(Age::ALL[(i * 7 + i / 5) % 4]),
    })
}

/// All taps in the file, one count after the other.
pub fn taps(store: &Store, small: &Small) -> Vec<Tap> {
    let counts = store.counts(CountFilter::Winter(small.winter.id)).unwrap();
    let each = counts.iter().map(|count| store.taps(count.id).unwrap());
    each.flatten().collect()
}

/// What a person would read off the file: every table, and the supervisor's page.
pub fn figures(store: &Store) -> Result<String, StoreError> {
    let mut all = Vec::new();
    for table in Table::ALL {
        exchange::export(store, table, &mut all).map_err(|e| match e {
            ExchangeError::Store(e) => e,
            other => panic!("{other}"),
        })?;
    }
    let mut all = String::from_utf8_lossy(&all).into_owned();
    for winter in store.winters()? {
        let season = Season::load(store, winter)?;
        let page = season.supervisor_page(common::today());
        all += &json::supervisor(&page, "").unwrap();
    }
    Ok(all)
}

/// Every value of every table, a line each: table, row, column, value.
pub fn dump(file: &Path) -> Vec<String> {
    let conn = Connection::open_with_flags(file, OpenFlags::SQLITE_OPEN_READ_ONLY).unwrap();
    let mut names = conn
        .prepare("SELECT name FROM sqlite_schema WHERE type = 'table' ORDER BY name")
        .unwrap();
    let names: Vec<String> = names
        .query_map([], |row| row.get(0))
        .unwrap()
        .map(Result::unwrap)
        .collect();
    let mut lines = Vec::new();
    for name in names {
        let mut find = conn.prepare(&format!("SELECT * FROM {name}")).unwrap();
        let columns: Vec<String> = find.column_names().map(str::to_owned).collect();
        let mut rows = find.query([]).unwrap();
        let mut place = 0;
        while let Some(row) = rows.next().unwrap() {
            for (at, column) in columns.iter().enumerate() {
                lines.push(format!(
                    "{name}.{column}#{place}={}",
                    shown(row.get_ref(at).unwrap())
                ));
            }
            place += 1;
        }
    }
    lines
}

fn shown(value: ValueRef<'_>) -> String {
    match value {
        ValueRef::Null => "null".to_owned(),
        ValueRef::Integer(n) => n.to_string(),
        ValueRef::Real(x) => format!("{x:?}"),
        ValueRef::Text(bytes) | ValueRef::Blob(bytes) => {
            bytes.iter().fold(String::new(), |mut hex, byte| {
                let _ = write!(hex, "{byte:02x}");
                hex
            })
        }
    }
}

/// Makes a backup; it must be a new one.
pub fn back_up(file: &Path) -> backup::Backup {
    match backup::make(file, common::today(), Keep::Sound, None, &Stop::default()).unwrap() {
        Made::Kept(made) => made,
        other => panic!("{other:?}"),
    }
}
