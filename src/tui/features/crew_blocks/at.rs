//! Where one stands in what is opened.

use ratatui::layout::Rect;

use super::plan::plan;
use super::{Part, Sheet, facts, rows};
use crate::tui::widgets::table_lines;
use crate::tui::{Action, Cursor};

/// Which part is shown, and how far down its lines one is.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct At {
    part: usize,
    /// By [`Part`]: only those with lines use theirs.
    lines: [Cursor; 7],
}

impl At {
    /// The part shown; on a large screen the part that up and down go through.
    pub fn part(&self, parts: &[Part]) -> Part {
        parts.get(self.part).copied().unwrap_or(Part::Mix)
    }

    /// The chosen line of a part, or how far it is scrolled down.
    pub fn line(&self, part: Part) -> Cursor {
        self.lines[part as usize]
    }

    /// Turns to a part.
    pub fn turn_to(&mut self, parts: &[Part], part: Part) {
        self.part = parts
            .iter()
            .position(|known| *known == part)
            .unwrap_or(self.part);
    }

    /// Takes in an action on an area.
    pub fn act(&mut self, sheet: &Sheet, area: Rect, action: Action) {
        let many = sheet.parts.len().max(1);
        match action {
            Action::NextSection => self.part = (self.part + 1) % many,
            Action::PrevSection => self.part = (self.part + many - 1) % many,
            Action::Section(part) if part < many => self.part = part,
            other => self.step(sheet, area, other),
        }
    }

    fn step(&mut self, sheet: &Sheet, area: Rect, action: Action) {
        let part = self.part(sheet.parts);
        let plan = plan(area, sheet.parts, part);
        let room = plan.room(part);
        let cursor = &mut self.lines[part as usize];
        match part {
            Part::GoBacks => {
                let lines = sheet.go_backs.len();
                cursor.act(lines, table_lines(room.height, lines), action);
            }
            Part::Rows => {
                let lines = sheet.map.map_or(0, |map| map.rows.len());
                cursor.act(lines, rows::shown(room), action);
            }
            Part::Words => facts::scroll(sheet, room, cursor, action),
            Part::Mix | Part::Buds | Part::Days | Part::Triangle => {
                let lines = usize::from(plan.lines(part));
                cursor.scroll(lines, usize::from(room.height), action);
            }
        }
    }
}
