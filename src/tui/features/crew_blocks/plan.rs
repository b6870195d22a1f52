//! Where each part of what is opened has its room.

use ratatui::layout::Rect;

use super::Part;
use crate::tui::pen::{below, line_of, right_of};

/// Columns and lines of the body from which all parts are shown at once.
const LARGE: (u16, u16) = (120, 36);
const BUTTONS: u16 = 3;
/// The fewest lines of a picture that has a room of its own.
const PICTURE: u16 = 13;
const HEAD: u16 = 3;

/// The rooms of a screen.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Plan {
    /// Two lines: whom it is about, and the verdict.
    pub head: Rect,
    /// The names of the parts.
    pub names: Rect,
    /// What is shown; with a heading of its own where several are.
    pub rooms: Vec<(Part, Rect)>,
    /// Whether each room has a line above it for its heading.
    pub headed: bool,
    /// The buttons.
    pub buttons: Rect,
}

impl Plan {
    /// Lines of a part: more than its room has where a picture would not be readable in that, and is scrolled.
    pub fn lines(&self, part: Part) -> u16 {
        let room = self.room(part).height;
        let is_scrolled = matches!(part, Part::Days | Part::Triangle) && !self.headed;
        if is_scrolled { room.max(PICTURE) } else { room }
    }

    /// The room of a part; empty where it is not shown.
    pub fn room(&self, part: Part) -> Rect {
        let found = self.rooms.iter().find(|(known, _)| *known == part);
        found.map_or(Rect::ZERO, |(_, room)| *room)
    }
}

/// Shares an area out. On a large one, the rows of a block keep the whole room, as they are long.
pub fn plan(area: Rect, parts: &[Part], shown: Part) -> Plan {
    let body = Rect {
        height: area.height.saturating_sub(HEAD + BUTTONS),
        ..below(area, HEAD)
    };
    let large = area.width >= LARGE.0 && area.height >= LARGE.1;
    let headed = large && shown != Part::Rows;
    let rooms = if headed {
        all_at_once(body)
            .into_iter()
            .filter(|(part, _)| parts.contains(part))
            .collect()
    } else {
        vec![(shown, body)]
    };
    Plan {
        head: Rect {
            height: area.height.min(2),
            ..area
        },
        names: line_of(area, 2),
        rooms,
        headed,
        buttons: Rect {
            height: area.height.min(BUTTONS),
            ..below(area, area.height.saturating_sub(BUTTONS))
        },
    }
}

/// Two columns of rooms, without the lines of their headings.
fn all_at_once(body: Rect) -> Vec<(Part, Rect)> {
    let left = Rect {
        width: body.width * 5 / 8,
        ..body
    };
    let right = right_of(body, left.width + 2);
    let mut rooms = stacked(
        left,
        &[(Part::Mix, 10, 1), (Part::Buds, 9, 2), (Part::Days, 11, 3)],
    );
    rooms.extend(stacked(
        right,
        &[
            (Part::Triangle, 11, 3),
            (Part::Words, 14, 2),
            (Part::GoBacks, 5, 1),
        ],
    ));
    rooms
}

/// Rooms below each other: each its least height, and of what is left so many parts.
fn stacked(column: Rect, wanted: &[(Part, u16, u16)]) -> Vec<(Part, Rect)> {
    let least: u16 = wanted.iter().map(|(_, least, _)| least).sum();
    let mut spare = column.height.saturating_sub(least);
    let mut parts: u16 = wanted.iter().map(|(_, _, parts)| parts).sum();
    let mut y = 0;
    let mut rooms = Vec::with_capacity(wanted.len());
    for (part, least, mine) in wanted {
        let more = spare * mine / parts.max(1);
        spare -= more;
        parts -= mine;
        let height = least + more;
        let room = Rect {
            height: height.min(column.height.saturating_sub(y)),
            ..below(column, y)
        };
        rooms.push((*part, below(room, 1)));
        y += height;
    }
    rooms
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rooms_stay_on_the_area_and_apart() {
        for (width, height) in [(80, 20), (119, 35), (120, 36), (240, 70), (10, 4), (0, 0)] {
            let area = Rect::new(3, 2, width, height);
            for shown in Part::OF_BLOCK {
                let plan = plan(area, Part::OF_BLOCK, *shown);
                let mut all: Vec<Rect> = plan.rooms.iter().map(|(_, room)| *room).collect();
                all.extend([plan.head, plan.names, plan.buttons]);
                for (at, one) in all.iter().enumerate() {
                    assert!(one.is_empty() || area.union(*one) == area, "{one:?}");
                    for other in &all[at + 1..] {
                        let apart = one.intersection(*other).is_empty();
                        assert!(apart || height < 7, "{one:?} {other:?}");
                    }
                }
                assert!(plan.rooms.iter().any(|(part, _)| part == shown));
            }
        }
    }

    #[test]
    fn a_large_screen_shows_all_at_once() {
        let plan = plan(Rect::new(0, 3, 120, 36), Part::OF_PRUNER, Part::Days);
        assert_eq!(plan.rooms.len(), Part::OF_PRUNER.len());
    }
}
