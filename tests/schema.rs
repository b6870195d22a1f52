//! Files of earlier versions open, and a copy of them is kept; what was added since is kept, changed and removed.

mod common;

use std::path::{Path, PathBuf};

use rusqlite::Connection;
use thirdwood::orchard::{Buds, LostDays, LostDaysId, LostKind, Size, Stint, Tap};
use thirdwood::store::{CountFilter, Store};

/// A file as its version wrote it; they are kept, so that they stay so.
fn fixture(version: usize) -> PathBuf {
    let name = format!("tests/fixtures/schema{version}.db");
    Path::new(env!("CARGO_MANIFEST_DIR")).join(name)
}

/// What each version can hold that those before it cannot: invented.
const CONTENT: [&str; 9] = [
    "
INSERT INTO setting VALUES ('orchard', 'Fernhollow');
INSERT INTO winter VALUES (x'00000000000000000000000000000001', '2026/27', '2026-11-20', '2027-03-25');
INSERT INTO block VALUES (x'00000000000000000000000000000002', 'River', 'Conference', '', 2015, 4, 1.5, 4, 'flat', 0);
INSERT INTO block_row VALUES (x'00000000000000000000000000000002', 1, 50);
INSERT INTO pruner (id, number, name, label, active, number_only)
    VALUES (x'00000000000000000000000000000003', 7, 'Aroha', '', 1, 0);
INSERT INTO work VALUES (x'00000000000000000000000000000004', x'00000000000000000000000000000001',
    x'00000000000000000000000000000003', x'00000000000000000000000000000002', 1, 1, 20, '2027-01-11', 450, 0);
",
    "
INSERT INTO lost_days VALUES (x'00000000000000000000000000000005', x'00000000000000000000000000000001',
    '2027-01-08', '2027-01-09', 'rain');
INSERT INTO pay VALUES (x'00000000000000000000000000000001', NULL, 'hour', 195000000);
",
    "
INSERT INTO aim VALUES (x'00000000000000000000000000000001', x'00000000000000000000000000000002', 't_per_ha', 45, NULL);
INSERT INTO harvest VALUES (x'00000000000000000000000000000002', 2025, 't_per_ha', 41.5, NULL, NULL);
INSERT INTO tree_count (id, winter, block, row, tree, pruner, stage, chosen, counter, at_ms, offset_min, day, note)
    VALUES (x'00000000000000000000000000000006', x'00000000000000000000000000000001',
    x'00000000000000000000000000000002', 1, 4, x'00000000000000000000000000000003', 'after', 'drawn', 'Sina',
    1799654400000, 60, '2027-01-11', '');
INSERT INTO tap VALUES (1, 1, 1, NULL, NULL), (1, 2, 0, 1, 3), (1, 3, 4, NULL, NULL);
",
    "
UPDATE pruner SET language = 'mi' WHERE number = 7;
",
    "
INSERT INTO orchard_id VALUES (x'00000000000000000000000000000007');
",
    "
INSERT INTO pruner (id, number, active, number_only) VALUES (x'00000000000000000000000000000008', 8, 1, 0);
INSERT INTO name_removed VALUES (x'00000000000000000000000000000008');
INSERT INTO change_set (nr, id, height, tablet, names) VALUES (1, x'00000000000000000000000000000009', 1, 'AB12', 0);
INSERT INTO version VALUES ('setting', 'orchard', 1, 0, '', '{\"value\":\"Fernhollow\"}');
",
    "
INSERT INTO replaced VALUES ('setting', 'orchard', 1, x'0000000000000000000000000000000A');
",
    "
INSERT INTO work (id, winter, pruner, block, row, first, last, day, minutes, kind, zone, share, team)
    VALUES (x'0000000000000000000000000000000B', x'00000000000000000000000000000001',
    x'00000000000000000000000000000003', x'00000000000000000000000000000002', 1, 21, 40, '2027-01-12', 300,
    'second pass', 'side A', 60, x'0000000000000000000000000000000B');
INSERT INTO pay_special VALUES (x'00000000000000000000000000000001', NULL, 'hedging', 'hour', 120000000, NULL);
INSERT INTO tree_mark VALUES (x'00000000000000000000000000000002', 1, 44, 'canker', '', '2027-01-12');
INSERT INTO tap VALUES (1, 4, 2, NULL, NULL), (1, 5, 0, 2, 4);
",
    "
INSERT INTO tap VALUES (1, 6, 0, 0, 2, 1);
",
];

/// Makes the fixtures that are not there yet: `cargo test --test schema -- --ignored`, once a migration has landed.
#[test]
#[ignore = "makes the fixtures, which are kept in the repository"]
fn make_the_fixtures() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("migrations");
    let mut migrations: Vec<PathBuf> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .collect();
    migrations.sort();
    for version in 1..=CONTENT.len() {
        if fixture(version).exists() {
            continue;
        }
        let conn = Connection::open(fixture(version)).unwrap();
        // each version's content as that version took it: a later one may have moved it
        for (migration, content) in migrations.iter().zip(&CONTENT[..version]) {
            conn.execute_batch(&std::fs::read_to_string(migration).unwrap())
                .unwrap();
            conn.execute_batch(content).unwrap();
        }
        conn.execute_batch(&format!(
            "PRAGMA application_id = 0x74647764; PRAGMA user_version = {version}; VACUUM"
        ))
        .unwrap();
    }
}

fn version(path: &Path) -> i64 {
    let conn = Connection::open(path).unwrap();
    conn.query_row("PRAGMA user_version", [], |row| row.get(0))
        .unwrap()
}

#[test]
fn a_file_of_version_1_opens_with_all_that_is_in_it() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("orchard.db");
    std::fs::copy(fixture(1), &path).unwrap();
    let store = Store::open(&path).unwrap();
    let winter = store.winters().unwrap().remove(0);
    let work = store.work(winter.id).unwrap();
    assert_eq!((winter.label.as_str(), work.len()), ("2026/27", 1));
    assert_eq!(work[0].minutes, Some(450));
    assert_eq!(
        store.labour(winter.id).unwrap(),
        thirdwood::store::Labour::default()
    );
    assert_eq!(store.check().unwrap().problems, Vec::<String>::new());
}

#[test]
fn a_copy_is_kept_before_a_file_is_brought_up() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("orchard.db");
    std::fs::copy(fixture(1), &path).unwrap();
    drop(Store::open(&path).unwrap());
    assert!(version(&path) > 1);
    let copy = folder.path().join("orchard.db.before-2");
    assert_eq!(version(&copy), 1);
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        let mode = std::fs::metadata(&copy).unwrap().permissions().mode();
        assert_eq!(mode & 0o777, 0o600);
    }
    let conn = Connection::open(&copy).unwrap();
    let trees: i64 = conn
        .query_row("SELECT sum(last - first + 1) FROM work", [], |row| {
            row.get(0)
        })
        .unwrap();
    assert_eq!(trees, 20);
    // opened again, the newer file is not copied, and a new one never is
    std::fs::remove_file(&copy).unwrap();
    drop(Store::open(&path).unwrap());
    drop(Store::open(&folder.path().join("new.db")).unwrap());
    assert!(!copy.exists() && !folder.path().join("new.db.before-1").exists());
}

#[test]
fn days_stays_and_pay_are_kept_changed_and_removed() {
    use thirdwood::outlook::pace::{Currency, Pay};
    let store = Store::in_memory().unwrap();
    let small = common::fill(&store);
    let (winter, pruner) = (small.winter.id, small.pruners[0].id);
    let mut lost = LostDays {
        id: LostDaysId(common::id(900)),
        winter,
        first: common::today(),
        last: common::today(),
        kind: LostKind::Rain,
    };
    store.save_lost_days(&lost).unwrap();
    lost.kind = LostKind::Off;
    store.save_lost_days(&lost).unwrap();
    let stint = Stint {
        winter,
        pruner,
        joins: Some(common::today()),
        leaves: None,
    };
    store.save_stint(&stint).unwrap();
    store.save_weekdays(winter, Some([true; 7])).unwrap();
    let euro = Currency::default();
    let pay = |raw| euro.parse_rate(raw).unwrap();
    store
        .save_pay(winter, None, Some(Pay::Hour(pay("19.5"))))
        .unwrap();
    store
        .save_pay(winter, None, Some(Pay::Hour(pay("20.5"))))
        .unwrap();
    store
        .save_pay(winter, Some(pruner), Some(Pay::Tree(pay("0.4125"))))
        .unwrap();
    let labour = store.labour(winter).unwrap();
    assert_eq!(labour.lost, [lost]);
    assert_eq!(labour.stints[&pruner], stint);
    assert_eq!(labour.weekdays, Some([true; 7]));
    assert_eq!(labour.pay.all, Some(Pay::Hour(pay("20.5"))));
    assert_eq!(labour.pay.of(pruner), Some(Pay::Tree(pay("0.4125"))));
    assert!(labour.calendar().unwrap().off().contains(&common::today()));
    store.remove_lost_days(lost.id).unwrap();
    store.remove_stint(winter, pruner).unwrap();
    store.save_weekdays(winter, None).unwrap();
    store.save_pay(winter, None, None).unwrap();
    store.save_pay(winter, Some(pruner), None).unwrap();
    assert_eq!(
        store.labour(winter).unwrap(),
        thirdwood::store::Labour::default()
    );
    assert!(store.remove_stint(winter, pruner).is_err());
}

/// Until version 8 a two-year piece and its buds were two taps.
#[test]
fn what_was_counted_before_letters_counted_pieces_stays_so() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("orchard.db");
    std::fs::copy(fixture(8), &path).unwrap();
    let store = Store::open(&path).unwrap();
    let winter = store.winters().unwrap().remove(0);
    let count = &store.counts(CountFilter::Winter(winter.id)).unwrap()[0];
    let buds = |buds| Buds::new(buds).unwrap();
    assert_eq!(
        (count.tally.ages, count.tally.unit_count()),
        ([1, 1, 0, 1], 2)
    );
    let unit = Tap::Unit(Size::Medium, buds(3));
    assert_eq!(store.taps(count.id).unwrap()[1], unit);
    // and a letter of now is both
    store
        .tap(count.id, None, Tap::TwoYear(Size::Thin, buds(2)))
        .unwrap();
    let count = store.count(count.id).unwrap().unwrap();
    assert_eq!(
        (count.tally.ages, count.tally.unit_count()),
        ([1, 2, 0, 1], 3)
    );
    assert_eq!(store.check().unwrap().problems, Vec::<String>::new());
    assert_eq!(
        store.undo_tap(count.id).unwrap(),
        Some(Tap::TwoYear(Size::Thin, buds(2)))
    );
    let count = store.count(count.id).unwrap().unwrap();
    assert_eq!(
        (count.tally.ages, count.tally.unit_count()),
        ([1, 1, 0, 1], 2)
    );
}
