//! What is exported imports again unchanged: over random orchards, and named hard cases.

use std::path::Path;

use chrono::NaiveDate;
use proptest::prelude::*;
use thirdwood::exchange::{ImportOptions, ImportReport, Table, export, export_all, import_folder};
use thirdwood::orchard::*;
use thirdwood::store::{CountFilter, Store};
use uuid::Uuid;

use crate::world::{Seeds, build, count, fill, seeds};

pub fn today() -> NaiveDate {
    NaiveDate::from_ymd_opt(2027, 1, 20).unwrap()
}

fn load(store: &Store, folder: &Path) -> Vec<ImportReport> {
    let options = ImportOptions {
        dry_run: false,
        today: today(),
        new_id: &mut Uuid::now_v7,
    };
    import_folder(store, folder, options).unwrap()
}

fn texts(store: &Store) -> Vec<String> {
    let table = |table| {
        let mut bytes = Vec::new();
        export(store, table, &mut bytes).unwrap();
        String::from_utf8(bytes).unwrap()
    };
    Table::ALL.map(table).to_vec()
}

/// Exports, imports into an empty file, exports again; and imports a second time into both.
fn goes_round(store: &Store) {
    let folder = tempfile::tempdir().unwrap();
    export_all(store, folder.path()).unwrap();
    let written =
        |table: Table| std::fs::read_to_string(folder.path().join(table.file_name())).unwrap();
    let first = texts(store);
    assert_eq!(Table::ALL.map(written).to_vec(), first);
    let other = Store::in_memory().unwrap();
    let reports = load(&other, folder.path());
    let wrong: Vec<_> = reports.iter().flat_map(|report| &report.problems).collect();
    assert!(wrong.is_empty(), "{wrong:?}");
    for report in reports {
        assert!(report.kept, "{report:?}");
        // a winter always has a general rule: one of its own replaces the house's
        let rules = report.table == Table::Rules;
        assert!(report.changed == 0 || rules, "{report:?}");
    }
    assert_eq!(texts(&other), first);
    assert_eq!(other.check().unwrap().problems, Vec::<String>::new());
    for store in [store, &other] {
        for report in load(store, folder.path()) {
            assert!(report.kept, "{report:?}");
            assert_eq!((report.added, report.changed), (0, 0), "{report:?}");
        }
        assert_eq!(texts(store), first);
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(96) })]
    #[test]
    fn any_orchard_goes_round(seeds in seeds()) {
        let world = build(&seeds);
        if !world.blocks.is_empty() && !world.winters.is_empty() {
            fill(&world, &seeds);
        }
        goes_round(&world.store);
    }
}

#[test]
fn an_empty_file_goes_round() {
    goes_round(&Store::in_memory().unwrap());
}

/// A tree that died after it was counted, and stems that were put right, do not keep a count out.
#[test]
fn counts_of_what_has_changed_since_go_round() {
    let seeds = Seeds {
        blocks: vec![("River".into(), String::new(), 6, 4.0, vec![(1, 20)], vec![])],
        crew: vec![(3, "Mele".into(), true, false)],
        winters: vec![("2027".into(), 9, false, None)],
        work: vec![],
        counts: vec![],
        draws: vec![(7, vec![[0, 0, 4, 1]])],
        back: vec![],
    };
    let world = build(&seeds);
    fill(&world, &seeds);
    let mut count = count(&world, &[0, 0, 4, 1, 0, 1, 8, 0], &[(1, 0)], "a", 0);
    assert_eq!((count.head.tree, count.head.part), (5, Part::Stems(5)));
    world.store.add_count(&count).unwrap();
    let changed = BlockDraft {
        stems: 2,
        rows: RowPlan::parse("1x20", "1:5").unwrap(),
        ..world.blocks[0].draft().clone()
    };
    let changed = Block::new(world.blocks[0].id, changed).unwrap();
    world.store.save_block(&changed).unwrap();
    goes_round(&world.store);

    // a removed count comes back when a table that has it is read again
    let folder = tempfile::tempdir().unwrap();
    export_all(&world.store, folder.path()).unwrap();
    world.store.remove_count(count.id, true).unwrap();
    load(&world.store, folder.path());
    count.head.winter = world.winters[0].id;
    let all = CountFilter::Winter(world.winters[0].id);
    assert_eq!(world.store.counts(all).unwrap(), vec![count]);
}
