//! A small orchard as tables, and ways to read them.

use chrono::NaiveDate;
use thirdwood::exchange::{ImportOptions, ImportReport, Table, export, import};
use thirdwood::orchard::TreeCount;
use thirdwood::store::{CountFilter, Store};
use uuid::Uuid;

pub const BLOCKS: &str = "name,variety,row_spacing_m,tree_spacing_m,stems,sides,rows,missing\n\
    River,Conference,4.0,1.5,6,two-sided,\"1-3x40, 5x12\",2:7-9\n\
    Hill,,5.5,5,,,1-2x20,\n";
pub const CREW: &str = "number,name\n3,Mele\n7,'=Sum\n";
pub const WINTERS: &str = "label,start,budburst,block\n2026/27,2026-12-01,2027-03-20,\n";

pub fn options(dry_run: bool) -> ImportOptions<'static> {
    ImportOptions {
        dry_run,
        today: NaiveDate::from_ymd_opt(2027, 1, 20).unwrap(),
        // a function has no state to leak
        new_id: Box::leak(Box::new(Uuid::now_v7)),
    }
}

pub fn read(store: &Store, table: Table, text: &str) -> ImportReport {
    import(store, table, text.as_bytes(), options(false)).unwrap()
}

pub fn kept(store: &Store, table: Table, text: &str) -> [usize; 3] {
    let report = read(store, table, text);
    assert!(report.kept, "{:#?}", report.problems);
    [report.added, report.changed, report.unchanged]
}

/// The problems in words; nothing may have been kept.
pub fn told(store: &Store, table: Table, text: impl AsRef<[u8]>) -> Vec<String> {
    let before = everything(store);
    let report = import(store, table, text.as_ref(), options(false)).unwrap();
    assert!(!report.kept && !report.problems.is_empty());
    assert_eq!(everything(store), before);
    report.problems.iter().map(ToString::to_string).collect()
}

pub fn everything(store: &Store) -> Vec<u8> {
    let mut bytes = Vec::new();
    for table in Table::ALL {
        export(store, table, &mut bytes).unwrap();
    }
    bytes
}

pub fn orchard() -> Store {
    let store = Store::in_memory().unwrap();
    assert_eq!(kept(&store, Table::Blocks, BLOCKS), [2, 0, 0]);
    assert_eq!(kept(&store, Table::Crew, CREW), [2, 0, 0]);
    assert_eq!(kept(&store, Table::Winters, WINTERS), [1, 0, 0]);
    store
}

pub fn counts(store: &Store) -> Vec<TreeCount> {
    let winter = store.winters().unwrap()[0].id;
    store.counts(CountFilter::Winter(winter)).unwrap()
}

pub const WORK: &str = "pruner,block,row,first,last,day,hours\n\
    3,River,1,1,20,2027-01-12,7:30\n3,River,1,21,40,2027-01-12,\n7,Hill,2,,,2027-01-13,\"4,5\"\n";
pub const COUNTS: &str = "block,row,tree,pruner,at,one,two,three,thick_4\n\
    River,1,4,3,2027-01-12,5,14,13,3\nRiver,1,4,3,2027-01-12,6,14,13,3\n\
    River,1,9,3,2027-01-12T15:30:00+10:00,,,,\n";
pub const BACKS: &str = "block,row,pruner,day,reason\nRiver,1,3,2027-01-13,-thick tops\n";
