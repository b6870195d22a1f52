//! The Winter screen: done and left, pace, finish and cost; what if; worked days, comings and goings, pay.

mod cells;
mod entries;
pub(in crate::tui) mod labour;
pub(in crate::tui) mod pay;
mod update;
mod view;

#[cfg(test)]
mod tests;

use crate::report::WhatIf;
use crate::tui::Cursor;

pub use update::{entered, refreshed, update};
pub use view::view;

/// What can be changed on the part what-if: pruners, hours, days off.
const CHANGES: usize = 3;

/// What to say without a winter.
const NO_WINTER: &str = "No winter is set up yet: Set-up (F8), Winters, New (n).";

/// A part of the screen.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Part {
    /// Done and left by block.
    #[default]
    Blocks,
    /// Done by day, and the finish, as a picture.
    Line,
    /// How fast each pruner is.
    Crew,
    /// What if.
    WhatIf,
    /// Worked days, comings and goings, pay.
    Entries,
}

impl Part {
    /// All parts, in order.
    pub const ALL: [Self; 5] = [
        Self::Blocks,
        Self::Line,
        Self::Crew,
        Self::WhatIf,
        Self::Entries,
    ];

    /// The word on its button.
    pub fn title(self) -> &'static str {
        match self {
            Self::Blocks => "Finish",
            Self::Line => "Day by day",
            Self::Crew => "Pace",
            Self::WhatIf => "What if",
            Self::Entries => "Days, pay",
        }
    }

    fn place(self) -> usize {
        self as usize
    }

    fn further(self, step: isize) -> Self {
        let all = Self::ALL.len() as isize;
        Self::ALL[(self.place() as isize + step).rem_euclid(all) as usize]
    }
}

/// State of the screen.
#[derive(Debug, Default)]
pub struct State {
    part: Part,
    /// The selected line of each part.
    selected: [Cursor; Part::ALL.len()],
    /// What is changed; kept while the program runs, and nowhere else.
    what_if: WhatIf,
}

impl State {
    /// Shows a part.
    pub fn show(&mut self, part: Part) {
        self.part = part;
    }

    /// The selected line of the part, as far as there are so many.
    fn selected(&self, lines: usize) -> usize {
        self.cursor().at(lines)
    }

    fn cursor(&self) -> Cursor {
        self.selected[self.part.place()]
    }

    fn cursor_mut(&mut self) -> &mut Cursor {
        &mut self.selected[self.part.place()]
    }
}
