//! The tabs: the places of the house, help and the way out, as buttons; and names on one line where there is no room for
//! buttons.

use super::button::{Button, button_bar};
use crate::tui::keymap::{BudKeys, key_name};
use crate::tui::pen::right_of;
use crate::tui::{Action, Context, Pen, Screen, text};
use ratatui::layout::Rect;

/// Lines of the tabs.
pub fn tab_lines(small: bool) -> u16 {
    if small { 1 } else { 3 }
}

/// Draws the tabs over an area of [`tab_lines`] lines, at least 56 columns wide. On a small screen they are in the menu as
/// buttons.
pub fn tabs(pen: &mut Pen, area: Rect, current: Screen) {
    let bar: Vec<Button> = all_tabs()
        .into_iter()
        .map(|one| {
            let shown = one.action() == Action::Go(current);
            one.active(shown)
        })
        .collect();
    if !pen.small {
        return button_bar(pen, area, &bar);
    }
    fold_tabs(pen);
    let names: Vec<(&str, Action)> = bar.iter().map(|one| (one.label(), one.action())).collect();
    strip(pen, area, &names, Action::Go(current));
}

/// The tabs are in the menu, on a screen without them too.
pub fn fold_tabs(pen: &mut Pen) {
    if let Some(folded) = pen.folded() {
        for one in all_tabs() {
            folded.fold(one.fold());
        }
    }
}

fn all_tabs() -> Vec<Button<'static>> {
    let screens = Screen::ALL.into_iter();
    let mut all: Vec<Button> = screens
        .map(|screen| tab(screen.title(), Action::Go(screen)))
        .collect();
    all.push(tab("Help", Action::Help));
    all.push(tab("Quit", Action::Quit));
    all
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

/// Names side by side on one line, the one that is shown set apart; a touch goes to any. They stand closer where there is
/// not room for all.
pub fn strip(pen: &mut Pen, line: Rect, names: &[(&str, Action)], shown: Action) {
    let letters: usize = names.iter().map(|(name, _)| text::width(name)).sum();
    let gaps = names.len().saturating_sub(1);
    let columns = usize::from(line.width);
    let (padded, marked) = (letters + 2 * names.len() + gaps, letters + gaps + 2);
    let mut x = 0;
    for (name, action) in names {
        let name = match (*action == shown, padded <= columns, marked <= columns) {
            (true, true, _) | (true, _, true) => format!("[{name}]"),
            (false, true, _) => format!(" {name} "),
            _ => (*name).to_owned(),
        };
        let rest = right_of(line, x);
        let place = Rect {
            width: (text::width(&name) as u16).min(rest.width),
            ..rest
        };
        let style = if *action == shown {
            pen.theme.button_active()
        } else {
            pen.theme.faint()
        };
        pen.text(place, &name, style);
        pen.style(place, style);
        pen.touch_row(place, *action);
        x += place.width + 1;
    }
}
