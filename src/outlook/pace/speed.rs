//! Trees an hour and a day, with how sure they are.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Serialize;

use super::student::student_90;
use super::work::{DayWork, person_days};
use crate::orchard::{BlockId, PrunerId, Trees, WorkKind};

/// Person-days from which on a mean gets a range.
pub const MIN_RANGE_DAYS: u32 = 3;

/// A mean with the range that holds the true one with 80 % chance.
///
/// The mean is a ratio, Σ trees / Σ time; its standard error is the linearised one of a ratio over person-days,
/// n/(n−1) Σ(trees − mean × time)² / (Σ time)², and the range is Student's with n − 1 degrees of freedom. Person-days
/// are taken as independent: days that were bad for all make it too narrow for a whole crew.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct MeanRate {
    /// The mean, trees per hour or per day.
    pub mean: f64,
    /// The 10-90 % range, not below 0; `None` under [`MIN_RANGE_DAYS`] person-days.
    pub range: Option<(f64, f64)>,
    /// Person-days behind it.
    pub person_days: u32,
}

/// Half widths of ranges by the number of person-days: many pruners have as many, and finding one takes its time.
#[derive(Default)]
struct Widths(BTreeMap<usize, f64>);

impl Widths {
    fn of(&mut self, days: usize) -> f64 {
        let nu = days as f64 - 1.0;
        *self.0.entry(days).or_insert_with(|| student_90(nu))
    }
}

impl MeanRate {
    fn of(seen: &[(f64, f64)], widths: &mut Widths) -> Option<Self> {
        let time: f64 = seen.iter().map(|(_, time)| time).sum();
        if time <= 0.0 {
            return None;
        }
        let mean = seen.iter().map(|(trees, _)| trees).sum::<f64>() / time;
        let n = seen.len() as f64;
        let range = (seen.len() >= MIN_RANGE_DAYS as usize).then(|| {
            let off: f64 = seen.iter().map(|(y, x)| (y - mean * x).powi(2)).sum();
            let half = widths.of(seen.len()) * (n / (n - 1.0) * off).sqrt() / time;
            ((mean - half).max(0.0), mean + half)
        });
        Some(Self {
            mean,
            range,
            person_days: seen.len() as u32,
        })
    }
}

/// How fast the pruning went.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct Speed {
    /// Trees pruned; of shared trees the share.
    pub trees: Trees,
    /// Person-days; a day that a pruner split over blocks counts in each.
    pub person_days: u32,
    /// Share of the person-days whose hours are known, 0 to 1.
    pub hours_known: f64,
    /// Known minutes.
    pub minutes: u64,
    /// Trees per person-day. Where a day was split over blocks, each has its share of the day: by minutes if noted,
    /// else by trees.
    pub per_day: Option<MeanRate>,
    /// Trees per person-hour, from the person-days with hours; `None` where none has.
    pub per_hour: Option<MeanRate>,
}

#[derive(Default)]
struct Seen {
    trees: Trees,
    minutes: u64,
    days: Vec<(f64, f64)>,
    hours: Vec<(f64, f64)>,
}

impl Seen {
    fn add(&mut self, trees: Trees, minutes: Option<u32>, day: f64) {
        self.trees += trees;
        self.days.push((trees.number(), day));
        if let Some(minutes) = minutes {
            self.minutes += u64::from(minutes);
            self.hours.push((trees.number(), f64::from(minutes) / 60.0));
        }
    }

    fn speed(&self, widths: &mut Widths) -> Speed {
        Speed {
            trees: self.trees,
            person_days: self.days.len() as u32,
            hours_known: self.hours.len() as f64 / (self.days.len() as f64).max(1.0),
            minutes: self.minutes,
            per_day: MeanRate::of(&self.days, widths),
            per_hour: MeanRate::of(&self.hours, widths),
        }
    }
}

/// Each pruner's speed over all their days, whatever the blocks: compare it only within a block or with that in mind.
pub fn speed_by_pruner(work: &[DayWork]) -> BTreeMap<PrunerId, Speed> {
    let mut seen: BTreeMap<PrunerId, Seen> = BTreeMap::new();
    for day in person_days(work) {
        let whole = day.whole;
        seen.entry(day.pruner)
            .or_default()
            .add(whole.trees, whole.minutes, 1.0);
    }
    let mut widths = Widths::default();
    seen.into_iter()
        .map(|(pruner, seen)| (pruner, seen.speed(&mut widths)))
        .collect()
}

/// The crew's speed in each block.
pub fn speed_by_block(work: &[DayWork]) -> BTreeMap<BlockId, Speed> {
    let mut seen: BTreeMap<BlockId, Seen> = BTreeMap::new();
    for day in person_days(work) {
        for (block, part, share) in day.shares() {
            seen.entry(block)
                .or_default()
                .add(part.trees, part.minutes, share);
        }
    }
    let mut widths = Widths::default();
    seen.into_iter()
        .map(|(block, seen)| (block, seen.speed(&mut widths)))
        .collect()
}

/// Everybody's speed by kind of work.
pub fn speed_by_kind(work: &[DayWork]) -> BTreeMap<WorkKind, Speed> {
    let mut by_kind: BTreeMap<WorkKind, Vec<DayWork>> = BTreeMap::new();
    for entry in work {
        by_kind.entry(entry.kind).or_default().push(*entry);
    }
    let of = |(kind, work): (WorkKind, Vec<DayWork>)| Some((kind, speed_of_all(&work)?));
    by_kind.into_iter().filter_map(of).collect()
}

/// Everybody's speed everywhere; `None` without work.
pub fn speed_of_all(work: &[DayWork]) -> Option<Speed> {
    let mut seen = Seen::default();
    for day in person_days(work) {
        seen.add(day.whole.trees, day.whole.minutes, 1.0);
    }
    (!seen.days.is_empty()).then(|| seen.speed(&mut Widths::default()))
}
