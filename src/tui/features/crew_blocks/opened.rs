//! Draws what is opened: whom it is about, the verdict, and the parts.

use ratatui::layout::Rect;

use super::plan::{Plan, plan};
use super::{At, Part, Sheet, buds, days, facts, go_backs, mix, rows, triangle};
use crate::report::{Standing, StandingLine, words};
use crate::tui::features::parts;
use crate::tui::pen::right_of;
use crate::tui::text;
use crate::tui::widgets::{Button, actions, strip};
use crate::tui::{Action, Pen, pen::line_of};

/// Draws it, with buttons at the foot.
pub fn view(sheet: &Sheet, at: &At, pen: &mut Pen, area: Rect, buttons: &[Button]) {
    let area = pen.clip(area);
    let shown = at.part(sheet.parts);
    let plan = plan(area, sheet.parts, shown);
    head(sheet, pen, plan.head);
    names(sheet, pen, plan.names, shown);
    for (part, room) in &plan.rooms {
        let lines = plan.lines(*part);
        let top = at
            .line(*part)
            .top(usize::from(lines), usize::from(room.height));
        pen.scrolled(*room, lines, top as u16, |pen, room| {
            draw(sheet, at, pen, (*part, room));
        });
        if plan.headed {
            heading(sheet, pen, &plan, (*part, *room), shown);
        }
    }
    actions(pen, plan.buttons, buttons);
}

/// Whom it is about, and how it stands.
fn head(sheet: &Sheet, pen: &mut Pen, area: Rect) {
    let standing = sheet.standing;
    let right = format!(" {}", sheet.span.words());
    let used = text::width(&right) as u16;
    let line = line_of(area, 0);
    let faint = pen.theme.faint();
    pen.aligned(line, &right, text::Align::Right, faint);
    let left = Rect {
        width: line.width.saturating_sub(used),
        ..line
    };
    let title = pen.theme.title();
    pen.text(left, &about(sheet), title);
    let line = line_of(area, 1);
    let used = if standing.trees == 0 {
        0
    } else {
        parts::badge(pen, line, &standing.judgement) + 1
    };
    let style = pen.theme.text();
    pen.text(right_of(line, used), &verdict(standing), style);
}

fn about(sheet: &Sheet) -> String {
    let standing = sheet.standing;
    let shown = standing.subject.shown();
    if sheet.is_block() || standing.blocks.is_empty() {
        return shown.to_owned();
    }
    format!("{shown} in {}", words::list(&standing.blocks))
}

/// What the verdict rests on, how many more trees, and how many there are.
fn verdict(standing: &Standing) -> String {
    let line = StandingLine::new(standing);
    if line.trees == 0 {
        return super::table::trees(standing);
    }
    let found = line
        .lead
        .map_or_else(String::new, |lead| words::metric(lead).to_owned());
    let counted = format!("{} ({} drawn)", words::trees(line.trees), line.drawn);
    let said = [found, words::more(line.more), counted];
    let said: Vec<&str> = said.iter().map(String::as_str).collect();
    let said: Vec<&str> = said.into_iter().filter(|part| !part.is_empty()).collect();
    said.join(", ")
}

/// The parts by name; a touch turns to one.
fn names(sheet: &Sheet, pen: &mut Pen, line: Rect, shown: Part) {
    let parts = sheet.parts.iter().enumerate();
    let names: Vec<(&str, Action)> = parts
        .map(|(at, part)| (part.title(), Action::Section(at)))
        .collect();
    let at = sheet.parts.iter().position(|part| *part == shown);
    strip(pen, line, &names, Action::Section(at.unwrap_or(0)));
}

fn draw(sheet: &Sheet, at: &At, pen: &mut Pen, (part, room): (Part, Rect)) {
    match part {
        Part::Mix => mix::view(sheet, pen, room),
        Part::Buds => buds::view(sheet, pen, room),
        Part::Days => days::view(sheet, pen, room),
        Part::Triangle => triangle::view(sheet, pen, room),
        Part::Words => facts::view(sheet, pen, room, at.line(part)),
        Part::GoBacks => go_backs::view(sheet, pen, room, at.line(part)),
        Part::Rows => rows::view(sheet, pen, room, at.line(part)),
    }
}

/// The line above a room. A touch on a room that is not chosen chooses it first, so that a touched
/// line always means the same as the keys.
fn heading(sheet: &Sheet, pen: &mut Pen, plan: &Plan, (part, room): (Part, Rect), shown: Part) {
    let line = Rect {
        y: room.y.saturating_sub(1),
        height: plan.rooms.len().min(1) as u16,
        ..room
    };
    let faint = pen.theme.faint();
    pen.fill(line, '─', faint);
    let chosen = part == shown;
    let name = if chosen {
        format!(" [{}] ", part.title())
    } else {
        format!(" {} ", part.title())
    };
    let place = right_of(line, 2);
    let place = Rect {
        width: (text::width(&name) as u16).min(place.width),
        ..place
    };
    let style = pen.theme.title();
    pen.fill(place, ' ', style);
    pen.text(right_of(place, 1), name.trim(), style);
    if !chosen && let Some(at) = sheet.parts.iter().position(|known| *known == part) {
        pen.touch_row(room.union(line), Action::Section(at));
    }
}
