//! A first round through the house, told step by step in the line at the foot: on the demo orchard, for who sees the
//! program for the first time. It waits for nobody: whatever else is done meanwhile is as good.

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
pub const END: &str =
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

/// What the round looks at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Seen {
    /// The screen shown.
    pub screen: Screen,
    /// A tree is in hand.
    pub in_hand: bool,
    /// Pieces and units on it.
    pub on_tree: u32,
    /// Closed counts.
    pub closed: usize,
    /// A pruner is opened.
    pub opened: bool,
    /// There is something to read over the screen.
    pub reads: bool,
}

impl Tour {
    /// At the first step.
    pub fn begin(seen: &Seen) -> Self {
        Self {
            step: 0,
            tapped: (0, 0),
            closed: seen.closed,
        }
    }

    /// What is to be done next.
    pub fn words(&self) -> String {
        let of = STEPS.len();
        let words = STEPS[self.step.min(of - 1)];
        format!("{}/{of} {words}", self.step + 1)
    }

    /// Whether the step was taken.
    fn is_done(&self, seen: &Seen) -> bool {
        match self.step {
            0 => seen.screen == Screen::Count && seen.in_hand,
            1 => seen.on_tree >= self.tapped.0 + TAPS,
            2 => seen.on_tree < self.tapped.1,
            3 => seen.closed > self.closed,
            4 => seen.screen == Screen::Crew && seen.opened,
            5 => seen.reads,
            _ => seen.screen == Screen::Winter,
        }
    }

    /// The same, or the next step where this one was taken; none after the last.
    pub fn followed(mut self, seen: &Seen) -> Option<Self> {
        if (1..4).contains(&self.step) && seen.closed > self.closed {
            // who closes a tree has tapped on it
            self.step = 4;
        } else if self.is_done(seen) {
            self.step += 1;
            self.tapped = (seen.on_tree, 0);
        }
        // another tree may be in hand, with fewer taps on it
        self.tapped.0 = self.tapped.0.min(seen.on_tree);
        self.tapped.1 = self.tapped.1.max(seen.on_tree);
        (self.step < STEPS.len()).then_some(self)
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
        desk.model.tour = Some(Tour::begin(&desk.model.seen()));
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
