//! What the Winter screen shows.

use ratatui::layout::Rect;

use super::{CHANGES, NO_WINTER, Part, cells, entries};
use crate::report::document::pictures::{self, Labels, Room};
use crate::report::{WinterProgress, words};
use crate::tui::app::Model;
use crate::tui::features::parts::{body, keyed, turn_back};
use crate::tui::pen::{below, line_of};
use crate::tui::widgets::{
    Button, Cell, Column, Table, Width, actions, button_bar, picture, strip, tab_lines, table,
    table_lines,
};
use crate::tui::{Action, Pen, is_small};

/// Lines of the parts and of the buttons.
const BAR: u16 = 3;
/// Lines below a list that tell of the selected line.
const ABOUT: u16 = 3;

/// Draws the screen.
pub fn view(model: &Model, pen: &mut Pen, area: Rect) {
    let area = pen.clip(area);
    let rooms = rooms(area, pen.small);
    let part = model.winter.part;
    parts(pen, rooms.parts, part);
    match &model.figures.winter {
        Some(progress) => {
            pen.text(rooms.caption, &caption(part, progress), pen.theme.title());
            shown(model, pen, rooms.body, progress);
        }
        None => {
            pen.wrapped(rooms.body, NO_WINTER, pen.theme.faint());
        }
    }
    buttons(model, pen, rooms.buttons);
}

/// The parts as buttons, or by name where there is little room.
fn parts(pen: &mut Pen, area: Rect, shown: Part) {
    let of = |part: Part| Action::Section(part.place());
    if pen.small {
        let names = Part::ALL.map(|part| (part.title(), of(part)));
        return strip(pen, area, &names, of(shown));
    }
    let tabs = Part::ALL.map(|part| Button::new(part.title(), of(part)).active(part == shown));
    button_bar(pen, area, &tabs);
}

struct Rooms {
    parts: Rect,
    caption: Rect,
    body: Rect,
    buttons: Rect,
}

fn rooms(area: Rect, small: bool) -> Rooms {
    let foot = area.height.saturating_sub(BAR);
    let parts = tab_lines(small);
    let body = below(area, parts + 1);
    Rooms {
        parts: Rect {
            height: parts,
            ..area
        },
        caption: line_of(below(area, parts), 0),
        body: Rect {
            height: foot.saturating_sub(parts + 1),
            ..body
        },
        buttons: below(area, foot),
    }
}

/// Lines of the part's list that are in sight.
pub(super) fn in_sight(model: &Model, lines: usize) -> usize {
    let rooms = rooms(body(model), is_small(model.size));
    table_lines(list_of(rooms.body, model.winter.part).height, lines)
}

/// The room of the list within the body.
fn list_of(body: Rect, part: Part) -> Rect {
    let height = match part {
        Part::Blocks => body.height.saturating_sub(ABOUT),
        Part::WhatIf => body.height.min(CHANGES as u16 + 1),
        _ => body.height,
    };
    Rect { height, ..body }
}

/// Lines of the part's list.
pub(super) fn lines(model: &Model) -> usize {
    let progress = model.figures.winter.as_ref();
    match model.winter.part {
        Part::Blocks => progress.map_or(0, |progress| progress.blocks.len() + 1),
        Part::Line => 0,
        Part::Crew => progress.map_or(0, |progress| progress.pruners.len()),
        Part::WhatIf => CHANGES,
        Part::Entries => entries::entries(model).len(),
    }
}

fn caption(part: Part, progress: &WinterProgress) -> String {
    match part {
        Part::Blocks | Part::Line => format!(
            "{} of {} pruned; {}",
            progress.done,
            progress.done + progress.left,
            words::through(&progress.finish)
        ),
        Part::Crew => {
            "Pace by number, with the likely range of each mean (4 times of 5); blocks differ"
                .to_owned()
        }
        Part::WhatIf => "What if: nothing of this is stored".to_owned(),
        Part::Entries => "What the forecast and the cost rest on beside the work log".to_owned(),
    }
}

fn shown(model: &Model, pen: &mut Pen, body: Rect, progress: &WinterProgress) {
    let part = model.winter.part;
    let room = list_of(body, part);
    match part {
        Part::Blocks => {
            let rows = cells::blocks(progress);
            list(model, pen, room, &cells::block_columns(), &rows);
            about(model, pen, below(body, room.height), progress);
        }
        Part::Line => draw(pen, body, progress),
        Part::Crew => list(
            model,
            pen,
            room,
            &cells::crew_columns(),
            &cells::crew(progress),
        ),
        Part::WhatIf => {
            let rows = cells::changes(progress, model.winter.what_if);
            list(model, pen, room, &cells::change_columns(), &rows);
            compare(model, pen, below(body, room.height), progress);
        }
        Part::Entries => entry_list(model, pen, room),
    }
}

/// Done by day, and the finish, as a picture.
fn draw(pen: &mut Pen, area: Rect, progress: &WinterProgress) {
    let room = Room::cells(area.width, area.height);
    let drawn = pictures::progress(progress, &Labels::english(), room);
    picture(pen, area, &drawn.drawing);
}

fn list(model: &Model, pen: &mut Pen, area: Rect, columns: &[Column], rows: &[Vec<Cell>]) {
    let empty = "Nobody worked yet: Log work (w) on Today (F2) says who pruned what.";
    let shown = Table {
        columns,
        rows,
        cursor: Some(model.winter.cursor()),
        empty,
    };
    table(pen, area, &shown);
}

/// The selected block, or the orchard, in words.
fn about(model: &Model, pen: &mut Pen, area: Rect, progress: &WinterProgress) {
    let selected = model.winter.selected(progress.blocks.len() + 1);
    let in_time = |finish, otherwise: String| match words::needed(finish) {
        needed if needed.is_empty() => otherwise,
        needed => format!("80 % chance to be in time: {needed}"),
    };
    let text = if let Some(block) = progress.blocks.get(selected) {
        let needed = in_time(&block.finish, words::finish(&block.finish));
        let found = words::found(&block.found);
        format!("{}: {needed}; quality: {found}", block.name)
    } else {
        let needed = in_time(&progress.finish, words::days_seen(&progress.days));
        let cost = words::cost(&progress.cost, &progress.currency);
        format!("{needed}; cost so far {cost}. Enter: all figures")
    };
    pen.wrapped(area, &text, pen.theme.text());
}

/// As it is and as it would be, beside each other where there is room, else below.
fn compare(model: &Model, pen: &mut Pen, area: Rect, now: &WinterProgress) {
    let then = model.figures.what_if.as_ref();
    let mut lines = vec![("As it is", cells::outcome(now))];
    match then {
        Some(then) => lines.push(("Changed", cells::outcome(then))),
        None => lines.push((
            "Changed",
            vec!["nothing is changed yet: + and - do".to_owned()],
        )),
    }
    let each = |(title, texts): (&'static str, Vec<String>)| {
        let texts = texts.into_iter().enumerate();
        texts.map(move |(at, text)| (at, title, text))
    };
    let mut lines: Vec<(usize, &str, String)> = lines.into_iter().flat_map(each).collect();
    let low = usize::from(area.height) < lines.len();
    if low {
        // as it is and as it would be line by line; what has no room is in the menu
        lines.sort_by_key(|(at, ..)| *at);
    }
    for (y, (at, title, text)) in (0..).zip(&lines) {
        let head = if *at == 0 || low { title } else { "" };
        let style = if *title == "Changed" {
            pen.theme.title()
        } else {
            pen.theme.text()
        };
        pen.text(line_of(area, y), &format!(" {head:<9} {text}"), style);
    }
}

fn entry_list(model: &Model, pen: &mut Pen, area: Rect) {
    let Some(season) = &model.season else { return };
    let columns = [
        Column::new("What", Width::Share(1)),
        Column::new("Entered", Width::Share(1)),
        Column::new("", Width::Fixed(24)),
    ];
    let rows: Vec<Vec<Cell>> = (entries::entries(model).into_iter())
        .map(|entry| entries::texts(season, entry).map(Cell::new).to_vec())
        .collect();
    list(model, pen, area, &columns, &rows);
}

fn buttons(model: &Model, pen: &mut Pen, area: Rect) {
    let none = lines(model) == 0;
    let part = model.winter.part;
    let mut bar = match part {
        Part::WhatIf => vec![
            keyed(model, "Less", Action::Choose(-1)).off(none),
            keyed(model, "More", Action::Choose(1)).off(none),
            keyed(model, "As it is", Action::Undo).off(!model.winter.what_if.is_something()),
        ],
        Part::Entries => vec![
            keyed(model, "New", Action::New).off(none),
            keyed(model, "Edit", Action::Edit).off(none),
            keyed(model, "Remove", Action::Remove).off(none).rare(),
        ],
        _ => {
            let none = model.figures.winter.is_none();
            vec![
                keyed(model, "In full", Action::Open).off(none),
                keyed(model, "Review", Action::Review).off(none).rare(),
            ]
        }
    };
    bar.push(turn_back(model));
    bar.push(keyed(model, "Part >", Action::NextSection).rare());
    bar.push(keyed(model, "Up", Action::Up).off(none));
    bar.push(keyed(model, "Down", Action::Down).off(none));
    // beside three buttons of its own a part has no room for this: words would be cut on a small screen
    if !matches!(part, Part::WhatIf | Part::Entries) {
        bar.push(keyed(model, "Papers", Action::Papers).off(none).rare());
    }
    let none = model.figures.winter.is_none();
    bar.push(keyed(model, "Pictures", Action::Pictures).off(none).rare());
    // of what the part has no button for, the menu has one
    bar.extend([
        keyed(model, "In full", Action::Open).off(none).spare(),
        keyed(model, "Review", Action::Review).off(none).spare(),
        keyed(model, "Papers", Action::Papers).off(none).spare(),
    ]);
    actions(pen, area, &bar);
}
