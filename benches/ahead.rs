//! What a change on Winter and on Outlook costs, on ten winters, 30 blocks and 40 pruners.
//!
//! `cargo bench --bench ahead` prints the time from the key to the drawn screen, as a ratio to one
//! frame (16 ms) and to drawing the same screen without a change.
#![allow(clippy::unwrap_used, missing_docs)]

#[path = "common/mod.rs"]
mod common;

use std::time::{Duration, Instant};

use common::winters_of;
use ratatui::Terminal;
use ratatui::backend::TestBackend;
use thirdwood::demo::fill_large;
use thirdwood::orchard::{BlockId, WinterId};
use thirdwood::outlook::Target;
use thirdwood::store::Store;
use thirdwood::tui::app::{Event, view};
use thirdwood::tui::run::{Desk, Start};
use thirdwood::tui::{Action, Key, Screen, Theme};

const ROUNDS: usize = 40;
const FRAME: Duration = Duration::from_millis(16);
const SIZE: (u16, u16) = (120, 40);

fn main() {
    let folder = tempfile::tempdir_in(env!("CARGO_TARGET_TMPDIR")).unwrap();
    let store = Store::open(&folder.path().join("orchard.db")).unwrap();
    let counts = fill_large(&store, winters_of(10, 12_000)).unwrap();
    let winter = store.winters().unwrap().pop().unwrap();
    aims(
        &store,
        winter.id,
        store.blocks().unwrap().iter().map(|block| block.id),
    );
    let start = Start {
        theme: Some(Theme::Dark),
        few_colours: false,
        round: false,
        today: Some(winter.start + chrono::Days::new(40)),
    };
    let mut desk = Desk::new(&store, start, SIZE).unwrap();
    let mut terminal = Terminal::new(TestBackend::new(SIZE.0, SIZE.1)).unwrap();
    println!("{counts} counts, 30 blocks, 40 pruners; median and slowest of {ROUNDS}");
    println!(
        "{:<34}{:>10}{:>10}{:>10}",
        "", "median", "slowest", "frames"
    );

    go(&mut desk, Screen::Winter);
    measure("Winter, opened", &mut desk, &mut terminal, |desk, _| {
        go(desk, Screen::Today);
        go(desk, Screen::Winter);
    });
    while !shown(&desk).contains("nothing of this is stored") {
        desk.take(Event::Key(Key::Right));
    }
    measure(
        "Winter, a number changed",
        &mut desk,
        &mut terminal,
        |desk, round| {
            desk.take(Event::Key(Key::Char(if round % 2 == 0 {
                '+'
            } else {
                '-'
            })));
        },
    );
    measure("Outlook, opened", &mut desk, &mut terminal, |desk, _| {
        go(desk, Screen::Today);
        go(desk, Screen::Outlook);
    });
    desk.take(Event::Key(Key::Enter));
    measure(
        "Outlook, a number changed",
        &mut desk,
        &mut terminal,
        |desk, round| {
            desk.take(Event::Key(Key::Char(if round % 2 == 0 {
                '+'
            } else {
                '-'
            })));
        },
    );
    measure(
        "Outlook, drawn without a change",
        &mut desk,
        &mut terminal,
        |_, _| {},
    );
}

/// An aim for every block.
fn aims(store: &Store, winter: WinterId, blocks: impl Iterator<Item = BlockId>) {
    for block in blocks {
        store
            .save_aim(winter, block, Some(Target::TonnesPerHa(40.0)))
            .unwrap();
    }
}

fn go(desk: &mut Desk<'_>, screen: Screen) {
    desk.take(Event::Act(Action::Go(screen)));
}

fn shown(desk: &Desk<'_>) -> String {
    let mut buf = ratatui::buffer::Buffer::empty(ratatui::layout::Rect::new(0, 0, SIZE.0, SIZE.1));
    view(&desk.model, &mut buf);
    buf.content
        .iter()
        .map(ratatui::buffer::Cell::symbol)
        .collect()
}

fn measure<'s>(
    name: &str,
    desk: &mut Desk<'s>,
    terminal: &mut Terminal<TestBackend>,
    mut change: impl FnMut(&mut Desk<'s>, usize),
) {
    let mut times: Vec<Duration> = (0..ROUNDS)
        .map(|round| {
            let began = Instant::now();
            change(desk, round);
            terminal
                .draw(|frame| {
                    view(&desk.model, frame.buffer_mut());
                })
                .unwrap();
            began.elapsed()
        })
        .collect();
    times.sort();
    let (median, slowest) = (times[ROUNDS / 2], times[ROUNDS - 1]);
    println!(
        "{name:<34}{:>7} µs{:>7} µs{:>10.2}",
        median.as_micros(),
        slowest.as_micros(),
        median.as_secs_f64() / FRAME.as_secs_f64()
    );
}
