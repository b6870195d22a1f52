//! Trees counted twice: how sure the counting is, and how much of what is seen is the counter's.

mod pairs;
mod plan;

use std::cmp::Reverse;
use std::collections::BTreeMap;

use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::Serialize;

use super::season::Season;
use crate::judge::{Metric, Pairing, Ranged, Repeat, TreeFigures};
use crate::orchard::{Age, Size, Stage, TreeCount};

pub use pairs::RepeatPair;
pub use plan::RepeatTree;

/// A figure in which two counts of a tree are compared.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum RepeatFigure {
    /// Pieces of one-year wood on the whole tree; counts of some stems are scaled up by stems, as for all pieces here.
    PiecesOne,
    /// Pieces of two-year wood.
    PiecesTwo,
    /// Pieces of three-year wood.
    PiecesThree,
    /// Pieces of four-plus wood.
    PiecesFourPlus,
    /// Share of one-year wood, 0 to 1.
    ShareOne,
    /// Share of two-year wood.
    ShareTwo,
    /// Share of three-year wood.
    ShareThree,
    /// Share of four-plus wood.
    ShareFourPlus,
    /// Units of which the buds were counted, on the whole tree.
    Units,
    /// Mean buds on a unit, one of seven or more taken as seven.
    BudsPerUnit,
    /// Share of units whose buds keep the rule, 0 to 1.
    BudsWithin,
}

impl RepeatFigure {
    /// All of them, in the order of reports.
    pub const ALL: [Self; 11] = [
        Self::PiecesOne,
        Self::PiecesTwo,
        Self::PiecesThree,
        Self::PiecesFourPlus,
        Self::ShareOne,
        Self::ShareTwo,
        Self::ShareThree,
        Self::ShareFourPlus,
        Self::Units,
        Self::BudsPerUnit,
        Self::BudsWithin,
    ];

    /// The metric that verdicts rest on, where the figure is one.
    pub const fn metric(self) -> Option<Metric> {
        match self {
            Self::ShareOne => Some(Metric::One),
            Self::ShareTwo => Some(Metric::Two),
            Self::ShareThree => Some(Metric::Three),
            Self::ShareFourPlus => Some(Metric::FourPlus),
            Self::BudsWithin => Some(Metric::Buds),
            _ => None,
        }
    }

    /// Its value on a counted tree; none where the tree has nothing to make it of.
    fn value(self, count: &TreeCount, figures: &TreeFigures, scale: Option<f64>) -> Option<f64> {
        let pieces = |age: Age| Some(f64::from(count.tally.ages[age.index()]) * scale?);
        match self {
            Self::PiecesOne => pieces(Age::One),
            Self::PiecesTwo => pieces(Age::Two),
            Self::PiecesThree => pieces(Age::Three),
            Self::PiecesFourPlus => pieces(Age::FourPlus),
            Self::Units => Some(f64::from(figures.units) * scale?),
            Self::BudsPerUnit => {
                let buds: u32 = Size::ALL.map(|size| count.tally.buds_of(size)).iter().sum();
                (figures.units > 0).then(|| f64::from(buds) / f64::from(figures.units))
            }
            share => {
                let (part, all) = figures.metric(share.metric()?);
                (all > 0).then(|| f64::from(part) / f64::from(all))
            }
        }
    }
}

/// Whose counts are compared.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case", tag = "by")]
pub enum Counters {
    /// Everybody's; the difference is the second count less the first.
    All,
    /// Both counts by one person.
    One {
        /// Who counted.
        name: String,
    },
    /// Each tree by the one and by the other; the difference is the other's count less the one's.
    Two {
        /// The one, first by name.
        one: String,
        /// The other.
        other: String,
    },
}

/// One figure compared.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct RepeatLine {
    /// Which.
    pub figure: RepeatFigure,
    /// How far the counts agree.
    pub agreement: Repeat,
}

/// The trees that the same people counted twice, before pruning or after it.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct RepeatGroup {
    /// A tree before pruning is another thing to count, and no verdict rests on it.
    pub stage: Stage,
    /// Who they are.
    pub counters: Counters,
    /// Trees counted twice.
    pub pairs: u32,
    /// The figures; one with fewer than five pairs is left out.
    pub figures: Vec<RepeatLine>,
}

/// Two counts of a tree.
type Two<'s> = (&'s TreeCount, &'s TreeCount);

/// A caution: much of the spread between counted trees seems to be the counter's.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct CountingCaution {
    /// In which metric.
    pub metric: Metric,
    /// Trees counted twice that it rests on.
    pub pairs: u32,
    /// The counter's share of the spread, 0 to 1.
    pub counter_share: Ranged,
}

/// All trees counted twice in a winter.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Repeats {
    /// Trees counted twice.
    pub pairs: u32,
    /// Second counts that have no first one to stand beside: the tree was pruned between, or counted on other stems.
    pub unpaired: u32,
    /// Of counts after pruning all together first, then each counter, then each two counters; then the same of counts
    /// before pruning. Empty without pairs.
    pub groups: Vec<RepeatGroup>,
    /// Metrics in which a caution is due, from all pairs after pruning together: verdicts rest on such counts.
    pub cautions: Vec<CountingCaution>,
}

impl Season {
    /// How far counts of the same tree agree, over the winter up to a day.
    pub fn repeats(&self, until: NaiveDate) -> Repeats {
        let (pairs, unpaired) = self.repeat_pairs(until);
        // counts after pruning come first
        let mut by: BTreeMap<(Reverse<Stage>, Counters), Vec<Two<'_>>> = BTreeMap::new();
        for pair in &pairs {
            let stage = Reverse(pair.first.head.stage);
            let all = by.entry((stage, Counters::All)).or_default();
            all.push((pair.first, pair.again));
            if let Some((counters, first, second)) = pair.counters() {
                let theirs = by.entry((stage, counters)).or_default();
                theirs.push((first, second));
            }
        }
        let groups: Vec<_> = (by.into_iter())
            .map(|((stage, counters), pairs)| self.repeat_group(stage.0, counters, &pairs))
            .collect();
        let after = groups.first().filter(|all| all.stage == Stage::After);
        Repeats {
            pairs: pairs.len() as u32,
            unpaired,
            cautions: after.map(cautions).unwrap_or_default(),
            groups,
        }
    }

    fn repeat_group(&self, stage: Stage, counters: Counters, pairs: &[Two<'_>]) -> RepeatGroup {
        let pairing = match counters {
            Counters::Two { .. } => Pairing::TwoCounters,
            Counters::All | Counters::One { .. } => Pairing::Unordered,
        };
        let line = |figure: RepeatFigure| {
            let of = |count: &TreeCount| {
                let figures = TreeFigures::of(&count.tally, self.rule(count.head.block));
                figure.value(count, &figures, self.scale(count))
            };
            let values: Vec<_> = (pairs.iter())
                .filter_map(|(first, second)| Some([of(first)?, of(second)?]))
                .collect();
            Some(RepeatLine {
                figure,
                agreement: Repeat::of(&values, pairing)?,
            })
        };
        RepeatGroup {
            stage,
            pairs: pairs.len() as u32,
            figures: RepeatFigure::ALL.into_iter().filter_map(line).collect(),
            counters,
        }
    }
}

fn cautions(all: &RepeatGroup) -> Vec<CountingCaution> {
    let caution = |line: &RepeatLine| {
        Some(CountingCaution {
            metric: line.figure.metric()?,
            pairs: line.agreement.pairs,
            counter_share: line.agreement.counter_share?,
        })
    };
    (all.figures.iter())
        .filter(|line| line.agreement.is_large())
        .filter_map(caution)
        .collect()
}
