//! The tabs: the places of the house, help and the way out, as buttons.

use super::button::{Button, button_bar};
use crate::tui::keymap::{BudKeys, key_name};
use crate::tui::{Action, Context, Pen, Screen};
use ratatui::layout::Rect;

/// Draws the tabs over an area, best 3 lines high and at least 56 columns wide.
pub fn tabs(pen: &mut Pen, area: Rect, current: Screen) {
    let mut bar: Vec<Button> = Screen::ALL
        .into_iter()
        .map(|screen| tab(screen.title(), Action::Go(screen)).active(screen == current))
        .collect();
    bar.push(tab("Help", Action::Help));
    bar.push(tab("Quit", Action::Quit));
    button_bar(pen, area, &bar);
}

fn tab(label: &'static str, action: Action) -> Button<'static> {
    let button = Button::new(label, action);
    let general = [Context::House, Context::Anywhere];
    match key_name(&general, action, &BudKeys::QWERTY) {
        // nine tabs leave no room for the long name of a control key
        Some(key) => button.key(key.replace("Ctrl-", "^")),
        None => button,
    }
}
