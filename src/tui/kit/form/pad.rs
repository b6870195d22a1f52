//! Buttons for a hand without a keyboard: the digits and marks that a value is written with, the entries of a choice.

use super::{Field, Form, Kind};
use crate::tui::hit::{MIN_HEIGHT, MIN_WIDTH};
use crate::tui::pen::{below, line_of};
use crate::tui::widgets::{Button, button_bar};
use crate::tui::{Action, Pen, text};
use ratatui::layout::Rect;

/// From this width on, hints and complaints stand below the value; in less, they have the whole width.
pub(super) const WIDE: u16 = 80;
/// Lines that the fields keep at least.
const FIELDS: u16 = 4;
/// The most entries of a choice that have a button each.
const ENTRIES: usize = 12;
/// The widest that an entry is written on its button.
const WIDEST: usize = 20;
const DIGITS: &str = "0123456789";

/// Lines that the buttons of one field take at most in a room: whichever field is in focus.
pub(super) fn most_lines(form: &Form, room: Rect) -> u16 {
    let fields = form.fields.iter();
    let lines = fields.map(|field| lines_of(&buttons(field, room), room));
    lines.max().unwrap_or(0)
}

/// Buttons side by side in a room.
fn columns(buttons: &[(String, Action)], room: Rect) -> usize {
    let widest = buttons.iter().map(|(label, _)| text::width(label)).max();
    let each = MIN_WIDTH.max(widest.unwrap_or(0) as u16 + 2);
    usize::from(room.width / each.min(room.width).max(1))
}

/// Lines that buttons take; none where there is no room for them.
fn lines_of(buttons: &[(String, Action)], room: Rect) -> u16 {
    if room.width < MIN_WIDTH {
        return 0;
    }
    let height = buttons.len().div_ceil(columns(buttons, room).max(1)) as u16 * MIN_HEIGHT;
    if room.height < height + FIELDS {
        0
    } else {
        height
    }
}

/// Draws the buttons of the field in focus at the foot of the room, where it leaves enough for the fields; gives the room
/// that is left.
pub(super) fn draw(form: &Form, pen: &mut Pen, room: Rect) -> Rect {
    let field = form.focused();
    let buttons = field.map_or_else(Vec::new, |field| buttons(field, room));
    let height = lines_of(&buttons, room);
    if height == 0 {
        return room;
    }
    let columns = columns(&buttons, room);
    let foot = below(room, room.height - height);
    pen.clear(foot);
    for (row, buttons) in (0..).zip(buttons.chunks(columns)) {
        let bar: Vec<Button> = (buttons.iter())
            .map(|(label, action)| Button::new(label, *action))
            .collect();
        let area = Rect {
            height: MIN_HEIGHT,
            // a shorter last row has buttons of the same width
            width: room.width / columns as u16 * buttons.len() as u16,
            ..line_of(foot, row * MIN_HEIGHT)
        };
        button_bar(pen, area, &bar);
    }
    Rect {
        height: room.height - height,
        ..room
    }
}

fn buttons(field: &Field, room: Rect) -> Vec<(String, Action)> {
    let mut all = all_buttons(field);
    // in a narrow room it stands below, in place of what turns a choice
    if room.width < WIDE && field.is_typed() && !field.has_steps() {
        all.retain(|(_, action)| *action != Action::Erase);
    }
    all
}

fn all_buttons(field: &Field) -> Vec<(String, Action)> {
    match &field.kind {
        Kind::Choice(entries) if (2..=ENTRIES).contains(&entries.len()) => {
            let each = entries.iter().enumerate();
            each.map(|(at, entry)| (short(entry), Action::Pick(at)))
                .collect()
        }
        // the crew is found by its numbers
        Kind::Choice(entries) if entries.len() > ENTRIES => keys(DIGITS),
        Kind::Choice(_) | Kind::Toggle => Vec::new(),
        Kind::Number if !field.marks.is_empty() => keys(field.marks),
        Kind::Number => keys("0123456789."),
        Kind::Day => keys("0123456789-"),
        Kind::Text | Kind::Note => keys(field.marks),
    }
}

/// An entry on its button: where it is too long, the word before what explains it.
fn short(entry: &str) -> String {
    let word = |word: &&str| word.contains(char::is_alphabetic);
    let head = entry.split(": ").next().filter(word);
    let head = head.filter(|_| text::width(entry) > WIDEST);
    text::cut(head.unwrap_or(entry), WIDEST)
}

fn keys(marks: &str) -> Vec<(String, Action)> {
    let mut keys: Vec<_> = marks
        .chars()
        .map(|mark| {
            let label = if mark == ' ' {
                "space".to_owned()
            } else {
                mark.to_string()
            };
            (label, Action::Type(mark))
        })
        .collect();
    if !keys.is_empty() {
        keys.push(("Bksp".to_owned(), Action::Erase));
    }
    keys
}
