//! A block's rows tree by tree: what is pruned, what was counted, what was sent back.

use std::collections::{BTreeMap, HashSet};

use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::Serialize;

use super::lines::GoBackLine;
use super::season::{Period, Place, Season};
use crate::orchard::{Block, BlockId, Done, Mark, Row, Stage};

/// One tree place.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum PlaceState {
    /// No tree stands there.
    Missing,
    /// Not pruned yet, by the work log.
    Unpruned,
    /// Pruned, not counted.
    Pruned,
    /// Counted after pruning.
    Counted,
}

/// Neighbouring trees of one pruner.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Stretch {
    /// First place.
    pub first: u16,
    /// Last place; missing trees in between belong to it.
    pub last: u16,
    /// The pruner's short label, at most 4 characters.
    pub pruner_short: String,
    /// The pruner as shown.
    pub pruner_shown: String,
}

/// One row.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct RowMarks {
    /// The row's number.
    pub number: u16,
    /// The places from 1 on.
    pub places: Vec<PlaceState>,
    /// Marked trees, in order of place.
    pub marks: Vec<(u16, Mark)>,
    /// Who pruned where, in order of place.
    pub pruners: Vec<Stretch>,
    /// Trees that stand in the row.
    pub trees: u32,
    /// Of these, pruned (and counted or not).
    pub pruned: u32,
    /// Of these, counted after pruning.
    pub counted: u32,
    /// The row's place on the go-back list: the last entry that is open, else the last one.
    pub sent_back: Option<GoBackLine>,
}

/// A block tree by tree, up to a day.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct RowMap {
    /// The block.
    pub block: BlockId,
    /// Its name.
    pub name: String,
    /// The day.
    pub day: NaiveDate,
    /// The rows, by number.
    pub rows: Vec<RowMarks>,
    /// Trees pruned.
    pub pruned: u32,
    /// Trees not pruned yet.
    pub left: u32,
    /// Trees that stand in the block.
    pub total: u32,
}

/// Trees done and left in a block.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct BlockProgress {
    /// The block.
    pub block: BlockId,
    /// Its name.
    pub name: String,
    /// Trees pruned, by the work log.
    pub pruned: u32,
    /// Trees not pruned yet.
    pub left: u32,
    /// Trees that stand in the block.
    pub total: u32,
}

/// What is known of the whole orchard on a day, for the maps of its blocks.
struct Known {
    day: NaiveDate,
    pruned: BTreeMap<Place, Done>,
    counted: HashSet<Place>,
    sent_back: Vec<GoBackLine>,
}

impl Known {
    /// A row's place on the go-back list: the last entry that is open, else the last one.
    fn sent_back(&self, block: BlockId, row: u16) -> Option<GoBackLine> {
        let mine =
            || (self.sent_back.iter().rev()).filter(|line| line.block == block && line.row == row);
        let open = mine().find(|line| line.outcome.is_none());
        open.or_else(|| mine().next()).cloned()
    }
}

impl Season {
    /// A block tree by tree, as known on a day; none where there is no such block.
    pub fn row_map(&self, block: BlockId, today: NaiveDate) -> Option<RowMap> {
        let block = self.block(block)?;
        Some(self.map_of(block, &self.known(today)))
    }

    /// All blocks tree by tree, by name.
    pub(super) fn row_maps(&self, today: NaiveDate) -> Vec<RowMap> {
        let known = self.known(today);
        let of = |block: &Block| self.map_of(block, &known);
        self.blocks.iter().map(of).collect()
    }

    fn known(&self, day: NaiveDate) -> Known {
        let period = Period::so_far(day);
        let counted = self.standing_counts(Stage::After, period).into_iter();
        Known {
            day,
            pruned: self.pruned(period),
            counted: counted
                .map(|count| (count.head.block, count.head.row, count.head.tree))
                .collect(),
            sent_back: self.go_back_lines(day),
        }
    }

    fn map_of(&self, block: &Block, known: &Known) -> RowMap {
        let rows = block.rows.rows().iter();
        let rows: Vec<_> = rows.map(|row| self.row_marks(block, row, known)).collect();
        let done = rows.iter().map(|row| row.pruned).sum();
        let total = block.rows.trees();
        RowMap {
            block: block.id,
            name: block.name.clone(),
            day: known.day,
            rows,
            pruned: done,
            left: total.saturating_sub(done),
            total,
        }
    }

    /// Trees done and left in every block, by name.
    pub fn progress(&self, today: NaiveDate) -> Vec<BlockProgress> {
        let done = self.trees_done(Period::so_far(today));
        let of = |block: &Block| {
            let pruned = done.get(&block.id).copied().unwrap_or(0);
            let total = block.rows.trees();
            BlockProgress {
                block: block.id,
                name: block.name.clone(),
                pruned,
                left: total.saturating_sub(pruned),
                total,
            }
        };
        self.blocks.iter().map(of).collect()
    }

    fn row_marks(&self, block: &Block, row: &Row, known: &Known) -> RowMarks {
        let (pruned, counted) = (&known.pruned, &known.counted);
        let state = |tree| {
            let place = (block.id, row.number, tree);
            if !row.has_tree(tree) {
                PlaceState::Missing
            } else if counted.contains(&place) {
                PlaceState::Counted
            } else if pruned.get(&place).is_some_and(|done| done.whole) {
                PlaceState::Pruned
            } else {
                PlaceState::Unpruned
            }
        };
        let of_row = (block.id, row.number, 0)..=(block.id, row.number, u16::MAX);
        let counted_here = |tree: &u16| counted.contains(&(block.id, row.number, *tree));
        RowMarks {
            number: row.number,
            places: (1..=row.places).map(state).collect(),
            marks: (self.marks.between((block.id, row.number), 1, row.places))
                .map(|known| (known.tree, known.mark))
                .collect(),
            pruners: self.stretches(row, pruned.range(of_row.clone())),
            trees: row.trees(),
            pruned: pruned.range(of_row).filter(|(_, done)| done.whole).count() as u32,
            counted: (1..=row.places).filter(counted_here).count() as u32,
            sent_back: known.sent_back(block.id, row.number),
        }
    }

    fn stretches<'a>(
        &self,
        row: &Row,
        pruned: impl Iterator<Item = (&'a Place, &'a Done)>,
    ) -> Vec<Stretch> {
        let mut stretches: Vec<Stretch> = Vec::new();
        let mut last_pruner = None;
        for ((_, _, tree), done) in pruned {
            let subject = done.by.subject();
            let joins = |stretch: &Stretch| {
                last_pruner == Some(subject) && row.trees_between(stretch.last + 1, tree - 1) == 0
            };
            match stretches.last_mut() {
                Some(stretch) if joins(stretch) => stretch.last = *tree,
                _ => stretches.push(Stretch {
                    first: *tree,
                    last: *tree,
                    pruner_short: self
                        .pruner(subject)
                        .map_or_else(|| "?".to_owned(), crate::orchard::Pruner::short),
                    pruner_shown: self.pruner_shown(subject),
                }),
            }
            last_pruner = Some(subject);
        }
        stretches
    }
}
