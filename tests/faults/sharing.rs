//! Two programs on one file, a file that another one holds, and a clock that was set back.

use std::io::{BufRead, BufReader};
use std::time::Duration;

use chrono::Days;
use rusqlite::Connection;
use thirdwood::store::backup::{self, Keep, Made, Stop};
use thirdwood::store::{CountFilter, Store, StoreError};
use thirdwood::tui::Key;
use thirdwood::tui::app::{Event, Tone};
use thirdwood::tui::runtime::Runtime;

use crate::child::{Job, spawn, start};
use crate::common;
use crate::world::{back_up, counted, script, taps, tell};

#[test]
fn a_file_that_another_program_holds() {
    let (house, small) = counted(3);
    let store = house.store();
    let mut desk = Runtime::new(&store, start(), (80, 24)).unwrap();
    desk.take(Event::Key(Key::F(3)));
    desk.take(Event::Key(Key::Char('1')));
    let kept = taps(&store, &small).len();
    let other = Connection::open(&house.file).unwrap();
    other.execute_batch("BEGIN IMMEDIATE").unwrap();
    desk.take(Event::Key(Key::Char('1')));
    let message = desk.model.message.clone().unwrap();
    assert_eq!(message.tone, Tone::Problem);
    assert!(
        message.words.contains("another program is writing"),
        "{message:?}"
    );
    // a reader is not kept from it, nor is a backup
    assert_eq!(taps(&store, &small).len(), kept);
    back_up(&house.file);
    assert!(matches!(
        backup::restore(&house.file, 1, common::today()),
        Err(StoreError::Locked)
    ));
    other.execute_batch("ROLLBACK").unwrap();
    desk.take(Event::Key(Key::Char('1')));
    assert_eq!(taps(&store, &small).len(), kept + 1);
    assert_eq!(desk.model.count.tally().unwrap().pieces(), 2);
}

/// Another program that opens the file, looks it over and leaves: taps that it finds.
fn seen_by_another(file: &std::path::Path) -> u64 {
    let mut other = std::process::Command::new(env!("CARGO_BIN_EXE_thirdwood"));
    let output = other.arg("--data").arg(file).arg("check").output().unwrap();
    assert!(output.status.success(), "{output:?}");
    let said = String::from_utf8(output.stdout).unwrap();
    let taps = said
        .split(' ')
        .zip(said.split(' ').skip(1))
        .find(|(_, word)| word.starts_with("taps"));
    taps.and_then(|(number, _)| number.parse().ok())
        .unwrap_or_else(|| panic!("{said}"))
}

#[test]
fn a_second_connection_of_ours_gives_no_lock_away() {
    let (house, small) = counted(3);
    let made = back_up(&house.file);
    let store = house.store();
    let count = store
        .counts(CountFilter::Winter(small.winter.id))
        .unwrap()
        .remove(0);
    store.close_count(count.id, false).unwrap();
    let log = house.folder.path().join("orchard.db-wal");
    let what: [(&str, &dyn Fn()); 2] = [
        ("for a bundle", &|| {
            drop(Store::open_again(&house.file).unwrap());
        }),
        ("to put a backup back", &|| {
            drop(store.restore(made.number, common::today()).unwrap());
        }),
    ];
    for (why, open) in what {
        open();
        store.close_count(count.id, false).unwrap();
        let before = seen_by_another(&house.file);
        // the other one left; had it thought itself alone, the log would be gone from under us
        assert!(log.exists(), "{why}");
        store.tap(count.id, None, script().next().unwrap()).unwrap();
        assert_eq!(seen_by_another(&house.file), before + 1, "{why}");
    }
}

#[test]
fn two_programs_count_while_a_third_makes_backups() {
    let (house, small) = counted(3);
    let before = taps(&house.store(), &small).len();
    let mut children = [
        spawn(Job::CalmTaps, &house.file),
        spawn(Job::CalmTaps, &house.file),
    ];
    let said = children
        .each_mut()
        .map(|child| BufReader::new(child.stdout.take().unwrap()).lines());
    std::thread::sleep(Duration::from_millis(200));
    let mut made = 0;
    let end = std::time::Instant::now() + Duration::from_millis(2_500);
    while std::time::Instant::now() < end {
        match backup::make(
            &house.file,
            common::today(),
            Keep::Sound,
            None,
            &Stop::default(),
        )
        .unwrap()
        {
            Made::Kept(_) => made += 1,
            Made::Unchanged(_) => {}
            other => panic!("{other:?}"),
        }
    }
    for child in &mut children {
        child.kill().unwrap();
        child.wait().unwrap();
    }
    let acknowledged: Vec<u64> = said
        .into_iter()
        .map(|lines| {
            let done = lines
                .map_while(Result::ok)
                .filter_map(|l| l.rsplit_once("done ")?.1.parse().ok());
            done.last().unwrap_or(0)
        })
        .collect();
    let store = house.store();
    let all = (taps(&store, &small).len() - before) as u64;
    let sum: u64 = acknowledged.iter().sum();
    assert!(
        (sum..=sum + 2).contains(&all),
        "{acknowledged:?} acknowledged, {all} kept"
    );
    assert!(acknowledged.iter().all(|n| *n > 5), "{acknowledged:?}");
    assert_eq!(store.check().unwrap().problems, Vec::<String>::new());
    assert!(made > 2);
    tell(&format!(
        "two programs on one file: {acknowledged:?} taps acknowledged, {all} kept, {made} backups meanwhile"
    ));
}

#[test]
fn a_clock_set_back_mixes_nothing_up() {
    let (house, small) = counted(3);
    let store = house.store();
    let count = store
        .counts(CountFilter::Winter(small.winter.id))
        .unwrap()
        .remove(0);
    store.close_count(count.id, false).unwrap();
    let mut numbers = Vec::new();
    for (tap, back) in script()
        .take(12)
        .zip([0, 1, 2, 400, 3, 0, 30, 60, 7_000, 1, 0, 2])
    {
        store.tap(count.id, None, tap).unwrap();
        let day = common::today() - Days::new(back);
        match backup::make(&house.file, day, Keep::Sound, None, &Stop::default()).unwrap() {
            Made::Kept(made) => numbers.push(made.number),
            other => panic!("{other:?}"),
        }
        assert_eq!(
            backup::newest_good(&house.file).unwrap().number,
            *numbers.last().unwrap()
        );
    }
    assert_eq!(numbers, (1..=12).collect::<Vec<u32>>());
    // a tap with the clock set back comes after the one before it all the same
    let before = store.taps(count.id).unwrap();
    let mut head = count.head.clone();
    head.at.utc_ms -= 400 * 86_400_000;
    store.change_head(count.id, &head).unwrap();
    let next = script().nth(3).unwrap();
    store.tap(count.id, None, next).unwrap();
    let after = store.taps(count.id).unwrap();
    assert_eq!(after[..before.len()], before);
    assert_eq!(after[before.len()..], [next]);
    drop(store);
    Store::open(&house.file).unwrap().vouch().unwrap();
}
