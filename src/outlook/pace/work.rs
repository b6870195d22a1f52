//! The work log as the pace needs it: person-days.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use serde::Serialize;

use crate::orchard::{BlockId, PrunerId};

/// What one pruner did in one block on one day. Trees are counted once: the caller has left out a tree that stands in
/// two entries. Several of the same day, pruner and block are added up.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct DayWork {
    /// The day.
    pub day: NaiveDate,
    /// Who pruned.
    pub pruner: PrunerId,
    /// The block.
    pub block: BlockId,
    /// Trees pruned.
    pub trees: u32,
    /// Minutes taken; `None` where not noted.
    pub minutes: Option<u32>,
}

/// Trees and minutes together; minutes are unknown as soon as a part's are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Part {
    pub trees: u32,
    pub minutes: Option<u32>,
}

impl Part {
    const NONE: Self = Self {
        trees: 0,
        minutes: Some(0),
    };

    fn add(&mut self, trees: u32, minutes: Option<u32>) {
        self.trees = self.trees.saturating_add(trees);
        self.minutes = self.minutes.zip(minutes).map(|(a, b)| a.saturating_add(b));
    }
}

/// One pruner's day, by block.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct PersonDay {
    pub day: NaiveDate,
    pub pruner: PrunerId,
    pub parts: BTreeMap<BlockId, Part>,
    pub whole: Part,
}

impl PersonDay {
    /// How the day is split over its blocks, adding up to 1: by minutes where known, else by `weight` × trees.
    pub fn shares<'a>(
        &'a self,
        weight: impl Fn(BlockId) -> f64 + 'a,
    ) -> impl Iterator<Item = (BlockId, Part, f64)> + 'a {
        let size = move |block: BlockId, part: &Part| match self.whole.minutes {
            Some(minutes) if minutes > 0 => f64::from(part.minutes.unwrap_or(0)),
            _ => weight(block) * f64::from(part.trees),
        };
        let total: f64 = self
            .parts
            .iter()
            .map(|(block, part)| size(*block, part))
            .sum();
        let even = 1.0 / self.parts.len() as f64;
        self.parts.iter().map(move |(block, part)| {
            let share = if total > 0.0 {
                size(*block, part) / total
            } else {
                even
            };
            (*block, *part, share)
        })
    }
}

/// The person-days before `before` (all of them if `None`), by day and pruner.
pub(super) fn person_days(work: &[DayWork], before: Option<NaiveDate>) -> Vec<PersonDay> {
    let mut days: BTreeMap<(NaiveDate, PrunerId), PersonDay> = BTreeMap::new();
    for entry in work
        .iter()
        .filter(|entry| before.is_none_or(|end| entry.day < end))
    {
        let key = (entry.day, entry.pruner);
        let day = days.entry(key).or_insert_with(|| PersonDay {
            day: entry.day,
            pruner: entry.pruner,
            parts: BTreeMap::new(),
            whole: Part::NONE,
        });
        let part = day.parts.entry(entry.block).or_insert(Part::NONE);
        part.add(entry.trees, entry.minutes);
        day.whole.add(entry.trees, entry.minutes);
    }
    days.into_values().collect()
}

/// How long a day is where it was not noted: the pruner's mean of the days that were, else the crew's.
pub(super) struct UsualDay {
    own: BTreeMap<PrunerId, u32>,
    crew: Option<u32>,
}

impl UsualDay {
    pub fn of(days: &[PersonDay]) -> Self {
        let mut sums: BTreeMap<PrunerId, (u64, u64)> = BTreeMap::new();
        let mut crew = (0, 0);
        for day in days {
            let Some(minutes) = day.whole.minutes.map(u64::from) else {
                continue;
            };
            for sum in [sums.entry(day.pruner).or_default(), &mut crew] {
                *sum = (sum.0 + minutes, sum.1 + 1);
            }
        }
        let mean = |(minutes, days): (u64, u64)| ((2 * minutes + days) / (2 * days.max(1))) as u32;
        Self {
            own: sums
                .into_iter()
                .map(|(pruner, sum)| (pruner, mean(sum)))
                .collect(),
            crew: (crew.1 > 0).then(|| mean(crew)),
        }
    }

    /// Minutes, rounded half up; `None` where no day at all was noted.
    pub fn minutes(&self, pruner: PrunerId) -> Option<u32> {
        self.own.get(&pruner).copied().or(self.crew)
    }
}
