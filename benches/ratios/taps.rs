//! What a tap costs, and how soon the program is there.
//!
//! - A tap from the key to the disk to the drawn screen, beside a bare commit of one row by the same database with the
//!   same settings on the same disk, the two taken in turns: on files of a thousand, a hundred thousand and a million counts.
//! - The first frame of a file with 100,000 counts, beside that of a file without any.

use std::path::Path;
use std::time::{Duration, Instant};

use chrono::NaiveDate;
use ratatui::Terminal;
use ratatui::backend::TestBackend;
use rusqlite::Connection;
use thirdwood::demo::fill_large;
use thirdwood::orchard::{DrawId, Winter};
use thirdwood::report::Season;
use thirdwood::store::Store;
use thirdwood::tui::app::{Event, view};
use thirdwood::tui::runtime::{Runtime, Start};
use thirdwood::tui::{Key, Screen, Theme};

use crate::common::{folder, median, quantile, winters_of};
use crate::table::Table;

const TAPS: usize = 2_000;
const OPENINGS: usize = 15;
const CLOSINGS: usize = 40;
const SIZE: (u16, u16) = (80, 24);

pub fn run(table: &mut Table) {
    let folder = folder();
    println!("disk: {}", folder.path().display());
    for (counts, winters) in [(1_000, 1), (100_000, 10), (1_000_000, 30)] {
        let file = folder.path().join(format!("{counts}.db"));
        let today = large(&file, counts, winters);
        taps(table, folder.path(), &file, today, counts);
    }
    first_frames(table, folder.path());
}

fn large(file: &Path, counts: usize, winters: u16) -> NaiveDate {
    let store = Store::open(file).unwrap();
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

fn draw(terminal: &mut Terminal<TestBackend>, desk: &Runtime<'_>) {
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

fn taps(table: &mut Table, folder: &Path, file: &Path, today: NaiveDate, counts: usize) {
    let store = Store::open(file).unwrap();
    draw_trees(&store);
    let mut desk = Runtime::new(&store, start(today), SIZE).unwrap();
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
    println!("{TAPS} taps on a file with {counts} counts");
    for (name, share) in [("p50", 0.5), ("p99", 0.99)] {
        let [tap, keep, commit] = [&tapped, &kept, &committed].map(|times| quantile(times, share));
        let bare = (&*format!("bare commit of one row, {name}"), commit);
        let of = |what| format!("a tap {what}, {counts} counts, {name}");
        table.aimed(&of("on disk"), keep, 1.5, bare);
        table.aimed(&of("on disk and drawn"), tap, 1.5, bare);
    }
    let closed = closings(&mut desk, &mut terminal);
    let frame = ("one frame", Duration::from_millis(16));
    table.aimed(
        &format!("a tree closed and drawn, {counts} counts"),
        closed,
        1.0,
        frame,
    );
}

/// Closing a tree: all figures of the winter are made afresh, and the next tree is in hand.
fn closings(desk: &mut Runtime<'_>, terminal: &mut Terminal<TestBackend>) -> Duration {
    let mut times = Vec::new();
    for _ in 0..CLOSINGS {
        desk.take(Event::Key(Key::Char('1')));
        let began = Instant::now();
        desk.take(Event::Key(Key::Enter));
        draw(terminal, desk);
        times.push(began.elapsed());
    }
    println!(
        "a tree closed and drawn: slowest of {CLOSINGS} {} ms",
        quantile(&times, 1.0).as_millis()
    );
    median(&times)
}

fn first_frames(table: &mut Table, folder: &Path) {
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
            let mut desk = Runtime::opening(&store, start(day), SIZE).unwrap();
            let mut terminal = Terminal::new(TestBackend::new(SIZE.0, SIZE.1)).unwrap();
            draw(&mut terminal, &desk);
            first.push(began.elapsed());
            desk.open().unwrap();
            draw(&mut terminal, &desk);
            whole.push(began.elapsed());
        }
    }
    let [nothing, empty, full] =
        [0, 1, 2].map(|at: usize| (median(&first[at]), median(&whole[at])));
    println!(
        "first frame of a file with nothing in it: {} µs",
        nothing.0.as_micros()
    );
    let beside = "the same of a file without counts";
    table.aimed(
        "first frame, 100,000 counts",
        full.0,
        2.0,
        (beside, empty.0),
    );
    table.aimed(
        "first frame, 100,000 counts",
        full.0,
        1.0,
        ("100 ms", Duration::from_millis(100)),
    );
    table.row(
        "all figures on screen, 100,000 counts",
        full.1,
        beside,
        empty.1,
    );
}
