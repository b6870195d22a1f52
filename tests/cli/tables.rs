//! Tables in and out.

use std::collections::BTreeMap;
use std::path::Path;

use crate::{House, word};

/// Every file of a folder with its text.
fn files(folder: &Path) -> BTreeMap<String, String> {
    let entries = std::fs::read_dir(folder).unwrap();
    let read = |path: &Path| std::fs::read_to_string(path).unwrap();
    entries
        .map(|entry| entry.unwrap())
        .map(|entry| {
            (
                entry.file_name().into_string().unwrap(),
                read(&entry.path()),
            )
        })
        .collect()
}

#[test]
fn all_tables_come_back_unchanged() {
    let house = House::demo();
    let first = house.beside("first");
    let answer = house.ask(&["export", "all", "-o", word(&first)]);
    assert_eq!((answer.code, answer.out.as_str()), (0, ""));
    assert_eq!(
        answer.err.lines().count(),
        9,
        "a word for each: {}",
        answer.err
    );
    assert_eq!(files(&first).len(), 9, "and nothing else");

    let other = House::empty();
    let said = other.ask(&["import", "all", word(&first)]).begun();
    assert!(said.contains("crew: 8 read, 8 new, 0 changed"), "{said}");
    let second = house.beside("second");
    other.ask(&["export", "all", "-o", word(&second)]);
    assert_eq!(files(&first), files(&second));
    // once more, and over the same files: nothing is new
    let again = other.ask(&["import", "all", word(&first)]).good();
    for line in again.lines() {
        assert!(line.contains(" 0 new, 0 changed, "), "{line}");
    }
    other.ask(&["export", "all", "-o", word(&second)]);
    assert_eq!(files(&first), files(&second));
    let figures = |house: &House| house.ask(&["crew", "--until", crate::TODAY]).good();
    // the orchard's name is a setting of the tablet and stands in no table
    let unnamed = figures(&other);
    let named = figures(&house);
    let after_head = |text: &str| text.lines().skip(1).collect::<Vec<_>>().join("\n");
    assert_eq!(after_head(&unnamed), after_head(&named));
}

#[test]
fn a_hyphen_is_standard_input_and_output() {
    let house = House::demo();
    let crew = house.ask(&["export", "crew"]).good();
    assert_eq!(house.ask(&["export", "crew", "-o", "-"]).good(), crew);
    let other = House::empty();
    let said = other.ask_with(&["import", "crew", "-"], &crew).begun();
    assert_eq!(said, "crew: 8 read, 8 new, 0 changed, 0 as they were\n");
    assert_eq!(other.ask(&["export", "crew"]).good(), crew);
}

#[test]
fn every_wrong_cell_is_named_and_nothing_is_kept() {
    let house = House::empty();
    let table = house.write(
        "crew.csv",
        "number,name,active\n1,Aroha,yes\n0,Mele,perhaps\n1,Ines,no\n",
    );
    let answer = house.ask(&["import", "crew", word(&table)]);
    assert_eq!(answer.code, 1);
    let wrong: Vec<&str> = answer.err.lines().collect();
    assert_eq!(wrong.len(), 3, "{}", answer.err);
    for cell in [
        "crew: line 3, number [0]: ",
        "crew: line 3, active [perhaps]: is neither yes nor no",
        "crew: line 4, number [1]: stands on line 2 already",
    ] {
        assert!(
            wrong.iter().any(|said| said.starts_with(cell)),
            "{cell}: {wrong:#?}"
        );
    }
    assert!(
        answer.out.ends_with("; nothing was kept\n"),
        "{}",
        answer.out
    );
    house.ask(&["export", "crew"]).columns();
}

#[test]
fn one_wrong_table_of_a_folder_and_nothing_of_any_is_kept() {
    let demo = House::demo();
    let tables = demo.beside("tables");
    demo.ask(&["export", "all", "-o", word(&tables)]);
    let mut work = std::fs::read_to_string(tables.join("work.csv")).unwrap();
    work.push_str("Winter 2027,99,Nowhere,1,1,2,2027-07-12,8,\n");
    std::fs::write(tables.join("work.csv"), work).unwrap();
    let house = House::empty();
    let answer = house.ask(&["import", "all", word(&tables)]);
    assert_eq!(answer.code, 1);
    assert!(
        answer
            .err
            .contains("block [Nowhere]: no block is called so"),
        "{}",
        answer.err
    );
    assert!(answer.err.contains("pruner [99]"), "{}", answer.err);
    house.ask(&["export", "blocks"]).columns();
}

#[test]
fn a_dry_run_tells_and_keeps_nothing() {
    let demo = House::demo();
    let tables = demo.beside("tables");
    demo.ask(&["export", "all", "-o", word(&tables)]);
    let house = House::empty();
    let said = house
        .ask(&["import", "all", word(&tables), "--dry-run"])
        .good();
    assert_eq!(said.lines().count(), 9);
    for line in said.lines() {
        assert!(line.ends_with("; a dry run, nothing was kept"), "{line}");
    }
    assert!(said.contains("blocks: 3 read, 3 new"), "{said}");
    for table in [
        "blocks", "crew", "winters", "work", "counts", "draws", "go-backs", "harvests",
    ] {
        house.ask(&["export", table]).columns();
    }
}

#[test]
fn what_cannot_be_read_or_written_is_named() {
    let house = House::demo();
    house
        .ask(&["import", "crew", "/nowhere/crew.csv"])
        .bad(1, "/nowhere/crew.csv: ");
    house
        .ask(&["import", "all", word(house.folder.path())])
        .bad(1, "no table was found in");
    house
        .ask(&["export", "crew", "-o", "/nowhere/crew.csv"])
        .bad(1, "/nowhere/crew.csv: ");
    let file = word(&house.file);
    house.ask(&["export", "all", "-o", file]).bad(1, file);
    house.ask(&["import", "all", file]).bad(1, file);
    let binary = house.beside("binary.csv");
    std::fs::write(&binary, [0xff, 0xfe, 0, 1]).unwrap();
    let answer = house.ask(&["import", "crew", word(&binary)]);
    assert_eq!(answer.code, 1);
    assert!(answer.err.starts_with("crew: line "), "{answer:?}");
}

#[test]
fn without_a_file_the_columns_are_told_and_no_file_is_made() {
    let house = House::empty();
    let told = |err: &str| {
        err.contains("there is no orchard file at ")
            && err.contains("yet: these are the columns alone")
    };
    let crew = house.ask(&["export", "crew"]);
    assert_eq!((crew.code, crew.out.lines().count()), (0, 1), "{crew:?}");
    assert!(crew.out.starts_with("number,name,"), "{}", crew.out);
    assert!(told(&crew.err), "{}", crew.err);
    let numbers = house.ask(&["--numbers-only", "export", "crew"]).out;
    assert!(
        numbers.starts_with("number,") && !numbers.contains("name"),
        "{numbers}"
    );
    let all = house.beside("all");
    let answer = house.ask(&["export", "all", "-o", word(&all)]);
    assert!(answer.code == 0 && told(&answer.err), "{answer:?}");
    let tables = files(&all);
    assert_eq!(tables.len(), 9);
    assert!(tables.values().all(|table| table.lines().count() == 1));
    assert!(!house.file.exists(), "a mistyped name makes no file");
    // and takes the place of no table
    let kept = house.write("crew.csv", "number,name\n7,Ana\n");
    for output in [&kept, &all] {
        let table = if output == &kept { "crew" } else { "all" };
        house
            .ask(&["export", table, "-o", word(output)])
            .bad(1, "there is no orchard file");
    }
    let crew = std::fs::read_to_string(&kept).unwrap();
    assert_eq!(crew, "number,name\n7,Ana\n");
}
