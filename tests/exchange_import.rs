//! Tables that people make by hand, and tables that are wrong.
#![allow(clippy::unwrap_used, missing_docs)]

use std::fmt::Write as _;

use chrono::NaiveDate;
use thirdwood::exchange::{
    ExchangeError, ImportOptions, ImportReport, Table, export, import, import_folder,
};
use thirdwood::orchard::*;
use thirdwood::store::{CountFilter, Store};
use uuid::Uuid;

const BLOCKS: &str = "name,variety,row_spacing_m,tree_spacing_m,stems,sides,rows,missing\n\
    River,Conference,4.0,1.5,6,two-sided,\"1-3x40, 5x12\",2:7-9\n\
    Hill,,5.5,5,,,1-2x20,\n";
const CREW: &str = "number,name\n3,Mele\n7,'=Sum\n";
const WINTERS: &str = "label,start,budburst,block\n2026/27,2026-12-01,2027-03-20,\n";

fn options(dry_run: bool) -> ImportOptions<'static> {
    ImportOptions {
        dry_run,
        today: NaiveDate::from_ymd_opt(2027, 1, 20).unwrap(),
        // a function has no state to leak
        new_id: Box::leak(Box::new(Uuid::now_v7)),
    }
}

fn read(store: &Store, table: Table, text: &str) -> ImportReport {
    import(store, table, text.as_bytes(), options(false)).unwrap()
}

fn kept(store: &Store, table: Table, text: &str) -> [usize; 3] {
    let report = read(store, table, text);
    assert!(report.kept, "{:#?}", report.problems);
    [report.added, report.changed, report.unchanged]
}

/// The problems in words; nothing may have been kept.
fn told(store: &Store, table: Table, text: impl AsRef<[u8]>) -> Vec<String> {
    let before = everything(store);
    let report = import(store, table, text.as_ref(), options(false)).unwrap();
    assert!(!report.kept && !report.problems.is_empty());
    assert_eq!(everything(store), before);
    report.problems.iter().map(ToString::to_string).collect()
}

fn everything(store: &Store) -> Vec<u8> {
    let mut bytes = Vec::new();
    for table in Table::ALL {
        export(store, table, &mut bytes).unwrap();
    }
    bytes
}

fn orchard() -> Store {
    let store = Store::in_memory().unwrap();
    assert_eq!(kept(&store, Table::Blocks, BLOCKS), [2, 0, 0]);
    assert_eq!(kept(&store, Table::Crew, CREW), [2, 0, 0]);
    assert_eq!(kept(&store, Table::Winters, WINTERS), [1, 0, 0]);
    store
}

fn counts(store: &Store) -> Vec<TreeCount> {
    let winter = store.winters().unwrap()[0].id;
    store.counts(CountFilter::Winter(winter)).unwrap()
}

#[test]
fn an_orchard_is_set_up_from_hand_made_tables() {
    let store = orchard();
    let blocks = store.blocks().unwrap();
    assert_eq!(blocks[0].name, "Hill");
    assert_eq!((blocks[0].stems, blocks[0].sides), (1, Sides::Flat));
    assert_eq!(blocks[1].rows.missing_text(), "2:7-9");
    assert_eq!(store.pruners().unwrap()[1].name, "=Sum");
    for (table, text, same) in [
        (Table::Blocks, BLOCKS, 2),
        (Table::Crew, CREW, 2),
        (Table::Winters, WINTERS, 1),
    ] {
        assert_eq!(kept(&store, table, text), [0, 0, same]);
    }
    let own = format!("{WINTERS}2026/27,,2027-03-12,River\n");
    assert_eq!(kept(&store, Table::Winters, &own), [0, 1, 0]);
    let winter = &store.winters().unwrap()[0];
    let early = NaiveDate::from_ymd_opt(2027, 3, 12).unwrap();
    assert_eq!(winter.deadline(blocks[1].id), early);
}

#[test]
fn a_column_left_out_leaves_what_is_stored() {
    let store = orchard();
    let before = store.blocks().unwrap()[1].clone();
    let change = "name,stems\nRiver,4\n";
    assert_eq!(kept(&store, Table::Blocks, change), [0, 1, 0]);
    let after = store.blocks().unwrap()[1].clone();
    let expected = BlockDraft {
        stems: 4,
        ..before.draft().clone()
    };
    assert_eq!(*after.draft(), expected);
    assert_eq!(after.id, before.id);
    let new = told(&store, Table::Blocks, "name,stems\nNew,4\n");
    assert_eq!(
        new.len(),
        3,
        "both spacings and the rows are needed: {new:?}"
    );
}

#[test]
fn semicolons_tabs_and_decimal_commas_are_read() {
    for text in [
        "name;row_spacing_m;tree_spacing_m;rows;stems\r\nRiver;4,5;1,25;1-3x40, 4x10;4\r\n",
        "\u{feff}Name\tRow spacing m\tTree spacing m\tRows\tStems\nRiver\t4.5\t1,25\t1-3x40, 4x10\t4\n",
    ] {
        let store = Store::in_memory().unwrap();
        assert_eq!(kept(&store, Table::Blocks, text), [1, 0, 0]);
        let block = &store.blocks().unwrap()[0];
        assert!((block.row_spacing_m - 4.5).abs() < 1e-12);
        assert!((block.tree_spacing_m - 1.25).abs() < 1e-12);
        assert_eq!(block.rows.trees(), 130);
    }
    let wrong = "name,row_spacing_m,tree_spacing_m,rows\nA,\"4,5\",1,1x3\n";
    let told = told(&Store::in_memory().unwrap(), Table::Blocks, wrong);
    assert!(told[0].contains("decimal comma"), "{told:?}");
}

const WORK: &str = "pruner,block,row,first,last,day,hours\n\
    3,River,1,1,20,2027-01-12,7:30\n3,River,1,21,40,2027-01-12,\n7,Hill,2,,,2027-01-13,\"4,5\"\n";
const COUNTS: &str = "block,row,tree,pruner,at,one,two,three,thick_4\n\
    River,1,4,3,2027-01-12,5,14,13,3\nRiver,1,4,3,2027-01-12,6,14,13,3\n\
    River,1,9,3,2027-01-12T15:30:00+10:00,,,,\n";
const BACKS: &str = "block,row,pruner,day,reason\nRiver,1,3,2027-01-13,-thick tops\n";

#[test]
fn a_file_read_twice_doubles_nothing() {
    let store = orchard();
    for (table, text, things) in [
        (Table::Work, WORK, 3),
        (Table::Counts, COUNTS, 3),
        (Table::GoBacks, BACKS, 1),
    ] {
        assert_eq!(kept(&store, table, text), [things, 0, 0]);
        assert_eq!(kept(&store, table, text), [0, 0, things]);
    }
    let winter = store.winters().unwrap()[0].id;
    let work = store.work(winter).unwrap();
    let whole_row = work.iter().find(|work| work.row == 2).unwrap();
    assert_eq!((whole_row.first, whole_row.last), (1, 20));
    assert_eq!(whole_row.minutes, Some(270));
    assert_eq!(store.go_backs(winter).unwrap()[0].reason, "-thick tops");
    let all = counts(&store);
    assert!(all.iter().all(|count| count.closed));
    let noon = all.iter().find(|count| count.tally.ages[0] == 5).unwrap();
    assert_eq!(noon.head.at.rfc3339(), "2027-01-12T12:00:00.000+00:00");
    assert_eq!(noon.tally.units[2][4], 3);

    // a corrected figure changes its count; corrected hours change their entry
    let mended = COUNTS.replace("River,1,4,3,2027-01-12,6,", "River,1,4,3,2027-01-12,8,");
    assert_eq!(kept(&store, Table::Counts, &mended), [0, 1, 2]);
    let mended = WORK.replace("7:30", "6:45:00");
    assert_eq!(kept(&store, Table::Work, &mended), [0, 1, 2]);
    assert_eq!(counts(&store).len(), 3);
    // and on another tablet the same file makes the same counts
    let other = orchard();
    assert_eq!(kept(&other, Table::Counts, COUNTS), [3, 0, 0]);
    let ids = |store| {
        counts(store)
            .iter()
            .map(|count| count.id)
            .collect::<Vec<_>>()
    };
    assert_eq!(ids(&store), ids(&other));
}

#[test]
fn a_line_without_its_id_still_speaks_of_what_was_tapped_in() {
    let store = orchard();
    let block = store.blocks().unwrap()[1].clone();
    let head = CountHead {
        winter: store.winters().unwrap()[0].id,
        block: block.id,
        row: 1,
        tree: 4,
        pruner: Some(store.pruners().unwrap()[0].id),
        stage: Stage::After,
        part: Part::Whole,
        chosen: Chosen::ByEye,
        counter: String::new(),
        at: Stamp::parse_rfc3339("2027-01-12T09:30:00+01:00").unwrap(),
        note: String::new(),
    };
    let id = CountId(Uuid::now_v7());
    let taps = [Tap::Piece(Age::Two), Tap::Upright, Tap::Piece(Age::One)];
    for (tap, at) in taps.into_iter().zip(0..) {
        store.tap(id, (at == 0).then_some(&head), tap).unwrap();
    }
    store.close_count(id, true).unwrap();
    let text = "block,row,tree,pruner,day,one,two,three,upright\nRiver,1,4,3,2027-01-12,1,1,0,1\n";
    assert_eq!(kept(&store, Table::Counts, text), [0, 0, 1]);
    assert_eq!(counts(&store).len(), 1);
    // other figures are another count of the same tree
    let text = text.replace(",1,1,0,1", ",2,1,0,1");
    assert_eq!(kept(&store, Table::Counts, &text), [1, 0, 0]);
    // a changed note leaves the taps in their order
    let text = format!("id,block,row,tree,one,two,three,note\n{id},River,1,4,1,1,0,seen again\n");
    assert_eq!(kept(&store, Table::Counts, &text), [0, 1, 0]);
    assert_eq!(store.taps(id).unwrap(), taps);
    let count = store.count(id).unwrap().unwrap();
    assert_eq!(count.head.note, "seen again");
    assert_eq!((count.head.at, count.head.pruner), (head.at, head.pruner));
}

#[test]
fn a_dry_run_tells_all_and_keeps_nothing() {
    let store = orchard();
    let before = everything(&store);
    let report = import(&store, Table::Work, WORK.as_bytes(), options(true)).unwrap();
    assert_eq!((report.read, report.added, report.kept), (3, 3, false));
    assert_eq!(everything(&store), before);
}

#[test]
fn every_wrong_cell_of_a_block_is_named() {
    let text = "name,variety,planted,row_spacing_m,tree_spacing_m,stems,sides,lean_deg,rows,missing\n\
        A,,2010,4,1.5,4,flat,0,1x10,\n\
        \u{7}x,a\u{202e}b,12,0.1,wide,0,round,99,1-3,\n\
        B,,,,,,,,,\n\
        C,,2010.5,NaN,-1,300,flat,1e400,1x10,2:1\n\
        A,,,4,1.5,4,flat,0,1x10,\n";
    let told = told(&Store::in_memory().unwrap(), Table::Blocks, text);
    for expected in [
        "line 3, name [\\u{7}x]: holds the control character U+0007",
        "line 3, variety [a\\u{202e}b]: holds the control character U+202E",
        "line 3, planted [12]: 12 is outside 1850 to 2199",
        "line 3, row_spacing_m [0.1]: 0.1 is outside 0.5 to 20",
        "line 3, tree_spacing_m [wide]: is not a number such as 4.5",
        "line 3, stems [0]: 0 is outside 1 to 24",
        "line 3, sides [round]: \"round\" is neither flat nor two-sided",
        "line 3, lean_deg [99]: 99 is outside 0 to 80",
        "line 3, rows [1-3]: \"1-3\" is not like 1-24x110 or 25x96",
        "line 4, row_spacing_m: is empty",
        "line 4, tree_spacing_m: is empty",
        "line 4, rows: has no row; write them as 1-24x110, 25x96",
        "line 5, planted [2010.5]: is not a whole number",
        "line 5, row_spacing_m [NaN]: is not a number such as 4.5",
        "line 5, tree_spacing_m [-1]: -1 is outside 0.2 to 20",
        "line 5, stems [300]: is far too large",
        "line 5, lean_deg [1e400]: is not a number such as 4.5",
        "line 5, missing [2:1]: there is no row 2",
        "line 6, name [A]: stands on line 2 already",
    ] {
        assert!(told.iter().any(|t| t == expected), "{expected}\n{told:#?}");
    }
    assert_eq!(told.len(), 19, "{told:#?}");
}

#[test]
fn every_wrong_cell_of_a_count_is_named() {
    let store = orchard();
    let text = "block,row,tree,pruner,stage,part,chosen,at,day,closed,one,two,three,thin_7plus,id\n\
        River,1,4,3,,,,2027-01-12,,,1,2,3,,\n\
        Creek,1,4,9,later,half,luck,yesterday,,maybe,-1,2.5,10000,99999999999999999999,x\n\
        River,2,8,,,6,,,,,1,1,1,,\n\
        River,4,1,3,,,,0999-01-01T00:00:00Z,,,1,1,1,,\n\
        Hill,1,21,3,,1,,2027-01-12,2027-02-12,,1,1,1,,\n\
        River,,,3,,,,2027-01-12,,,,,,,\n\
        Hill,1,20,9,,2,,2027-01-12,,,1,1,1,,\n";
    let told = told(&store, Table::Counts, text);
    for expected in [
        "line 3, block [Creek]: no block is called so",
        "line 3, pruner [9]: nobody in the crew has this number",
        "line 3, stage [later]: \"later\" is none of: after, before",
        "line 3, part [half]: \"half\" is neither whole nor a number of stems",
        "line 3, chosen [luck]: \"luck\" is none of: drawn, by eye",
        "line 3, at [yesterday]: \"yesterday\" is not a moment such as 2027-01-12T09:30:00+10:00",
        "line 3, closed [maybe]: is neither yes nor no",
        "line 3, one [-1]: is negative",
        "line 3, two [2.5]: is not a whole number",
        "line 3, three [10000]: 10000 of one kind is above 9999",
        "line 3, thin_7plus [99999999999999999999]: is far too large",
        "line 3, id [x]: is not an id as this program writes it; leave it empty for a new row",
        "line 4, at: is empty, and so is the day: one of them is needed",
        "line 5, at [0999-01-01T00:00:00Z]: \"0999-01-01\" is not a day such as 2027-01-12",
        "line 6, day [2027-02-12]: 2027-02-12 is not the day of 2027-01-12 12:00:00 +00:00",
        "line 7, row: is empty",
        "line 7, tree: is empty",
        "line 8, pruner [9]: nobody in the crew has this number",
        "line 8, part [2]: the trees of this block have one stem: count the whole tree",
    ] {
        assert!(told.iter().any(|t| t == expected), "{expected}\n{told:#?}");
    }
    let wrong = "block,row,tree,pruner,part,counter,day,one,two,three\n\
        River,2,8,,6,\u{0},2027-01-12,1,1,1\n\
        River,4,1,3,,,2027-01-12,1,1,1\n";
    let told = self::told(&store, Table::Counts, wrong);
    assert_eq!(told.len(), 5, "{told:#?}");
    for (told, words) in told.iter().zip([
        "line 2, tree [8]: row 2 has no tree at place 8: it is listed as missing",
        "line 2, part [6]: 6 is outside 1 to 5",
        "line 2, pruner: is not named",
        "line 2, counter [\\u{0}]: holds the control character U+0000",
        "line 3, row [4]: block River has no row 4",
    ]) {
        assert!(told.starts_with(words), "{told}");
    }
}

#[test]
fn wrong_lines_of_the_other_tables_are_named() {
    let store = orchard();
    for (table, text, expected) in [
        (
            Table::Crew,
            "number,name,label,active\n0,a,toolong,perhaps\n,b,,\n3,,,\n3,,,\n70000,,,\n",
            vec![
                "line 2, active [perhaps]: is neither yes nor no",
                "line 2, label [toolong]: at most 4 characters fit",
                "line 2, number [0]: 0 is outside 1 to 9999",
                "line 3, number: is empty",
                "line 5, number [3]: stands on line 4 already",
                "line 6, number [70000]: is far too large",
            ],
        ),
        (
            Table::Winters,
            "label,start,budburst,block\nA,2027-01-01,2026-01-01,\nB,,soon,\nC,2027-01-01,2027-02-01,\nC,,2029-01-01,River\nC,,2027-02-02,Creek\nD,,2027-02-02,River\n",
            vec![
                "line 2, budburst [2026-01-01]: 2026-01-01 is not within 1 to 300 days after the start, 2027-01-01",
                "line 3, budburst [soon]: \"soon\" is not a day such as 2027-01-12",
                "line 3, start: is empty",
                "line 5, budburst [2029-01-01]: 2029-01-01 is not within 1 to 300 days after the start, 2027-01-01",
                "line 6, block [Creek]: no block is called so",
                "line 7, label [D]: no winter is called so; its own line, without a block, must be in the table",
            ],
        ),
        (
            Table::Rules,
            "winter,part_one,tolerance_two,oldest,thin_least,thin_most,thick_from_mm,compliance\n,2,,,,,,\n2026/27,0,9,5,4,3,1,2\nold,x,,,,,,\n",
            vec![
                "line 3, buds: 3 is outside 4 to 7",
                "line 3, compliance [2]: 2 is outside 0.1 to 0.99",
                "line 3, diameters_mm: 1 is outside 2 to 60",
                "line 3, oldest [5]: is not 2, 3 or 4",
                "line 3, parts: asks for no one-year wood",
                "line 3, tolerance: 9 is outside 0.01 to 0.5",
                "line 3, block: this rule stands on line 2 already",
                "line 4, winter [old]: no winter is called so",
                "line 4, part_one [x]: is not a whole number",
            ],
        ),
        (
            Table::Work,
            "pruner,block,row,first,last,day,hours\n4,River,1,1,2,2027-01-12,\n3,River,9,1,2,2027-01-12,25\n3,River,2,7,9,2027-01-12,\n3,River,1,0,41,12/01/2027,\n3,River,1,0,41,2027-01-12,\n",
            vec![
                "line 2, pruner [4]: nobody in the crew has this number",
                "line 3, row [9]: block River has no row 9",
                "line 3, hours [25]: \"25\" is not like 7.5 or 7:30, above 0 and up to 24",
                "line 4, first [7]: no tree stands at these places: all are listed as missing",
                "line 5, day [12/01/2027]: \"12/01/2027\" is not a day such as 2027-01-12",
                "line 6, first [0]: 0 is outside 1 to 40",
                "line 6, last [41]: 41 is outside 1 to 40",
            ],
        ),
        (
            Table::Draws,
            "day,since,until,seed,place,block,row,tree,pruner,skipped\n2027-01-12,,,5,1,River,1,1,3,\n2027-01-12,,,5,1,River,1,2,3,\n2027-01-12,2027-01-13,,-5,,River,2,7,3,\u{1b}\n",
            vec![
                "line 3, place [1]: stands twice in this draw",
                "line 4, seed [-5]: is not a whole number below 2^64",
                "line 4, until: is before 2027-01-13",
                "line 4, tree [7]: row 2 has no tree at place 7: it is listed as missing",
                "line 4, skipped [\\u{1b}]: holds the control character U+001B",
            ],
        ),
        (
            Table::GoBacks,
            "block,row,pruner,day,reason,outcome,settled_day\nRiver,8,3,2027-01-12,,mended,\nRiver,1,3,2027-01-12,,,2027-01-12\nRiver,1,3,2027-01-12,,mended,2027-01-11\n",
            vec![
                "line 2, row [8]: block River has no row 8",
                "line 2, settled_day: is empty, but an outcome is given",
                "line 3, outcome: is empty, but the day it was seen is given",
                "line 4, settled_day [2027-01-11]: 2027-01-11 is before the row was sent back, 2027-01-12",
            ],
        ),
    ] {
        let mut told = told(&store, table, text);
        let mut expected: Vec<_> = expected.into_iter().map(str::to_owned).collect();
        told.sort();
        expected.sort();
        assert_eq!(told, expected, "{}", table.word());
    }
}

#[test]
fn one_wrong_line_keeps_all_others_out() {
    let store = orchard();
    let text = format!("{WORK}3,River,1,1,99,2027-01-12,\n");
    assert_eq!(told(&store, Table::Work, text).len(), 1);
    // what the file refuses for the sake of others is told by its line too
    kept(&store, Table::Work, WORK);
    let told = told(&store, Table::Blocks, "name,rows\nRiver,2-3x40\n");
    assert!(
        told[0].starts_with("line 2, rows [2-3x40]: row 1 of block River has work"),
        "{told:?}"
    );
}

#[test]
fn a_folder_is_one_change_and_a_wrong_name_is_told_once() {
    let folder = tempfile::tempdir().unwrap();
    let put = |table: Table, text: &str| {
        std::fs::write(folder.path().join(table.file_name()), text).unwrap();
    };
    let store = Store::in_memory().unwrap();
    assert!(matches!(
        import_folder(&store, folder.path(), options(false)),
        Err(ExchangeError::NoTables { .. })
    ));
    put(Table::Blocks, &BLOCKS.replace("1-2x20", "1-2y20"));
    put(Table::Crew, CREW);
    put(Table::Winters, WINTERS);
    put(Table::Work, &format!("{WORK}5,River,1,1,2,2027-01-12,\n"));
    let before = everything(&store);
    let reports = import_folder(&store, folder.path(), options(false)).unwrap();
    let told: Vec<_> = reports
        .iter()
        .flat_map(|report| report.problems.iter().map(|p| (report.table, p.line)))
        .collect();
    // line 4 of the work log names the block that was refused: nothing is wrong with that line
    assert_eq!(told, [(Table::Blocks, 3), (Table::Work, 5)]);
    assert_eq!(everything(&store), before);
    put(Table::Blocks, BLOCKS);
    put(Table::Work, WORK);
    let reports = import_folder(&store, folder.path(), options(false)).unwrap();
    assert!(reports.iter().all(|report| report.kept));
}

#[test]
fn hostile_bytes_are_refused_with_a_word() {
    let store = orchard();
    let long = "x".repeat(5_000_000);
    for (text, word) in [
        (b"\xff\xfeb\0".to_vec(), "UTF-16"),
        (Vec::new(), "empty"),
        (b"\0\0\0\0".to_vec(), "no heading"),
        (b"name\n\xc3\x28\n".to_vec(), "UTF-8"),
        (b"name,rows\n\0,1x1\n".to_vec(), "U+0000"),
        (b"name,rows\n\"River,1x1\nb,2\n".to_vec(), "quotation mark"),
        (format!("name\n{long}\n").into_bytes(), "5000000 bytes"),
        (format!("{long}\n").into_bytes(), "no heading"),
        (b"name;rows\nRiver,1x1\n".to_vec(), "has 1 cells"),
        (b"id,name\n1,a\n".to_vec(), "no heading"),
        (b"rows\n1x1\n".to_vec(), "missing among the headings"),
        (
            b"name,rows\nBig,1-999x99999999999999999999\n".to_vec(),
            "is not like",
        ),
        (
            b"name,rows\nBig,1-99999999x2000\n".to_vec(),
            "outside 1 to 999",
        ),
    ] {
        let told = told(&store, Table::Blocks, &text);
        assert!(
            told.iter().any(|t| t.contains(word)),
            "{word}: {:.300}",
            told[0]
        );
        assert!(told.iter().all(|t| t.len() < 1_000));
    }
}

#[test]
fn large_tables_are_read_in_no_time() {
    let store = orchard();
    let rows = "name,row_spacing_m,tree_spacing_m,rows\nWide,4,1,1-200x100\n";
    kept(&store, Table::Blocks, rows);
    let mut text = String::from(
        "block,row,tree,pruner,day,one,two,three,four_plus,thin_2,medium_3,thick_4,thick_5\n",
    );
    for n in 0..12_000 {
        let (row, tree) = (n / 60 + 1, n % 60 + 1);
        let one = n % 7 + 6;
        writeln!(text, "Wide,{row},{tree},3,2027-01-12,{one},10,11,1,2,4,2,1").unwrap();
    }
    let start = std::time::Instant::now();
    assert_eq!(kept(&store, Table::Counts, &text), [12_000, 0, 0]);
    let first = start.elapsed();
    let start = std::time::Instant::now();
    assert_eq!(kept(&store, Table::Counts, &text), [0, 0, 12_000]);
    println!("12,000 counts: new {first:?}, again {:?}", start.elapsed());
    assert!(first.as_secs() < 30, "{first:?}");

    let mut text = String::from("block,row,tree,pruner,day,one,two,three\n");
    for n in 0..100_000 {
        writeln!(text, "Wide,{},0,3,2027-01-12,1,1,1", n % 200 + 1).unwrap();
    }
    let start = std::time::Instant::now();
    let told = told(&store, Table::Counts, &text);
    println!("100,000 wrong lines: {:?}", start.elapsed());
    assert_eq!(told.len(), 100_000);
    assert!(told[99_999].starts_with("line 100001, tree [0]"));
    assert!(start.elapsed().as_secs() < 20, "{:?}", start.elapsed());
}
