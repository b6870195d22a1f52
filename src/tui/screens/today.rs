//! The today screen.

use ratatui::layout::Rect;

use crate::tui::app::{Effect, Model, Moment};
use crate::tui::{Action, Pen};

/// State of the screen.
#[derive(Debug, Default)]
pub struct State {
    /// The selected line.
    pub selected: usize,
}

/// What an action does here.
pub fn update(_model: &mut Model, _action: Action, _moment: Moment) -> Vec<Effect> {
    Vec::new()
}

/// Draws the screen.
pub fn view(_model: &Model, _pen: &mut Pen, _area: Rect) {}
