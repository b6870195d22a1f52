//! Counters held against the reference tree: a tree with an agreed count, which each of them counts once more, blind.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::Serialize;

use super::marked::MarkLine;
use super::season::{Period, Place, Season};
use crate::orchard::{Mark, Size, Stage, TreeCount};

/// A share of an age may be so far from the agreed one, on the mean over a counter's trees. From memory.
const SHARES_WITHIN: f64 = 0.10;
/// Buds on a piece may. From memory.
const BUDS_WITHIN: f64 = 0.5;

/// How a counter counts beside the agreed counts.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct CounterScore {
    /// Who counted.
    pub counter: String,
    /// Reference trees that the counter counted.
    pub trees: u32,
    /// Mean difference of the share of each age, -1 to 1: the counter's less the agreed one.
    pub shares: [f64; 4],
    /// Mean difference of buds on a two-year piece; null where either counted none.
    pub buds: Option<f64>,
    /// Standard deviation of the difference in the one-year share from tree to tree; null with fewer than two.
    pub spread: Option<f64>,
    /// Whether all means are near enough.
    pub passed: bool,
}

/// Shares by age, and buds on a piece.
struct Seen {
    shares: [f64; 4],
    buds: Option<f64>,
}

impl Seen {
    /// None of a count without pieces.
    fn of(count: &TreeCount) -> Option<Self> {
        let pieces = f64::from(count.tally.pieces());
        let units = f64::from(count.tally.unit_count());
        let buds: u32 = Size::ALL
            .iter()
            .map(|size| count.tally.buds_of(*size))
            .sum();
        (pieces > 0.0).then(|| Self {
            shares: count.tally.ages.map(|n| f64::from(n) / pieces),
            buds: (units > 0.0).then(|| f64::from(buds) / units),
        })
    }

    fn less(&self, agreed: &Self) -> Self {
        Self {
            shares: std::array::from_fn(|age| self.shares[age] - agreed.shares[age]),
            buds: self.buds.zip(agreed.buds).map(|(own, agreed)| own - agreed),
        }
    }
}

impl Season {
    /// The reference trees in walking order, up to a day.
    pub fn reference_trees(&self, until: NaiveDate) -> Vec<MarkLine> {
        let mut trees = self.mark_lines();
        trees.retain(|tree| tree.mark == Mark::Reference && tree.day <= until);
        trees
    }

    /// Each counter's score, by name. The agreed count of a reference tree is the first in the figures that was closed; a
    /// counter's is the first made again of the same part.
    pub fn calibration(&self, until: NaiveDate) -> Vec<CounterScore> {
        let mut differences: BTreeMap<&str, Vec<Seen>> = BTreeMap::new();
        for tree in self.reference_trees(until) {
            let place = (tree.block, tree.row, tree.tree);
            let counts = self.closed_of(place, until);
            let Some(agreed) = counts.iter().find(|count| !count.head.again) else {
                continue;
            };
            let Some(wanted) = Seen::of(agreed) else {
                continue;
            };
            let mut seen: Vec<&str> = Vec::new();
            for again in counts.iter().filter(|count| count.head.again) {
                let counter = again.head.counter.as_str();
                let first = !counter.is_empty() && !seen.contains(&counter);
                if first
                    && again.head.part.alike(agreed.head.part)
                    && let Some(own) = Seen::of(again)
                {
                    seen.push(counter);
                    differences
                        .entry(counter)
                        .or_default()
                        .push(own.less(&wanted));
                }
            }
        }
        differences
            .into_iter()
            .map(|(who, of)| score(who, &of))
            .collect()
    }

    /// Counters of the winter who did not pass, by name; none where no reference tree has an agreed count.
    pub fn not_calibrated(&self, until: NaiveDate) -> Vec<String> {
        let trees = self.reference_trees(until);
        let agreed = |tree: &MarkLine| {
            let counts = self.closed_of((tree.block, tree.row, tree.tree), until);
            counts.iter().any(|count| !count.head.again)
        };
        if !trees.iter().any(agreed) {
            return Vec::new();
        }
        let passed = self.calibration(until);
        let passed = |who: &str| {
            passed
                .iter()
                .any(|score| score.passed && score.counter == who)
        };
        let mut names: Vec<String> = (self.standing_counts(Stage::After, Period::so_far(until)))
            .iter()
            .map(|count| count.head.counter.clone())
            .filter(|counter| !counter.is_empty() && !passed(counter))
            .collect();
        names.sort();
        names.dedup();
        names
    }

    /// Closed counts of a tree after pruning, the oldest first.
    fn closed_of(&self, place: Place, until: NaiveDate) -> Vec<&TreeCount> {
        let is_of = |count: &&TreeCount| {
            let head = &count.head;
            (head.block, head.row, head.tree) == place
                && head.stage == Stage::After
                && count.closed
                && head.at.day <= until
        };
        let mut counts: Vec<&TreeCount> = self.counts().iter().filter(is_of).collect();
        counts.sort_by_key(|count| (count.head.at.utc_ms, count.id));
        counts
    }
}

fn score(counter: &str, differences: &[Seen]) -> CounterScore {
    let n = differences.len() as f64;
    let mean = |of: &dyn Fn(&Seen) -> f64| differences.iter().map(of).sum::<f64>() / n;
    let shares: [f64; 4] = std::array::from_fn(|age| mean(&|seen| seen.shares[age]));
    let buds: Vec<f64> = differences.iter().filter_map(|seen| seen.buds).collect();
    let buds = (!buds.is_empty()).then(|| buds.iter().sum::<f64>() / buds.len() as f64);
    let squares = differences
        .iter()
        .map(|seen| (seen.shares[0] - shares[0]).powi(2));
    let spread = (differences.len() > 1).then(|| (squares.sum::<f64>() / (n - 1.0)).sqrt());
    let shares_near = shares
        .iter()
        .all(|share| share.abs() <= SHARES_WITHIN + 1e-9);
    CounterScore {
        counter: counter.to_owned(),
        trees: differences.len() as u32,
        shares,
        buds,
        spread,
        passed: shares_near && buds.is_none_or(|buds| buds.abs() <= BUDS_WITHIN + 1e-9),
    }
}
