//! What the work has cost so far.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::Serialize;

use super::money::{Money, Rate};
use super::work::{DayWork, UsualDay, person_days};
use crate::orchard::{BlockId, PrunerId, Trees, WorkKind};

/// How somebody is paid.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Pay {
    /// So much an hour.
    Hour(Rate),
    /// So much a tree.
    Tree(Rate),
    /// So much a tree, and at least so much for the hours of a day.
    AtLeast {
        /// For a tree.
        tree: Rate,
        /// For an hour.
        hour: Rate,
    },
}

/// Where a pay holds that is not the general one: in a block, for a kind of work, or for both. Never neither.
pub type PaySpot = (Option<BlockId>, Option<WorkKind>);

/// One pay for all, and what is paid otherwise.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize)]
pub struct PayPlan {
    /// For everybody without one of their own, newcomers included.
    pub all: Option<Pay>,
    /// By pruner.
    pub own: BTreeMap<PrunerId, Pay>,
    /// By block and kind of work.
    #[serde(skip)]
    pub special: BTreeMap<PaySpot, Pay>,
}

impl PayPlan {
    /// How this pruner is paid for the winter pruning anywhere; `None` where nothing is known.
    pub fn of(&self, pruner: PrunerId) -> Option<Pay> {
        self.own.get(&pruner).copied().or(self.all)
    }

    /// How a kind of work is paid in a block: what is the pruner's own, then of the kind in the block, of the block, of the
    /// kind, and of all. A pay by the tree is for trees pruned: another kind has its own, or one by the hour.
    pub fn of_work(&self, pruner: Option<PrunerId>, block: BlockId, kind: WorkKind) -> Option<Pay> {
        let special = |spot: PaySpot| self.special.get(&spot).copied();
        let general = |pay: Option<Pay>| {
            let counts_trees = matches!(kind.counted_as(), None | Some(WorkKind::Pruning));
            pay.filter(|pay| matches!(pay, Pay::Hour(_)) || counts_trees)
        };
        let own = pruner.and_then(|pruner| self.own.get(&pruner).copied());
        general(own)
            .or_else(|| special((Some(block), Some(kind))))
            .or_else(|| general(special((Some(block), None))))
            .or_else(|| special((None, Some(kind))))
            .or_else(|| general(self.all))
    }
}

/// What the work so far has cost.
///
/// Rounding: the pay is worked out for each pruner and day, all minutes or trees of one rate together, rounded half up to
/// the currency's smallest unit, and these whole amounts are added.
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

/// The cost of work in the log. Hours that were worked are paid, those of mending too; a tree is paid once for each kind of
/// work, to those who did it first ([`DayWork`] has it there).
pub fn cost_of(work: &[DayWork], pay: &PayPlan) -> CostSoFar {
    let days = person_days(work);
    let usual = UsualDay::of(&days);
    let mut by_day: BTreeMap<(NaiveDate, PrunerId), Vec<&DayWork>> = BTreeMap::new();
    for entry in work {
        by_day
            .entry((entry.day, entry.pruner))
            .or_default()
            .push(entry);
    }
    let mut cost = CostSoFar::default();
    for ((_, pruner), entries) in by_day {
        add_day(&mut cost, &entries, pay, usual.minutes(pruner));
    }
    cost
}

/// What of a day is paid alike.
#[derive(Default)]
struct Alike {
    trees: Trees,
    /// Unknown as soon as one entry's are.
    minutes: Option<u32>,
}

/// Adds what one pruner earned on one day.
fn add_day(cost: &mut CostSoFar, entries: &[&DayWork], pay: &PayPlan, usual: Option<u32>) {
    let mut rates: BTreeMap<Option<Pay>, Alike> = BTreeMap::new();
    for entry in entries {
        let rate = pay.of_work(Some(entry.pruner), entry.block, entry.kind);
        let new = Alike {
            minutes: Some(0),
            ..Alike::default()
        };
        let alike = rates.entry(rate).or_insert(new);
        alike.trees += entry.trees;
        let both = alike.minutes.zip(entry.minutes);
        alike.minutes = both.map(|(sum, minutes)| sum.saturating_add(minutes));
    }
    let known: u32 = rates.values().filter_map(|alike| alike.minutes).sum();
    let unknown = rates
        .values()
        .filter(|alike| alike.minutes.is_none())
        .count() as u32;
    // what is left of the usual day, shared by what is paid unlike
    let guess = usual.map(|usual| usual.saturating_sub(known) / unknown.max(1));
    let (mut guessed, mut unpriced) = (false, false);
    for (rate, Alike { trees, minutes }) in rates {
        let (known, guess) = match (rate, minutes, guess) {
            (Some(Pay::Tree(rate)), ..) => (rate.for_trees(trees), Money::ZERO),
            (Some(Pay::AtLeast { tree, hour }), minutes, _) => {
                let least = minutes.map_or(Money::ZERO, |minutes| hour.for_minutes(minutes));
                (tree.for_trees(trees).max(least), Money::ZERO)
            }
            (Some(Pay::Hour(rate)), Some(minutes), _) => (rate.for_minutes(minutes), Money::ZERO),
            (Some(Pay::Hour(rate)), None, Some(minutes)) => {
                guessed = true;
                (Money::ZERO, rate.for_minutes(minutes))
            }
            (Some(Pay::Hour(_)), None, None) | (None, ..) => {
                unpriced = true;
                continue;
            }
        };
        cost.known = cost.known.plus(known);
        cost.guessed = cost.guessed.plus(guess);
    }
    cost.guessed_days += u32::from(guessed);
    cost.unpriced_days += u32::from(unpriced);
}
