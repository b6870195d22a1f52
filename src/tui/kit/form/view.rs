//! How a form is drawn.

use super::pad::{self, WIDE};
use super::{Field, Form, Kind, typed};
use crate::tui::hit::MIN_WIDTH;
use crate::tui::kit::Hand;
use crate::tui::pen::{below, line_of, right_of};
use crate::tui::widgets::{Button, button_bar};
use crate::tui::{Action, Pen, text};
use ratatui::layout::Rect;

/// Lines of the buttons.
pub const BAR: u16 = 3;
/// The widest that a value is drawn.
const MAX_VALUE: u16 = 60;

/// Draws a form and records its fields and buttons for touch. The field in focus, its hint and what
/// is wrong with it are always in view. For a hand that touches, what is typed has its buttons where there is room.
pub fn view(form: &Form, hand: Hand, pen: &mut Pen, area: Rect) {
    let area = pen.clip(area);
    pen.clear(area);
    pen.text(line_of(area, 0), &form.title, pen.theme.title());
    let bar = area.height.saturating_sub(1).min(BAR);
    let buttons = below(area, area.height - bar);
    let mut room = below(area, 1);
    room.height = room.height.saturating_sub(bar);
    if let Some(problem) = &form.problem {
        let lines = pen.wrapped(room, problem, pen.theme.error());
        room = below(room, lines);
    }
    let steady = steady_lines(form, hand, room);
    if hand == Hand::Touch {
        room = pad::draw(form, pen, room);
    }
    if let Some(summary) = &form.summary {
        room = draw_summary(pen, room, summary);
    }
    fields(form, pen, room, steady);
    draw_buttons(form, pen, buttons, line_of(area, 0));
}

/// Lines that the fields have whichever of them is in focus, and while a hand that touches types in between: what
/// lies between the fields is measured by them, so that no field moves away under the finger.
fn steady_lines(form: &Form, hand: Hand, room: Rect) -> u16 {
    let pads = match hand {
        Hand::Keys => 0,
        Hand::Touch | Hand::Typing => pad::most_lines(form, room),
    };
    let room = Rect {
        height: room.height - pads,
        ..room
    };
    let summary = form.summary.as_ref();
    room.height - summary.map_or(0, |summary| summary_lines(room, summary))
}

/// Lines kept for what follows from the values, and the most of them where there is room.
const SUMMARY: u16 = 2;
const LONG_SUMMARY: u16 = 4;

fn summary_lines(room: Rect, summary: &str) -> u16 {
    let all = text::wrap(summary, usize::from(room.width)).len();
    let long = (SUMMARY + 1..=LONG_SUMMARY)
        .rev()
        .find(|lines| usize::from(*lines) <= all);
    let fits = |lines: &u16| room.height > 4 * lines;
    (long.into_iter().chain([SUMMARY])).find(fits).unwrap_or(0)
}

/// Draws what follows from the values at the foot of the room; gives the room that is left. It is kept
/// while something is wrong and nothing follows, so that the fields stay in place.
fn draw_summary(pen: &mut Pen, room: Rect, summary: &str) -> Rect {
    let lines = summary_lines(room, summary);
    let foot = below(room, room.height - lines);
    pen.wrapped(foot, summary, pen.theme.text());
    Rect {
        height: room.height - lines,
        ..room
    }
}

fn draw_buttons(form: &Form, pen: &mut Pen, area: Rect, title: Rect) {
    let narrow = area.width < WIDE;
    let make = |label, action, key: &str| {
        let name = if narrow {
            key.replace("Ctrl-", "^")
        } else {
            key.to_owned()
        };
        Button::new(label, action).key(name)
    };
    let focused = form.focused();
    let chooses = focused.is_some_and(|field| !field.is_typed());
    let mut bar = vec![make(form.save, Action::Save, "Ctrl-S")];
    if let Some(label) = form.next {
        let label = if narrow { "+ next" } else { label };
        bar.push(make(label, Action::SaveNext, "Ctrl-N"));
    }
    bar.extend([
        make("Cancel", Action::Cancel, "Esc"),
        make("Up", Action::Up, "↑"),
        make("Down", Action::Down, "↓"),
    ]);
    bar.extend(if focused.is_some_and(Field::has_steps) {
        [
            make("Less", Action::Step(-1), "Ctrl-X"),
            make("More", Action::Step(1), "Ctrl-A"),
        ]
    } else if narrow && !chooses {
        // the buttons that type need its place above
        [
            make("Bksp", Action::Erase, "Bksp"),
            make("Next", Action::Choose(1), "→").off(true),
        ]
    } else {
        [
            make("Prev", Action::Choose(-1), "←").off(!chooses),
            make("Next", Action::Choose(1), "→").off(!chooses),
        ]
    });
    if bar.len() < usize::from(area.width / MIN_WIDTH) {
        bar.push(make("Help", Action::Help, "F1"));
    } else {
        help_beside(pen, title);
    }
    button_bar(pen, area, &bar);
}

/// Where not all buttons find room, help is touched at the end of the title's line.
fn help_beside(pen: &mut Pen, title: Rect) {
    const HELP: &str = " F1 help";
    let place = right_of(title, title.width.saturating_sub(HELP.len() as u16));
    pen.text(place, HELP, pen.theme.faint());
    pen.touch_row(place, Action::Help);
}

/// Lines below a field: its hint while it is in focus, and what is wrong.
fn remarks(form: &Form, place: usize, columns: u16) -> Vec<(String, bool)> {
    let field = &form.fields[place];
    let columns = usize::from(columns);
    let mut lines = Vec::new();
    if let Some(error) = &field.error {
        lines.extend(text::wrap(error, columns).into_iter().map(|l| (l, true)));
    }
    if place == form.focus() {
        lines.extend(
            text::wrap(&field.hint, columns)
                .into_iter()
                .map(|l| (l, false)),
        );
    }
    lines
}

fn label_width(form: &Form, area: Rect) -> u16 {
    let longest = form.fields.iter().map(|f| text::width(&f.label)).max();
    (longest.unwrap_or(0) as u16 + 2).min(area.width / 2)
}

fn fields(form: &Form, pen: &mut Pen, area: Rect, steady: u16) {
    if area.is_empty() || form.fields.is_empty() {
        return;
    }
    let label = label_width(form, area);
    let indent = if area.width < WIDE { 1 } else { label };
    let notes: Vec<_> = (0..form.fields.len())
        .map(|place| remarks(form, place, area.width - indent))
        .collect();
    let needed: Vec<u16> = notes.iter().map(|n| 1 + n.len() as u16).collect();
    let heights = spaced(&needed, steady, area.height);
    let first = scroll(&heights, form.focus(), area.height);
    let mut rest = area;
    for place in first..form.fields.len() {
        if rest.is_empty() {
            break;
        }
        let mut own = rest;
        own.height = heights[place].min(rest.height);
        pen.touch_row(own, Action::Field(place));
        draw_field(form, place, pen, own, label);
        for (y, (line, wrong)) in (1..).zip(&notes[place]) {
            let style = if *wrong {
                pen.theme.error()
            } else {
                pen.theme.faint()
            };
            pen.text(right_of(line_of(own, y), indent), line, style);
        }
        rest = below(rest, own.height);
    }
}

/// Lines that are free for a hint or a complaint that is longer than what lies between two fields.
const SLACK: u32 = 1;

/// The lines of each field with what lies below it. Hints and complaints stand in what lies between the fields, so
/// that these stay in place as the focus moves and as a value goes wrong and right.
fn spaced(needed: &[u16], steady: u16, room: u16) -> Vec<u16> {
    let count = needed.len() as u32;
    for own in [3u16, 2] {
        let heights: Vec<u16> = needed.iter().map(|lines| own.max(*lines)).collect();
        let all: u32 = heights.iter().map(|lines| u32::from(*lines)).sum();
        if u32::from(own) * count + SLACK <= u32::from(steady) && all <= u32::from(room) {
            return heights;
        }
    }
    needed.to_vec()
}

/// The first field to draw so that the one in focus is wholly in view.
fn scroll(heights: &[u16], focus: usize, room: u16) -> usize {
    if heights.iter().map(|h| u32::from(*h)).sum::<u32>() <= u32::from(room) {
        return 0;
    }
    let mut first = focus;
    let mut used = u32::from(heights[focus]);
    // One field after the focus is kept in view where there is room, so that one sees it goes on.
    let after = heights.get(focus + 1).map_or(0, |h| u32::from(*h));
    if used + after <= u32::from(room) {
        used += after;
    }
    while first > 0 && used + u32::from(heights[first - 1]) <= u32::from(room) {
        first -= 1;
        used += u32::from(heights[first]);
    }
    first
}

fn draw_field(form: &Form, place: usize, pen: &mut Pen, area: Rect, label: u16) {
    let field = &form.fields[place];
    let focused = place == form.focus();
    let line = line_of(area, 0);
    let mut name = line;
    name.width = label.min(line.width);
    let mark = if focused { "▸" } else { " " };
    let style = if focused {
        pen.theme.title()
    } else {
        pen.theme.text()
    };
    pen.text(name, &format!("{mark}{}", field.label), style);
    let mut value = right_of(line, label);
    value.width = value.width.min(MAX_VALUE);
    let style = if focused {
        pen.theme.field_focus()
    } else {
        pen.theme.field()
    };
    pen.fill(value, ' ', style);
    if field.is_typed() {
        typed::draw(form, place, pen, value, style);
    } else {
        pen.text(value, &chosen(field, value.width), style);
    }
}

/// A choice in words: the entry, and its place among the others, which is told however long the entry is.
fn chosen(field: &Field, columns: u16) -> String {
    let of = field.entries();
    match field.kind {
        Kind::Toggle if field.is_on() => "[x] yes".to_owned(),
        Kind::Toggle => "[ ] no".to_owned(),
        _ if of == 0 => "(nothing to choose from)".to_owned(),
        _ => {
            let place = format!(" ▸  {} of {of}", field.choice() + 1);
            let room = usize::from(columns).saturating_sub(2 + text::width(&place));
            format!("◂ {}{place}", text::cut(field.value(), room))
        }
    }
}
