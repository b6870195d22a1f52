//! Standings kept up to date count by count: those that a count is part of are made afresh, the others stay.

use std::collections::BTreeSet;

use rustc_hash::FxHashSet;

use super::Standing;
use crate::orchard::{BlockId, CountId, PrunerId, Stage, TreeCount};
use crate::report::figures::season::{Period, Place, Season};

/// Whose standings a change of a count may alter.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Touched {
    pruners: BTreeSet<PrunerId>,
    blocks: BTreeSet<BlockId>,
}

impl Touched {
    /// Both together.
    pub fn join(&mut self, other: Self) {
        self.pruners.extend(other.pruners);
        self.blocks.extend(other.blocks);
    }

    fn holds(&self, count: &TreeCount) -> bool {
        let by = count.pruner();
        self.blocks.contains(&count.head.block) || by.is_some_and(|by| self.pruners.contains(&by))
    }
}

fn place(count: &TreeCount) -> Place {
    (count.head.block, count.head.row, count.head.tree)
}

impl Season {
    /// Whose standings a count is part of: its block's, and those of all whose counts are of its tree, since of these
    /// only the last stands. To be asked before the count is changed and after it.
    pub fn touched_by(&self, count: CountId) -> Touched {
        let Some(count) = self.count(count) else {
            return Touched::default();
        };
        let here = place(count);
        let of_tree = self.counts().iter().filter(|other| place(other) == here);
        Touched {
            pruners: of_tree.filter_map(TreeCount::pruner).collect(),
            blocks: [count.head.block].into(),
        }
    }

    /// Makes those of the standings afresh that are touched, and gives what [`Season::all_standings`] would: crew and
    /// blocks must be what it gave for these days before counts changed.
    pub fn renew_standings(
        &self,
        period: Period,
        touched: &Touched,
        crew: &mut Vec<Standing>,
        blocks: &mut [Standing],
    ) {
        let of_days = (self.counts().iter())
            .filter(|count| count.head.stage == Stage::After && period.holds(count.head.at.day));
        let trees: FxHashSet<Place> = of_days
            .filter(|count| touched.holds(count))
            .map(place)
            .collect();
        let strata = self.strata_of(period, |tree| trees.contains(&tree));
        let mut known = std::mem::take(crew).into_iter().peekable();
        for pruner in self.judged() {
            let is_theirs = |of: &Standing| of.subject.pruner_id() == Some(pruner.id);
            let theirs = std::iter::from_fn(|| known.next_if(is_theirs));
            if touched.pruners.contains(&pruner.id) {
                theirs.for_each(drop);
                crew.extend(self.of_pruner(pruner, &strata));
            } else {
                crew.extend(theirs);
            }
        }
        for (block, standing) in self.blocks.iter().zip(blocks.iter_mut()) {
            if touched.blocks.contains(&block.id) {
                *standing = self.of_block(block, &strata);
            }
        }
        self.add_offered(crew.iter_mut().chain(blocks), period);
    }
}
