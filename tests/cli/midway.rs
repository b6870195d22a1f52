//! What is kept where a command fails half way, and which files are begun: never more than was said.
#![cfg(unix)]

use std::fs::File;
use std::path::Path;
use std::process::Stdio;

use crate::{Answer, House, TODAY, thirdwood, word};

const CREW: &str = "number,name\n91,Reader\n";

/// Asks with a full disk as standard output.
fn to_full_disk(house: &House, args: &[&str]) -> Answer {
    let mut command = thirdwood(["--data"]);
    command.arg(&house.file).args(args);
    let full = File::options().write(true).open("/dev/full").unwrap();
    command.stdin(Stdio::null()).stdout(full);
    let output = command.output().unwrap();
    Answer {
        code: output.status.code().unwrap(),
        out: String::new(),
        err: String::from_utf8(output.stderr).unwrap(),
    }
}

fn draws(house: &House) -> usize {
    let store = house.store();
    let winters = store.winters().unwrap();
    let all = winters
        .iter()
        .map(|winter| store.draws(winter.id).unwrap().len());
    all.sum()
}

/// What lies in a folder.
fn listed(folder: &Path) -> Vec<String> {
    let entries = std::fs::read_dir(folder).unwrap();
    let mut names: Vec<String> = entries
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    names
}

#[test]
fn a_draw_whose_list_cannot_be_written_is_not_kept() {
    let house = House::demo();
    let before = draws(&house);
    let draw = ["draw", "-n", "3", "--until", TODAY];
    let nowhere = house.beside("nosuch").join("list");
    let into_nowhere = [&draw[..], &["-o", word(&nowhere)]].concat();
    house.ask(&into_nowhere).bad(1, "no trees were drawn");
    to_full_disk(&house, &draw).bad(1, "the disk is full; no trees were drawn");
    let to_device = [&draw[..], &["-o", "/dev/full"]].concat();
    house.ask(&to_device).bad(1, "no trees were drawn");
    assert_eq!(draws(&house), before);
    house.ask(&draw).good();
    assert_eq!(draws(&house), before + 1);
}

#[test]
fn what_was_kept_is_told_where_the_answer_cannot_be_written() {
    let house = House::demo();
    let table = house.write("crew.csv", CREW);
    to_full_disk(&house, &["import", "crew", word(&table)])
        .bad(1, "the disk is full; all of it was read in and is kept");
    assert!(house.ask(&["export", "crew"]).good().contains("Reader"));
    let bundle = house.beside("all.bundle");
    to_full_disk(&house, &["bundle", "-o", word(&bundle)])
        .bad(1, "the disk is full; the bundle is written");
    let other = House::empty();
    to_full_disk(&other, &["merge", word(&bundle)])
        .bad(1, "the disk is full; the bundles are taken in");
    assert!(other.ask(&["export", "crew"]).good().contains("Reader"));
    // nothing was kept, and nothing else is said
    let tried = to_full_disk(&house, &["import", "crew", word(&table), "-n"]);
    assert!(!tried.err.contains("is kept"), "{tried:?}");
}

#[test]
fn what_is_only_tried_or_fails_begins_no_file() {
    let (house, full) = (House::empty(), House::demo());
    let bundle = full.beside("all.bundle");
    full.ask(&["bundle", "-o", word(&bundle)]).good();
    let table = full.write("crew.csv", CREW);
    let wrong = full.write("wrong.csv", "number,name\nmany,Reader\n");
    let nosuch = full.beside("nosuch");
    let tried = house.ask(&["import", "crew", word(&table), "-n"]).good();
    assert!(tried.contains("1 new"), "{tried}");
    let tried = house.ask(&["merge", word(&bundle), "-n"]).good();
    assert!(tried.contains("pruners: 8 new"), "{tried}");
    house.ask(&["merge", word(&nosuch)]).bad(1, "no such file");
    house
        .ask(&["merge", word(&table)])
        .bad(1, "is not a bundle");
    house
        .ask(&["import", "crew", word(&nosuch)])
        .bad(1, "no such file");
    assert_eq!(house.ask(&["import", "crew", word(&wrong)]).code, 1);
    house.ask(&["restore"]).bad(1, "there is no orchard file");
    assert_eq!(listed(house.folder.path()), [""; 0]);
}

#[test]
fn a_new_file_is_told_of() {
    let house = House::empty();
    let table = house.write("crew.csv", CREW);
    let begun = format!("a new orchard was begun at {}\n", house.file.display());
    let first = house.ask(&["import", "crew", word(&table)]);
    assert_eq!((first.code, first.err.as_str()), (0, begun.as_str()));
    // it is there now
    house.ask(&["import", "crew", word(&table)]).good();
    let said = house.ask(&["restore"]).good();
    assert!(!said.is_empty());
}

#[test]
fn a_backup_is_not_worked_on_as_if_it_were_the_orchard() {
    let house = House::demo();
    std::fs::create_dir(house.beside("backups")).unwrap();
    let backup = house.beside("backups/orchard-0007-2027-01-12.db");
    std::fs::copy(&house.file, &backup).unwrap();
    let before = std::fs::read(&backup).unwrap();
    for args in [&["crew"][..], &["import", "crew", "-"], &["check"]] {
        let mut command = thirdwood(["--data", word(&backup)]);
        command.args(args);
        let answer = crate::run(command, CREW);
        answer.bad(1, "is a backup: `thirdwood restore 7`");
    }
    assert_eq!(std::fs::read(&backup).unwrap(), before);
    // copied elsewhere it can be looked into
    let copy = house.beside("copy.db");
    std::fs::copy(&backup, &copy).unwrap();
    let mut command = thirdwood(["--data", word(&copy)]);
    command.arg("crew");
    crate::run(command, "").good();
}

#[test]
fn papers_do_not_go_to_standard_output() {
    let house = House::demo();
    let mut command = thirdwood(["--data", word(&house.file), "papers", "-o", "-"]);
    command.current_dir(house.folder.path());
    let before = listed(house.folder.path());
    crate::run(command, "").bad(2, "name a folder for the papers");
    assert_eq!(listed(house.folder.path()), before);
}

#[test]
fn a_file_that_may_not_grow_is_told() {
    let house = House::empty();
    let one = house.write("one.csv", CREW);
    assert_eq!(house.ask(&["import", "crew", word(&one)]).code, 0);
    let many: Vec<String> = (1..=900).map(|n| format!("{n},Reader {n}\n")).collect();
    let many = house.write("many.csv", &format!("number,name\n{}", many.concat()));
    let (program, file) = (env!("CARGO_BIN_EXE_thirdwood"), word(&house.file));
    let limited = format!(
        "ulimit -f 160; exec {program} --data {file} import crew {}",
        word(&many)
    );
    let mut command = std::process::Command::new("sh");
    command.args(["-c", &limited]);
    let answer = crate::run(command, "");
    assert_eq!(answer.code, 1, "{answer:?}");
    assert!(answer.err.contains("may not grow"), "{answer:?}");
    let left = house.ask(&["export", "crew"]).good();
    assert_eq!(left.lines().count(), 2, "{left}");
    assert!(house.ask(&["check"]).good().contains("all is well"));
}
