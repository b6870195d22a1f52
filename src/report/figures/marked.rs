//! Marked trees in walking order.

use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::Serialize;

use super::Season;
use crate::orchard::{BlockId, Mark, TreeMark};

/// A marked tree.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct MarkLine {
    /// The block.
    pub block: BlockId,
    /// The block's name.
    pub block_name: String,
    /// The row.
    pub row: u16,
    /// The tree's place in the row.
    pub tree: u16,
    /// The mark.
    pub mark: Mark,
    /// The note; may be empty.
    pub note: String,
    /// The day it was marked.
    pub day: NaiveDate,
}

impl Season {
    /// The marked trees in walking order: by block, row and place.
    pub fn mark_lines(&self) -> Vec<MarkLine> {
        let of = |mark: &TreeMark| MarkLine {
            block: mark.block,
            block_name: self.block_name(mark.block).to_owned(),
            row: mark.row,
            tree: mark.tree,
            mark: mark.mark,
            note: mark.note.clone(),
            day: mark.day,
        };
        let blocks = self.blocks.iter().map(|block| block.id);
        let trees =
            blocks.flat_map(|block| (self.marks.iter()).filter(move |mark| mark.block == block));
        trees.map(of).collect()
    }

    /// The day of a mark that is made today while this winter is looked at: in it, so that it holds there.
    pub fn mark_day(&self, today: NaiveDate) -> NaiveDate {
        let last = self.next_start.and_then(|next| next.pred_opt());
        last.map_or(today, |last| last.min(today))
    }
}
