//! What was pruned in a winter, and by whom, as the work log says.

use std::collections::BTreeMap;

use super::season::{Period, Place, Season};
use crate::orchard::{BlockId, Done, PrunerId, Row, RowLog, Run};

/// Trees that somebody pruned in a block.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct PrunedTrees {
    /// All of them.
    pub all: u32,
    /// Those that the rule is meant for.
    pub judged: u32,
}

impl Season {
    /// Who pruned each tree, or a part of it, in a period: the last day of work on it holds.
    pub fn pruned(&self, period: Period) -> BTreeMap<Place, Done> {
        let mut pruned = BTreeMap::new();
        self.each_run(period, |block, row, run| {
            let places =
                (run.first..=run.last.min(row.places)).filter(|place| row.has_tree(*place));
            pruned.extend(places.map(|place| ((block, row.number, place), run.done)));
        });
        pruned
    }

    /// Trees pruned, by who is judged for them and block. Quick, since it is asked for after each closed count.
    pub fn trees_pruned(&self, period: Period) -> BTreeMap<(PrunerId, BlockId), PrunedTrees> {
        let mut trees: BTreeMap<_, PrunedTrees> = BTreeMap::new();
        self.each_run(period, |block, row, run| {
            let (first, last) = (run.first, run.last.min(row.places));
            let standing = row.trees_between(first, last);
            if standing > 0 {
                let of = trees.entry((run.done.by.subject(), block)).or_default();
                let here = (block, row.number);
                of.all += standing;
                of.judged += standing - self.marks.outside_between(here, first, last);
            }
        });
        trees
    }

    /// Trees of each block that are done, and not a side or zone of them alone.
    pub fn trees_done(&self, period: Period) -> BTreeMap<BlockId, u32> {
        let mut trees = BTreeMap::new();
        self.each_run(period, |block, row, run| {
            if run.done.whole {
                let standing = row.trees_between(run.first, run.last.min(row.places));
                *trees.entry(block).or_default() += standing;
            }
        });
        trees
    }

    /// Looks at the neighbouring places of all rows that the same people pruned, in no order that matters.
    fn each_run(&self, period: Period, mut look: impl FnMut(BlockId, &Row, Run)) {
        let blocks = self.blocks_by_id();
        for ((block, number), work) in RowLog::of(self.work.iter()).rows() {
            let row = blocks.get(&block).and_then(|block| block.rows.row(number));
            let Some(row) = row else { continue };
            for run in work.runs((period.since, period.until)) {
                if run.first <= row.places {
                    look(block, row, run);
                }
            }
        }
    }
}
