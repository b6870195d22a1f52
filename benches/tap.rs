//! What a tap costs, and how soon the program is there.
//!
//! `cargo bench --bench tap` prints, each as a ratio to a reference run in the same session:
//! - a tap from the key to the disk to the drawn screen, against a bare commit of one row by the
//!   same database with the same settings on the same disk, the two taken in turns;
//!   A file of a million counts is made and tapped on too where `--million` is said (minutes, and 2 GB);
//! - the first frame of a file with 100,000 counts, against that of a file without any.
#![allow(clippy::unwrap_used, missing_docs)]

#[path = "common/mod.rs"]
mod common;

use std::path::Path;
use std::time::{Duration, Instant};

use chrono::NaiveDate;
use common::{ratio, winters_of};
use ratatui::Terminal;
use ratatui::backend::TestBackend;
use rusqlite::Connection;
use thirdwood::demo::fill_large;
use thirdwood::orchard::{DrawId, Winter};
use thirdwood::report::Season;
use thirdwood::store::Store;
use thirdwood::tui::app::{Event, view};
use thirdwood::tui::run::{Desk, Start};
use thirdwood::tui::{Key, Screen, Theme};

const TAPS: usize = 2_000;
const OPENINGS: usize = 15;
const CLOSINGS: usize = 40;
const SIZE: (u16, u16) = (80, 24);

fn main() {
    let folder = tempfile::tempdir_in(env!("CARGO_TARGET_TMPDIR")).unwrap();
    println!("disk: {}", folder.path().display());
    let million = std::env::args().any(|word| word == "--million");
    let sizes = [1_000, 100_000, 1_000_000];
    for counts in sizes.into_iter().take(if million { 3 } else { 2 }) {
        let file = folder.path().join(format!("{counts}.db"));
        let today = large(&file, counts);
        taps(folder.path(), &file, today, counts);
    }
    first_frames(folder.path());
}

/// Ten winters of a tenth of the counts each; one winter where there are few.
fn large(file: &Path, counts: usize) -> NaiveDate {
    let store = Store::open(file).unwrap();
    let winters = if counts > 10_000 { 10 } else { 1 };
    let spec = winters_of(winters, counts / usize::from(winters));
    let made = fill_large(&store, spec).unwrap();
    assert!(made * 10 >= counts * 9, "{made} of {counts} counts made");
    last_day(&store.winters().unwrap())
}

fn last_day(winters: &[Winter]) -> NaiveDate {
    winters.last().unwrap().budburst
}

fn start(today: NaiveDate) -> Start {
    Start {
        theme: Some(Theme::Dark),
        few_colours: false,
        round: false,
        today: Some(today),
    }
}

fn draw(terminal: &mut Terminal<TestBackend>, desk: &Desk<'_>) {
    terminal
        .draw(|frame| {
            view(&desk.model, frame.buffer_mut());
        })
        .unwrap();
}

fn bare(folder: &Path) -> Connection {
    let conn = Connection::open(folder.join("bare.db")).unwrap();
    conn.execute_batch(
        "PRAGMA journal_mode = WAL; PRAGMA synchronous = FULL;
         CREATE TABLE IF NOT EXISTS t (a INTEGER PRIMARY KEY, b INTEGER, c INTEGER)",
    )
    .unwrap();
    conn
}

/// Trees to walk to: a draw out of the last winter's work.
fn draw_trees(store: &Store) {
    let winter = store.winters().unwrap().pop().unwrap();
    let (since, until) = (winter.start, last_day(std::slice::from_ref(&winter)));
    let season = Season::load(store, winter).unwrap();
    let id = DrawId(uuid::Uuid::now_v7());
    let draw = season
        .plan_draw(CLOSINGS + 5, since, until, 1, id, until)
        .unwrap();
    store.add_draw(&draw).unwrap();
}

fn taps(folder: &Path, file: &Path, today: NaiveDate, counts: usize) {
    let store = Store::open(file).unwrap();
    draw_trees(&store);
    let mut desk = Desk::new(&store, start(today), SIZE).unwrap();
    let mut terminal = Terminal::new(TestBackend::new(SIZE.0, SIZE.1)).unwrap();
    desk.take(Event::Key(Key::F(3)));
    assert!(
        desk.model.screen == Screen::Count && desk.model.count.place().is_some(),
        "no tree in hand"
    );
    draw(&mut terminal, &desk);
    let conn = bare(folder);
    let (mut tapped, mut kept, mut committed) = (Vec::new(), Vec::new(), Vec::new());
    let keys = "123we4sd1zb23q".chars().cycle().take(TAPS);
    for (key, n) in keys.zip(0i64..) {
        let began = Instant::now();
        conn.prepare_cached("INSERT INTO t (b, c) VALUES (?1, ?2)")
            .unwrap()
            .execute([n, n + 1])
            .unwrap();
        committed.push(began.elapsed());

        let began = Instant::now();
        desk.take(Event::Key(Key::Char(key)));
        kept.push(began.elapsed());
        draw(&mut terminal, &desk);
        tapped.push(began.elapsed());
    }
    assert!(desk.model.message.is_none(), "{:?}", desk.model.message);
    println!("\n{TAPS} taps on a file with {counts} counts");
    println!("{:<28}{:>10}{:>10}", "", "p50", "p99");
    let [tap, keep, commit] = [tapped, kept, committed].map(|mut times| {
        times.sort();
        [times[TAPS / 2], times[TAPS * 99 / 100]]
    });
    row("bare commit of one row", commit);
    row("tap, committed", keep);
    row("tap, committed and drawn", tap);
    println!(
        "{:<28}{:>10.2}{:>10.2}",
        "ratio",
        ratio(tap[0], commit[0]),
        ratio(tap[1], commit[1])
    );
    closings(&mut desk, &mut terminal);
}

/// Closing a tree: all figures of the winter are made afresh, and the next tree is in hand.
fn closings(desk: &mut Desk<'_>, terminal: &mut Terminal<TestBackend>) {
    let mut times = Vec::new();
    for _ in 0..CLOSINGS {
        desk.take(Event::Key(Key::Char('1')));
        let began = Instant::now();
        desk.take(Event::Key(Key::Enter));
        draw(terminal, desk);
        times.push(began.elapsed());
    }
    times.sort();
    row(
        "a tree closed and drawn",
        [times[CLOSINGS / 2], times[CLOSINGS - 1]],
    );
}

fn row(name: &str, [p50, p99]: [Duration; 2]) {
    println!(
        "{name:<28}{:>7} µs{:>7} µs",
        p50.as_micros(),
        p99.as_micros()
    );
}

fn first_frames(folder: &Path) {
    let full = folder.join("100000.db");
    let today = last_day(&Store::open(&full).unwrap().winters().unwrap());
    let empty = folder.join("empty.db");
    fill_large(&Store::open(&empty).unwrap(), winters_of(1, 0)).unwrap();
    let empty_day = last_day(&Store::open(&empty).unwrap().winters().unwrap());
    let nothing = folder.join("nothing.db");
    drop(Store::open(&nothing).unwrap());
    let files = [(&nothing, today), (&empty, empty_day), (&full, today)];
    let mut first: [Vec<Duration>; 3] = Default::default();
    let mut whole: [Vec<Duration>; 3] = Default::default();
    for _ in 0..OPENINGS {
        for (((file, day), first), whole) in files.into_iter().zip(&mut first).zip(&mut whole) {
            let began = Instant::now();
            let store = Store::open(file).unwrap();
            let mut desk = Desk::opening(&store, start(day), SIZE).unwrap();
            let mut terminal = Terminal::new(TestBackend::new(SIZE.0, SIZE.1)).unwrap();
            draw(&mut terminal, &desk);
            first.push(began.elapsed());
            desk.open().unwrap();
            draw(&mut terminal, &desk);
            whole.push(began.elapsed());
        }
    }
    let median = |mut times: Vec<Duration>| {
        times.sort();
        times[OPENINGS / 2]
    };
    println!("\nopening, median of {OPENINGS}");
    println!("{:<28}{:>12}{:>18}", "", "first frame", "with all figures");
    let names = [
        "nothing in the file",
        "30 blocks, 40 pruners",
        "the same, 100,000 counts",
    ];
    let rows: Vec<_> = first
        .into_iter()
        .map(median)
        .zip(whole.into_iter().map(median))
        .collect();
    for (name, (first, whole)) in names.into_iter().zip(&rows) {
        println!(
            "{name:<28}{:>9} µs{:>15} µs",
            first.as_micros(),
            whole.as_micros()
        );
    }
    println!(
        "{:<28}{:>12.2}{:>18.2}",
        "ratio of the last two",
        ratio(rows[2].0, rows[1].0),
        ratio(rows[2].1, rows[1].1)
    );
}
