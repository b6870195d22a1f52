//! How much room there is, and what a small screen has no room for.

use super::Action;

/// Columns and lines from which on everything has its place at once. On a smaller screen the places of the house stand
/// on one line, the buttons that are needed least are folded, and lists have fewer columns.
pub const FULL: (u16, u16) = (80, 24);

/// Whether a screen of so many columns and lines is small.
pub fn is_small((columns, lines): (u16, u16)) -> bool {
    columns < FULL.0 || lines < FULL.1
}

/// A button that found no room.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fold {
    /// Its label.
    pub label: String,
    /// The name of its key.
    pub key: Option<String>,
    /// What it asks for.
    pub action: Action,
    /// It does nothing now.
    pub off: bool,
}

/// What a small screen has no room for: it is told and touched in the menu.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Folded {
    /// Words that were cut or left out, in the order of the screen.
    pub words: Vec<String>,
    /// Buttons that were left out.
    pub buttons: Vec<Fold>,
}

impl Folded {
    /// Words that were cut, if they are not told yet.
    pub fn tell(&mut self, words: &str) {
        let words = words.trim();
        if !words.is_empty() && !self.words.iter().any(|known| known == words) {
            self.words.push(words.to_owned());
        }
    }

    /// Whether everything had its place.
    pub fn is_empty(&self) -> bool {
        self.words.is_empty() && self.buttons.is_empty()
    }

    /// The buttons of the place before those that lead to other places.
    pub fn in_order(&mut self) {
        let leads = |one: &Fold| matches!(one.action, Action::Go(_) | Action::Help | Action::Quit);
        self.buttons.sort_by_key(leads);
    }

    /// A button, if none asks for the same yet.
    pub fn fold(&mut self, button: Fold) {
        if !self
            .buttons
            .iter()
            .any(|known| known.action == button.action)
        {
            self.buttons.push(button);
        }
    }
}
