//! A plan laid out for the runs: everything by index, summed up as far as it can be.

use std::collections::{BTreeMap, BTreeSet};

use chrono::{Days, NaiveDate};

use super::calendar::DaysSeen;
use super::crew::{Cell, MILLI, Member, Rows};
use super::effort::Efforts;
use super::pay::Pay;
use super::plan::{BlockPlan, HORIZON_DAYS, Plan};
use super::resample::{DayTotal, Job, Unknown, pool_size};
use super::work::{PersonDay, winter_pruning};
use crate::orchard::{BlockId, PrunerId, Trees};

/// Days with work over which the shares of the blocks are taken.
const SHARE_DAYS: usize = 10;

/// Who is there from today on: those with days seen by name, the others by when and how paid.
struct Roll {
    known: Vec<Member>,
    unknown: Vec<(Option<NaiveDate>, Option<NaiveDate>, Option<Pay>)>,
}

impl Roll {
    fn of(plan: &Plan, rows: &Rows) -> Self {
        let (known, fresh): (Vec<Member>, Vec<Member>) = plan
            .crew
            .iter()
            .partition(|member| rows.of.contains_key(&member.pruner));
        let mut unknown: Vec<_> = (fresh.iter())
            .map(|member| {
                (
                    member.from,
                    member.until,
                    plan.pay_ahead(Some(member.pruner)),
                )
            })
            .collect();
        for group in &plan.newcomers {
            let one = (Some(group.from), group.until, plan.pay_ahead(None));
            unknown.extend(std::iter::repeat_n(one, usize::from(group.count)));
        }
        Self { known, unknown }
    }
}

fn index(plan: &Plan, day: NaiveDate) -> i64 {
    day.signed_duration_since(plan.today).num_days()
}

/// First and last day as indexes; none if they hold no day from today on within the horizon.
pub(super) fn stay(
    plan: &Plan,
    from: Option<NaiveDate>,
    until: Option<NaiveDate>,
) -> Option<(u16, u16)> {
    let last = i64::from(HORIZON_DAYS) - 1;
    let from = from.map_or(0, |day| index(plan, day)).max(0);
    let until = until.map_or(last, |day| index(plan, day)).min(last);
    (from <= until).then_some((from as u16, until as u16))
}

fn total(cell: Cell, pay: Option<Pay>) -> DayTotal {
    let minutes = cell.minutes.unwrap_or(0);
    let mut total = DayTotal {
        work: cell.work,
        minutes: u64::from(minutes),
        ..DayTotal::default()
    };
    match pay {
        Some(Pay::Hour(rate)) => total.hourly = rate.for_minutes(minutes),
        Some(Pay::Tree(rate)) => {
            total.piece = i128::from(cell.work) * i128::from(rate.ten_thousandths());
        }
        Some(Pay::AtLeast { tree, hour }) => {
            let least = hour.for_minutes(minutes);
            if tree.for_trees(Trees::whole(1)).0 * (cell.work / 1_000) as i64 >= least.0 {
                total.piece = i128::from(cell.work) * i128::from(tree.ten_thousandths());
            } else {
                total.hourly = least;
            }
        }
        None => {}
    }
    total
}

impl Job {
    pub fn new(plan: &Plan, days: &[PersonDay], seen: &DaysSeen, length: f64) -> Self {
        let efforts = Efforts::fit(days);
        let rows = Rows::new(days, &efforts).stretched(length);
        let roll = Roll::of(plan, &rows);
        let (era, totals) = eras(plan, &rows, &roll.known);
        // those who are there at some time from today on; if nobody is, all who were
        let mut models: Vec<PrunerId> = (roll.known.iter())
            .filter(|member| stay(plan, member.from, member.until).is_some())
            .map(|member| member.pruner)
            .collect();
        if models.is_empty() {
            models = rows.of.keys().copied().collect();
        }
        let (unknown, likenesses) = unknowns(plan, &rows, &models, &roll);
        Self {
            works: works(plan),
            era,
            totals,
            unknown,
            likenesses,
            average: rows.average(&models),
            done_today: done_today(plan, &efforts),
            urn: (f64::from(seen.rain) + 0.5, f64::from(seen.worked) + 0.5),
            left: (plan.blocks.iter())
                .map(|block| (block.left, efforts.of(block.block)))
                .collect(),
            shares: shares(&plan.blocks, &rows.dates, days, &efforts),
            pool: pool_size(rows.dates.len()),
            deadlines: (plan.blocks.iter())
                .map(|block| index(plan, block.deadline).min(i64::from(HORIZON_DAYS) - 1))
                .collect(),
        }
    }

    /// Whether anybody is there on a day that is worked.
    pub fn has_crew(&self) -> bool {
        let crew = |day: usize| {
            self.totals[usize::from(self.era[day])]
                .iter()
                .any(|total| total.work > 0)
        };
        let fresh = |day: usize| {
            let there = |unknown: &Unknown| {
                (usize::from(unknown.days.0)..=usize::from(unknown.days.1)).contains(&day)
            };
            self.unknown.iter().any(there)
        };
        (0..self.works.len()).any(|day| self.works[day] && (crew(day) || fresh(day)))
    }
}

fn works(plan: &Plan) -> Vec<bool> {
    (0..u64::from(HORIZON_DAYS))
        .map(|i| {
            let day = plan.today.checked_add_days(Days::new(i));
            day.is_some_and(|day| plan.calendar.works(day))
        })
        .collect()
}

fn done_today(plan: &Plan, efforts: &Efforts) -> u64 {
    let pruning = winter_pruning(&plan.work);
    let today = pruning.iter().filter(|entry| entry.day == plan.today);
    let work: f64 = today
        .map(|entry| efforts.of(entry.block).mean * entry.trees.number())
        .sum();
    (work * MILLI).round() as u64
}

/// The make-ups of the crew: which holds on each day, and what each does and costs on each day seen.
fn eras(plan: &Plan, rows: &Rows, known: &[Member]) -> (Vec<u16>, Vec<Vec<DayTotal>>) {
    let stays: Vec<_> = (known.iter())
        .filter_map(|member| {
            stay(plan, member.from, member.until).map(|stay| (member.pruner, stay))
        })
        .collect();
    let changes: BTreeSet<u16> = (stays.iter())
        .flat_map(|(_, (from, until))| [*from, until + 1])
        .chain([0])
        .filter(|day| *day < HORIZON_DAYS)
        .collect();
    let make_up = |day: &u16| {
        let mut totals = vec![DayTotal::default(); rows.dates.len()];
        for (pruner, _) in stays
            .iter()
            .filter(|(_, (from, until))| (from..=until).contains(&day))
        {
            for (sum, cell) in totals.iter_mut().zip(&rows.of[pruner]) {
                sum.add(&total(*cell, plan.pay_ahead(Some(*pruner))));
            }
        }
        totals
    };
    let totals = changes.iter().map(make_up).collect();
    let era = |day| (changes.range(..=day).count() - 1) as u16;
    ((0..HORIZON_DAYS).map(era).collect(), totals)
}

/// Pruners without days seen, and for each way of pay what each model does and costs on each day seen.
fn unknowns(
    plan: &Plan,
    rows: &Rows,
    models: &[PrunerId],
    roll: &Roll,
) -> (Vec<Unknown>, Vec<Vec<Vec<DayTotal>>>) {
    let mut pays: Vec<Option<Pay>> = Vec::new();
    let mut unknown = Vec::new();
    for (from, until, pay) in &roll.unknown {
        let likeness = pays
            .iter()
            .position(|other| other == pay)
            .unwrap_or_else(|| {
                pays.push(*pay);
                pays.len() - 1
            });
        if let Some(days) = stay(plan, *from, *until) {
            unknown.push(Unknown { days, likeness });
        }
    }
    let like = |pay: &Option<Pay>| {
        let of = |model| {
            rows.of[model]
                .iter()
                .map(|cell| total(*cell, *pay))
                .collect()
        };
        models.iter().map(of).collect()
    };
    (unknown, pays.iter().map(like).collect())
}

/// Work seen in each block on the last days with work.
fn shares(
    blocks: &[BlockPlan],
    dates: &[NaiveDate],
    days: &[PersonDay],
    efforts: &Efforts,
) -> Vec<f64> {
    let since = dates[dates.len().saturating_sub(SHARE_DAYS)..].first();
    let mut work: BTreeMap<BlockId, f64> = BTreeMap::new();
    for day in days
        .iter()
        .filter(|day| since.is_some_and(|since| day.day >= *since))
    {
        for (block, part) in &day.parts {
            *work.entry(*block).or_default() += efforts.of(*block).mean * part.trees.number();
        }
    }
    blocks
        .iter()
        .map(|block| work.get(&block.block).copied().unwrap_or(0.0))
        .collect()
}
