//! A block from above: a line a row, and along it what is done, left and counted.

use std::fmt::Write as _;

use super::legend::{Swatch, legend};
use super::{Labels, Room, nothing, titled};
use crate::orchard::{Mark, runs_text};
use crate::report::document::letters::{self, ADVANCE, LINE};
use crate::report::document::{Anchor, Drawing, Fill, Ink, Picture};
use crate::report::{PlaceState, RowMap, RowMarks};

/// Lines are at least so far apart: two dots of a terminal.
const LEAST_PITCH: f64 = LINE / 2.0;
/// A place is at least so wide: a dot of a terminal.
const LEAST_CELL: f64 = ADVANCE / 2.0;
/// On paper a map is at most so high.
const MOST_HEIGHT: f64 = 480.0;

/// What a place shows, or several neighbouring ones together; what calls for attention is never hidden.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum State {
    Missing,
    Unpruned,
    Partly,
    Pruned,
    Counted,
    Marked,
    SentBack,
}

impl State {
    fn look(self) -> Option<(Ink, Fill)> {
        match self {
            Self::Missing | Self::Unpruned => None,
            Self::Partly => Some((Ink::Faint, Fill::Dotted)),
            Self::Pruned => Some((Ink::Two, Fill::Light)),
            Self::Counted => Some((Ink::Seen, Fill::Solid)),
            Self::Marked => Some((Ink::Text, Fill::Rising)),
            Self::SentBack => Some((Ink::Out, Fill::Falling)),
        }
    }
}

/// The room that the map of a block wants on paper.
pub fn rows_on_paper(map: &RowMap) -> Room {
    let wanted = map.rows.len() as f64 * LINE + 2.0 * LINE;
    Room::paper(wanted.clamp(6.0 * LINE, MOST_HEIGHT))
}

/// Draws a block. Where there are more rows or places than the room can show, neighbours are drawn as one.
pub fn rows(map: &RowMap, labels: &Labels, room: Room) -> Picture {
    let room = room.at_least(200.0, 6.0 * LINE);
    let title = titled(&labels.rows_title, &map.name);
    if map.rows.is_empty() {
        return nothing(title, labels, room);
    }
    let mut drawing = room.field();
    let of = |state: State| {
        let (ink, fill) = state.look().unwrap_or((Ink::Faint, Fill::Empty));
        Swatch::Box(ink, fill)
    };
    let mut entries = vec![
        (Swatch::Line(Ink::Faint, true), &*labels.to_prune),
        (of(State::Pruned), &*labels.pruned),
        (of(State::Counted), &*labels.counted),
        (of(State::SentBack), &*labels.sent_back),
    ];
    if map.rows.iter().any(|row| !row.marks.is_empty()) {
        entries.push((of(State::Marked), &*labels.marked));
    }
    let roughly = Plan::of(map, room, 2.0 * LINE);
    if roughly.rows_a_line > 1 || roughly.places_a_cell > 1 {
        entries.push((of(State::Partly), &*labels.partly));
    }
    let top = legend(&mut drawing, (0.0, 0.0), room.width, &entries);
    let room = room.below(&mut drawing, top, 3.0);
    let plan = Plan::of(map, room, top);
    let mut free_from = top;
    for (n, group) in map.rows.chunks(plan.rows_a_line).enumerate() {
        let y = top + n as f64 * plan.pitch;
        line(&mut drawing, &plan, y, group);
        let label_top = (y + (plan.pitch - LINE) / 2.0).clamp(top, room.height - LINE);
        if label_top >= free_from - 1e-9 {
            label(&mut drawing, &plan, label_top, group);
            free_from = label_top + LINE;
        }
    }
    Picture {
        title,
        text: text(map, labels),
        bars: Vec::new(),
        drawing,
    }
}

/// How the block is shared out over the field.
struct Plan {
    rows_a_line: usize,
    places_a_cell: usize,
    gutter: f64,
    pitch: f64,
    cell: f64,
}

impl Plan {
    fn of(map: &RowMap, room: Room, top: f64) -> Self {
        let lines = ((room.height - top) / LEAST_PITCH).floor().max(1.0);
        let rows_a_line = (map.rows.len() as f64 / lines).ceil().max(1.0) as usize;
        let names = map.rows.chunks(rows_a_line).map(|group| name(group).len());
        let gutter = (names.max().unwrap_or(1) + 1) as f64 * ADVANCE;
        let longest = map.rows.iter().map(|row| row.places.len()).max();
        let longest = longest.unwrap_or(1).max(1);
        let across = room.width - gutter;
        let cells = (across / LEAST_CELL).floor().max(1.0);
        let places_a_cell = (longest as f64 / cells).ceil().max(1.0) as usize;
        let many = map.rows.len().div_ceil(rows_a_line) as f64;
        Self {
            rows_a_line,
            places_a_cell,
            gutter,
            // whole half-lines, so that a terminal's cells hold whole rows
            pitch: ((room.height - top) / many / LEAST_PITCH + 1e-9)
                .floor()
                .clamp(1.0, 3.0)
                * LEAST_PITCH,
            cell: across / longest.div_ceil(places_a_cell) as f64,
        }
    }
}

fn is_open(row: &RowMarks) -> bool {
    (row.sent_back.as_ref()).is_some_and(|line| line.outcome.is_none())
}

/// `12`, `12-15`, and `!` where a row is to go back to.
fn name(group: &[RowMarks]) -> String {
    let ends = (group.first(), group.last());
    let number = |row: Option<&RowMarks>| row.map_or(0, |row| row.number);
    let mark = if group.iter().any(is_open) { "!" } else { "" };
    if group.len() > 1 {
        format!("{}-{}{mark}", number(ends.0), number(ends.1))
    } else {
        format!("{}{mark}", number(ends.0))
    }
}

fn label(drawing: &mut Drawing, plan: &Plan, top: f64, group: &[RowMarks]) {
    let at = (plan.gutter - ADVANCE, top);
    letters::write(drawing, at, Anchor::End, Ink::Text, &name(group));
}

/// One line of the map: neighbours that look the same are one shape.
fn line(drawing: &mut Drawing, plan: &Plan, y: f64, group: &[RowMarks]) {
    let longest = group.iter().map(|row| row.places.len()).max().unwrap_or(0);
    let states: Vec<State> = (0..longest.div_ceil(plan.places_a_cell))
        .map(|cell| state(group, cell * plan.places_a_cell, plan.places_a_cell))
        .collect();
    let mut from = 0;
    for run in states.chunk_by(|a, b| a == b) {
        let x = plan.gutter + from as f64 * plan.cell;
        stretch(drawing, plan, (x, y), run);
        from += run.len();
    }
}

fn stretch(drawing: &mut Drawing, plan: &Plan, (x, y): (f64, f64), run: &[State]) {
    let wide = run.len() as f64 * plan.cell;
    let tall = plan.pitch * 0.76;
    match run.first() {
        None | Some(State::Missing) => {}
        Some(State::Unpruned) => {
            let middle = y + plan.pitch / 2.0;
            drawing.line(
                vec![(x, middle), (x + wide, middle)],
                0.75,
                true,
                Ink::Faint,
            );
        }
        Some(State::Counted) => {
            // apart, so that each can be counted
            let gap = plan.cell.min(2.0) * 0.3;
            for n in 0..run.len() {
                let at = (x + n as f64 * plan.cell + gap / 2.0, y + plan.pitch * 0.12);
                drawing.area(at, (plan.cell - gap, tall), Ink::Seen, Fill::Solid);
            }
        }
        Some(state) => {
            if let Some((ink, fill)) = state.look() {
                drawing.area((x, y + plan.pitch * 0.12), (wide, tall), ink, fill);
            }
        }
    }
}

fn state(group: &[RowMarks], first: usize, places: usize) -> State {
    let (mut seen, mut sent_back, mut marked) = ([false; 3], false, false);
    for row in group {
        let here =
            |(place, _): &(u16, Mark)| (first..first + places).contains(&(usize::from(*place) - 1));
        marked |= row.marks.iter().any(here);
        let marks = row.places.iter().skip(first).take(places);
        for mark in marks {
            match mark {
                PlaceState::Missing => {}
                PlaceState::Unpruned => seen[0] = true,
                PlaceState::Pruned => {
                    seen[1] = true;
                    sent_back |= is_open(row);
                }
                PlaceState::Counted => seen[2] = true,
            }
        }
    }
    match (sent_back, seen) {
        (true, _) => State::SentBack,
        _ if marked => State::Marked,
        (_, [_, _, true]) => State::Counted,
        (_, [true, true, _]) => State::Partly,
        (_, [true, false, _]) => State::Unpruned,
        (_, [false, true, _]) => State::Pruned,
        (_, [false, false, false]) => State::Missing,
    }
}

fn text(map: &RowMap, labels: &Labels) -> String {
    let counted: u32 = map.rows.iter().map(|row| row.counted).sum();
    let mut said = format!(
        "{}: {}; {}: {}; {}: {}; {}: {counted}.",
        labels.trees,
        map.total,
        labels.pruned,
        map.pruned,
        labels.to_prune,
        map.left,
        labels.counted
    );
    let open: Vec<String> = (map.rows.iter())
        .filter(|row| is_open(row))
        .map(|row| row.number.to_string())
        .collect();
    if !open.is_empty() {
        let _ = write!(
            said,
            " {}: {} {}.",
            labels.sent_back,
            labels.row,
            open.join(", ")
        );
    }
    for row in map.rows.iter().filter(|row| !row.marks.is_empty()) {
        let runs = row.marks.iter().map(|(place, _)| (row.number, *place));
        let _ = write!(said, " {}: {}.", labels.marked, runs_text(runs));
    }
    for row in map.rows.iter().filter(|row| row.pruned < row.trees) {
        let _ = write!(
            said,
            " {} {}: {} {}/{}.",
            labels.row, row.number, labels.pruned, row.pruned, row.trees
        );
    }
    said
}

#[cfg(test)]
mod tests {
    use super::super::inspect::{check, row_map};
    use super::*;
    use crate::report::document::Shape;

    #[test]
    fn small_and_large_blocks_have_their_room() {
        for (rows_, places) in [(1, 1), (8, 60), (24, 110), (120, 300), (400, 40)] {
            let map = row_map(rows_, places);
            for room in [
                rows_on_paper(&map),
                Room::cells(80, 17),
                Room::cells(200, 50),
            ] {
                check(&rows(&map, &Labels::english(), room));
            }
        }
    }

    #[test]
    fn a_tree_stands_at_its_place() {
        let map = row_map(4, 50);
        let picture = rows(&map, &Labels::english(), rows_on_paper(&map));
        // the first row of the helper has its tenth tree counted, and no other
        let counted = picture
            .drawing
            .shapes
            .iter()
            .filter_map(|shape| match shape {
                Shape::Path {
                    points,
                    ink: Ink::Seen,
                    stroke,
                    ..
                } if *stroke == 0.0 => Some(points[0].0),
                _ => None,
            });
        let first = counted.into_iter().next().unwrap();
        let gutter = 3.0 * ADVANCE;
        let cell = (picture.drawing.width - gutter) / 50.0;
        assert!((first - (gutter + 9.0 * cell)).abs() < 1.0, "{first}");
        assert!(picture.text.contains("go back: row 2"), "{}", picture.text);
    }

    #[test]
    fn what_calls_for_attention_is_not_hidden_by_its_neighbours() {
        let map = row_map(4, 50);
        assert_eq!(state(&map.rows[..1], 0, 50), State::Counted);
        assert_eq!(state(&map.rows[..2], 0, 50), State::SentBack);
        assert_eq!(state(&map.rows[3..], 0, 50), State::Unpruned);
        let mut marked = map.rows[3].clone();
        marked.marks = vec![(17, Mark::Canker)];
        assert_eq!(state(&[marked.clone()], 16, 1), State::Marked);
        assert_eq!(state(&[marked], 17, 1), State::Unpruned);
    }
}
