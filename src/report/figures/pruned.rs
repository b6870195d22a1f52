//! What was pruned in a winter, and by whom, as the work log says.

use std::collections::{BTreeMap, HashMap};

use chrono::NaiveDate;

use super::season::{Period, Place, Season};
use crate::orchard::{Block, BlockId, Done, PrunerId, Row, RowLog, RowWork, Run, Trees, WorkId};

/// Trees that somebody pruned in a block.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct PrunedTrees {
    /// All of them.
    pub all: u32,
    /// Those that the rule is meant for.
    pub judged: u32,
    /// These by the day.
    pub days: BTreeMap<NaiveDate, u32>,
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
                let judged = standing - self.marks.outside_between(here, first, last);
                of.judged += judged;
                *of.days.entry(run.done.day).or_default() += judged;
            }
        });
        trees
    }

    /// Trees of each block that are done, and not a side or zone of them alone.
    pub fn trees_done(&self, period: Period) -> BTreeMap<BlockId, u32> {
        self.trees_done_by(&RowLog::of(self.work.iter()), period)
    }

    /// The same by another log.
    pub(super) fn trees_done_by(&self, log: &RowLog<'_>, period: Period) -> BTreeMap<BlockId, u32> {
        let mut trees = BTreeMap::new();
        self.each_run_of(log, period, |block, row, run| {
            if run.done.whole {
                let standing = row.trees_between(run.first, run.last.min(row.places));
                *trees.entry(block).or_default() += standing;
            }
        });
        trees
    }

    /// Trees that each entry did for the first time; of shared trees its share.
    pub(super) fn new_trees(&self, until: NaiveDate) -> HashMap<WorkId, Trees> {
        let mut trees: HashMap<WorkId, Trees> = HashMap::new();
        self.each_row(&RowLog::of(self.work.iter()), |_, row, work| {
            let standing = |first, last: u16| row.trees_between(first, last.min(row.places));
            work.shares(until, standing, |entry, share| {
                *trees.entry(entry.id).or_default() += share;
            });
        });
        trees
    }

    /// Looks at the neighbouring places of all rows that the same people pruned, in no order that matters.
    fn each_run(&self, period: Period, look: impl FnMut(BlockId, &Row, Run)) {
        self.each_run_of(&RowLog::of(self.work.iter()), period, look);
    }

    fn each_run_of(
        &self,
        log: &RowLog<'_>,
        period: Period,
        mut look: impl FnMut(BlockId, &Row, Run),
    ) {
        self.each_row(log, |block, row, work| {
            for run in work.runs((period.since, period.until)) {
                if run.first <= row.places {
                    look(block, row, run);
                }
            }
        });
    }

    /// Looks at each row with work that its block still has.
    fn each_row<'w>(&self, log: &RowLog<'w>, mut look: impl FnMut(BlockId, &Row, &RowWork<'w>)) {
        let blocks: HashMap<BlockId, &Block> =
            self.blocks.iter().map(|block| (block.id, block)).collect();
        for ((block, number), work) in log.rows() {
            let row = blocks.get(&block).and_then(|block| block.rows.row(number));
            if let Some(row) = row {
                look(block, row, work);
            }
        }
    }
}
