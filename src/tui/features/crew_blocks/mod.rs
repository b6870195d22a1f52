//! Crew and Blocks: one list, of pruners or of blocks, and how the opened one stands; a file for each picture.

mod at;
mod buds;
mod days;
mod facts;
mod go_backs;
pub(in crate::tui) mod goback;
mod list;
mod mix;
mod opened;
mod part;
mod plan;
pub(in crate::tui) mod rework;
mod rows;
mod table;
mod triangle;
mod update;

pub use at::At;
pub use list::view;
pub use part::Part;
pub use update::{marked, refreshed, update};

use crate::orchard::BlockId;
use crate::report::{GoBackLine, RowMap, Standing, Subject};
use crate::store::Change;
use crate::tui::app::{Model, Span};
use crate::tui::{Cursor, Screen};

/// Whom or what a list is of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Of {
    /// Pruners, by number.
    Crew,
    /// Blocks, by name.
    Blocks,
}

impl Of {
    fn state(self, model: &Model) -> &State {
        match self {
            Self::Crew => &model.crew,
            Self::Blocks => &model.blocks,
        }
    }

    fn state_mut(self, model: &mut Model) -> &mut State {
        match self {
            Self::Crew => &mut model.crew,
            Self::Blocks => &mut model.blocks,
        }
    }

    fn all(self, model: &Model) -> &[Standing] {
        match self {
            Self::Crew => &model.figures.crew,
            Self::Blocks => &model.figures.blocks,
        }
    }

    fn screen(self) -> Screen {
        match self {
            Self::Crew => Screen::Crew,
            Self::Blocks => Screen::Blocks,
        }
    }

    /// The selected line, if there is any.
    fn selected(self, model: &Model) -> Option<&Standing> {
        let all = self.all(model);
        all.get(self.state(model).cursor.at(all.len()))
    }

    /// The opened one as it stands in the figures of these days, under the same rule where there are several; none
    /// where nothing is known of it.
    fn fresh<'m>(self, model: &'m Model, like: &Standing) -> Option<&'m Standing> {
        let same = |standing: &&Standing| is_same(standing, like);
        let mut all = self.all(model).iter().filter(same);
        let first = all.clone().next();
        all.find(|standing| standing.is_same(like)).or(first)
    }

    fn sheet<'m>(self, model: &'m Model, opened: &'m Opened) -> Option<Sheet<'m>> {
        let standing = self.fresh(model, &opened.like)?;
        Some(Sheet {
            standing,
            parts: match self {
                Self::Crew => Part::OF_PRUNER,
                Self::Blocks => Part::OF_BLOCK,
            },
            go_backs: sent_back(model, standing),
            map: opened.map.as_ref(),
            span: model.span,
        })
    }

    /// What there are pictures of: the opened one with the part shown, or the selected line.
    pub fn pictured(self, model: &Model) -> Option<(Standing, Option<RowMap>, Part)> {
        let (standing, part) = match &self.state(model).open {
            Some(opened) => {
                let sheet = self.sheet(model, opened)?;
                (sheet.standing, opened.at.part(sheet.parts))
            }
            None => (self.selected(model)?, Part::Mix),
        };
        Some((standing.clone(), map(model, standing), part))
    }
}

/// State of a list.
#[derive(Debug, Default)]
pub struct State {
    /// The selected line.
    pub cursor: Cursor,
    open: Option<Opened>,
    /// What takes back the marks that were made here last.
    unmark: Vec<Change>,
}

/// What is open, and where one stands in it.
#[derive(Debug, Clone)]
struct Opened {
    /// The standing when it was opened: its subject and rule find it again in fresh figures.
    like: Standing,
    /// The block from above, made once: to find out who pruned each tree, the work log of the whole
    /// winter is read.
    map: Option<RowMap>,
    at: At,
}

impl Opened {
    /// The number of the row that is chosen, where the rows are shown.
    fn chosen_row(&self) -> Option<u16> {
        let rows = &self.map.as_ref()?.rows;
        let at = self.at.line(Part::Rows).at(rows.len());
        let shown = self.at.part(Part::OF_BLOCK) == Part::Rows;
        rows.get(at).filter(|_| shown).map(|row| row.number)
    }
}

impl State {
    /// Whether one line is opened.
    pub fn is_open(&self) -> bool {
        self.open.is_some()
    }

    /// Back to the list.
    pub fn close(&mut self) {
        self.open = None;
    }
}

/// Whether two standings are about the same pruner, or the same block.
fn is_same(one: &Standing, other: &Standing) -> bool {
    match (&one.subject, &other.subject) {
        (Subject::Pruner { id: one, .. }, Subject::Pruner { id: other, .. }) => one == other,
        (Subject::Block { id: one, .. }, Subject::Block { id: other, .. }) => one == other,
        (Subject::Pruner { .. }, Subject::Block { .. })
        | (Subject::Block { .. }, Subject::Pruner { .. }) => false,
    }
}

fn block_of(standing: &Standing) -> Option<BlockId> {
    match standing.subject {
        Subject::Block { id, .. } => Some(id),
        Subject::Pruner { .. } => None,
    }
}

/// A block from above; pruners have no such picture.
fn map(model: &Model, standing: &Standing) -> Option<RowMap> {
    let season = model.season.as_ref()?;
    season.row_map(block_of(standing)?, model.now.day)
}

/// Rows that were sent back of a block, or to a pruner, open ones first.
fn sent_back(model: &Model, standing: &Standing) -> Vec<GoBackLine> {
    let Some(season) = &model.season else {
        return Vec::new();
    };
    let mut lines = season.go_back_lines(model.now.day);
    lines.retain(|line| match standing.subject {
        Subject::Pruner { id, .. } => line.pruner == id,
        Subject::Block { id, .. } => line.block == id,
    });
    in_order(lines)
}

/// What is shown of a pruner or a block.
#[derive(Debug)]
pub struct Sheet<'m> {
    /// The figures.
    pub standing: &'m Standing,
    /// Which parts there are.
    pub parts: &'static [Part],
    /// Rows sent back, in the order of [`in_order`].
    pub go_backs: Vec<GoBackLine>,
    /// The block from above.
    pub map: Option<&'m RowMap>,
    /// The days.
    pub span: Span,
}

impl Sheet<'_> {
    /// Whether it is about a block.
    pub fn is_block(&self) -> bool {
        matches!(self.standing.subject, Subject::Block { .. })
    }
}

/// Open rows first, the longest waiting first; then the settled ones, the latest first.
fn in_order(mut lines: Vec<GoBackLine>) -> Vec<GoBackLine> {
    lines.sort_by_key(|line| {
        let age = chrono::NaiveDate::MAX
            .signed_duration_since(line.day)
            .num_days();
        match line.outcome {
            None => (false, -age),
            Some(_) => (true, age),
        }
    });
    lines
}

#[cfg(test)]
mod looks;
#[cfg(test)]
mod odd_tests;
#[cfg(test)]
mod tests;
