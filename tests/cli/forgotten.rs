//! A name taken away with the backups and copies that hold it.

use std::path::{Path, PathBuf};

use rusqlite::{Connection, OpenFlags};

use crate::{Answer, House, word};

const SURE: [&str; 4] = ["forget-name", "2", "--sure", "2"];

fn with_backups(house: &House) -> Answer {
    house.ask(&[&SURE[..], &["--and-backups"]].concat())
}

/// The demo with copies beside it, as they are saved when the file is taken away under open screens.
fn with_copies(count: u32) -> (House, Vec<PathBuf>) {
    let house = House::demo();
    house.ask(&["check"]).good();
    let name = |nr| house.beside(&format!("orchard-saved-2027-01-12-{nr}.db"));
    let copies: Vec<PathBuf> = (1..=count).map(name).collect();
    for copy in &copies {
        std::fs::copy(&house.file, copy).unwrap();
    }
    (house, copies)
}

fn beside(path: &Path, end: &str) -> PathBuf {
    PathBuf::from(format!("{}{end}", path.display()))
}

fn names(house: &House) -> Vec<PathBuf> {
    let entries = std::fs::read_dir(house.folder.path()).unwrap();
    let mut names: Vec<PathBuf> = entries.map(|entry| entry.unwrap().path()).collect();
    names.sort();
    names
}

#[test]
fn to_look_into_copies_leaves_nothing_beside_them() {
    let (house, copies) = with_copies(2);
    let before = names(&house);
    let said = house.ask(&["forget-name", "2"]).good();
    assert!(
        copies.iter().all(|copy| said.contains(word(copy))),
        "{said}"
    );
    assert_eq!(names(&house), before);
}

#[test]
fn what_waits_in_the_log_of_a_copy_is_looked_into() {
    let (house, copies) = with_copies(1);
    // the name is taken away in the copy, and somebody who reads keeps that in its log alone
    let other = House::empty();
    std::fs::copy(&copies[0], &other.file).unwrap();
    let reader = Connection::open(&other.file).unwrap();
    reader
        .execute_batch("BEGIN; SELECT count(*) FROM pruner")
        .unwrap();
    assert_eq!(other.ask(&SURE).code, 1, "its bytes are there still");
    std::fs::copy(&other.file, &copies[0]).unwrap();
    let said = house.ask(&["forget-name", "2"]).good();
    assert!(said.contains(word(&copies[0])), "without its log: {said}");
    std::fs::copy(beside(&other.file, "-wal"), beside(&copies[0], "-wal")).unwrap();
    let before = names(&house);
    let said = house.ask(&["forget-name", "2"]).good();
    assert!(said.contains("none of them holds the name"), "{said}");
    assert_eq!(names(&house), before);
}

#[test]
fn copies_go_with_what_was_left_beside_them() {
    let (house, copies) = with_copies(3);
    // as earlier versions left them when they looked into them
    for copy in &copies[1..] {
        let conn = Connection::open_with_flags(copy, OpenFlags::SQLITE_OPEN_READ_ONLY).unwrap();
        let pruners: i64 = conn
            .query_row("SELECT count(*) FROM pruner", [], |row| row.get(0))
            .unwrap();
        assert!(pruners > 1);
    }
    assert!(beside(&copies[1], "-shm").exists() && beside(&copies[2], "-wal").exists());
    let said = with_backups(&house).good();
    assert!(
        said.contains("3 backups and copies that held the name were removed"),
        "{said}"
    );
    assert!(said.contains("none of them holds the name"), "{said}");
    let left = names(&house);
    assert!(
        !left.iter().any(|path| word(path).contains("-saved-")),
        "{left:?}"
    );
}

#[test]
fn what_cannot_be_removed_keeps_none_of_the_others_and_is_told() {
    let (house, copies) = with_copies(3);
    // a folder in the place of a log: nobody can remove it as a file
    let folder = beside(&copies[0], "-journal");
    std::fs::create_dir(&folder).unwrap();
    let answer = with_backups(&house);
    assert_eq!(answer.code, 1, "{answer:?}");
    assert!(
        answer.out.contains("the name is gone from the file")
            && answer
                .out
                .contains("2 backups and copies that held the name were removed")
            && answer
                .out
                .contains(&format!("cannot be removed: {}", word(&folder))),
        "{answer:?}"
    );
    assert!(
        answer.err.contains("is gone from the file, but not all"),
        "{answer:?}"
    );
    assert!(!copies.iter().any(|copy| copy.exists()));
    // once it is out of the way, all is well
    std::fs::remove_dir(&folder).unwrap();
    with_backups(&house).good();
}

#[test]
fn where_backups_cannot_be_looked_through_that_is_told_after_the_name_is_gone() {
    for and_backups in [false, true] {
        let (house, copies) = with_copies(1);
        let backups = house.write("backups", "no folder");
        let answer = if and_backups {
            with_backups(&house)
        } else {
            house.ask(&SURE)
        };
        assert_eq!(answer.code, 1, "{answer:?}");
        assert_eq!(house.store().pruners().unwrap()[1].shown(), "Nr 2");
        assert!(
            answer.out.contains("the name is gone from the file")
                && answer
                    .out
                    .contains("not looked through, and may hold the name: ")
                && answer.out.contains(word(&backups))
                && answer.out.contains(word(&copies[0])),
            "{answer:?}"
        );
        assert!(
            answer.err.contains("is gone from the file, but not all"),
            "{answer:?}"
        );
        assert_eq!(
            answer.out.contains("the old backups stay"),
            and_backups,
            "{answer:?}"
        );
    }
}
