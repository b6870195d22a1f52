//! The Set-up screen: winters, blocks, crew, rules, and all that was recorded, to be made, changed
//! and removed.

mod cells;
pub(in crate::tui) mod forms;
pub(in crate::tui) mod guide;
mod lines;
mod remove;
mod section;
mod update;
mod view;

#[cfg(test)]
mod count_tests;
#[cfg(test)]
mod looks;
#[cfg(test)]
mod tests;
#[cfg(test)]
mod touch;

use crate::tui::Cursor;
pub use section::Section;
pub use update::{count_goes, count_is_back, entered, select_newest, tablets_read, update};
pub use view::view;

/// State of the screen.
#[derive(Debug, Default)]
pub struct State {
    section: Section,
    /// The selected line of each section.
    selected: [Cursor; Section::ALL.len()],
}

impl State {
    /// The section shown.
    pub fn section(&self) -> Section {
        self.section
    }

    /// Shows a section.
    pub fn show(&mut self, section: Section) {
        self.section = section;
    }

    /// The selected line of the section, as far as there are so many.
    fn selected(&self, lines: usize) -> usize {
        self.cursor().at(lines)
    }

    fn cursor(&self) -> Cursor {
        self.selected[self.section.place()]
    }

    fn select(&mut self, line: usize) {
        self.selected[self.section.place()].put(line);
    }
}
