//! Backups as a person meets them: made by themselves, listed, put back, and that undone.

use std::os::unix::fs::PermissionsExt;
use std::path::Path;
use std::process::Command;
use std::time::{Duration, Instant};

use chrono::Days;
use thirdwood::store::Store;
use thirdwood::store::backup::{self, Keep, Keeper, Made, Report, Stop};
use thirdwood::tui::app::{Event, Tone};
use thirdwood::tui::runtime::Runtime;
use thirdwood::tui::{Action, Key, Screen};

use crate::child::start;
use crate::common;
use crate::world::{House, add_count, back_up, counted, dump, figures, tell};

/// What a command says: exit code, standard output, standard error.
fn ask(file: &Path, args: &[&str]) -> (Option<i32>, String, String) {
    let output = Command::new(env!("CARGO_BIN_EXE_thirdwood"))
        .arg("--data")
        .arg(file)
        .args(args)
        .output()
        .unwrap();
    let text = |bytes| String::from_utf8(bytes).unwrap();
    (
        output.status.code(),
        text(output.stdout),
        text(output.stderr),
    )
}

/// The next report of a keeper.
fn report(keeper: &Keeper) -> Report {
    let end = Instant::now() + Duration::from_secs(180);
    loop {
        if let Some(report) = keeper.reports().next() {
            return report;
        }
        assert!(Instant::now() < end, "no report");
        std::thread::sleep(Duration::from_millis(2));
    }
}

#[test]
fn one_is_made_each_day_and_none_where_nothing_changed() {
    let (house, small) = counted(3);
    let store = house.store();
    let keeper = Keeper::start(&house.file).unwrap();
    keeper.back_up(common::today());
    let first = report(&keeper);
    let Ok(Made::Kept(made)) = first.outcome else {
        panic!("{first:?}");
    };
    assert_eq!(made.name(), "orchard-0001-2027-01-12.db");
    let mode = |path: &Path| std::fs::metadata(path).unwrap().permissions().mode() & 0o777;
    assert_eq!(
        (mode(&made.path), mode(&backup::folder(&house.file))),
        (0o600, 0o700)
    );
    assert_eq!(dump(&made.path), dump(&house.file));
    // looked at, closed and opened again: the same
    drop(store);
    let store = house.store();
    figures(&store).unwrap();
    keeper.back_up(common::today() + Days::new(1));
    let second = report(&keeper);
    assert!(
        matches!(&second.outcome, Ok(Made::Unchanged(same)) if *same == made),
        "{second:?}"
    );
    add_count(&store, &small, 9);
    keeper.back_up(common::today() + Days::new(2));
    let third = report(&keeper);
    assert!(
        matches!(&third.outcome, Ok(Made::Kept(new)) if new.name() == "orchard-0002-2027-01-14.db"),
        "{third:?}"
    );
    let held: Vec<u64> = third
        .shelf
        .iter()
        .map(|one| one.contents.as_ref().unwrap().counts())
        .collect();
    assert_eq!(held, [3, 4]);
}

#[test]
fn what_is_put_back_can_be_undone() {
    let (house, small) = counted(3);
    back_up(&house.file);
    let first = dump(&house.file);
    let store = house.store();
    add_count(&store, &small, 9);
    drop(store);
    let second = dump(&house.file);

    let (code, listed, _) = ask(&house.file, &["restore"]);
    assert_eq!(code, Some(0));
    assert!(
        listed.contains("     1  2027-01-12  3 counts, "),
        "{listed}"
    );
    let (code, said, _) = ask(&house.file, &["restore", "1"]);
    assert_eq!(code, Some(0));
    assert!(said.contains("`thirdwood restore 2` undoes this"), "{said}");
    assert_eq!(dump(&house.file), first);
    let undo = backup::backups(&house.file).unwrap()[1].name();
    assert_eq!(ask(&house.file, &["restore", &undo]).0, Some(0));
    assert_eq!(dump(&house.file), second);
    assert_eq!(
        backup::backups(&house.file).unwrap().len(),
        2,
        "what is known is not kept twice"
    );

    for none in ["7", "orchard-0001", "../orchard.db"] {
        let (code, _, said) = ask(&house.file, &["restore", none]);
        assert_eq!(code, Some(1));
        assert!(said.contains("`thirdwood restore` lists them"), "{said}");
    }
    assert_eq!(dump(&house.file), second);
}

#[test]
fn a_backup_that_is_not_sound_is_not_put_back() {
    let (house, small) = counted(3);
    let bad = back_up(&house.file);
    add_count(&house.store(), &small, 9);
    let bytes = std::fs::read(&bad.path).unwrap();
    let before = dump(&house.file);
    for at in (4096..bytes.len()).step_by(8_192) {
        let mut wrong = bytes.clone();
        wrong[at..at + 64].fill(0x5a);
        std::fs::write(&bad.path, wrong).unwrap();
        if backup::restore(&house.file, 1, common::today()).is_ok() {
            // the damage lay where nothing is
            assert_eq!(figures(&house.store()).unwrap().matches("Sina").count(), 3);
            backup::restore(&house.file, 2, common::today()).unwrap();
        }
        assert_eq!(dump(&house.file), before, "{at}");
    }
    std::fs::write(&bad.path, &bytes[..5_000]).unwrap();
    assert!(backup::restore(&house.file, 1, common::today()).is_err());
}

#[test]
fn check_tells_what_there_is_less_of() {
    let (house, _) = counted(3);
    back_up(&house.file);
    let (code, said, _) = ask(&house.file, &["check"]);
    assert_eq!(code, Some(0));
    assert!(said.ends_with("all is well\n"), "{said}");
    let conn = rusqlite::Connection::open(&house.file).unwrap();
    conn.execute_batch(
        "UPDATE work SET removed = 1 WHERE row = 1; UPDATE tree_count SET removed = 1 WHERE key = 2;
         DELETE FROM tap WHERE count = 3; DELETE FROM tree_count WHERE key = 3",
    )
    .unwrap();
    drop(conn);
    let (code, said, _) = ask(&house.file, &["check"]);
    assert_eq!(code, Some(0), "nothing is damaged: {said}");
    for part in [
        "less than in backup 1 of 2027-01-12",
        "1 count fewer (2; 3 then)",
        "2 counts in the figures fewer (1; 3 then)",
        "1 work entry fewer (1; 2 then)",
        "`thirdwood restore 1` brings it back",
    ] {
        assert!(said.contains(part), "{part}: {said}");
    }
    let conn = rusqlite::Connection::open(&house.file).unwrap();
    conn.execute_batch("UPDATE tree_count SET two = two + 1 WHERE key = 1")
        .unwrap();
    drop(conn);
    let (code, said, _) = ask(&house.file, &["check"]);
    assert_eq!(code, Some(1));
    assert!(said.contains("its sums differ from its taps"), "{said}");
    assert!(
        said.contains("`thirdwood restore 1` puts it back"),
        "{said}"
    );
    // figures of such a file are refused, and a table is not read into it
    for args in [
        ["crew"].as_slice(),
        &["export", "counts"],
        &["import", "crew", "/dev/null"],
    ] {
        let (code, out, said) = ask(&house.file, args);
        assert_eq!((code, out.as_str()), (Some(1), ""), "{args:?}");
        assert!(
            said.contains("`thirdwood restore 1` puts it back"),
            "{args:?}: {said}"
        );
    }
}

#[test]
fn a_table_is_read_in_after_a_backup() {
    let (house, _) = counted(3);
    let before = dump(&house.file);
    let table = house.folder.path().join("crew.csv");
    std::fs::write(&table, crate::child::crew(5)).unwrap();
    let args = ["import", "crew", table.to_str().unwrap()];
    assert_eq!(ask(&house.file, &[&args[..], &["-n"]].concat()).0, Some(0));
    assert!(
        !backup::folder(&house.file).exists(),
        "a trial changes nothing"
    );
    assert_eq!(ask(&house.file, &args).0, Some(0));
    assert_eq!(house.store().pruners().unwrap()[0].name, "Reader 5");
    assert_eq!(ask(&house.file, &["restore", "1"]).0, Some(0));
    assert_eq!(dump(&house.file), before);
}

/// Waits until the screens have heard of a backup.
fn hear(desk: &mut Runtime<'_>, wanted: impl Fn(&Runtime<'_>) -> bool) {
    let end = Instant::now() + Duration::from_secs(180);
    while !wanted(desk) {
        desk.look_around().unwrap();
        assert!(Instant::now() < end, "{:?}", desk.model.message);
        std::thread::sleep(Duration::from_millis(2));
    }
}

#[test]
fn the_screens_put_a_backup_back() {
    let (house, small) = counted(3);
    back_up(&house.file);
    let store = house.store();
    add_count(&store, &small, 9);
    let mut desk = Runtime::new(&store, start(), (80, 24)).unwrap();
    desk.keep(Some(Keeper::start(&house.file).unwrap()));
    hear(&mut desk, |desk| desk.model.backups.len() == 2);
    assert_eq!(
        desk.model.message, None,
        "that all is well need not be told"
    );
    desk.take(Event::Act(Action::Go(Screen::SetUp)));
    // backups stand above the two lines of bundles and the two of tables
    let up = [Key::Up; 4];
    let way = [Key::Left, Key::End].into_iter().chain(up);
    for key in way.chain([Key::Enter, Key::Right, Key::Ctrl('s')]) {
        desk.take(Event::Key(key));
    }
    desk.take(Event::Act(Action::Confirm));
    let told = desk.model.message.clone().unwrap();
    assert_eq!(
        told.words,
        "backup 1 is put back; number 2 is the file as it was: putting that one back undoes it"
    );
    assert!(desk.model.layers.is_empty());
    assert_eq!(store.check().unwrap().counts, 3);
    assert_eq!(desk.model.season.as_ref().unwrap().counts().len(), 3);
    // taps go on into the file that was put back
    desk.take(Event::Key(Key::F(3)));
    desk.take(Event::Key(Key::Char('1')));
    assert_eq!(House::store(&house).check().unwrap().counts, 4);
}

#[test]
fn a_backup_that_cannot_be_made_is_told_calmly() {
    let (house, _) = counted(3);
    std::fs::write(backup::folder(&house.file), "not a folder").unwrap();
    let store = house.store();
    let mut desk = Runtime::new(&store, start(), (80, 24)).unwrap();
    desk.keep(Some(Keeper::start(&house.file).unwrap()));
    hear(&mut desk, |desk| desk.model.message.is_some());
    let told = desk.model.message.clone().unwrap();
    assert_eq!(told.tone, Tone::Note);
    assert!(
        told.words.starts_with("no backup was made: "),
        "{}",
        told.words
    );
    desk.take(Event::Key(Key::F(3)));
    desk.take(Event::Key(Key::Char('1')));
    assert_eq!(store.check().unwrap().counts, 4);
}

#[test]
fn damage_found_by_a_backup_is_told_and_the_good_one_stays() {
    let (house, _) = counted(3);
    back_up(&house.file);
    let conn = rusqlite::Connection::open(&house.file).unwrap();
    conn.execute_batch("UPDATE tree_count SET one = one + 1 WHERE key = 1")
        .unwrap();
    drop(conn);
    let store = Store::open(&house.file).unwrap();
    let mut desk = Runtime::new(&store, start(), (80, 24)).unwrap();
    desk.keep(Some(Keeper::start(&house.file).unwrap()));
    hear(&mut desk, |desk| desk.model.message.is_some());
    let told = desk.model.message.clone().unwrap();
    assert_eq!(told.tone, Tone::Problem);
    assert!(
        told.words.contains("`thirdwood restore 1` puts it back"),
        "{}",
        told.words
    );
    assert_eq!(backup::backups(&house.file).unwrap().len(), 1);
    // what is damaged is kept all the same before another takes its place
    let done = store.restore(1, common::today()).unwrap();
    let before = done.before.unwrap();
    assert!(
        before.damaged && before.name() == "orchard-0002-2027-01-12-damaged.db",
        "{before:?}"
    );
    store.vouch().unwrap();
    assert!(backup::restore(&house.file, 2, common::today()).is_err());
}

/// `cargo test --release --test faults how_long -- --ignored --nocapture`
#[test]
#[ignore = "a measurement"]
fn how_long_it_takes_on_ten_winters() {
    let house = House::empty();
    let store = house.store();
    let spec = thirdwood::demo::LargeSpec {
        winters: 10,
        blocks: 30,
        pruners: 40,
        counts_per_winter: 12_000,
        seed: 1,
    };
    thirdwood::demo::fill_large(&store, spec).unwrap();
    drop(store);
    let timed = |what: &str, work: &dyn Fn()| {
        let begun = Instant::now();
        work();
        tell(&format!("{what}: {:?}", begun.elapsed()));
    };
    let store = house.store();
    timed("opened", &|| drop(house.store()));
    timed("vouched for", &|| store.vouch().unwrap());
    timed("backed up", &|| drop(back_up(&house.file)));
    let make = || {
        backup::make(
            &house.file,
            common::today(),
            Keep::Sound,
            None,
            &Stop::default(),
        )
    };
    timed("backed up, unchanged", &|| drop(make().unwrap()));
    timed("restored", &|| {
        drop(backup::restore(&house.file, 1, common::today()).unwrap());
    });
    let bytes = backup::backups(&house.file).unwrap()[0].bytes;
    tell(&format!(
        "{} counts, {} taps, {bytes} bytes",
        store.check().unwrap().counts,
        store.check().unwrap().taps
    ));
}

#[test]
fn leaving_does_not_wait_for_a_backup() {
    let house = House::empty();
    let store = house.store();
    thirdwood::demo::fill(&store, 1, common::today()).unwrap();
    let begun = Instant::now();
    let keeper = Keeper::start(&house.file).unwrap();
    keeper.back_up(common::today());
    drop(keeper);
    let took = begun.elapsed();
    assert!(took < Duration::from_secs(10), "it hangs: {took:?}");
    let left = backup::backups(&house.file).unwrap().len();
    assert!(left <= 1);
    let again = backup::make(
        &house.file,
        common::today(),
        Keep::Sound,
        None,
        &Stop::default(),
    )
    .unwrap();
    assert!(
        matches!(again, Made::Kept(_)) || left == 1,
        "what was broken off is in nobody's way"
    );
}
