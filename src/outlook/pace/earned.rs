//! What was earned with the work, line by line, and what all of it has cost.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::Serialize;

use super::money::Money;
use super::pay::{Pay, PayPlan};
use super::work::{DayWork, UsualDay, person_days};
use crate::orchard::{BlockId, PrunerId, Trees, WorkKind};

/// What an amount is paid for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum PaidFor {
    /// Hours.
    Hours,
    /// Trees.
    Trees,
    /// Hours, as the trees of that day came to less than the least pay for them.
    LeastForHours,
}

/// What one pruner earned on one day in one block with one kind of work. Lines of a winter add up to its [`CostSoFar`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PayLine {
    /// The day.
    pub day: NaiveDate,
    /// Who worked.
    pub pruner: PrunerId,
    /// Where.
    pub block: BlockId,
    /// What was done.
    pub kind: WorkKind,
    /// Trees that are paid by the tree: of shared ones the share, each once a winter for each kind of work.
    pub trees: Trees,
    /// Minutes that were noted.
    pub noted: u32,
    /// Entries of the log without hours.
    pub unnoted: u32,
    /// How it is paid; none where no pay is entered.
    pub pay: Option<Pay>,
    /// What the amount is for; none where it cannot be priced.
    pub paid_for: Option<PaidFor>,
    /// From trees and noted hours.
    pub known: Money,
    /// For hours that were not noted.
    pub guessed: Money,
}

impl PayLine {
    /// Minutes; unknown as soon as an entry's are.
    pub fn minutes(&self) -> Option<u32> {
        (self.unnoted == 0).then_some(self.noted)
    }

    /// The amount; none where it cannot be priced.
    pub fn amount(&self) -> Option<Money> {
        self.paid_for.map(|_| self.known.plus(self.guessed))
    }

    /// Whether some of it rests on hours that nobody noted.
    pub fn is_guessed(&self) -> bool {
        self.unnoted > 0 && self.paid_for == Some(PaidFor::Hours)
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
    /// For paid hours that were not noted: what the noted ones leave of the pruner's usual day, or the crew's.
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

    /// The cost of lines, in order of day and pruner.
    pub fn of(lines: &[PayLine]) -> Self {
        let mut cost = Self::default();
        for day in lines.chunk_by(|a, b| (a.day, a.pruner) == (b.day, b.pruner)) {
            cost.known = cost.known.plus(day.iter().map(|line| line.known).sum());
            cost.guessed = cost.guessed.plus(day.iter().map(|line| line.guessed).sum());
            cost.guessed_days += u32::from(day.iter().any(PayLine::is_guessed));
            let unpriced = |line: &PayLine| line.paid_for.is_none();
            cost.unpriced_days += u32::from(day.iter().any(unpriced));
        }
        cost
    }
}

/// The cost of work in the log. Hours that were worked are paid, those of mending too; a tree is paid once for each kind of
/// work, to those who did it first ([`DayWork`] has it there).
pub fn cost_of(work: &[DayWork], pay: &PayPlan) -> CostSoFar {
    CostSoFar::of(&pay_lines(work, pay))
}

/// What was earned, a line for each day, pruner, block and kind of work, in this order.
pub fn pay_lines(work: &[DayWork], pay: &PayPlan) -> Vec<PayLine> {
    let days = person_days(work);
    let usual = UsualDay::of(&days);
    let mut lines: BTreeMap<(NaiveDate, PrunerId, BlockId, WorkKind), PayLine> = BTreeMap::new();
    for entry in work {
        let spot = (entry.day, entry.pruner, entry.block, entry.kind);
        let line = lines.entry(spot).or_insert_with(|| empty(entry, pay));
        line.trees += entry.trees;
        line.noted = line.noted.saturating_add(entry.minutes.unwrap_or(0));
        line.unnoted += u32::from(entry.minutes.is_none());
    }
    let mut lines: Vec<PayLine> = lines.into_values().collect();
    for day in lines.chunk_by_mut(|a, b| (a.day, a.pruner) == (b.day, b.pruner)) {
        price_day(day, usual.minutes(day[0].pruner));
    }
    lines
}

fn empty(entry: &DayWork, pay: &PayPlan) -> PayLine {
    PayLine {
        day: entry.day,
        pruner: entry.pruner,
        block: entry.block,
        kind: entry.kind,
        trees: Trees::NONE,
        noted: 0,
        unnoted: 0,
        pay: pay.of_work(Some(entry.pruner), entry.block, entry.kind),
        paid_for: None,
        known: Money::ZERO,
        guessed: Money::ZERO,
    }
}

/// Prices one pruner's day: what is paid alike is worked out together, and shared out so that the parts add up to it.
fn price_day(day: &mut [PayLine], usual: Option<u32>) {
    let noted: u32 = day.iter().map(|line| line.noted).sum();
    let unnoted: u32 = day.iter().map(|line| line.unnoted).sum();
    let rest = usual.map(|usual| usual.saturating_sub(noted));
    let mut rates: Vec<Pay> = day.iter().filter_map(|line| line.pay).collect();
    rates.sort_unstable();
    rates.dedup();
    for rate in rates {
        let alike = day.iter_mut().filter(|line| line.pay == Some(rate));
        price_alike(alike.collect(), rate, rest, unnoted);
    }
}

/// Prices the lines of a day that are paid at one rate. `rest` is what the day's noted hours leave of a usual day, for all
/// `unnoted` entries of the day.
fn price_alike(mut lines: Vec<&mut PayLine>, rate: Pay, rest: Option<u32>, unnoted: u32) {
    let trees: Trees = lines.iter().map(|line| line.trees).sum();
    let noted: u32 = lines.iter().map(|line| line.noted).sum();
    match rate {
        Pay::Tree(rate) => by_trees(&mut lines, |trees| rate.for_trees(trees)),
        Pay::AtLeast { tree, hour } if tree.for_trees(trees) >= hour.for_minutes(noted) => {
            by_trees(&mut lines, |trees| tree.for_trees(trees));
        }
        Pay::AtLeast { hour, .. } => by_hours(&mut lines, PaidFor::LeastForHours, |minutes| {
            hour.for_minutes(minutes)
        }),
        Pay::Hour(rate) => {
            // without any noted hours nobody knows how long a day is
            lines.retain(|line| line.unnoted == 0 || rest.is_some());
            by_hours(&mut lines, PaidFor::Hours, |minutes| {
                rate.for_minutes(minutes)
            });
            let of_day = u64::from(rest.unwrap_or(0));
            let minutes = |entries: u32| of_day * u64::from(entries) / u64::from(unnoted.max(1));
            let guess = |entries| rate.for_minutes(minutes(entries) as u32);
            let entries = |line: &PayLine| line.unnoted;
            shared(
                &mut lines,
                entries,
                |a, b| a + b,
                guess,
                |line, part| {
                    line.guessed = part;
                },
            );
        }
    }
}

fn by_trees(lines: &mut [&mut PayLine], amount: impl Fn(Trees) -> Money) {
    let put = |line: &mut PayLine, part| {
        (line.known, line.paid_for) = (part, Some(PaidFor::Trees));
    };
    shared(lines, |line| line.trees, |a, b| a + b, amount, put);
}

fn by_hours(lines: &mut [&mut PayLine], paid_for: PaidFor, amount: impl Fn(u32) -> Money) {
    let put = |line: &mut PayLine, part| (line.known, line.paid_for) = (part, Some(paid_for));
    shared(lines, |line| line.noted, u32::saturating_add, amount, put);
}

/// Shares out the amount of all sizes together: each line has what its size adds to the sum before it, so that nothing is
/// lost in rounding.
fn shared<S: Copy + Default>(
    lines: &mut [&mut PayLine],
    size: impl Fn(&PayLine) -> S,
    plus: impl Fn(S, S) -> S,
    amount: impl Fn(S) -> Money,
    mut put: impl FnMut(&mut PayLine, Money),
) {
    let (mut sum, mut before) = (S::default(), Money::ZERO);
    for line in lines {
        sum = plus(sum, size(line));
        let now = amount(sum);
        put(line, Money(now.0 - before.0));
        before = now;
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;

    use uuid::Uuid;

    use super::*;
    use crate::outlook::pace::Currency;

    fn entry(day: u32, block: u128, kind: WorkKind, trees: u32, minutes: Option<u32>) -> DayWork {
        DayWork {
            day: NaiveDate::from_ymd_opt(2027, 1, day).unwrap(),
            pruner: PrunerId(Uuid::from_u128(1)),
            block: BlockId(Uuid::from_u128(block)),
            kind,
            trees: Trees::whole(trees),
            minutes,
        }
    }

    fn rate(raw: &str) -> super::super::Rate {
        let euro = Currency::new("EUR", 2).unwrap();
        euro.parse_rate(raw).unwrap()
    }

    fn amounts(work: &[DayWork], pay: &PayPlan) -> Vec<i64> {
        let lines = pay_lines(work, pay);
        let sum = lines.iter().filter_map(PayLine::amount).sum();
        assert_eq!(cost_of(work, pay).total(), sum, "lines add up to the cost");
        lines
            .iter()
            .map(|line| line.amount().map_or(-1, |money| money.0))
            .collect()
    }

    #[test]
    fn a_day_is_rounded_once_and_its_lines_add_up_to_it() {
        let pay = PayPlan {
            all: Some(Pay::Hour(rate("10.01"))),
            ..PayPlan::default()
        };
        // three times 20 minutes are 10.01; alone each would be 3.34
        let third = |block| entry(4, block, WorkKind::Pruning, 5, Some(20));
        assert_eq!(amounts(&[1, 2, 3].map(third), &pay), [334, 333, 334]);
    }

    #[test]
    fn the_least_for_hours_is_of_the_whole_day() {
        let least = Pay::AtLeast {
            tree: rate("1"),
            hour: rate("10"),
        };
        let pay = PayPlan {
            all: Some(least),
            ..PayPlan::default()
        };
        let of = |trees| {
            [
                entry(4, 1, WorkKind::Pruning, trees, Some(60)),
                entry(4, 2, WorkKind::Pruning, 3, Some(120)),
            ]
        };
        assert_eq!(
            amounts(&of(40), &pay),
            [4_000, 300],
            "43 trees are more than 30.00"
        );
        assert_eq!(amounts(&of(20), &pay), [1_000, 2_000], "23 trees are less");
        let for_what: Vec<_> = pay_lines(&of(20), &pay)
            .iter()
            .map(|line| line.paid_for)
            .collect();
        assert_eq!(for_what, [Some(PaidFor::LeastForHours); 2]);
    }

    #[test]
    fn noted_hours_are_paid_as_noted_beside_some_that_are_not() {
        let pay = PayPlan {
            all: Some(Pay::Hour(rate("20"))),
            ..PayPlan::default()
        };
        let full = entry(4, 1, WorkKind::Pruning, 30, Some(480));
        let noted = entry(5, 1, WorkKind::Pruning, 30, Some(300));
        let not = entry(5, 2, WorkKind::Pruning, 10, None);
        assert_eq!(amounts(&[full, noted, not], &pay), [16_000, 10_000, 6_000]);
        let cost = cost_of(&[full, noted, not], &pay);
        assert_eq!((cost.known, cost.guessed), (Money(26_000), Money(6_000)));
        assert_eq!((cost.guessed_days, cost.unpriced_days), (1, 0));
        let long = entry(5, 1, WorkKind::Pruning, 30, Some(600));
        assert_eq!(
            amounts(&[full, long, not], &pay),
            [16_000, 20_000, 0],
            "never less than was noted"
        );
    }

    #[test]
    fn kinds_without_a_pay_cannot_be_priced() {
        let own = BTreeMap::from([(PrunerId(Uuid::from_u128(1)), Pay::Tree(rate("1")))]);
        let pay = PayPlan {
            own,
            ..PayPlan::default()
        };
        let work = [
            entry(4, 1, WorkKind::Pruning, 30, Some(300)),
            entry(4, 1, WorkKind::SawWork, 9, Some(60)),
        ];
        assert_eq!(amounts(&work, &pay), [3_000, -1]);
        assert_eq!(cost_of(&work, &pay).unpriced_days, 1);
    }
}
