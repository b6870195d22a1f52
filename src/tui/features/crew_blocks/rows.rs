//! A block's rows from above, and the chosen row in words.

use ratatui::layout::Rect;

use super::Sheet;
use crate::report::{PlaceState, RowMarks, words};
use crate::tui::pen::{below, line_of};
use crate::tui::widgets::{Place, RowLine, RowMap, row_map, row_map_lines};
use crate::tui::{Cursor, Pen};

/// Lines about the chosen row.
const ABOUT: u16 = 3;

/// Draws the part with one row chosen.
pub fn view(sheet: &Sheet, pen: &mut Pen, area: Rect, cursor: Cursor) {
    let Some(map) = sheet.map else {
        return;
    };
    let chosen = cursor.at(map.rows.len());
    let room = Rect {
        height: map_height(area),
        ..area
    };
    let digits = map
        .rows
        .last()
        .map_or(1, |row| row.number.to_string().len());
    let lines: Vec<RowLine> = (map.rows.iter().enumerate())
        .map(|(at, row)| row_line(row, at == chosen, digits))
        .collect();
    row_map(
        pen,
        room,
        &RowMap {
            rows: &lines,
            cursor,
        },
    );
    if let Some(row) = map.rows.get(chosen) {
        about(pen, below(area, room.height), row);
    }
}

/// Rows in sight.
pub fn shown(area: Rect) -> usize {
    row_map_lines(map_height(area))
}

fn map_height(area: Rect) -> u16 {
    area.height.saturating_sub(ABOUT)
}

fn row_line(row: &RowMarks, chosen: bool, digits: usize) -> RowLine {
    RowLine {
        label: format!(
            "{}{:>digits$}{}",
            if chosen { '▸' } else { ' ' },
            row.number,
            if is_open(row) { "!" } else { "" }
        ),
        places: (1..)
            .zip(&row.places)
            .map(|(at, state)| place(row, at, *state))
            .collect(),
    }
}

fn is_open(row: &RowMarks) -> bool {
    row.sent_back
        .as_ref()
        .is_some_and(|line| line.outcome.is_none())
}

/// What one place shows: its mark before what was done there.
fn place(row: &RowMarks, at: u16, state: PlaceState) -> Place {
    let mark = row.marks.iter().find(|(place, _)| *place == at);
    match (mark, state) {
        (_, PlaceState::Missing) => Place::Missing,
        (Some((_, mark)), _) if mark.is_outside() => Place::Outside,
        (Some(_), _) => Place::Marked,
        (None, PlaceState::Unpruned) => Place::Unpruned,
        (None, PlaceState::Pruned) if is_open(row) => Place::SentBack,
        (None, PlaceState::Pruned) => Place::Pruned,
        (None, PlaceState::Counted) => Place::Counted,
    }
}

fn about(pen: &mut Pen, area: Rect, row: &RowMarks) {
    let who: Vec<String> = (row.pruners.iter())
        .map(|part| format!("{} {}-{}", part.pruner_shown, part.first, part.last))
        .collect();
    let mut words = vec![format!(
        "Row {}: {} of {} pruned, {} counted",
        row.number,
        row.pruned,
        words::trees(row.trees),
        row.counted
    )];
    if !who.is_empty() {
        words.push(format!("by {}", who.join(", ")));
    }
    let marks = words::marks_of_row(&row.marks);
    match &row.sent_back {
        // the line that is left tells both
        Some(line) if !marks.is_empty() => {
            words.push(format!("{marks}; {}", words::go_back(line, true)));
        }
        Some(line) => words.push(words::go_back(line, true)),
        None => words.push(marks),
    }
    let style = pen.theme.text();
    for (y, words) in (0..).zip(&words) {
        pen.text(line_of(area, y), words, style);
    }
}
