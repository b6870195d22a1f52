//! What Today shows: which tree to walk to next, and who stands where.

use chrono::NaiveDate;
use rustc_hash::FxHashSet;
use serde::Serialize;

use super::drawn::WalkTree;
use super::lines::{GoBackLine, StandingLine};
use super::redone::RedoneRow;
use super::season::{Period, Place, Season};
use super::standing::Standing;
use crate::orchard::{BlockId, CountId, Stage, TreeCount};

/// A count that was begun and not closed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct OpenCount {
    /// The count.
    pub id: CountId,
    /// The block.
    pub block: BlockId,
    /// The row.
    pub row: u16,
    /// The tree's place in the row.
    pub tree: u16,
    /// The block's name.
    pub block_name: String,
    /// Before pruning or after it.
    pub stage: Stage,
    /// Counted again, without sight of the first count.
    pub again: bool,
    /// Who pruned it, as shown; none before pruning.
    pub pruner: Option<String>,
    /// The day it was begun.
    pub day: NaiveDate,
    /// Pieces counted so far.
    pub pieces: u32,
    /// Units counted so far.
    pub units: u32,
}

/// The supervisor's way through the rows today.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Walk {
    /// The day.
    pub day: NaiveDate,
    /// Counts to be finished, the latest first.
    pub resume: Vec<OpenCount>,
    /// Drawn trees that wait and are not begun: the oldest draw first, each in walking order.
    pub next: Vec<WalkTree>,
    /// Trees counted and closed today, before and after pruning; without those counted again to compare.
    pub counted_today: u32,
    /// Drawn trees that wait, those begun among them.
    pub waiting: u32,
    /// Rows sent back and not settled yet.
    pub open_go_backs: Vec<GoBackLine>,
    /// Rows that were done over and wait to be counted anew.
    pub redone: Vec<RedoneRow>,
    /// Pairs of entries of the log that claim the same trees, and of which nobody said that it is meant.
    pub disputes: u32,
    /// Each pruner in a line, by number.
    pub who: Vec<StandingLine>,
}

/// Whether a count after pruning is of this tree.
fn is_on(count: &TreeCount, tree: &WalkTree) -> bool {
    let head = &count.head;
    head.stage == Stage::After
        && !head.again
        && (head.block, head.row, head.tree) == (tree.block, tree.row, tree.tree)
}

impl Season {
    /// What Today shows.
    pub fn walk(&self, today: NaiveDate) -> Walk {
        self.walk_among(today, &self.crew_standings(Period::so_far(today)))
    }

    /// As [`Season::walk`], where the crew's standings over the winter so far are known already.
    pub fn walk_among(&self, today: NaiveDate, crew: &[Standing]) -> Walk {
        let (open, mut next) = (self.open_counts(), self.waiting());
        let waiting = next.len() as u32;
        // a tree that is begun is one to resume: begun again, it would be counted twice
        next.retain(|tree| !open.iter().any(|count| is_on(count, tree)));
        Walk {
            day: today,
            resume: open
                .into_iter()
                .map(|count| self.open_count(count))
                .collect(),
            waiting,
            next,
            counted_today: self.counted_on(today),
            open_go_backs: self.open_go_backs(today),
            redone: self.to_count_anew(today),
            disputes: self.disputes,
            who: crew.iter().map(StandingLine::new).collect(),
        }
    }

    /// Trees with a count of a day, before or after pruning; a tree counted twice is one.
    fn counted_on(&self, day: NaiveDate) -> u32 {
        let of_day = (self.counts().iter())
            .filter(|count| count.closed && count.head.at.day == day)
            .filter(|count| !count.head.again);
        let trees: FxHashSet<Place> = of_day
            .map(|count| (count.head.block, count.head.row, count.head.tree))
            .collect();
        trees.len() as u32
    }

    /// Rows sent back up to a day and not settled on it.
    pub fn open_go_backs(&self, until: NaiveDate) -> Vec<GoBackLine> {
        let mut lines = self.go_back_lines(until);
        lines.retain(|line| line.outcome.is_none());
        lines
    }

    fn open_count(&self, count: &TreeCount) -> OpenCount {
        let head = &count.head;
        OpenCount {
            id: count.id,
            block: head.block,
            row: head.row,
            tree: head.tree,
            block_name: self.block_name(head.block).to_owned(),
            stage: head.stage,
            again: head.again,
            pruner: count.pruner().map(|pruner| self.pruner_shown(pruner)),
            day: head.at.day,
            pieces: count.tally.pieces(),
            units: count.tally.unit_count(),
        }
    }
}
