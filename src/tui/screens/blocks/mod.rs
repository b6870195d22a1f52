//! The Blocks screen: how each block and row stands.

mod list;
mod update;

use crate::orchard::BlockId;
use crate::report::{GoBackLine, RowMap, Standing, Subject};
use crate::tui::app::Model;
use crate::tui::screens::standing::{At, Part, Sheet, in_order};

pub use list::view;
pub use update::{refreshed, update};

/// State of the screen.
#[derive(Debug, Default)]
pub struct State {
    /// The selected line.
    pub selected: usize,
    open: Option<Opened>,
}

/// What is open, and where one stands in it.
#[derive(Debug, Clone)]
struct Opened {
    block: BlockId,
    /// The block from above, made once: to find out who pruned each tree, the work log of the whole
    /// winter is read.
    map: Option<RowMap>,
    at: At,
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

fn block_of(standing: &Standing) -> Option<BlockId> {
    match standing.subject {
        Subject::Block { id, .. } => Some(id),
        Subject::Pruner { .. } => None,
    }
}

/// The selected block, if there is any.
fn selected(model: &Model) -> Option<BlockId> {
    let last = model.figures.blocks.len().checked_sub(1)?;
    let line = model.blocks.selected.min(last);
    block_of(model.figures.blocks.get(line)?)
}

/// The figures of a block; none where it is gone.
fn sheet<'m>(model: &'m Model, opened: &'m Opened) -> Option<Sheet<'m>> {
    let standing =
        (model.figures.blocks.iter()).find(|known| block_of(known) == Some(opened.block))?;
    Some(Sheet {
        standing,
        parts: Part::OF_BLOCK,
        go_backs: go_backs(model, opened.block),
        map: opened.map.as_ref(),
        span: model.span,
    })
}

/// The block's rows that were sent back, open ones first.
fn go_backs(model: &Model, block: BlockId) -> Vec<GoBackLine> {
    let Some(season) = &model.season else {
        return Vec::new();
    };
    let mut lines = season.go_back_lines(model.now.day);
    lines.retain(|line| line.block == block);
    in_order(lines)
}

/// What there are pictures of: the opened block with the part shown, or the selected line.
pub fn pictured(model: &Model) -> Option<(Standing, Option<RowMap>, Part)> {
    let (block, part) = match &model.blocks.open {
        Some(opened) => (opened.block, opened.at.part(Part::OF_BLOCK)),
        None => (selected(model)?, Part::Mix),
    };
    let standing = (model.figures.blocks.iter()).find(|known| block_of(known) == Some(block))?;
    let map = model.season.as_ref()?.row_map(block, model.now.day);
    Some((standing.clone(), map, part))
}
