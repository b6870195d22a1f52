//! Which two counts belong together.

use std::collections::{HashMap, HashSet};

use chrono::NaiveDate;

use super::Counters;
use crate::orchard::{CountHead, CountId, Stage, TreeCount};
use crate::report::figures::season::{Place, Season};

/// A tree's first count, and the one that was made again without sight of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RepeatPair<'s> {
    /// The count that stood when the tree was counted again.
    pub first: &'s TreeCount,
    /// The second count.
    pub again: &'s TreeCount,
}

impl<'s> RepeatPair<'s> {
    /// Who counted, with the counts in the order of their names where they are two; none where a name is missing.
    pub(super) fn counters(&self) -> Option<(Counters, &'s TreeCount, &'s TreeCount)> {
        let name = |count: &'s TreeCount| {
            let name = count.head.counter.trim();
            (!name.is_empty()).then_some(name)
        };
        let (first, again) = (name(self.first)?, name(self.again)?);
        let of = |one: &str, other: &str| Counters::Two {
            one: one.to_owned(),
            other: other.to_owned(),
        };
        Some(match first.cmp(again) {
            std::cmp::Ordering::Equal => {
                let name = first.to_owned();
                (Counters::One { name }, self.first, self.again)
            }
            std::cmp::Ordering::Less => (of(first, again), self.first, self.again),
            std::cmp::Ordering::Greater => (of(again, first), self.again, self.first),
        })
    }
}

type Key = (Place, Stage);

fn key(head: &CountHead) -> Key {
    ((head.block, head.row, head.tree), head.stage)
}

fn order(count: &TreeCount) -> (i64, CountId) {
    (count.head.at.utc_ms, count.id)
}

/// Closed, with something on it.
fn is_done(count: &TreeCount) -> bool {
    count.closed && !count.tally.is_empty()
}

impl Season {
    /// The trees counted twice up to a day, in order of the second count, and how many second counts have no first one.
    ///
    /// The first count is the last one of the tree and the stage before the second, of as many stems, with no pruning
    /// of the tree logged on a day after it and up to the second; where a clock was set back in between, the last one of
    /// the same day. A third count of a tree is compared with nothing: it
    /// may have been made with sight of the other two.
    pub fn repeat_pairs(&self, until: NaiveDate) -> (Vec<RepeatPair<'_>>, u32) {
        let done = || {
            let all = self.counts().iter();
            all.filter(|count| is_done(count) && count.head.at.day <= until)
        };
        let mut again: Vec<_> = done().filter(|count| count.head.again).collect();
        if again.is_empty() {
            return (Vec::new(), 0);
        }
        again.sort_by_key(|count| order(count));
        let wanted: HashSet<Key> = again.iter().map(|count| key(&count.head)).collect();
        let mut firsts: HashMap<Key, Vec<&TreeCount>> = HashMap::new();
        for count in done().filter(|count| !count.head.again) {
            if wanted.contains(&key(&count.head)) {
                firsts.entry(key(&count.head)).or_default().push(count);
            }
        }
        let mut taken = HashSet::new();
        let mut pairs = Vec::new();
        for again in &again {
            let before = firsts.get(&key(&again.head)).into_iter().flatten();
            let first = before
                .filter(|first| first.head.at.day <= again.head.at.day)
                .max_by_key(|first| (order(first) < order(again), order(first)));
            if let Some(first) = first.filter(|first| self.can_pair(first, again))
                && taken.insert(first.id)
            {
                pairs.push(RepeatPair { first, again });
            }
        }
        let unpaired = again.len() - pairs.len();
        (pairs, unpaired as u32)
    }

    /// The pair that a second count belongs to.
    pub fn repeat_pair(&self, again: CountId) -> Option<RepeatPair<'_>> {
        let day = self.count(again)?.head.at.day;
        let (pairs, _) = self.repeat_pairs(day);
        pairs.into_iter().find(|pair| pair.again.id == again)
    }

    fn can_pair(&self, first: &TreeCount, again: &TreeCount) -> bool {
        first.head.part.alike(again.head.part)
            && !self.pruned_between(&first.head, again.head.at.day)
    }

    /// Whether pruning of the tree is logged on a day after a count, up to a day.
    pub(super) fn pruned_between(&self, first: &CountHead, until: NaiveDate) -> bool {
        self.work.iter().any(|entry| {
            (entry.block, entry.row) == (first.block, first.row)
                && (entry.first..=entry.last).contains(&first.tree)
                && entry.how.kind.leaves_pruned()
                && entry.how.zone.meets(first.part.zone())
                && first.at.day < entry.day
                && entry.day <= until
        })
    }

    /// The last closed count of a tree and stage, second counts apart.
    pub(super) fn last_first(&self, place: Place, stage: Stage) -> Option<&TreeCount> {
        let of = |count: &&TreeCount| {
            is_done(count) && !count.head.again && key(&count.head) == (place, stage)
        };
        self.counts()
            .iter()
            .filter(of)
            .max_by_key(|count| order(count))
    }
}
