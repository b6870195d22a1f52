//! A first round through the house, told step by step in the line at the foot: on the demo orchard, for who sees the
//! program for the first time. It waits for nobody: whatever else is done meanwhile is as good.

use crate::orchard::Part;
use crate::tui::{Action, Screen};

/// What is told at each step; at most 58 letters, so that the way out fits beside it.
const STEPS: [&str; 9] = [
    "Draw (d), Save (Ctrl-S): trees to look at, chosen by lot",
    "Count (Space) takes a tree of the list in hand",
    "Tree (5), Part counted: type 2 for two stems; Ctrl-S",
    "tap 1, 2, 3: a piece of wood of that age",
    "a letter: a two-year piece with buds; d: medium, 2 buds",
    "UNDO (Backspace) takes back what was done last",
    "CLOSE (Enter), yes (y): figures follow at once",
    "Leave (Esc), Crew (F4), Sheet (s): for the pruner",
    "Back (Esc), and Winter (F6) tells when all will be done",
];
/// Where the tree in hand is left alone: whoever has closed a tree has seen the steps before.
const CLOSED: usize = 7;
/// What is told at the end.
pub const END: &str =
    "That was the round. Set-up (F8) is for your own blocks, Help (F1) leads to paper";
/// How far somebody is on the first round.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Tour {
    step: usize,
    /// What was there when the step began.
    from: Seen,
    /// The most pieces and units of the tree in hand since then.
    most: u32,
    /// Closed counts when the round began.
    closed: usize,
}

/// What the round looks at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Seen {
    /// The screen shown.
    pub screen: Screen,
    /// Draws made.
    pub draws: usize,
    /// The part of the tree in hand that is counted, if one is.
    pub part: Option<Part>,
    /// Pieces on it.
    pub pieces: u32,
    /// Units on it.
    pub units: u32,
    /// Closed counts.
    pub closed: usize,
    /// There is something to read over the screen.
    pub reads: bool,
}

impl Seen {
    fn on_tree(&self) -> u32 {
        self.pieces + self.units
    }
}

impl Tour {
    /// At the first step.
    pub fn begin(seen: &Seen) -> Self {
        Self {
            step: 0,
            from: *seen,
            most: 0,
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
        let in_hand = seen.screen == Screen::Count && seen.part.is_some();
        match self.step {
            // who takes a tree in hand need not draw first
            0 => seen.draws > self.from.draws || in_hand,
            1 => in_hand,
            2 => in_hand && seen.part != self.from.part,
            3 => seen.pieces > self.from.pieces,
            4 => seen.units > self.from.units,
            5 => seen.on_tree() < self.most,
            6 => seen.closed > self.closed,
            7 => seen.reads,
            _ => seen.screen == Screen::Winter,
        }
    }

    /// The same, or the next step where this one was taken; none after the last.
    pub fn followed(mut self, seen: &Seen) -> Option<Self> {
        if self.step < CLOSED && seen.closed > self.closed {
            self.step = CLOSED;
        } else if self.is_done(seen) {
            self.step += 1;
            (self.from, self.most) = (*seen, seen.on_tree());
        }
        // another tree may be in hand, with fewer taps on it
        self.from.pieces = self.from.pieces.min(seen.pieces);
        self.from.units = self.from.units.min(seen.units);
        self.most = self.most.max(seen.on_tree());
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
        let keys: [&[Key]; 9] = [
            &[Key::Char('d'), Key::Ctrl('s')],
            &[Key::Char(' ')],
            &[
                Key::Char('5'),
                Key::Down,
                Key::Down,
                Key::Ctrl('u'),
                Key::Char('2'),
                Key::Ctrl('s'),
            ],
            &[Key::Char('1')],
            &[Key::Char('d')],
            &[Key::Backspace],
            &[Key::Enter, Key::Char('y')],
            &[Key::Esc, Key::F(4), Key::Char('s')],
            &[Key::Esc, Key::F(6)],
        ];
        for (at, keys) in keys.into_iter().enumerate() {
            let said = foot(&desk);
            assert!(said.starts_with(&format!("{}/9 ", at + 1)), "{at}: {said}");
            assert!(said.trim_end().ends_with(ENDS.0), "{said}");
            let words = desk.model.tour.as_ref().unwrap().words();
            assert!(words.len() <= 60, "{words:?} is cut on a small screen");
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
