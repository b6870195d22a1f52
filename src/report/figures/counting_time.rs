//! How long a tree takes the supervisor, from one count to the next.

use super::season::Season;
use crate::orchard::{Stage, TreeCount};

/// Counts that are looked back over.
const LOOKED_AT: usize = 60;
/// Fewest gaps that say something.
const FEWEST: usize = 10;
/// A longer gap, in minutes, is a pause; a shorter one was no tree.
const GAP: std::ops::RangeInclusive<f64> = 0.5..=20.0;

impl Season {
    /// Minutes from one tree to the next, the walk with it: the median over the last gaps between counts that one counter
    /// began on one day. None with fewer than ten of them. Pauses are left out.
    pub fn minutes_a_tree(&self) -> Option<f64> {
        let judged = |count: &&TreeCount| count.head.stage == Stage::After && !count.head.again;
        let last = self.counts().iter().rev().filter(judged).take(LOOKED_AT);
        let mut last: Vec<&TreeCount> = last.collect();
        last.sort_by_key(|count| std::cmp::Reverse(count.head.at.utc_ms));
        let gap = |pair: &[&TreeCount]| {
            let (later, earlier) = (&pair[0].head, &pair[1].head);
            let same = later.counter == earlier.counter && later.at.day == earlier.at.day;
            let minutes = (later.at.utc_ms - earlier.at.utc_ms) as f64 / 60_000.0;
            (same && GAP.contains(&minutes)).then_some(minutes)
        };
        let mut gaps: Vec<f64> = last.windows(2).filter_map(gap).collect();
        gaps.sort_by(f64::total_cmp);
        let middle = gaps.len() / 2;
        (gaps.len() >= FEWEST).then(|| f64::midpoint(gaps[middle], gaps[(gaps.len() - 1) / 2]))
    }
}
