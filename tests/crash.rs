//! Killed at a random moment, again and again: no acknowledged tap is missing, none is doubled.
#![allow(clippy::unwrap_used, missing_docs)]
#![cfg(unix)]

mod common;

use std::io::{BufRead, BufReader, Write};
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::Duration;

use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha20Rng;
use thirdwood::store::{CountFilter, Store};
use thirdwood::tui::app::Event;
use thirdwood::tui::run::{Desk, Start};
use thirdwood::tui::{Action, Key, Screen, Theme};

const FILE: &str = "THIRDWOOD_CRASH_FILE";
const RUNS: usize = 200;

/// Keys of the scripted count, over and over.
fn keys() -> impl Iterator<Item = char> {
    "123we4sd1zb23q".chars().cycle()
}

/// The child: counts one tree without end, and says so after each tap that the program took.
#[test]
fn child() {
    let Ok(file) = std::env::var(FILE) else {
        return;
    };
    let store = Store::open(Path::new(&file)).unwrap();
    let start = Start {
        theme: Some(Theme::Plain),
        few_colours: false,
        today: Some(common::today()),
    };
    let mut desk = Desk::new(&store, start, (80, 24)).unwrap();
    desk.take(Event::Act(Action::Go(Screen::Count)));
    let mut out = std::io::stdout();
    for (key, tap) in keys().zip(1u64..) {
        desk.take(Event::Key(Key::Char(key)));
        writeln!(out, "tap {tap}").unwrap();
        out.flush().unwrap();
    }
}

/// Runs the child, kills it after `wait` from its first tap, and gives the taps it acknowledged.
fn run_and_kill(file: &Path, wait: Duration) -> u64 {
    let mut child = Command::new(std::env::current_exe().unwrap())
        .args(["--exact", "child", "--nocapture"])
        .env(FILE, file)
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    let mut lines = BufReader::new(child.stdout.take().unwrap())
        .lines()
        .map_while(Result::ok);
    let mut last = 0;
    let mut take = |line: String| {
        if let Some(tap) = line.strip_prefix("tap ").and_then(|n| n.parse().ok()) {
            last = tap;
        }
        last
    };
    for line in lines.by_ref() {
        if take(line) > 0 {
            break;
        }
    }
    std::thread::sleep(wait);
    // SIGKILL: the process gets no chance to tidy up
    child.kill().unwrap();
    for line in lines {
        take(line);
    }
    child.wait().unwrap();
    last
}

#[test]
fn a_killed_count_keeps_every_acknowledged_tap() {
    let mut random = ChaCha20Rng::seed_from_u64(20_270_112);
    let mut acknowledged_in_all = 0;
    for run in 0..RUNS {
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("orchard.db");
        let store = Store::open(&file).unwrap();
        let small = common::fill(&store);
        drop(store);

        let wait = Duration::from_micros(random.random_range(0..12_000));
        let acknowledged = run_and_kill(&file, wait);
        acknowledged_in_all += acknowledged;

        let store = Store::open(&file).unwrap();
        assert_eq!(
            store.check().unwrap().problems,
            Vec::<String>::new(),
            "run {run}"
        );
        let counts = store.counts(CountFilter::Winter(small.winter.id)).unwrap();
        assert_eq!(counts.len(), 1, "run {run}");
        let taps = store.taps(counts[0].id).unwrap();
        let kept = taps.len() as u64;
        assert!(
            (acknowledged..=acknowledged + 1).contains(&kept),
            "run {run}: {acknowledged} taps acknowledged, {kept} kept"
        );
        let wanted: Vec<_> = keys().take(taps.len()).map(tap_of).collect();
        assert_eq!(
            taps, wanted,
            "run {run}: the taps are those of the script, in order"
        );
    }
    assert!(
        acknowledged_in_all > RUNS as u64,
        "the children counted hardly anything"
    );
    println!("{RUNS} kills, {acknowledged_in_all} acknowledged taps, none missing, none doubled");
}

fn tap_of(key: char) -> thirdwood::orchard::Tap {
    use thirdwood::tui::keymap::{resolve, stack};
    use thirdwood::tui::{BudKeys, Layer};
    match resolve(
        stack(Screen::Count, Layer::Base),
        Key::Char(key),
        &BudKeys::QWERTY,
    ) {
        Some(Action::Tap(tap)) => tap,
        other => panic!("{key} is {other:?}"),
    }
}
