//! The winter's work: done and left, how fast, when it is through, what it costs.

mod what_if;

use std::collections::BTreeMap;

use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::Serialize;

use super::season::Season;
use super::standing::{Standing, Subject};
use super::{Period, StandingLine};
use crate::judge::{Metric, Verdict};
use crate::orchard::{BlockId, Invalid, Pruner, PrunerId, Trees, WorkKind};
use crate::outlook::pace::{
    BlockPlan, CostSoFar, Currency, DayWork, DaysSeen, Finish, Forecast, Member, Plan, RUNS, Speed,
    ToCome, forecast_with_days, pay_lines, speed_by_block, speed_by_kind, speed_by_pruner,
    speed_of_all, winter_pruning,
};

pub use what_if::WhatIf;

/// The seed of every forecast: the same winter gives the same figures, and two what-ifs differ by what was changed.
const SEED: u64 = 1;
/// Hours of a day where none are noted: only a change of the hours rests on it. From memory.
const USUAL_HOURS: f64 = 8.0;

/// A verdict on the quality, to stand beside the speed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Found {
    /// The verdict on the whole.
    pub overall: Verdict,
    /// What it rests on, when it is light, heavy or leaning.
    pub lead: Option<Metric>,
}

/// A block's work.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct BlockPace {
    /// The block.
    pub block: BlockId,
    /// Its name.
    pub name: String,
    /// Trees pruned.
    pub done: u32,
    /// Trees left.
    pub left: u32,
    /// Budburst: the last day in time.
    pub deadline: NaiveDate,
    /// When it is through.
    pub finish: Finish,
    /// How fast; none where nobody worked yet.
    pub speed: Option<Speed>,
    /// How it stands; none where no tree was counted.
    pub found: Vec<Found>,
}

/// A pruner's work.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct PrunerPace {
    /// The pruner.
    pub pruner: PrunerId,
    /// Number on the crew list.
    pub number: u16,
    /// As shown.
    pub shown: String,
    /// How fast.
    pub speed: Speed,
    /// How the trees stand, one for each rule worked under; empty where none was counted.
    pub found: Vec<Found>,
}

/// One kind of work, as far as it was done.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct KindPace {
    /// The kind.
    pub kind: WorkKind,
    /// How fast.
    pub speed: Speed,
    /// What it cost, in the currency's smallest unit.
    pub cost: CostSoFar,
}

/// What was done on a day.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
pub struct DayDone {
    /// The day.
    pub day: NaiveDate,
    /// Trees of the day; one that is pruned again later counts on its first day.
    pub trees: u32,
    /// Trees of the winter up to and with the day.
    pub done: u32,
}

/// The winter's work as it stands on a day, and as it will go on.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct WinterProgress {
    /// The orchard's name; may be empty.
    pub orchard: String,
    /// The winter's label.
    pub winter: String,
    /// The day.
    pub day: NaiveDate,
    /// The first day of pruning.
    pub start: NaiveDate,
    /// Budburst, where a block has no day of its own.
    pub budburst: NaiveDate,
    /// What is changed against what is entered; nothing in a report on paper or in a file.
    pub what_if: WhatIf,
    /// The orchard's currency.
    pub currency: Currency,
    /// Trees pruned.
    pub done: u32,
    /// Trees left.
    pub left: u32,
    /// When all is through.
    pub finish: Finish,
    /// How fast the whole crew is; none where nobody worked yet.
    pub speed: Option<Speed>,
    /// Pruners there today, by the crew list and by who comes and goes.
    pub crew: u32,
    /// Hours of the usual day; where none are noted, 8.
    pub usual_hours: f64,
    /// The days that it all rests on.
    pub days: DaysSeen,
    /// Cost so far, in the currency's smallest unit.
    pub cost: CostSoFar,
    /// Hours and cost to come; none where no finish can be forecast.
    pub to_come: Option<ToCome>,
    /// Pruners for whom no pay is entered, as shown.
    pub without_pay: Vec<String>,
    /// Blocks, by name.
    pub blocks: Vec<BlockPace>,
    /// Pruners who worked, by number.
    pub pruners: Vec<PrunerPace>,
    /// Days with work.
    pub by_day: Vec<DayDone>,
    /// The work by its kind.
    pub by_kind: Vec<KindPace>,
}

/// How many of the crew are there on a day.
fn crew_on(plan: &Plan, day: NaiveDate) -> u32 {
    plan.crew
        .iter()
        .filter(|member| member.is_there(day))
        .count() as u32
}

impl Season {
    /// The winter's work up to a day, and what is to come.
    pub fn winter_progress(&self, today: NaiveDate) -> WinterProgress {
        let (crew, blocks) = self.all_standings(Period::so_far(today));
        self.winter_progress_among(today, &crew, &blocks)
    }

    /// As [`Season::winter_progress`], where the standings over the winter so far are known already.
    pub fn winter_progress_among(
        &self,
        today: NaiveDate,
        crew: &[Standing],
        blocks: &[Standing],
    ) -> WinterProgress {
        let plan = self.pace_plan(today, self.day_work(today));
        let there = crew_on(&plan, today);
        self.progress_of(&plan, there, (crew, blocks), WhatIf::default())
    }

    /// The same with something changed.
    ///
    /// # Errors
    /// Days off that no calendar holds.
    pub fn winter_progress_if(
        &self,
        today: NaiveDate,
        crew: &[Standing],
        blocks: &[Standing],
        what_if: WhatIf,
    ) -> Result<WinterProgress, Invalid> {
        let mut plan = self.pace_plan(today, self.day_work(today));
        let there = crew_on(&plan, today);
        what_if.apply(&mut plan)?;
        Ok(self.progress_of(&plan, there, (crew, blocks), what_if))
    }

    fn progress_of(
        &self,
        plan: &Plan,
        crew_today: u32,
        (crew, blocks): (&[Standing], &[Standing]),
        what_if: WhatIf,
    ) -> WinterProgress {
        let today = plan.today;
        let pruning = winter_pruning(&plan.work);
        let speed = speed_of_all(&pruning);
        let usual_hours = usual_hours(speed.as_ref());
        let forecast = forecast_with_days(plan, what_if.length(usual_hours));
        WinterProgress {
            orchard: self.orchard.clone(),
            winter: self.winter.label.clone(),
            day: today,
            start: self.winter.start,
            budburst: self.winter.budburst,
            what_if,
            currency: self.labour.currency.clone(),
            done: plan.blocks.iter().map(|block| block.done).sum(),
            left: plan.blocks.iter().map(|block| block.left).sum(),
            finish: forecast.orchard,
            speed,
            crew: crew_today,
            usual_hours,
            days: forecast.seen,
            cost: forecast.so_far,
            without_pay: self.without_pay(&forecast),
            blocks: self.block_paces(&forecast, &pruning, blocks),
            pruners: self.pruner_paces(&pruning, crew),
            by_day: by_day(&pruning),
            by_kind: kind_paces(plan),
            to_come: forecast.to_come,
        }
    }

    fn pace_plan(&self, today: NaiveDate, work: Vec<DayWork>) -> Plan {
        let block = |known: super::BlockProgress| BlockPlan {
            block: known.block,
            done: known.pruned,
            left: known.left,
            deadline: self.winter.deadline(known.block),
        };
        Plan {
            start: self.winter.start,
            today,
            // checked when it was read
            calendar: self.labour.calendar().unwrap_or_default(),
            work,
            crew: self.members(),
            newcomers: Vec::new(),
            blocks: self.progress(today).into_iter().map(block).collect(),
            pay: self.labour.pay.clone(),
            seed: SEED,
            runs: RUNS,
        }
    }

    /// Those who work this winter by the crew list, and those for whom days are entered.
    fn members(&self) -> Vec<Member> {
        let member = |pruner: &Pruner| {
            let stint = self.labour.stints.get(&pruner.id);
            (pruner.active || stint.is_some()).then(|| Member {
                pruner: pruner.id,
                from: stint.and_then(|stint| stint.joins),
                until: stint.and_then(|stint| stint.leaves),
            })
        };
        self.pruners.iter().filter_map(member).collect()
    }

    fn without_pay(&self, forecast: &Forecast) -> Vec<String> {
        let here = self.pruners.iter();
        here.filter(|pruner| forecast.without_pay.contains(&pruner.id))
            .map(Pruner::shown)
            .collect()
    }

    fn block_paces(
        &self,
        forecast: &Forecast,
        work: &[DayWork],
        standings: &[Standing],
    ) -> Vec<BlockPace> {
        let speeds = speed_by_block(work);
        let of = |block: &crate::outlook::pace::BlockForecast| BlockPace {
            block: block.block,
            name: self.block_name(block.block).to_owned(),
            done: block.done,
            left: block.left,
            deadline: block.deadline,
            finish: block.finish,
            speed: speeds.get(&block.block).copied(),
            found: found(
                standings,
                |subject| matches!(subject, Subject::Block { id, .. } if *id == block.block),
            ),
        };
        forecast.blocks.iter().map(of).collect()
    }
}

/// Each kind of work; their costs add up to that of all.
fn kind_paces(plan: &Plan) -> Vec<KindPace> {
    let lines = pay_lines(&plan.work, &plan.pay);
    let of = |(kind, speed)| {
        let own = lines.iter().filter(|line| line.kind == kind).copied();
        KindPace {
            kind,
            speed,
            cost: CostSoFar::of(&own.collect::<Vec<_>>()),
        }
    };
    speed_by_kind(&plan.work).into_iter().map(of).collect()
}

impl Season {
    fn pruner_paces(&self, work: &[DayWork], standings: &[Standing]) -> Vec<PrunerPace> {
        let speeds: BTreeMap<PrunerId, Speed> = speed_by_pruner(work);
        let of = |pruner: &Pruner| {
            Some(PrunerPace {
                pruner: pruner.id,
                number: pruner.number,
                shown: pruner.shown(),
                speed: *speeds.get(&pruner.id)?,
                found: found(
                    standings,
                    |subject| matches!(subject, Subject::Pruner { id, .. } if *id == pruner.id),
                ),
            })
        };
        self.pruners.iter().filter_map(of).collect()
    }
}

fn found(standings: &[Standing], is_it: impl Fn(&Subject) -> bool) -> Vec<Found> {
    let of = |standing: &Standing| {
        let line = StandingLine::new(standing);
        Found {
            overall: line.overall,
            lead: line.lead,
        }
    };
    let counted = |standing: &&Standing| standing.trees > 0 && is_it(&standing.subject);
    standings.iter().filter(counted).map(of).collect()
}

/// Hours of the usual person-day, from those that are noted.
fn usual_hours(speed: Option<&Speed>) -> f64 {
    let noted = |speed: &Speed| {
        let days = f64::from(speed.person_days) * speed.hours_known;
        (days > 0.0).then(|| speed.minutes as f64 / 60.0 / days)
    };
    let hours = speed.and_then(noted).filter(|hours| *hours > 0.0);
    hours.unwrap_or(USUAL_HOURS)
}

fn by_day(work: &[DayWork]) -> Vec<DayDone> {
    let mut trees: BTreeMap<NaiveDate, Trees> = BTreeMap::new();
    for entry in work {
        *trees.entry(entry.day).or_default() += entry.trees;
    }
    let (mut sum, mut before) = (Trees::NONE, 0);
    let add = |(day, trees): (NaiveDate, Trees)| {
        sum += trees;
        let done = sum.rounded();
        let trees = done - std::mem::replace(&mut before, done);
        DayDone { day, trees, done }
    };
    trees.into_iter().map(add).collect()
}
