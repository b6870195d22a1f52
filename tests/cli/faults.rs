//! Files and folders that are not as they should be, and readers that go away.
#![cfg(unix)]

use std::os::unix::fs::{MetadataExt, PermissionsExt};
use std::os::unix::process::CommandExt;
use std::path::Path;
use std::process::{Command, Stdio};

use crate::{Answer, House, TODAY, run, thirdwood, word};

fn permit(path: &Path, mode: u32) {
    std::fs::set_permissions(path, std::fs::Permissions::from_mode(mode)).unwrap();
}

/// Runs the program as somebody whom permissions bind: root may write anywhere.
fn as_nobody(house: &House, args: &[&str]) -> Answer {
    let is_root = std::fs::metadata("/proc/self").is_ok_and(|own| own.uid() == 0);
    if !is_root {
        return house.ask(args);
    }
    // nobody can reach a copy in a folder open to all
    let program = house.beside("program");
    if !program.exists() {
        let open = house.folder.path().metadata().unwrap().mode();
        permit(house.folder.path(), 0o755);
        std::fs::copy(env!("CARGO_BIN_EXE_thirdwood"), &program).unwrap();
        permit(&program, 0o755);
        permit(house.folder.path(), open);
    }
    let mut command = Command::new(program);
    command.arg("--data").arg(&house.file).args(args);
    command.uid(65_534).gid(65_534);
    run(command, "")
}

#[test]
fn a_folder_that_may_not_be_written_is_named() {
    let house = House::empty();
    permit(house.folder.path(), 0o555);
    let answer = as_nobody(&house, &["import", "crew", "-"]);
    permit(house.folder.path(), 0o755);
    answer.bad(
        1,
        "check that the folder exists and that you may write there",
    );
}

#[test]
fn a_file_that_may_not_be_written_can_be_read() {
    let house = House::demo();
    let wanted = house.ask(&["crew", "--until", TODAY]);
    let table = house.write("crew.csv", "number,name\n91,Reader\n");
    for (file, folder) in [(0o444, 0o555), (0o666, 0o555), (0o444, 0o755)] {
        permit(&house.file, file);
        permit(house.folder.path(), folder);
        let answer = as_nobody(&house, &["crew", "--until", TODAY]);
        let refused = as_nobody(&house, &["import", "crew", word(&table)]);
        permit(house.folder.path(), 0o755);
        permit(&house.file, 0o644);
        assert_eq!(answer.out, wanted.out, "{file:o} {folder:o}");
        assert_eq!(answer.code, 0);
        refused.bad(
            1,
            "the file cannot be written (it or its folder is read-only)",
        );
    }
}

#[test]
fn what_waits_in_the_log_is_read_where_nothing_may_be_written() {
    let house = House::demo();
    let conn = rusqlite::Connection::open(&house.file).unwrap();
    let pragma =
        "PRAGMA journal_mode = WAL; UPDATE setting SET value = 'Of the log' WHERE key = 'orchard'";
    conn.execute_batch(pragma).unwrap();
    // as a kill leaves it: the log is there, its index is not
    let other = House::empty();
    for ending in ["", "-wal"] {
        let name = |path: &Path| format!("{}{ending}", path.display());
        std::fs::copy(name(&house.file), name(&other.file)).unwrap();
        permit(Path::new(&name(&other.file)), 0o444);
    }
    drop(conn);
    permit(other.folder.path(), 0o555);
    let answer = as_nobody(&other, &["supervisor", "-d", TODAY]);
    permit(other.folder.path(), 0o755);
    assert!(answer.out.contains("Of the log"), "{answer:?}");
}

#[test]
fn a_folder_that_may_not_be_read_is_not_taken_for_an_empty_one() {
    let mut house = House::demo();
    let closed = house.beside("closed");
    std::fs::create_dir(&closed).unwrap();
    let inside = closed.join("orchard.db");
    std::fs::rename(&house.file, &inside).unwrap();
    house.file.clone_from(&inside);
    permit(&closed, 0o000);
    permit(house.folder.path(), 0o755);
    let answer = as_nobody(&house, &["crew"]);
    permit(&closed, 0o755);
    assert!(answer.err.contains(word(&inside)), "{answer:?}");
    assert!(
        answer.err.contains("you may not read or write there"),
        "{answer:?}"
    );
    assert!(
        !answer.err.contains("there is no orchard file"),
        "{answer:?}"
    );
}

#[test]
fn a_folder_that_cannot_be_made_is_named() {
    let house = House::empty();
    let file = house.write("file", "");
    let inside = file.join("deep").join("orchard.db");
    run(thirdwood(["--data", word(&inside), "check"]), "").bad(1, word(&file));
}

#[test]
fn a_file_that_is_none_of_ours_is_refused_and_not_touched() {
    let house = House::empty();
    let text = "row,tree\n1,2\n";
    house.write("orchard.db", text);
    for command in ["check", "crew"] {
        house
            .ask(&[command])
            .bad(1, "is not a thirdwood file: name another with --data");
    }
    assert_eq!(std::fs::read_to_string(&house.file).unwrap(), text);
    let other = House::empty();
    let conn = rusqlite::Connection::open(&other.file).unwrap();
    conn.execute_batch("CREATE TABLE block (id)").unwrap();
    drop(conn);
    other
        .ask(&["export", "blocks"])
        .bad(1, "is not a thirdwood file");
}

#[test]
#[cfg(target_os = "linux")]
fn what_is_no_file_is_refused_at_once() {
    let house = House::empty();
    let pipe = house.beside("pipe");
    let made = Command::new("mkfifo").arg(&pipe).status();
    assert!(made.unwrap().success());
    let places = [
        (house.folder.path(), "is a folder: name the file in it"),
        (&pipe, "is a pipe or a device, and no orchard file"),
        (
            Path::new("/dev/full"),
            "is a pipe or a device, and no orchard file",
        ),
    ];
    for (place, words) in places {
        for args in [&["check"][..], &["restore", "1"], &["import", "crew", "-"]] {
            // a pipe that is opened waits for whoever writes into it
            let mut command = Command::new("timeout");
            command.args(["20", env!("CARGO_BIN_EXE_thirdwood"), "--data"]);
            command.arg(place).args(args);
            run(command, "").bad(1, words);
        }
    }
}

#[test]
fn a_newer_file_is_refused_and_not_touched() {
    let house = House::demo();
    let conn = rusqlite::Connection::open(&house.file).unwrap();
    conn.execute_batch("PRAGMA journal_mode = DELETE; PRAGMA user_version = 99")
        .unwrap();
    drop(conn);
    let before = std::fs::read(&house.file).unwrap();
    house
        .ask(&["import", "crew", "-"])
        .bad(1, "was written by a newer thirdwood (file version 99");
    assert_eq!(std::fs::read(&house.file).unwrap(), before);
}

#[test]
fn a_damaged_file_is_found_out() {
    let house = House::demo();
    house.ask(&["check"]).good();
    let conn = rusqlite::Connection::open(&house.file).unwrap();
    conn.execute_batch("PRAGMA journal_mode = DELETE").unwrap();
    drop(conn);
    // a page in the middle of the file is gone
    let mut bytes = std::fs::read(&house.file).unwrap();
    let middle = bytes.len() / 2 / 4096 * 4096;
    bytes[middle..middle + 4096].fill(0x5a);
    std::fs::write(&house.file, bytes).unwrap();
    let answer = house.ask(&["check"]);
    assert_eq!(answer.code, 1, "{answer:?}");
    let said = format!("{}{}", answer.out, answer.err);
    assert!(said.contains("restore a"), "{said}");
    assert!(!said.contains("panicked"), "{said}");
}

#[test]
fn a_time_zone_that_is_none_is_told() {
    let house = House::demo();
    for zone in ["AAA-20", "AAA+14:30", "AAA-23:59:59"] {
        let mut command = thirdwood(["--data", word(&house.file), "crew"]);
        command.env("TZ", zone);
        run(command, "").bad(1, "more than 14 hours from UTC: set it right");
    }
}

#[test]
fn days_far_outside_the_winter_are_refused_with_the_limits() {
    let house = House::demo();
    for (table, column) in [("work", "day"), ("counts", "at")] {
        let rows = house.ask(&["export", table]).good();
        let mut lines = rows.lines();
        let head = lines.next().unwrap();
        let place = head.split(',').position(|name| name == column).unwrap();
        let mut cells: Vec<&str> = lines.next().unwrap().split(',').collect();
        let day = head.split(',').position(|name| name == "day").unwrap();
        for far in ["1999-01-12", "2031-01-12"] {
            (cells[place], cells[day]) = (far, far);
            let answer = house.ask_with(
                &["import", table, "-"],
                &format!("{head}\n{}\n", cells.join(",")),
            );
            let said = format!("{}{}", answer.out, answer.err);
            assert!(
                answer.code == 1 && said.contains("belong to it"),
                "{table} {far}: {said}"
            );
        }
        // as they are, they come in again
        let again = house.ask_with(&["import", table, "-"], &rows);
        assert_eq!(again.code, 0, "{again:?}");
    }
}

/// Commands that print, with what they ask for.
const PRINTING: [&[&str]; 10] = [
    &["--help"],
    &["completions", "bash"],
    &["manual"],
    &["guide"],
    &["check"],
    &["crew"],
    &["day-sheet", "-d", TODAY],
    &["supervisor", "-d", TODAY, "-f", "json"],
    &["export", "counts"],
    &["draw", "--show"],
];

#[test]
fn a_reader_that_goes_away_is_no_failure() {
    let house = House::demo();
    for args in PRINTING {
        let (reader, writer) = std::io::pipe().unwrap();
        drop(reader);
        let mut command = thirdwood(["--data", word(&house.file)]);
        command.args(args).stdin(Stdio::null());
        let output = command.stdout(writer).output().unwrap();
        let said = String::from_utf8_lossy(&output.stderr);
        assert_eq!((output.status.code(), &*said), (Some(0), ""), "{args:?}");
    }
    // as it is mostly met
    let line = format!(
        "{{ {} demo; echo code $? >&2; }} | head -n 1",
        env!("CARGO_BIN_EXE_thirdwood")
    );
    let mut shell = Command::new("sh");
    shell.args(["-c", &line]);
    let answer = run(shell, "");
    assert_eq!(answer.err, "code 0\n");
    assert!(answer.out.starts_with("Fernhollow"), "{}", answer.out);
}

#[test]
#[cfg(target_os = "linux")]
fn a_full_disk_is_told() {
    let house = House::demo();
    for args in PRINTING {
        let full = std::fs::File::create("/dev/full").unwrap();
        let mut command = thirdwood(["--data", word(&house.file)]);
        command.args(args).stdin(Stdio::null());
        let output = command.stdout(full).output().unwrap();
        let said = String::from_utf8_lossy(&output.stderr);
        assert_eq!(output.status.code(), Some(1), "{args:?}: {said}");
        assert!(
            said.starts_with("thirdwood: standard output: "),
            "{args:?}: {said}"
        );
    }
}
