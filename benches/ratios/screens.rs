//! From the key to the drawn screen, on ten winters, 30 blocks and 40 pruners, beside one frame (16 ms): each screen
//! opened, and a number changed on Winter and on Outlook.

use std::time::{Duration, Instant};

use ratatui::Terminal;
use ratatui::backend::TestBackend;
use thirdwood::demo::fill_large;
use thirdwood::orchard::{BlockId, WinterId};
use thirdwood::outlook::Target;
use thirdwood::store::Store;
use thirdwood::tui::app::{Event, view};
use thirdwood::tui::runtime::{Runtime, Start};
use thirdwood::tui::{Action, Key, Screen, Theme};

use crate::common::{folder, median, quantile, winters_of};
use crate::table::Table;

const ROUNDS: usize = 40;
const FRAME: Duration = Duration::from_millis(16);
const SIZE: (u16, u16) = (120, 40);

pub fn run(table: &mut Table) {
    let folder = folder();
    let store = Store::open(&folder.path().join("orchard.db")).unwrap();
    let counts = fill_large(&store, winters_of(10, 12_000)).unwrap();
    let winter = store.winters().unwrap().pop().unwrap();
    let blocks = store.blocks().unwrap();
    aims(&store, winter.id, blocks.iter().map(|block| block.id));
    let start = Start {
        theme: Some(Theme::Dark),
        few_colours: false,
        round: false,
        today: Some(winter.start + chrono::Days::new(40)),
    };
    let desk = Runtime::new(&store, start, SIZE).unwrap();
    let terminal = Terminal::new(TestBackend::new(SIZE.0, SIZE.1)).unwrap();
    println!("{counts} counts, {} blocks, 40 pruners", blocks.len());
    let mut measure = Measure {
        table,
        desk,
        terminal,
    };
    for screen in Screen::ALL {
        let elsewhere = if screen == Screen::Today {
            Screen::Count
        } else {
            Screen::Today
        };
        measure.of(&format!("{screen:?} opened"), |desk, _| {
            go(desk, elsewhere);
            go(desk, screen);
        });
    }
    go(&mut measure.desk, Screen::Winter);
    while !shown(&measure.desk).contains("nothing of this is stored") {
        measure.desk.take(Event::Key(Key::Right));
    }
    measure.of("Winter, a number changed", plus_and_minus);
    go(&mut measure.desk, Screen::Outlook);
    measure.desk.take(Event::Key(Key::Enter));
    measure.of("Outlook, a number changed", plus_and_minus);
    measure.of("Outlook, drawn without a change", |_, _| {});
}

fn plus_and_minus(desk: &mut Runtime<'_>, round: usize) {
    let key = if round.is_multiple_of(2) { '+' } else { '-' };
    desk.take(Event::Key(Key::Char(key)));
}

/// An aim for every block.
fn aims(store: &Store, winter: WinterId, blocks: impl Iterator<Item = BlockId>) {
    for block in blocks {
        store
            .save_aim(winter, block, Some(Target::TonnesPerHa(40.0)))
            .unwrap();
    }
}

fn go(desk: &mut Runtime<'_>, screen: Screen) {
    desk.take(Event::Act(Action::Go(screen)));
}

fn shown(desk: &Runtime<'_>) -> String {
    let mut buf = ratatui::buffer::Buffer::empty(ratatui::layout::Rect::new(0, 0, SIZE.0, SIZE.1));
    view(&desk.model, &mut buf);
    buf.content
        .iter()
        .map(ratatui::buffer::Cell::symbol)
        .collect()
}

struct Measure<'t, 's> {
    table: &'t mut Table,
    desk: Runtime<'s>,
    terminal: Terminal<TestBackend>,
}

impl<'s> Measure<'_, 's> {
    fn of(&mut self, name: &str, mut change: impl FnMut(&mut Runtime<'s>, usize)) {
        let times: Vec<Duration> = (0..ROUNDS)
            .map(|round| {
                let began = Instant::now();
                change(&mut self.desk, round);
                self.terminal
                    .draw(|frame| {
                        view(&self.desk.model, frame.buffer_mut());
                    })
                    .unwrap();
                began.elapsed()
            })
            .collect();
        let slowest = quantile(&times, 1.0);
        println!(
            "{name:<34} slowest of {ROUNDS}: {:>6} µs",
            slowest.as_micros()
        );
        (self.table).aimed(name, median(&times), 1.0, ("one frame", FRAME));
    }
}
