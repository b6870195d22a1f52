//! When the pruning is through, who is needed, and what it costs.

use std::collections::BTreeSet;

use chrono::{Days, NaiveDate};
use schemars::JsonSchema;
use serde::Serialize;

use super::calendar::DaysSeen;
use super::crew::Member;
use super::earned::{CostSoFar, cost_of};
use super::job::stay;
use super::money::Money;
use super::pay::Pay;
use super::plan::{BlockPlan, MIN_DAYS_SEEN, NEEDED_CHANCE, Plan};
use super::resample::{Job, NEVER, Run, generator};
use super::work::{PersonDay, UsualDay, person_days, winter_pruning};
use crate::orchard::{BlockId, PrunerId, Trees};

/// The 10 %, 50 % and 90 % points of what may come. `None`: not within the horizon.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Span<T> {
    /// Below it with 10 % chance.
    pub low: Option<T>,
    /// The median.
    pub mid: Option<T>,
    /// Below it with 90 % chance.
    pub high: Option<T>,
}

impl<T: Copy> Span<T> {
    fn of(sorted: &[T]) -> Option<Self> {
        Some(Self {
            low: Some(point(sorted, 0.1)?),
            mid: Some(point(sorted, 0.5)?),
            high: Some(point(sorted, 0.9)?),
        })
    }

    fn map<U>(self, to: impl Fn(T) -> Option<U>) -> Span<U> {
        Span {
            low: self.low.and_then(&to),
            mid: self.mid.and_then(&to),
            high: self.high.and_then(&to),
        }
    }
}

/// Where, among so many sorted values, the first stands that at least this share of all does not exceed.
fn place(values: usize, share: f64) -> Option<usize> {
    let at = (share * values as f64 - 1e-9).ceil().max(1.0) as usize;
    (at <= values).then(|| at - 1)
}

fn point<T: Copy>(sorted: &[T], share: f64) -> Option<T> {
    sorted.get(place(sorted.len(), share)?).copied()
}

/// Why no day can be named.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Never {
    /// The calendar has no working day within `HORIZON_DAYS`.
    NoWorkingDay,
    /// Nobody who prunes is there on any working day.
    NoCrew,
    /// In at least nine of ten runs the work is not through within `HORIZON_DAYS`.
    BeyondHorizon,
}

/// When something is through.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Finish {
    /// Nothing is left.
    Done,
    /// No block is entered, so nothing can be left or through.
    NoBlock,
    /// Fewer days with work before today than [`MIN_DAYS_SEEN`].
    TooFewDays {
        /// Days seen.
        seen: u32,
    },
    /// It is not, as things are.
    Never(Never),
    /// On a day in this range.
    Expected {
        /// The last day of pruning.
        day: Span<NaiveDate>,
        /// Chance to be in time, 0 to 1: each block by its deadline, that day included.
        in_time: f64,
        /// What it takes to be in time with [`NEEDED_CHANCE`].
        needed: Needed,
    },
}

/// Average pruners of the crew, from today on (from tomorrow if work is logged for today), that give a chance of
/// [`NEEDED_CHANCE`] to be in time. `None`: no number does, the days do not suffice.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Needed {
    /// In all: were the whole crew average pruners who stay.
    pub crew: Option<u32>,
    /// Beside the crew as planned, comings and goings included.
    pub extra: Option<u32>,
}

/// A block's forecast.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct BlockForecast {
    /// The block.
    pub block: BlockId,
    /// Trees pruned.
    pub done: u32,
    /// Trees left.
    pub left: u32,
    /// By when it should be through.
    pub deadline: NaiveDate,
    /// When it is through.
    pub finish: Finish,
}

/// What is still to come, in hours and money.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct ToCome {
    /// Person-hours left; `None` where no hours are noted at all.
    pub hours: Option<Span<f64>>,
    /// Pay left; `None` where it cannot be known: no pay is entered for somebody, or hours are paid and none noted.
    pub pay: Option<Span<Money>>,
    /// Pay so far (known and guessed) and left together.
    pub total: Option<Span<Money>>,
}

/// A forecast of the winter.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Forecast {
    /// The days it rests on.
    pub seen: DaysSeen,
    /// By block, in the plan's order.
    pub blocks: Vec<BlockForecast>,
    /// All blocks.
    pub orchard: Finish,
    /// Cost so far.
    pub so_far: CostSoFar,
    /// What is to come; `None` where the finish cannot be forecast.
    pub to_come: Option<ToCome>,
    /// Pruners of the crew for whom no pay is entered, and it is wanted: those still to work, and those who worked.
    pub without_pay: BTreeSet<PrunerId>,
}

/// Carries a winter to its end many times over, on days drawn from those seen.
///
/// Each run draws a pool of days from those seen (fewer than there are, so that the range is as wide as Student's t
/// would make it for the mean of so few), and every coming working day is one of the pool's: all pruners do what they
/// did on that one day, so a bad day is bad for all. Rain takes a working day by a Pólya urn that starts with the days
/// seen and half a day of each kind, which is drawing from the chance's own uncertainty. Somebody without days seen
/// works like a pruner of the crew drawn at random. Trees of different blocks are made alike by the effort fitted to
/// the log; the uncertainty of that is drawn as well. Random numbers are tied to the seed, the run and the date, so
/// two plans with the same work log and seed differ by nothing but what was changed.
///
/// The range is of whole days and holds the end with 80 % chance or a little more: on simulated winters, 79 to 89 %
/// with 5 to 25 days seen, and 93 % (wider than it need be) with three (`coverage_tests`).
///
/// Not in it: learning, shorter or longer days as the winter goes on, wet spells (rain days are taken as independent),
/// and a crew that hurries as the end comes near. No pay is reckoned for rain days.
pub fn forecast(plan: &Plan) -> Forecast {
    forecast_with_days(plan, 1.0)
}

/// As [`forecast()`], were the days to come `length` times as long as those seen (0.1 to 3), and the work done and the
/// hours taken on each with them: people are taken not to slow down on long days.
pub fn forecast_with_days(plan: &Plan, length: f64) -> Forecast {
    let all = person_days(&winter_pruning(&plan.work));
    let days = &all[..all.partition_point(|day| day.day < plan.today)];
    let worked: BTreeSet<NaiveDate> = days.iter().map(|day| day.day).collect();
    let seen = plan.calendar.seen(plan.start, plan.today, &worked);
    let mut forecast = Forecast {
        seen,
        blocks: Vec::new(),
        orchard: Finish::Done,
        so_far: cost_of(&plan.work, &plan.pay),
        to_come: None,
        without_pay: without_pay(plan, &all),
    };
    let open = plan.blocks.iter().any(|block| block.left > 0);
    if open && seen.worked >= MIN_DAYS_SEEN {
        run(plan, days, &mut forecast, length.clamp(0.1, 3.0));
    } else {
        let unknown = Finish::TooFewDays { seen: seen.worked };
        let finish = |left| if left == 0 { Finish::Done } else { unknown };
        forecast.blocks = plan
            .blocks
            .iter()
            .map(|block| of_block(block, finish(block.left)))
            .collect();
        forecast.orchard = match plan.blocks.as_slice() {
            [] => Finish::NoBlock,
            _ if open => unknown,
            _ => Finish::Done,
        };
    }
    forecast
}

fn of_block(block: &BlockPlan, finish: Finish) -> BlockForecast {
    BlockForecast {
        block: block.block,
        done: block.done,
        left: block.left,
        deadline: block.deadline,
        finish: if block.left == 0 {
            Finish::Done
        } else {
            finish
        },
    }
}

fn run(plan: &Plan, days: &[PersonDay], forecast: &mut Forecast, length: f64) {
    let job = Job::new(plan, days, &forecast.seen, length);
    let never = if !job.works.contains(&true) {
        Some(Never::NoWorkingDay)
    } else if !job.has_crew() {
        Some(Never::NoCrew)
    } else {
        None
    };
    if let Some(why) = never {
        forecast.blocks = plan
            .blocks
            .iter()
            .map(|block| of_block(block, Finish::Never(why)))
            .collect();
        forecast.orchard = Finish::Never(why);
        return;
    }
    let base = generator(plan.seed);
    let runs: Vec<Run> = (0..u64::from(plan.runs.clamp(1, 100_000)))
        .map(|run| job.run(&base, run))
        .collect();
    let deadline = |i: usize| job.deadlines[i];
    for (i, block) in plan.blocks.iter().enumerate() {
        let ends = runs.iter().map(|run| {
            (
                run.finish[i],
                i64::from(run.finish[i]) <= deadline(i),
                run.needed[i],
            )
        });
        forecast.blocks.push(of_block(block, finish(plan, ends)));
    }
    let open: Vec<usize> = (0..plan.blocks.len())
        .filter(|&i| plan.blocks[i].left > 0)
        .collect();
    let ends = runs.iter().map(|run| {
        let end = open.iter().map(|&i| run.finish[i]).max().unwrap_or(0);
        let in_time = open
            .iter()
            .all(|&i| i64::from(run.finish[i]) <= deadline(i));
        let crew = open.iter().map(|&i| run.needed[i].0).max().unwrap_or(0);
        let extra = open.iter().map(|&i| run.needed[i].1).max().unwrap_or(0);
        (end, in_time, (crew, extra))
    });
    forecast.orchard = finish(plan, ends);
    forecast.to_come = Some(to_come(plan, days, &runs, forecast));
}

fn finish(plan: &Plan, runs: impl Iterator<Item = (u16, bool, (u32, u32))>) -> Finish {
    let (mut ends, mut crew, mut extra, mut in_time) = (Vec::new(), Vec::new(), Vec::new(), 0);
    for (end, timely, needed) in runs {
        ends.push(end);
        crew.push(needed.0);
        extra.push(needed.1);
        in_time += u32::from(timely);
    }
    ends.sort_unstable();
    let day = |end: u16| {
        let days = Days::new(u64::from(end));
        (end != NEVER)
            .then(|| plan.today.checked_add_days(days))
            .flatten()
    };
    let enough = |mut runs: Vec<u32>| {
        let at = place(runs.len(), NEEDED_CHANCE)?;
        let pruners = *runs.select_nth_unstable(at).1;
        (pruners != u32::MAX).then_some(pruners)
    };
    match Span::of(&ends).map(|span| span.map(day)) {
        Some(day) if day.low.is_some() => Finish::Expected {
            day,
            in_time: f64::from(in_time) / ends.len() as f64,
            needed: Needed {
                crew: enough(crew),
                extra: enough(extra),
            },
        },
        _ => Finish::Never(Never::BeyondHorizon),
    }
}

fn to_come(plan: &Plan, days: &[PersonDay], runs: &[Run], forecast: &Forecast) -> ToCome {
    let ended = |run: &Run| run.finish.iter().all(|end| *end != NEVER);
    // runs that do not end need more than any that does
    let span = |values: Vec<Option<i64>>| {
        let mut values = values;
        values.sort_unstable_by_key(|value| value.unwrap_or(i64::MAX));
        Span::of(&values).map(|span| span.map(|value| value))
    };
    let timed = |pruner| UsualDay::of(days).minutes(pruner).is_some();
    let any_timed = days.first().is_some_and(|day| timed(day.pruner));
    let hours = span(
        runs.iter()
            .map(|run| ended(run).then_some(run.minutes as i64))
            .collect(),
    );
    let hours = hours
        .filter(|_| any_timed)
        .map(|span| span.map(|minutes| Some(minutes as f64 / 60.0)));
    let pay = match one_rate(plan) {
        // everybody paid the same for a tree: no range, and no rounding but by the whole
        Some(exact) => Some(exact),
        None => span(
            runs.iter()
                .map(|run| ended(run).then_some(run.pay.0))
                .collect(),
        )
        .map(|span| span.map(|minor| Some(Money(minor)))),
    };
    let pay = pay.filter(|_| can_be_priced(plan, any_timed));
    let so_far = forecast.so_far;
    let total = pay.filter(|_| so_far.unpriced_days == 0);
    ToCome {
        hours,
        pay,
        total: total.map(|span| span.map(|left| Some(so_far.total().plus(left)))),
    }
}

/// Whether a member is there on a day still to come.
fn comes(plan: &Plan, member: &Member) -> bool {
    stay(plan, member.from, member.until).is_some()
}

fn without_pay(plan: &Plan, days: &[PersonDay]) -> BTreeSet<PrunerId> {
    let worked: BTreeSet<PrunerId> = days.iter().map(|day| day.pruner).collect();
    let unpaid = |member: &&Member| plan.pay_ahead(Some(member.pruner)).is_none();
    let wanted = |member: &&Member| worked.contains(&member.pruner) || comes(plan, member);
    let members = plan.crew.iter().filter(unpaid).filter(wanted);
    members.map(|member| member.pruner).collect()
}

/// The pay of each who is still to work: whoever has left costs no more.
fn pays(plan: &Plan) -> impl Iterator<Item = Option<Pay>> + '_ {
    let crew = (plan.crew.iter())
        .filter(|member| comes(plan, member))
        .map(|member| plan.pay_ahead(Some(member.pruner)));
    let fresh = (plan.newcomers.iter())
        .filter(|group| group.count > 0 && stay(plan, Some(group.from), group.until).is_some())
        .map(|_| plan.pay_ahead(None));
    crew.chain(fresh)
}

fn can_be_priced(plan: &Plan, timed: bool) -> bool {
    pays(plan).all(|pay| match pay {
        Some(Pay::Hour(_)) => timed,
        Some(Pay::Tree(_) | Pay::AtLeast { .. }) => true,
        None => false,
    })
}

fn one_rate(plan: &Plan) -> Option<Span<Money>> {
    let mut pays = pays(plan);
    let first = pays.next()?;
    let Some(Pay::Tree(rate)) = first.filter(|_| pays.all(|pay| pay == first)) else {
        return None;
    };
    let money = Some(
        plan.blocks
            .iter()
            .map(|block| rate.for_trees(Trees::whole(block.left)))
            .sum(),
    );
    Some(Span {
        low: money,
        mid: money,
        high: money,
    })
}
