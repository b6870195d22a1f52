//! How much work a block's trees are, beside the orchard's average tree.

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;

use super::work::{PersonDay, UsualDay};
use crate::orchard::{BlockId, PrunerId};

const ROUNDS: usize = 25;
/// A day's length where no hours are noted at all, minutes. Only its evenness matters: it cancels out.
const EVEN_DAY: u32 = 480;
/// Spread (sd of the logarithm) of effort between blocks while fewer than three were seen; our own choice.
const FEW_BLOCKS_SPREAD: f64 = 0.3;
/// Spread of one day's figure for a block while fewer than three were seen; our own choice.
const FEW_DAYS_SPREAD: f64 = 0.2;

/// Efforts: the work in a tree of each block, the average tree pruned so far being 1.
///
/// Fitted as trees = pruner's rate × time / block's effort, both sides in balance for every pruner and block (the
/// Poisson log-linear fit), so that a block is not called slow for having had the slow pruners. Where all its pruners
/// worked nowhere else, the two cannot be told apart, and the block gets the difference.
pub(super) struct Efforts {
    seen: BTreeMap<BlockId, (f64, f64)>,
    between: f64,
}

impl Efforts {
    pub fn fit(days: &[PersonDay]) -> Self {
        let fit = Fit::of(days);
        Self {
            seen: fit.with_spread(),
            between: fit.between(),
        }
    }

    /// Effort of a tree, and the sd of its logarithm. A block not seen has 1 and the spread between blocks.
    pub fn of(&self, block: BlockId) -> (f64, f64) {
        self.seen
            .get(&block)
            .copied()
            .unwrap_or((1.0, self.between))
    }

    pub fn knows(&self, block: BlockId) -> bool {
        self.seen.contains_key(&block)
    }
}

struct Fit {
    efforts: BTreeMap<BlockId, f64>,
    /// By block and day: trees, and the trees that the fit expects.
    cells: BTreeMap<(BlockId, NaiveDate), (f64, f64)>,
}

impl Fit {
    fn of(days: &[PersonDay]) -> Self {
        let usual = UsualDay::of(days);
        let mut efforts: BTreeMap<BlockId, f64> = (days.iter())
            .flat_map(|day| day.parts.keys().map(|block| (*block, 1.0)))
            .collect();
        let mut rates = BTreeMap::new();
        for _ in 0..ROUNDS {
            efforts = balance_blocks(days, &usual, &efforts, &rates);
            rates = balance_pruners(days, &usual, &efforts);
        }
        let mut cells: BTreeMap<_, (f64, f64)> = BTreeMap::new();
        for day in days {
            let length = length(day, &usual);
            for (block, part, share) in day.shares(|block| efforts[&block]) {
                let cell = cells.entry((block, day.day)).or_default();
                cell.0 += f64::from(part.trees);
                cell.1 += rates[&day.pruner] * share * length / efforts[&block];
            }
        }
        Self { efforts, cells }
    }

    fn with_spread(&self) -> BTreeMap<BlockId, (f64, f64)> {
        let logs: Vec<f64> = (self.cells.values())
            .filter(|(trees, expected)| *trees > 0.0 && *expected > 0.0)
            .map(|(trees, expected)| (trees / expected).ln())
            .collect();
        let daily = sd(&logs).unwrap_or(FEW_DAYS_SPREAD);
        let all = self
            .cells
            .keys()
            .map(|(_, day)| day)
            .collect::<BTreeSet<_>>()
            .len() as f64;
        let with = |(block, effort): (&BlockId, &f64)| {
            let here = self.cells.keys().filter(|(b, _)| b == block).count() as f64;
            // relative to the average, to which the block itself belongs: alone, it is 1 for certain
            let variance = daily.powi(2) * (1.0 / here.max(1.0) - 1.0 / all.max(1.0)).max(0.0);
            (*block, (*effort, variance.sqrt()))
        };
        self.efforts.iter().map(with).collect()
    }

    fn between(&self) -> f64 {
        let logs: Vec<f64> = self.efforts.values().map(|effort| effort.ln()).collect();
        sd(&logs).unwrap_or(FEW_BLOCKS_SPREAD).clamp(0.05, 1.0)
    }
}

/// Standard deviation, from three values on.
fn sd(values: &[f64]) -> Option<f64> {
    let n = values.len() as f64;
    let mean = values.iter().sum::<f64>() / n;
    let squares: f64 = values.iter().map(|value| (value - mean).powi(2)).sum();
    (values.len() >= 3).then(|| (squares / (n - 1.0)).sqrt())
}

fn length(day: &PersonDay, usual: &UsualDay) -> f64 {
    let noted = day.whole.minutes.filter(|minutes| *minutes > 0);
    f64::from(
        noted
            .or_else(|| usual.minutes(day.pruner))
            .unwrap_or(EVEN_DAY)
            .max(1),
    )
}

fn balance_blocks(
    days: &[PersonDay],
    usual: &UsualDay,
    efforts: &BTreeMap<BlockId, f64>,
    rates: &BTreeMap<PrunerId, f64>,
) -> BTreeMap<BlockId, f64> {
    let mut sums: BTreeMap<BlockId, (f64, f64)> = BTreeMap::new();
    for day in days {
        let rate = rates.get(&day.pruner).copied().unwrap_or(1.0) * length(day, usual);
        for (block, part, share) in day.shares(|block| efforts[&block]) {
            let sum = sums.entry(block).or_default();
            *sum = (sum.0 + rate * share, sum.1 + f64::from(part.trees));
        }
    }
    let work: f64 = sums
        .values()
        .filter(|sum| sum.1 > 0.0)
        .map(|sum| sum.0)
        .sum();
    let trees: f64 = sums.values().map(|sum| sum.1).sum();
    let of = |(block, (time, own)): (BlockId, (f64, f64))| {
        let effort = if own > 0.0 && work > 0.0 {
            time / own * trees / work
        } else {
            1.0
        };
        (block, effort.clamp(0.02, 50.0))
    };
    sums.into_iter().map(of).collect()
}

fn balance_pruners(
    days: &[PersonDay],
    usual: &UsualDay,
    efforts: &BTreeMap<BlockId, f64>,
) -> BTreeMap<PrunerId, f64> {
    let mut sums: BTreeMap<PrunerId, (f64, f64)> = BTreeMap::new();
    for day in days {
        let sum = sums.entry(day.pruner).or_default();
        sum.1 += length(day, usual);
        for (block, part) in &day.parts {
            sum.0 += efforts[block] * f64::from(part.trees);
        }
    }
    sums.into_iter()
        .map(|(pruner, (work, time))| (pruner, work / time))
        .collect()
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::super::work::{DayWork, person_days};
    use super::*;
    use uuid::Uuid;

    fn entry(day: u32, pruner: u128, block: u128, trees: u32, minutes: Option<u32>) -> DayWork {
        DayWork {
            day: NaiveDate::from_ymd_opt(2027, 1, day).unwrap(),
            pruner: PrunerId(Uuid::from_u128(pruner)),
            block: BlockId(Uuid::from_u128(block)),
            trees,
            minutes,
        }
    }

    /// Invented: pruner 2 is half as fast as pruner 1, block 2 half the work of block 1.
    #[test]
    fn a_block_is_not_slow_for_its_slow_pruners() {
        for minutes in [Some(480), None] {
            let work = [
                entry(4, 1, 1, 40, minutes),
                entry(5, 1, 1, 40, minutes),
                entry(4, 2, 2, 40, minutes),
                entry(5, 2, 1, 20, minutes),
                entry(6, 1, 2, 80, minutes),
            ];
            let efforts = Efforts::fit(&person_days(&work, None));
            let of = |block| efforts.of(BlockId(Uuid::from_u128(block)));
            assert!((of(1).0 / of(2).0 - 2.0).abs() < 1e-6);
            // on average over the trees pruned, 1
            assert!((100.0 * of(1).0 + 120.0 * of(2).0 - 220.0).abs() < 1e-6);
            assert_eq!(of(3), (1.0, FEW_BLOCKS_SPREAD));
        }
    }

    #[test]
    fn the_only_block_is_the_average_for_certain() {
        let work = [
            entry(4, 1, 1, 40, None),
            entry(5, 1, 1, 20, None),
            entry(6, 2, 1, 9, None),
        ];
        let efforts = Efforts::fit(&person_days(&work, None));
        assert_eq!(efforts.of(BlockId(Uuid::from_u128(1))), (1.0, 0.0));
    }
}
