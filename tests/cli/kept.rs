//! Where output goes: never over what the program keeps, and into devices and pipes as they are.
#![cfg(unix)]

use std::collections::BTreeMap;
use std::os::unix::fs::{FileTypeExt, MetadataExt, PermissionsExt, symlink};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use thirdwood::store::backup::{self, Keep, Made, Stop};

use crate::{House, TODAY, run, thirdwood, word};

/// Every way of writing to a file that is named.
const WRITING: [&[&str]; 12] = [
    &["crew", "-f", "text"],
    &["day-sheet", "-f", "html"],
    &["supervisor", "-f", "pdf"],
    &["blocks", "-f", "xlsx"],
    &["winter", "-f", "json"],
    &["review", "-f", "csv"],
    &["brief", "-f", "text"],
    &["outlook", "-f", "text"],
    &["draw", "--show", "-f", "text"],
    &["export", "crew"],
    &["bundle"],
    &["bundle", "--numbers-in-notes"],
];

/// The file, with a backup of it.
fn backed_up() -> (House, PathBuf) {
    let house = House::demo();
    let made = backup::make(
        &house.file,
        TODAY.parse().unwrap(),
        Keep::Sound,
        None,
        &Stop::default(),
    );
    let Ok(Made::Kept(made)) = made else {
        panic!("{made:?}");
    };
    (house, made.path)
}

/// All that lies in a folder, with its bytes.
fn all(folder: &Path) -> BTreeMap<PathBuf, Vec<u8>> {
    let mut found = BTreeMap::new();
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            found.extend(all(&path));
        } else {
            found.insert(path.clone(), std::fs::read(&path).unwrap_or_default());
        }
    }
    found
}

/// What must stay as it is: what the database writes for itself is left out.
fn held(house: &House) -> BTreeMap<PathBuf, Vec<u8>> {
    let mut held = all(house.folder.path());
    held.retain(|path, _| !word(path).ends_with("-shm") && !word(path).ends_with("-wal"));
    held
}

#[test]
fn no_output_lands_on_the_orchard_file_by_whatever_name() {
    let (house, made) = backed_up();
    // a beginning that is not yet in the file is written before the bytes are compared
    house.ask(&["bundle", "-o", "/dev/null"]);
    symlink("orchard.db", house.beside("link.db")).unwrap();
    symlink(house.folder.path(), house.beside("round")).unwrap();
    std::fs::hard_link(&made, house.beside("second")).unwrap();
    let before = held(&house);
    let places = [
        house.file.clone(),
        house.beside("link.db"),
        house.beside("round/orchard.db"),
        house.beside("orchard.db-wal"),
        house.beside("orchard.db-journal"),
        house.beside("backups/sheet"),
        house.beside("second"),
        made,
    ];
    for args in WRITING {
        for place in &places {
            let answer = house.ask(&[args, &["-o", word(place)]].concat());
            assert_eq!(answer.code, 1, "{args:?} {place:?}: {answer:?}");
            assert!(
                answer.err.contains("nothing is written "),
                "{args:?} {place:?}: {answer:?}"
            );
            assert_eq!(answer.err.lines().count(), 1, "{answer:?}");
        }
    }
    assert!(held(&house) == before, "something changed");
    house.ask(&["check"]).good();
}

#[test]
fn no_folder_of_output_is_the_folder_of_backups() {
    let (house, _) = backed_up();
    symlink("backups", house.beside("link")).unwrap();
    let before = all(&house.beside("backups"));
    for folder in ["backups", "link", "backups/deeper"] {
        let folder = house.beside(folder);
        for args in [&["papers"][..], &["export", "all"]] {
            let answer = house.ask(&[args, &["-o", word(&folder)]].concat());
            assert_eq!(answer.code, 1, "{answer:?}");
            assert!(
                answer
                    .err
                    .contains("nothing is written into the folder of backups"),
                "{answer:?}"
            );
        }
    }
    assert!(all(&house.beside("backups")) == before);
}

#[test]
fn an_orchard_file_that_is_called_like_a_paper_or_a_table_stays() {
    for (name, args) in [
        ("crew.csv", &["export", "all"][..]),
        ("crew.csv", &["papers", "-d", TODAY]),
    ] {
        let house = House::demo();
        let file = house.beside(name);
        std::fs::rename(&house.file, &file).unwrap();
        let mut command = thirdwood(["--data", word(&file)]);
        command.args(args).args(["-o", word(house.folder.path())]);
        let answer = run(command, "");
        assert_eq!(answer.code, 1, "{answer:?}");
        assert!(answer.err.contains("over the orchard file"), "{answer:?}");
        run(thirdwood(["--data", word(&file), "check"]), "").good();
    }
}

#[test]
fn another_orchard_file_stays_too_and_the_columns_of_none_land_on_no_file() {
    let (house, other) = (House::demo(), House::demo());
    let place = word(&other.file);
    let answer = house.ask(&["crew", "-o", place]);
    assert!(
        answer.err.contains("over an orchard file or a copy"),
        "{answer:?}"
    );
    other.ask(&["check"]).good();
    let empty = House::empty();
    let answer = empty.ask(&["export", "crew", "-o", word(&empty.file)]);
    assert_eq!(answer.code, 1, "{answer:?}");
    assert!(!empty.file.exists());
}

#[test]
fn the_demo_is_kept_on_nothing_that_would_be_taken_for_a_part_of_another_file() {
    let house = House::demo();
    for name in ["orchard.db-journal", "backups/demo.db"] {
        let place = house.beside(name);
        let answer = run(thirdwood(["demo", "--keep", word(&place)]), "");
        assert_eq!(answer.code, 1, "{answer:?}");
        assert!(!place.exists());
    }
    // what lies there as the new file's log would be taken for it, and go
    let mine = house.write("new.db-wal", "mine");
    let new = house.beside("new.db");
    run(thirdwood(["demo", "--keep", word(&new)]), "").bad(2, "is there already");
    assert_eq!(std::fs::read(mine).unwrap(), b"mine");
    assert!(!new.exists());
}

#[test]
fn devices_and_pipes_are_written_into_and_stay() {
    let house = House::demo();
    let sheet = house.ask(&["crew", "--until", TODAY]).good();
    // a pipe of the shell, as `-o >(program)` gives it, and one with a name
    let pipe = house.beside("pipe");
    assert!(
        Command::new("mkfifo")
            .arg(&pipe)
            .status()
            .unwrap()
            .success()
    );
    let came = house.beside("came");
    let script = "cat \"$1\" > \"$2\" & \"$3\" --data \"$4\" crew --until \"$5\" -o \"$1\"; code=$?; wait; exit $code";
    let mut shell = Command::new("sh");
    shell.args(["-c", script, "sh", word(&pipe), word(&came)]);
    shell.args([env!("CARGO_BIN_EXE_thirdwood"), word(&house.file), TODAY]);
    run(shell, "").good();
    assert_eq!(std::fs::read_to_string(&came).unwrap(), sheet);
    assert!(pipe.metadata().unwrap().file_type().is_fifo());
    // standard output by name, into a pipe and behind what stands in a file already
    for name in ["/dev/stdout", "/dev/fd/1", "/proc/self/fd/1"] {
        let to = ["crew", "--until", TODAY, "-o", name];
        assert_eq!(house.ask(&to).good(), sheet, "{name}");
        let log = house.write("log", "before\n");
        let file = std::fs::File::options().append(true).open(&log).unwrap();
        let mut command = thirdwood(["--data", word(&house.file)]);
        let status = command.args(to).stdin(Stdio::null()).stdout(file).status();
        assert!(status.unwrap().success());
        assert_eq!(
            std::fs::read_to_string(&log).unwrap(),
            format!("before\n{sheet}")
        );
    }
    // a link to a device; whether it stays is told by the kind of what it leads to
    symlink("/dev/null", house.beside("nothing")).unwrap();
    for args in WRITING {
        let to = word(&house.beside("nothing")).to_owned();
        let answer = house.ask(&[args, &["-o", &to]].concat());
        assert_eq!(answer.code, 0, "{args:?}: {answer:?}");
    }
    assert!(house.beside("nothing").is_symlink());
    let null = Path::new("/dev/null").metadata().unwrap();
    assert!(null.file_type().is_char_device());
    house
        .ask(&["crew", "-o", "/dev/full"])
        .bad(1, "/dev/full: ");
}

#[test]
fn standard_output_that_the_shell_led_to_the_orchard_file_is_not_written() {
    let house = House::demo();
    let before = std::fs::read(&house.file).unwrap();
    for args in [&["crew"][..], &["export", "crew"]] {
        let file = std::fs::File::options()
            .append(true)
            .open(&house.file)
            .unwrap();
        let mut command = thirdwood(["--data", word(&house.file)]);
        let output = command
            .args(args)
            .stdin(Stdio::null())
            .stdout(file)
            .output()
            .unwrap();
        assert_eq!(output.status.code(), Some(1));
    }
    assert_eq!(std::fs::read(&house.file).unwrap().len(), before.len());
}

#[test]
fn a_link_is_followed_and_new_folders_are_private() {
    let house = House::demo();
    let deep = house.beside("deep/papers");
    house.ask(&["export", "all", "-o", word(&deep)]);
    for folder in [&deep, &house.beside("deep")] {
        assert_eq!(
            folder.metadata().unwrap().permissions().mode() & 0o777,
            0o700
        );
    }
    symlink(deep.join("crew.csv"), house.beside("crew.csv")).unwrap();
    let before = deep.join("crew.csv").metadata().unwrap().ino();
    house
        .ask(&["export", "crew", "-o", word(&house.beside("crew.csv"))])
        .good();
    assert!(house.beside("crew.csv").is_symlink());
    assert_ne!(deep.join("crew.csv").metadata().unwrap().ino(), before);
    assert_eq!(
        std::fs::read_dir(&deep).unwrap().count(),
        thirdwood::exchange::Table::ALL.len(),
        "and nothing beside"
    );
}

#[test]
fn an_ending_that_is_no_format_is_refused_unless_the_format_is_said() {
    let house = House::demo();
    for name in ["crew.docx", "crew.xls", "crew.2027"] {
        let to = house.beside(name);
        house.ask(&["crew", "-o", word(&to)]).bad(
            2,
            "end the name with one of .txt, .html, .pdf, .csv, .xlsx, .json",
        );
        assert!(!to.exists());
    }
    for (name, begin) in [
        ("crew", "Fern"),
        ("crew.txt", "Fern"),
        ("crew.HTM", "<!DOCTYPE"),
    ] {
        let to = house.beside(name);
        house.ask(&["crew", "-o", word(&to)]).good();
        assert!(
            std::fs::read_to_string(&to).unwrap().starts_with(begin),
            "{name}"
        );
    }
    let to = house.beside("crew.docx");
    house.ask(&["crew", "-f", "csv", "-o", word(&to)]).good();
    assert!(to.exists());
    // a table is CSV whatever it is called
    let book = house.beside("crew.xlsx");
    house
        .ask(&["export", "crew", "-o", word(&book)])
        .bad(2, "such as -o crew.csv");
    assert!(!book.exists());
}
