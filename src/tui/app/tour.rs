//! A first round through the house, told step by step in the line at the foot: on the demo orchard, for who sees the
//! program for the first time. It waits for nobody: whatever else is done meanwhile is as good.

use super::{Layer, Model};
use crate::orchard::Tally;
use crate::tui::{Action, Screen};

/// What is told at each step; at most 58 letters, so that the way out fits beside it.
const STEPS: [&str; 7] = [
    "Count (Space) takes the first tree in hand",
    "tap 1, 2, 3: wood of that age; d: a medium unit, 2 buds",
    "UNDO (Backspace) takes the last tap back, each time",
    "CLOSE (Enter) closes the tree: all figures follow at once",
    "Leave (Esc), then Crew (F4): Open (Enter) opens a pruner",
    "Sheet (s) is what this pruner gets at day's end",
    "Back (Esc), and Winter (F6) tells when all will be done",
];
/// What is told at the end.
const END: &str =
    "That was the round. Set-up (F8) is for your own blocks, Help (F1) leads to paper";
/// Taps that are enough to have seen it.
const TAPS: u32 = 3;

/// How far somebody is on the first round.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Tour {
    step: usize,
    /// Pieces and units of the tree in hand when the step began, and the most since.
    tapped: (u32, u32),
    /// Closed counts when the round began.
    closed: usize,
}

impl Tour {
    /// At the first step.
    pub fn begin(model: &Model) -> Self {
        Self {
            step: 0,
            tapped: (0, 0),
            closed: closed(model),
        }
    }

    /// What is to be done next.
    pub fn words(&self) -> String {
        let of = STEPS.len();
        let words = STEPS[self.step.min(of - 1)];
        format!("{}/{of} {words}", self.step + 1)
    }

    /// Whether the step was taken.
    fn is_done(&self, model: &Model) -> bool {
        let now = on_tree(model);
        match self.step {
            0 => model.screen == Screen::Count && model.count.place().is_some(),
            1 => now >= self.tapped.0 + TAPS,
            2 => now < self.tapped.1,
            3 => closed(model) > self.closed,
            4 => model.screen == Screen::Crew && model.crew.is_open(),
            5 => matches!(model.layers.last(), Some(Layer::Page { .. })),
            _ => model.screen == Screen::Winter,
        }
    }
}

fn on_tree(model: &Model) -> u32 {
    let sum = |tally: &Tally| tally.pieces() + tally.unit_count();
    model.count.tally().map_or(0, sum)
}

fn closed(model: &Model) -> usize {
    let counts = model.season.iter().flat_map(crate::report::Season::counts);
    counts.filter(|count| count.closed).count()
}

/// Goes on to the next step where this one was taken; after the last, says so and is over. To be called after every
/// event; it changes nothing where no round is under way.
pub fn follow(model: &mut Model) {
    let Some(mut tour) = model.tour else {
        return;
    };
    if (1..4).contains(&tour.step) && closed(model) > tour.closed {
        // who closes a tree has tapped on it
        tour.step = 4;
    } else if tour.is_done(model) {
        tour.step += 1;
        tour.tapped = (on_tree(model), 0);
    }
    // another tree may be in hand, with fewer taps on it
    tour.tapped.0 = tour.tapped.0.min(on_tree(model));
    tour.tapped.1 = tour.tapped.1.max(on_tree(model));
    model.tour = (tour.step < STEPS.len()).then_some(tour);
    if model.tour.is_none() {
        model.note(END);
    }
}

/// The key and the touch that end it.
pub const ENDS: (&str, Action) = ("F9 ends the round", Action::EndRound);

#[cfg(test)]
mod tests {
    use ratatui::buffer::Buffer;
    use ratatui::layout::Rect;

    use super::*;
    use crate::store::Store;
    use crate::tui::app::{Event, view};
    use crate::tui::runtime::Runtime;
    use crate::tui::trial::{start, today};
    use crate::tui::{Key, app};

    fn foot(desk: &Runtime<'_>) -> String {
        let mut buf = Buffer::empty(Rect::new(0, 0, 80, 24));
        app::view(&desk.model, &mut buf);
        (0..80).map(|x| buf[(x, 23)].symbol()).collect()
    }

    fn demo(store: &Store) -> Runtime<'_> {
        crate::demo::fill(store, 1, today()).unwrap();
        let mut desk = Runtime::new(store, start(), (80, 24)).unwrap();
        desk.model.tour = Some(Tour::begin(&desk.model));
        desk
    }

    #[test]
    fn the_round_leads_from_the_first_tap_to_the_winter() {
        let store = Store::in_memory().unwrap();
        let mut desk = demo(&store);
        let keys: [&[Key]; 7] = [
            &[Key::Char(' ')],
            &[Key::Char('1'), Key::Char('2'), Key::Char('d')],
            &[Key::Backspace],
            &[Key::Enter],
            &[Key::F(4), Key::Enter],
            &[Key::Char('s')],
            &[Key::Esc, Key::F(6)],
        ];
        for (at, keys) in keys.into_iter().enumerate() {
            let said = foot(&desk);
            assert!(said.starts_with(&format!("{}/7 ", at + 1)), "{at}: {said}");
            assert!(said.trim_end().ends_with(ENDS.0), "{said}");
            for key in keys {
                desk.take(Event::Key(*key));
                // what is told in between gives way to the round
                desk.model.message = None;
            }
        }
        assert_eq!(desk.model.tour, None);
    }

    #[test]
    fn it_ends_by_key_and_by_touch_and_hinders_nothing() {
        let store = Store::in_memory().unwrap();
        let mut desk = demo(&store);
        desk.take(Event::Key(Key::F(6)));
        assert_eq!(desk.model.screen, Screen::Winter);
        assert!(desk.model.tour.is_some(), "another way is as good");
        let mut buf = Buffer::empty(Rect::new(0, 0, 80, 24));
        let hits = view(&desk.model, &mut buf);
        assert_eq!(hits.at(75, 23), Some(Action::EndRound));
        desk.take(Event::Key(Key::F(9)));
        assert_eq!(desk.model.tour, None);
        assert!(!foot(&desk).contains("round"));
    }
}
