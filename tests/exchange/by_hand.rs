//! Tables that people make by hand.

use chrono::NaiveDate;
use thirdwood::exchange::{ExchangeError, Table, import, import_folder};
use thirdwood::orchard::*;
use thirdwood::store::Store;
use uuid::Uuid;

use crate::tables::*;

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
fn marks_come_from_a_table_of_block_row_tree_and_mark() {
    let store = orchard();
    let text = "block;row;tree;mark\nRiver;1;4;Canker\nRiver;1;5;replant\n";
    assert_eq!(kept(&store, Table::Marks, text), [2, 0, 0]);
    assert_eq!(kept(&store, Table::Marks, text), [0, 0, 2]);
    let mended = text.replace("replant", "in formation");
    assert_eq!(kept(&store, Table::Marks, &mended), [0, 1, 1]);
    let marks: Vec<_> = (store.marks().unwrap().iter())
        .map(|mark| (mark.row, mark.tree, mark.mark))
        .collect();
    assert_eq!(marks, [(1, 4, Mark::Canker), (1, 5, Mark::InFormation)]);
}

/// As a grower's own table has it: tonnes of some years, and no more.
#[test]
fn harvests_of_earlier_years_come_from_a_table() {
    let store = orchard();
    let text = "block;season;t_per_ha\nRiver;2024;41,5\nRiver;2025;38\nHill;2025;22\n";
    assert_eq!(kept(&store, Table::Harvests, text), [3, 0, 0]);
    assert_eq!(kept(&store, Table::Harvests, text), [0, 0, 3]);
    let mended = text.replace("38", "36");
    assert_eq!(kept(&store, Table::Harvests, &mended), [0, 1, 2]);
    let river = store
        .blocks()
        .unwrap()
        .into_iter()
        .find(|block| block.name == "River")
        .unwrap();
    let winter = store.winters().unwrap()[0].id;
    let harvests = store.crop_book(winter).unwrap().of(river.id).harvests;
    let tonnes: Vec<_> = harvests
        .iter()
        .map(|h| (h.season, h.tonnes_per_ha(1.0)))
        .collect();
    assert_eq!(tonnes, [(2024, 41.5), (2025, 36.0)]);
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
        again: false,
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
fn a_count_made_again_is_told_by_its_column() {
    let store = orchard();
    let text = "block,row,tree,pruner,day,one,two,three,again\n\
        River,1,4,3,2027-01-12,1,1,1,no\nRiver,1,4,3,2027-01-12,2,1,1,yes\nRiver,1,5,3,2027-01-12,1,1,1,\n";
    assert_eq!(kept(&store, Table::Counts, text), [3, 0, 0]);
    let again: Vec<_> = counts(&store)
        .iter()
        .map(|count| count.head.again)
        .collect();
    assert_eq!(again.iter().filter(|again| **again).count(), 1);
    assert_eq!(kept(&store, Table::Counts, text), [0, 0, 3]);
    // a table without the column leaves it as it is
    let without = "block,row,tree,pruner,day,one,two,three\nRiver,1,4,3,2027-01-12,1,1,1\n";
    assert_eq!(kept(&store, Table::Counts, without), [0, 0, 1]);
}

/// Days as spreadsheets write them in some countries.
#[test]
fn days_are_read_in_the_order_that_the_file_makes_certain() {
    let work = |first: &str, second: &str| {
        format!("pruner;block;row;day;hours\n3;River;1;{first};7:30\n3;River;2;{second};7,5\n")
    };
    let days = |store: &Store| -> Vec<String> {
        let winter = store.winters().unwrap()[0].id;
        let work = store.work(winter).unwrap();
        work.iter().map(|entry| entry.day.to_string()).collect()
    };
    for (first, second) in [
        ("05/01/2027", "26/01/2027"),
        ("5.1.2027", "26.1.2027"),
        ("01-05-2027", "01-26-2027"),
    ] {
        let store = orchard();
        assert_eq!(kept(&store, Table::Work, &work(first, second)), [2, 0, 0]);
        assert_eq!(days(&store), ["2027-01-05", "2027-01-26"]);
    }
    let store = orchard();
    for (first, second, why) in [
        (
            "05/01/2027",
            "06/01/2027",
            "no line of the file makes it certain",
        ),
        (
            "26/01/2027",
            "01/27/2027",
            "day comes first on line 2 and month on line 3",
        ),
        ("46392", "2027-01-06", "as spreadsheets number them"),
    ] {
        let told = told(&store, Table::Work, work(first, second));
        assert!(
            told[0].contains(why) && told[0].contains("2026-11-26"),
            "{told:?}"
        );
    }
    let hours = "pruner;block;row;day;hours\n3;River;1;2027-01-05;7.30\n";
    assert!(told(&store, Table::Work, hours)[0].contains("write 7:30, or 7.5"));
}

#[test]
fn every_wrong_cell_of_what_is_set_up_is_named() {
    let store = orchard();
    for (table, text, wrong) in [
        (
            Table::Settings,
            "setting,value\nweather,wet\nextras,perhaps\ncurrency,\n",
            3,
        ),
        (Table::Weeks, "weekdays\nMon..Someday\nMon\nTue\n", 2),
        (
            Table::DaysOff,
            "first,last,kind\n2027-01-12,2027-01-11,rain\n2027-01-12,,snow\n2020-01-01,,off\n",
            4,
        ),
        (
            Table::Stays,
            "pruner,joins,leaves\n3,,\n99,2027-01-12,\n7,2027-01-12,2027-01-11\n",
            3,
        ),
        (
            Table::Pay,
            "pruner,basis,rate\n3,day,17\n,hour,-1\n,hour,17\n",
            3,
        ),
        (
            Table::Aims,
            "block,t_per_ha,fruit_per_cm2,girth_cm\nRiver,,,\nHill,1,2,3\nRiver,,5,\nHill,9000,,\n",
            4,
        ),
        (
            Table::Factors,
            "block,factor,value,spread\nRiver,sett,0.5,0.1\nRiver,set,5,0.1\n",
            2,
        ),
        (
            Table::Growth,
            "block,grown,survival_one,survival_two,survival_three,survival_four_plus\nRiver,-1,0.9,0.9,0.9,0.9\n\
             Hill,20,0.01,0.9,0.9,\n",
            3,
        ),
        (
            Table::SetCounts,
            "block,season,buds,clusters,fruit\nRiver,2026,3,4,5\nNo,2026,3,2,1\n",
            2,
        ),
    ] {
        let told = told(&store, table, text);
        assert!(told.len() >= wrong, "{table:?}: {told:#?}");
    }
}
