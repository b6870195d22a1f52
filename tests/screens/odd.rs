//! Windows of any size, and hands that press anything.

use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha20Rng;
use thirdwood::store::Store;
use thirdwood::tui::app::{Event, FormKind, Layer};
use thirdwood::tui::keymap::TABLE;
use thirdwood::tui::{Action, Key, Screen};

use crate::{demo, desk, drawn, empty, fill, places};

/// Widths and heights at which something changes, or nothing fits.
const WIDTHS: [u16; 10] = [0, 1, 2, 60, 79, 80, 81, 109, 110, 130];
const HEIGHTS: [u16; 8] = [0, 1, 3, 23, 24, 25, 30, 45];

#[test]
fn nothing_panics_in_a_window_of_any_size() {
    let mut random = ChaCha20Rng::seed_from_u64(1);
    let mut drawings = 0;
    for store in [demo(), empty(), places::odd_names()] {
        for place in places::all() {
            let mut desk = place.open(&store, (80, 24));
            let edges = WIDTHS.iter().flat_map(|w| HEIGHTS.map(|h| (*w, h)));
            let others =
                (0..30).map(|_| (random.random_range(0..=130), random.random_range(0..=45)));
            for size in edges.chain(others.collect::<Vec<_>>()) {
                desk.take(Event::Resize(size.0, size.1));
                let (buf, hits) = drawn(&desk, size);
                drawings += 1;
                for (area, _) in hits.targets().chain(hits.rows()) {
                    assert_eq!(
                        area.intersection(buf.area),
                        area,
                        "{} at {size:?}",
                        place.name
                    );
                }
            }
        }
    }
    assert!(drawings > 20_000, "{drawings} drawings");
}

#[test]
fn every_page_of_every_list_is_drawn() {
    for store in [demo(), places::odd_names()] {
        for size in [(80, 24), (81, 25), (120, 40), (200, 60)] {
            for place in places::all() {
                let mut desk = place.open(&store, size);
                let mut before = drawn(&desk, size).0;
                for page in 0.. {
                    desk.take(Event::Key(Key::PageDown));
                    let now = drawn(&desk, size).0;
                    assert!(page < 500, "{} has no end", place.name);
                    if now == before {
                        break;
                    }
                    before = now;
                }
            }
        }
    }
}

/// One thing that a hand may do.
fn anything(random: &mut ChaCha20Rng, touchable: &[Action]) -> Event {
    match random.random_range(0..20) {
        0 => Event::Resize(random.random_range(0..=130), random.random_range(0..=45)),
        1 => Event::Paste("12\n梨\u{1b}[31m\u{202e}x".repeat(random.random_range(1..9))),
        2 | 3 => Event::Act(Action::Go(Screen::ALL[random.random_range(0..5)])),
        4..=7 if !touchable.is_empty() => {
            Event::Act(touchable[random.random_range(0..touchable.len())])
        }
        8..=11 => {
            let bind = TABLE[random.random_range(0..TABLE.len())];
            Event::Key(bind.keys[random.random_range(0..bind.keys.len())])
        }
        12 => Event::Key(Key::Ctrl('s')),
        13 => Event::Key(Key::Enter),
        14 => Event::Tick,
        _ => {
            let typed = "1234567890qwertyuiopasdfghjklzxcvbnm,.- :;é梨";
            let letter = random.random_range(0..typed.chars().count());
            Event::Key(Key::Char(typed.chars().nth(letter).unwrap()))
        }
    }
}

fn walk(store: &Store, seed: u64, steps: usize) -> usize {
    let mut random = ChaCha20Rng::seed_from_u64(seed);
    let mut desk = desk(store, (80, 24));
    let folder = tempfile::tempdir().unwrap();
    let mut touchable = Vec::new();
    let mut forms = 0;
    for step in 0..steps {
        let event = anything(&mut random, &touchable);
        desk.take(event.clone());
        if let Some(Layer::Form(form, FormKind::Papers)) = desk.model.layers.last_mut() {
            // what is written here goes away again
            fill(form, "folder", &folder.path().display().to_string());
        }
        let size = desk.model.size;
        let (_, hits) = drawn(&desk, size);
        assert_eq!(hits.too_small(), [], "seed {seed}, step {step}: {event:?}");
        touchable = hits
            .targets()
            .chain(hits.rows())
            .map(|(_, action)| action)
            .collect();
        forms += usize::from(!desk.model.layers.is_empty());
    }
    forms
}

#[test]
fn hands_that_press_anything_break_nothing() {
    let mut covers = 0;
    for (seed, store) in (1..).zip([empty(), empty(), demo(), places::odd_names()]) {
        covers += walk(&store, seed, 3_000);
        let found = store.check().unwrap();
        assert_eq!(found.problems, Vec::<String>::new(), "seed {seed}");
    }
    assert!(covers > 1_000, "{covers} steps were in forms and the like");
}
