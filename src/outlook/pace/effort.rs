//! How much work a block's trees are, beside the orchard's average tree.

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;

use super::student::student_90;
use super::work::{PersonDay, UsualDay};
use crate::orchard::{BlockId, PrunerId};
use crate::outlook::Z_90;

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
/// worked nowhere else, the two cannot be told apart, and the block gets the difference. A day split over blocks
/// without hours is left out: nobody knows how long each took. Blocks with little evidence are drawn towards the
/// average tree, by variance between blocks against variance of the block's own figure.
pub(super) struct Efforts {
    seen: BTreeMap<BlockId, Effort>,
    unseen: Effort,
}

/// Effort of a tree, with the sd of its logarithm: the block's own, and what it shares with all blocks not seen yet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Effort {
    pub mean: f64,
    pub own: f64,
    pub shared: f64,
}

impl Efforts {
    pub fn fit(days: &[PersonDay]) -> Self {
        let clear =
            |day: &&PersonDay| day.parts.len() == 1 || day.whole.minutes.is_some_and(|m| m > 0);
        let days: Vec<&PersonDay> = days.iter().filter(clear).collect();
        let fit = Fit::of(&days);
        let unseen = fit.unseen();
        Self {
            seen: fit.seen(unseen.own),
            unseen,
        }
    }

    /// A block not seen has 1, with the spread between blocks and that of the seen ones' mean.
    pub fn of(&self, block: BlockId) -> Effort {
        self.seen.get(&block).copied().unwrap_or(self.unseen)
    }
}

/// A block on one day.
#[derive(Default)]
struct Cell {
    trees: f64,
    /// Trees that the fit expects.
    expected: f64,
    /// Person-days.
    people: f64,
}

struct Fit {
    efforts: BTreeMap<BlockId, f64>,
    cells: BTreeMap<(BlockId, NaiveDate), Cell>,
    /// Person-days on a day, on average.
    crew: f64,
}

impl Fit {
    fn of(days: &[&PersonDay]) -> Self {
        let (stints, pruners, blocks) = stints(days);
        let mut efforts = vec![1.0; blocks.len()];
        let mut rates = vec![1.0; pruners.len()];
        for _ in 0..ROUNDS {
            balance_blocks(&stints, &rates, &mut efforts);
            balance_pruners(&stints, &efforts, &mut rates);
        }
        let mut cells: BTreeMap<_, Cell> = BTreeMap::new();
        for stint in &stints {
            let cell = cells.entry((blocks[stint.block], stint.day)).or_default();
            cell.trees += stint.trees;
            cell.expected += rates[stint.pruner] * stint.time / efforts[stint.block];
            cell.people += stint.share;
        }
        let dates: BTreeSet<_> = days.iter().map(|day| day.day).collect();
        Self {
            efforts: blocks.into_iter().zip(efforts).collect(),
            cells,
            crew: days.len() as f64 / dates.len().max(1) as f64,
        }
    }

    /// Days of the whole crew that a block has had, and that all have had.
    fn evidence(&self, block: Option<BlockId>) -> f64 {
        let cells = self
            .cells
            .iter()
            .filter(|((b, _), _)| block.is_none_or(|block| block == *b));
        cells.map(|(_, cell)| cell.people).sum::<f64>() / self.crew.max(1.0)
    }

    /// Sd of the logarithm of trees over trees expected, for a day of the whole crew: a part of it varies more.
    fn daily(&self) -> f64 {
        let off = |cell: &Cell| {
            let log = (cell.trees > 0.0 && cell.expected > 0.0)
                .then(|| (cell.trees / cell.expected).ln());
            log.map(|log| log.powi(2) * (cell.people / self.crew).min(1.0))
        };
        let squares: Vec<f64> = self.cells.values().filter_map(off).collect();
        let free = squares.len().saturating_sub(self.efforts.len());
        if free < 2 {
            return FEW_DAYS_SPREAD;
        }
        (squares.iter().sum::<f64>() / free as f64).sqrt()
    }

    fn seen(&self, between: f64) -> BTreeMap<BlockId, Effort> {
        let (daily, all) = (self.daily(), self.evidence(None));
        let of = |(block, raw): (&BlockId, &f64)| {
            // against the average, to which the block itself belongs: alone, it is 1 for certain
            let here = self.evidence(Some(*block));
            let own = daily.powi(2) * (1.0 / here.max(0.01) - 1.0 / all.max(0.01)).max(0.0);
            let trust = between.powi(2) / (between.powi(2) + own);
            let effort = Effort {
                mean: (trust * raw.ln()).exp(),
                own: (trust * own).sqrt(),
                shared: 0.0,
            };
            (*block, effort)
        };
        self.efforts.iter().map(of).collect()
    }

    /// Blocks are taken as drawn from all blocks there could be; the average tree is that of the blocks seen, so the
    /// fewer these are, the farther all others may be from it together.
    fn unseen(&self) -> Effort {
        let well_seen = self
            .efforts
            .iter()
            .filter(|(block, _)| self.evidence(Some(**block)) >= 1.0);
        let logs: Vec<f64> = well_seen.map(|(_, effort)| effort.ln()).collect();
        let few = student_90(logs.len().max(2) as f64 - 1.0) / Z_90;
        let between = sd(&logs).map_or(FEW_BLOCKS_SPREAD, |sd| (few * sd).clamp(0.05, 1.0));
        let mut trees: BTreeMap<BlockId, f64> = BTreeMap::new();
        for ((block, _), cell) in &self.cells {
            *trees.entry(*block).or_default() += cell.trees;
        }
        let all: f64 = trees.values().sum();
        let squares: f64 = trees
            .values()
            .map(|trees| (trees / all.max(1.0)).powi(2))
            .sum();
        Effort {
            mean: 1.0,
            own: between,
            shared: between * squares.sqrt(),
        }
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

/// A pruner's time in one block on one day; pruner and block by index.
struct Stint {
    pruner: usize,
    block: usize,
    day: NaiveDate,
    trees: f64,
    /// Minutes, or parts of an even day.
    time: f64,
    /// Share of the person's day.
    share: f64,
}

fn stints(days: &[&PersonDay]) -> (Vec<Stint>, Vec<PrunerId>, Vec<BlockId>) {
    let usual = UsualDay::of(days.iter().copied());
    let pruners: BTreeSet<PrunerId> = days.iter().map(|day| day.pruner).collect();
    let blocks: BTreeSet<BlockId> = days
        .iter()
        .flat_map(|day| day.parts.iter().map(|part| part.0))
        .collect();
    let pruners: Vec<PrunerId> = pruners.into_iter().collect();
    let blocks: Vec<BlockId> = blocks.into_iter().collect();
    let mut stints = Vec::new();
    for day in days {
        let Ok(pruner) = pruners.binary_search(&day.pruner) else {
            continue;
        };
        let length = length(day, &usual);
        for (block, part, share) in day.shares() {
            if let Ok(block) = blocks.binary_search(&block) {
                stints.push(Stint {
                    pruner,
                    block,
                    day: day.day,
                    trees: part.trees.number(),
                    time: share * length,
                    share,
                });
            }
        }
    }
    (stints, pruners, blocks)
}

/// Efforts that give each block its trees, 1 on average over all trees.
fn balance_blocks(stints: &[Stint], rates: &[f64], efforts: &mut [f64]) {
    let mut sums = vec![(0.0, 0.0); efforts.len()];
    for stint in stints {
        let sum = &mut sums[stint.block];
        *sum = (
            sum.0 + rates[stint.pruner] * stint.time,
            sum.1 + stint.trees,
        );
    }
    let work: f64 = sums.iter().filter(|sum| sum.1 > 0.0).map(|sum| sum.0).sum();
    let trees: f64 = sums.iter().map(|sum| sum.1).sum();
    for (effort, (time, own)) in efforts.iter_mut().zip(sums) {
        let raw = if own > 0.0 && work > 0.0 {
            time / own * trees / work
        } else {
            1.0
        };
        *effort = raw.clamp(0.02, 50.0);
    }
}

/// Rates that give each pruner their trees.
fn balance_pruners(stints: &[Stint], efforts: &[f64], rates: &mut [f64]) {
    let mut sums = vec![(0.0, 0.0); rates.len()];
    for stint in stints {
        let sum = &mut sums[stint.pruner];
        *sum = (
            sum.0 + efforts[stint.block] * stint.trees,
            sum.1 + stint.time,
        );
    }
    for (rate, (work, time)) in rates.iter_mut().zip(sums) {
        *rate = if time > 0.0 { work / time } else { 0.0 };
    }
}

#[cfg(test)]
mod tests {
    use super::super::work::{DayWork, person_days};
    use super::*;
    use crate::orchard::{Trees, WorkKind};
    use uuid::Uuid;

    fn entry(day: u32, pruner: u128, block: u128, trees: u32, minutes: Option<u32>) -> DayWork {
        DayWork {
            day: NaiveDate::from_ymd_opt(2027, 1, day).unwrap(),
            pruner: PrunerId(Uuid::from_u128(pruner)),
            block: BlockId(Uuid::from_u128(block)),
            trees: Trees::from(trees),
            kind: WorkKind::Pruning,
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
            let efforts = Efforts::fit(&person_days(&work));
            let of = |block| efforts.of(BlockId(Uuid::from_u128(block)));
            assert!((of(1).mean / of(2).mean - 2.0).abs() < 1e-6);
            // on average over the trees pruned, 1
            assert!((100.0 * of(1).mean + 120.0 * of(2).mean - 220.0).abs() < 1e-6);
            assert_eq!((of(3).mean, of(3).own), (1.0, FEW_BLOCKS_SPREAD));
            assert!(
                of(3).shared > FEW_BLOCKS_SPREAD / 2f64.sqrt() && of(3).shared < FEW_BLOCKS_SPREAD
            );
        }
    }

    #[test]
    fn the_only_block_is_the_average_for_certain() {
        let work = [
            entry(4, 1, 1, 40, None),
            entry(5, 1, 1, 20, None),
            entry(6, 2, 1, 9, None),
        ];
        let efforts = Efforts::fit(&person_days(&work));
        let certain = Effort {
            mean: 1.0,
            own: 0.0,
            shared: 0.0,
        };
        assert_eq!(efforts.of(BlockId(Uuid::from_u128(1))), certain);
    }
}
