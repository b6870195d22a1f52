//! What a forecast is made from.

use chrono::NaiveDate;
use serde::Serialize;

use super::calendar::WorkCalendar;
use super::crew::{Member, Newcomers};
use super::money::Rate;
use super::pay::{Pay, PayPlan};
use super::work::DayWork;
use crate::orchard::{BlockId, PrunerId, WorkKind};

/// A block of the orchard and where it stands.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct BlockPlan {
    /// The block.
    pub block: BlockId,
    /// Trees pruned this winter.
    pub done: u32,
    /// Trees left.
    pub left: u32,
    /// The last day on which pruning is in time: budburst.
    pub deadline: NaiveDate,
}

/// A winter as it stands, to be carried to its end.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Plan {
    /// The first day of pruning: rain before it is not counted.
    pub start: NaiveDate,
    /// The day it is. Earlier days with work are those seen; what is logged for today is taken off today's work.
    pub today: NaiveDate,
    /// The days worked.
    pub calendar: WorkCalendar,
    /// This winter's work.
    pub work: Vec<DayWork>,
    /// The crew from today on.
    pub crew: Vec<Member>,
    /// Pruners still to come.
    pub newcomers: Vec<Newcomers>,
    /// The blocks.
    pub blocks: Vec<BlockPlan>,
    /// The pay.
    pub pay: PayPlan,
    /// The seed: the same plan and seed give the same forecast.
    pub seed: u64,
    /// How often the winter is run through, 1 to 100,000; [`RUNS`] is plenty.
    pub runs: u32,
}

/// Runs that a forecast is usually made of: the 10 % point is then right within about 1 % of chance (one sd).
pub const RUNS: u32 = 1_000;
/// Days with work before today that a forecast needs at least.
pub const MIN_DAYS_SEEN: u32 = 3;
/// Days that a forecast looks ahead.
pub const HORIZON_DAYS: u16 = 400;
/// The chance with which the crew needed is to be in time.
pub const NEEDED_CHANCE: f64 = 0.8;

impl Plan {
    /// How the trees that are left are paid, on average over them; `None` where nothing is known, or some are paid by
    /// the hour and some by the tree.
    pub(super) fn pay_ahead(&self, pruner: Option<PrunerId>) -> Option<Pay> {
        let (pay, blocks) = (&self.pay, &self.blocks);
        let own = pruner.and_then(|pruner| pay.own.get(&pruner).copied());
        if own.is_some() || pay.special.is_empty() {
            return own.or(pay.all);
        }
        let left = blocks.iter().filter(|block| block.left > 0);
        let pays: Option<Vec<(u32, Pay)>> = left
            .map(|block| {
                Some((
                    block.left,
                    pay.of_work(None, block.block, WorkKind::Pruning)?,
                ))
            })
            .collect();
        mean_pay(&pays?).or(pay
            .all
            .filter(|_| blocks.iter().all(|block| block.left == 0)))
    }
}

/// The mean of pays of one basis, by trees.
fn mean_pay(pays: &[(u32, Pay)]) -> Option<Pay> {
    let mean = |rate: fn(&Pay) -> Option<Rate>| {
        let of =
            |(trees, pay): &(u32, Pay)| Some((i64::from(*trees), rate(pay)?.ten_thousandths()));
        let all: Vec<(i64, i64)> = pays.iter().map(of).collect::<Option<_>>()?;
        let trees: i128 = all.iter().map(|(trees, _)| i128::from(*trees)).sum();
        let sum: i128 = all
            .iter()
            .map(|(trees, rate)| i128::from(*trees) * i128::from(*rate))
            .sum();
        Rate::of_ten_thousandths(i64::try_from((2 * sum + trees).checked_div(2 * trees)?).ok()?)
    };
    let by_hour = mean(|pay| match pay {
        Pay::Hour(rate) => Some(*rate),
        Pay::Tree(_) | Pay::AtLeast { .. } => None,
    });
    let by_tree = || {
        mean(|pay| match pay {
            Pay::Tree(rate) | Pay::AtLeast { tree: rate, .. } => Some(*rate),
            Pay::Hour(_) => None,
        })
    };
    by_hour.map(Pay::Hour).or_else(|| by_tree().map(Pay::Tree))
}
