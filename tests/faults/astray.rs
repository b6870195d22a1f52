//! The file is moved, deleted, replaced or linked while screens are open on it: nothing is shown that is not kept, and
//! what was kept is saved elsewhere.

use std::path::{Path, PathBuf};
use std::process::Command;

use thirdwood::store::{Astray, Store, StoreError};
use thirdwood::tui::Key;
use thirdwood::tui::app::Event;
use thirdwood::tui::runtime::Runtime;

use crate::child::start;
use crate::pty::{Terminal, on_file};
use crate::world::{House, add_count, counted, taps, tell};

const F3: &str = "\x1bOR";

fn beside(file: &Path, ending: &str) -> PathBuf {
    let mut name = file.as_os_str().to_owned();
    name.push(ending);
    name.into()
}

/// What is done to the file, and how that is found.
type Deed = (&'static str, fn(&House), Astray);

const DEEDS: [Deed; 7] = [
    (
        "deleted",
        |house| std::fs::remove_file(&house.file).unwrap(),
        Astray::Gone,
    ),
    (
        "moved",
        |house| std::fs::rename(&house.file, house.folder.path().join("old.db")).unwrap(),
        Astray::Gone,
    ),
    (
        "deleted with its log",
        |house| {
            for ending in ["", "-wal", "-shm"] {
                std::fs::remove_file(beside(&house.file, ending)).unwrap();
            }
        },
        Astray::Gone,
    ),
    (
        "replaced by an older copy",
        |house| {
            let copy = house.folder.path().join("copy.db");
            std::fs::copy(counted(1).0.file, &copy).unwrap();
            std::fs::rename(copy, &house.file).unwrap();
        },
        Astray::Replaced,
    ),
    (
        "its log removed",
        |house| std::fs::remove_file(beside(&house.file, "-wal")).unwrap(),
        Astray::LogGone,
    ),
    (
        "its index of the log removed",
        |house| std::fs::remove_file(beside(&house.file, "-shm")).unwrap(),
        Astray::LogGone,
    ),
    (
        "linked",
        |house| std::fs::hard_link(&house.file, house.folder.path().join("other.db")).unwrap(),
        Astray::Linked,
    ),
];

/// The copy that was saved beside the file, if one was.
fn saved(house: &House) -> Option<PathBuf> {
    let names = std::fs::read_dir(house.folder.path()).unwrap();
    let mut found = names
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.to_string_lossy().contains("orchard-saved-"));
    let one = found.next();
    assert_eq!(found.next(), None, "saved more than once");
    one
}

#[test]
fn no_tap_is_shown_as_kept_once_the_file_is_astray() {
    for (deed, does, how) in DEEDS {
        let (house, small) = counted(2);
        let store = house.store();
        let mut runtime = Runtime::new(&store, start(), (80, 24)).unwrap();
        runtime.take(Event::Key(Key::F(3)));
        for _ in 0..5 {
            runtime.take(Event::Key(Key::Char('1')));
        }
        let kept = taps(&store, &small);
        does(&house);
        for _ in 0..3 {
            runtime.take(Event::Key(Key::Char('1')));
        }
        assert_eq!(runtime.model.count.tally().unwrap().pieces(), 5, "{deed}");
        let words = runtime.model.message.clone().unwrap().words;
        let refused = store.in_place().unwrap_err();
        assert!(words.starts_with(&refused.to_string()), "{deed}: {words}");
        assert!(
            matches!(refused, StoreError::Astray { how: found, .. } if found == how),
            "{deed}: {refused}"
        );
        assert_eq!(taps(&store, &small), kept, "{deed}");
        drop(runtime);
        drop(store);
        let copy = saved(&house);
        assert_eq!(copy.is_some(), how != Astray::Linked, "{deed}");
        if let Some(copy) = copy {
            assert!(
                words.ends_with(&format!("all before it is saved in {}", copy.display())),
                "{deed}: {words}"
            );
            assert_eq!(taps(&Store::open(&copy).unwrap(), &small), kept, "{deed}");
        }
    }
    tell(&format!(
        "{} ways of taking the file away under open screens: no tap shown that is not kept",
        DEEDS.len()
    ));
}

#[test]
fn a_file_that_is_put_back_is_counted_on() {
    let (house, small) = counted(2);
    let store = house.store();
    let mut runtime = Runtime::new(&store, start(), (80, 24)).unwrap();
    runtime.take(Event::Key(Key::F(3)));
    runtime.take(Event::Key(Key::Char('1')));
    let before = taps(&store, &small).len();
    let away = house.folder.path().join("away.db");
    std::fs::rename(&house.file, &away).unwrap();
    assert!(runtime.glance(), "noticed without a tap, too");
    runtime.take(Event::Key(Key::Char('1')));
    std::fs::rename(&away, &house.file).unwrap();
    runtime.glance();
    let words = runtime.model.message.clone().unwrap().words;
    assert!(words.contains("in its place again"), "{words}");
    runtime.take(Event::Key(Key::Char('1')));
    assert_eq!(runtime.model.count.tally().unwrap().pieces(), 2);
    drop(runtime);
    drop(store);
    assert_eq!(taps(&house.store(), &small).len(), before + 1);
}

#[test]
fn a_moved_file_is_whole_where_it_lies_and_its_old_name_begins_nothing_new() {
    let (house, small) = counted(2);
    let store = house.store();
    let mut runtime = Runtime::new(&store, start(), (80, 24)).unwrap();
    runtime.take(Event::Key(Key::F(3)));
    for _ in 0..5 {
        runtime.take(Event::Key(Key::Char('1')));
    }
    let kept = taps(&store, &small);
    let away = house.folder.path().join("away.db");
    std::fs::rename(&house.file, &away).unwrap();
    runtime.glance();
    drop(runtime);
    drop(store);
    assert_eq!(taps(&Store::open(&away).unwrap(), &small), kept);
    // killed before it could notice: the log is left alone, and is all that there is of the newest taps
    let log = beside(&house.file, "-wal");
    std::fs::write(&log, "frames").unwrap();
    let refused = Store::open(&house.file).unwrap_err();
    assert!(matches!(refused, StoreError::LogAlone { .. }), "{refused}");
    assert_eq!(std::fs::read(&log).unwrap(), b"frames");
    assert!(!house.file.exists());
}

#[test]
fn a_log_that_is_left_of_another_file_is_not_written_into_a_sound_one() {
    // as a killed program leaves it: changes that wait beside the file
    let (killed, small) = counted(1);
    let store = killed.store();
    for tree in 2..=9 {
        add_count(&store, &small, tree);
    }
    let (house, _) = counted(30);
    let sound = std::fs::read(&house.file).unwrap();
    let log = beside(&house.file, "-wal");
    std::fs::copy(beside(&killed.file, "-wal"), &log).unwrap();
    let left = std::fs::read(&log).unwrap();
    assert!(!left.is_empty());
    for _ in 0..2 {
        let refused = Store::open(&house.file).unwrap_err();
        assert!(
            matches!(refused, StoreError::StrangeLog { .. }),
            "{refused}"
        );
        assert_eq!(std::fs::read(&house.file).unwrap(), sound);
        assert_eq!(std::fs::read(&log).unwrap(), left);
    }
    // as the words say: with the log away the file is as it was, and with its own file the log is
    std::fs::rename(&log, house.folder.path().join("away-wal")).unwrap();
    assert_eq!(
        Store::open(&house.file).unwrap().check().unwrap().problems,
        Vec::<String>::new()
    );
    let own = house.folder.path().join("own.db");
    std::fs::copy(&killed.file, &own).unwrap();
    std::fs::write(beside(&own, "-wal"), left).unwrap();
    assert_eq!(
        taps(&Store::open(&own).unwrap(), &small),
        taps(&store, &small)
    );
}

#[test]
fn one_file_under_two_names_is_refused_from_either() {
    let (house, small) = counted(2);
    let other = house.folder.path().join("other.db");
    std::fs::hard_link(&house.file, &other).unwrap();
    for name in [&house.file, &other] {
        let refused = Store::open(name).unwrap_err().to_string();
        assert!(refused.contains("second name (a hard link)"), "{refused}");
        let output = Command::new(env!("CARGO_BIN_EXE_thirdwood"))
            .arg("--data")
            .arg(name)
            .arg("crew")
            .output()
            .unwrap();
        let said = String::from_utf8_lossy(&output.stderr);
        assert!(
            said.contains(&refused) && output.status.code() == Some(1),
            "{said}"
        );
    }
    std::fs::remove_file(&other).unwrap();
    assert!(!taps(&house.store(), &small).is_empty());
}

#[test]
fn a_file_that_is_mounted_by_itself_is_refused() {
    let (house, _) = counted(1);
    let place = tempfile::tempdir().unwrap();
    let other = place.path().join("with space.db");
    std::fs::write(&other, "").unwrap();
    let mount = |args: &[&std::ffi::OsStr]| Command::new("mount").args(args).output();
    let mounted = mount(&["--bind".as_ref(), house.file.as_ref(), other.as_ref()]);
    if !mounted.is_ok_and(|output| output.status.success()) {
        tell("SKIPPED, NOT TESTED: only root may mount a file");
        return;
    }
    let refused = Store::open(&other);
    let gone = Command::new("umount").arg(&other).status().unwrap();
    assert!(gone.success());
    assert!(
        matches!(refused, Err(StoreError::MountedFile { .. })),
        "{refused:?}"
    );
}

#[test]
fn the_screens_say_where_the_file_is_saved_and_so_does_leaving_them() {
    let (house, small) = counted(0);
    let mut terminal = Terminal::start(on_file(&house.file));
    terminal.sees("drawn trees to go");
    terminal.type_and_see(F3, "River, row 1, tree");
    terminal.type_and_see("123", "this tree: 3 pieces");
    std::fs::remove_file(&house.file).unwrap();
    terminal.type_and_see("4", "was moved or deleted");
    terminal.sees("this tree: 3 pieces");
    terminal.sees("orchard-saved-");
    terminal.type_keys("\x11");
    let (status, _, screen) = terminal.ends();
    assert_eq!(status.exit_code(), 1);
    let said = screen.contents().replace('\n', "");
    let copy = saved(&house).unwrap();
    assert!(said.contains(copy.to_str().unwrap()), "{said}");
    assert_eq!(taps(&Store::open(&copy).unwrap(), &small).len(), 3);
    // at the next start the file does not begin anew without a word
    let store = Store::open(&house.file).unwrap();
    let warning = store.warning().unwrap_or_default();
    assert!(warning.contains("orchard-saved-"), "{warning}");
}
