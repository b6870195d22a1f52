//! Choosing trees to count again.

use std::collections::{HashMap, HashSet};

use chrono::{Datelike, NaiveDate};

use crate::judge::systematic;
use crate::orchard::{BlockId, CountHead, CountId, InFull, Invalid, Part, Stage, Stamp, TreeCount};
use crate::report::figures::season::{Period, Place, Season};

/// A tree to count again.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RepeatTree {
    /// Its first count.
    pub first: CountId,
    /// The block's name.
    pub block_name: String,
    /// The row.
    pub row: u16,
    /// The tree's place in the row.
    pub tree: u16,
    /// Who pruned it, as shown; none before pruning.
    pub pruner_shown: Option<String>,
}

impl Season {
    /// Draws up to `trees` of the trees that were counted after pruning in a period, to be counted again: a random
    /// systematic sample in walking order. The days are the seed: drawn again, the same counts give the same trees.
    /// Trees that were counted again already are not drawn.
    pub fn draw_repeats(&self, period: Period, trees: usize) -> Vec<CountId> {
        let known = self.repeated();
        let order: HashMap<BlockId, usize> = (self.blocks.iter().zip(0..))
            .map(|(block, at)| (block.id, at))
            .collect();
        let mut pool = self.standing_counts(Stage::After, period);
        pool.retain(|count| !known.contains(&count.id));
        pool.sort_by_key(|count| {
            let head = &count.head;
            (order.get(&head.block).copied(), head.row, head.tree)
        });
        let day = |day: NaiveDate| u64::from(day.num_days_from_ce().unsigned_abs());
        let seed = day(period.until) ^ period.since.map_or(0, day).rotate_left(32);
        let drawn = systematic(pool.len(), trees, seed);
        drawn.into_iter().map(|at| pool[at].id).collect()
    }

    /// Those of some first counts whose trees are still to be counted again, in the order given.
    pub fn repeats_to_go(&self, firsts: &[CountId]) -> Vec<RepeatTree> {
        if firsts.is_empty() {
            return Vec::new();
        }
        let known = self.repeated();
        let tree = |first: &CountId| {
            let count = self.count(*first).filter(|count| count.closed)?;
            let head = &count.head;
            (!known.contains(first)).then(|| RepeatTree {
                first: *first,
                block_name: self.block_name(head.block).to_owned(),
                row: head.row,
                tree: head.tree,
                pruner_shown: count.pruner().map(|pruner| self.pruner_shown(pruner)),
            })
        };
        firsts.iter().filter_map(tree).collect()
    }

    /// First counts whose tree has a later second count, open or closed.
    fn repeated(&self) -> HashSet<CountId> {
        let again = self.counts().iter().filter(|count| count.head.again);
        let mut latest: HashMap<(Place, Stage), i64> = HashMap::new();
        let key = |count: &TreeCount| {
            let head = &count.head;
            ((head.block, head.row, head.tree), head.stage)
        };
        for count in again {
            let at = latest.entry(key(count)).or_insert(i64::MIN);
            *at = count.head.at.utc_ms.max(*at);
        }
        let is_before = |count: &&TreeCount| {
            let again = latest.get(&key(count));
            !count.head.again && again.is_some_and(|again| count.head.at.utc_ms <= *again)
        };
        (self.counts().iter().filter(is_before))
            .map(|count| count.id)
            .collect()
    }

    /// What is recorded with a second count of a tree by `counter` at a moment: all as with the first.
    pub fn head_again(&self, first: CountId, counter: &str, at: Stamp) -> Option<CountHead> {
        let mut head = self.count(first)?.head_by_log();
        if let Part::Runs(runs) = &mut head.part {
            // the same pieces; of the whole leader one count is enough
            runs.in_full = InFull::No;
        }
        Some(CountHead {
            counter: counter.to_owned(),
            at,
            note: String::new(),
            again: true,
            ..head
        })
    }

    /// The closed count that a tree can be counted again against.
    ///
    /// Fails where there is none, or where the tree was pruned after it.
    pub fn first_count(
        &self,
        place: Place,
        stage: Stage,
        today: NaiveDate,
    ) -> Result<CountId, Invalid> {
        let refuse = |problem: &str| Err(Invalid::new("again", problem));
        let Some(first) = self.last_first(place, stage) else {
            return refuse(
                "has no closed count to be compared with: count it in the figures first",
            );
        };
        if self.pruned_between(&first.head, today) {
            return refuse(
                "was pruned after it was counted: count it in the figures, that count stands then",
            );
        }
        Ok(first.id)
    }
}
