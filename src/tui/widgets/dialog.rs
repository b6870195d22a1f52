//! A question over the screen, with yes and no.

use super::button::{Button, button_bar};
use crate::tui::pen::{below, line_of};
use crate::tui::{Action, Pen, text};
use ratatui::layout::Rect;

/// A question to ask.
#[derive(Debug, Clone, Copy)]
pub struct Question<'a> {
    /// The heading.
    pub title: &'a str,
    /// What will happen.
    pub text: &'a str,
    /// The word on the button that does it, such as `Remove`.
    pub yes: &'a str,
    /// The word on the button that does not, such as `Keep`.
    pub no: &'a str,
}

const WIDTH: u16 = 56;

/// Draws the question in the middle of an area. What lies under it can no longer be touched.
pub fn dialog(pen: &mut Pen, area: Rect, question: &Question) {
    pen.hits.clear();
    let area = pen.clip(area);
    let width = area.width.min(WIDTH);
    let lines = text::wrap(question.text, usize::from(width.saturating_sub(4)));
    let height = (lines.len().min(200) as u16 + 7).min(area.height);
    let window = Rect::new(
        area.x + (area.width - width) / 2,
        area.y + (area.height - height) / 2,
        width,
        height,
    );
    pen.clear(window);
    let style = pen.theme.button_active();
    pen.fill(line_of(window, 0), ' ', style);
    pen.text(inset(line_of(window, 0)), question.title, style);
    pen.fill(line_of(window, height.saturating_sub(1)), ' ', style);
    let inner = inset(below(window, 2));
    let bar = Rect {
        y: window.y + height.saturating_sub(4),
        height: height.min(3),
        ..inner
    };
    let words = Rect {
        height: bar.y.saturating_sub(inner.y).min(inner.height),
        ..inner
    };
    let ordinary = pen.theme.text();
    pen.wrapped(words, question.text, ordinary);
    let buttons = [
        Button::new(question.yes, Action::Confirm).key("Enter"),
        Button::new(question.no, Action::Cancel).key("Esc"),
    ];
    button_bar(pen, bar, &buttons);
}

/// The area without two columns at either side.
fn inset(area: Rect) -> Rect {
    let side = (area.width / 2).min(2);
    Rect::new(area.x + side, area.y, area.width - 2 * side, area.height)
}
