//! What the work has cost so far.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Serialize;

use super::money::{Money, Rate};
use super::work::{PersonDay, UsualDay};
use crate::orchard::PrunerId;

/// How somebody is paid.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Pay {
    /// So much an hour.
    Hour(Rate),
    /// So much a tree.
    Tree(Rate),
}

/// One pay for all, and those that are paid otherwise.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize)]
pub struct PayPlan {
    /// For everybody without one of their own, newcomers included.
    pub all: Option<Pay>,
    /// By pruner.
    pub own: BTreeMap<PrunerId, Pay>,
}

impl PayPlan {
    /// How this pruner is paid; `None` where nothing is known.
    pub fn of(&self, pruner: PrunerId) -> Option<Pay> {
        self.own.get(&pruner).copied().or(self.all)
    }
}

/// What the work so far has cost.
///
/// Rounding: the pay is worked out for each pruner and day (all the day's minutes or trees together), rounded half up
/// to the currency's smallest unit, and these whole amounts are added.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, JsonSchema)]
pub struct CostSoFar {
    /// From trees and noted hours.
    pub known: Money,
    /// For paid hours that were not noted, at the length of the pruner's usual day, or the crew's.
    pub guessed: Money,
    /// Person-days behind `guessed`.
    pub guessed_days: u32,
    /// Person-days that could not be priced: no pay is entered, or no hours at all are noted.
    pub unpriced_days: u32,
}

impl CostSoFar {
    /// Known and guessed together.
    pub fn total(&self) -> Money {
        self.known.plus(self.guessed)
    }
}

/// The cost of the days in the log. Hours that were worked are paid, those of mending too; a tree is paid once, to who
/// pruned it first ([`super::DayWork`] has it there).
pub(super) fn cost_of(days: &[PersonDay], pay: &PayPlan) -> CostSoFar {
    let usual = UsualDay::of(days);
    let mut cost = CostSoFar::default();
    for day in days {
        let minutes = day.whole.minutes;
        match pay.of(day.pruner) {
            Some(Pay::Tree(rate)) => cost.known = cost.known.plus(rate.for_trees(day.whole.trees)),
            Some(Pay::Hour(rate)) => match (minutes, usual.minutes(day.pruner)) {
                (Some(minutes), _) => cost.known = cost.known.plus(rate.for_minutes(minutes)),
                (None, Some(minutes)) => {
                    cost.guessed = cost.guessed.plus(rate.for_minutes(minutes));
                    cost.guessed_days += 1;
                }
                (None, None) => cost.unpriced_days += 1,
            },
            None => cost.unpriced_days += 1,
        }
    }
    cost
}
