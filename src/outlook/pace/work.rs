//! The work log as the pace needs it: person-days.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use serde::Serialize;

use crate::orchard::{BlockId, PrunerId, Trees, WorkKind};

/// What one pruner did in one block on one day. Trees are counted once for each kind of work, on the first day that it was
/// done on: work that mends has hours and no trees. Several of the same day, pruner and block are added up.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct DayWork {
    /// The day.
    pub day: NaiveDate,
    /// Who pruned.
    pub pruner: PrunerId,
    /// The block.
    pub block: BlockId,
    /// What was done.
    pub kind: WorkKind,
    /// Trees that it was done on for the first time this winter; of shared trees the share.
    pub trees: Trees,
    /// Minutes taken; `None` where not noted.
    pub minutes: Option<u32>,
}

/// What of it is winter pruning, on which pace and forecast rest. Trees are those that are done: a first pass has hours
/// only.
pub fn winter_pruning(work: &[DayWork]) -> Vec<DayWork> {
    let pruning = work.iter().filter(|entry| entry.kind.is_winter_pruning());
    let of = |entry: &DayWork| DayWork {
        trees: if entry.kind.leaves_pruned() {
            entry.trees
        } else {
            Trees::NONE
        },
        ..*entry
    };
    pruning.map(of).collect()
}

/// Trees and minutes together; minutes are unknown as soon as a part's are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Part {
    pub trees: Trees,
    pub minutes: Option<u32>,
}

impl Part {
    const NONE: Self = Self {
        trees: Trees::NONE,
        minutes: Some(0),
    };

    fn add(&mut self, trees: Trees, minutes: Option<u32>) {
        self.trees += trees;
        self.minutes = self.minutes.zip(minutes).map(|(a, b)| a.saturating_add(b));
    }
}

/// One pruner's day, by block.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct PersonDay {
    pub day: NaiveDate,
    pub pruner: PrunerId,
    /// By block, each once.
    pub parts: Vec<(BlockId, Part)>,
    pub whole: Part,
}

impl PersonDay {
    /// Adds an entry; those of one block come one after the other.
    fn add(&mut self, entry: &DayWork) {
        if self
            .parts
            .last()
            .is_none_or(|(block, _)| *block != entry.block)
        {
            self.parts.push((entry.block, Part::NONE));
        }
        if let Some((_, part)) = self.parts.last_mut() {
            part.add(entry.trees, entry.minutes);
        }
        self.whole.add(entry.trees, entry.minutes);
    }

    /// How the day is split over its blocks, adding up to 1: by minutes where known, else by trees.
    pub fn shares(&self) -> impl Iterator<Item = (BlockId, Part, f64)> + '_ {
        let timed = self.whole.minutes.is_some_and(|minutes| minutes > 0);
        let size = move |part: &Part| match part.minutes {
            Some(minutes) if timed => f64::from(minutes),
            _ => part.trees.number(),
        };
        let total: f64 = self.parts.iter().map(|(_, part)| size(part)).sum();
        let even = 1.0 / self.parts.len() as f64;
        self.parts.iter().map(move |(block, part)| {
            let share = if total > 0.0 {
                size(part) / total
            } else {
                even
            };
            (*block, *part, share)
        })
    }
}

/// The person-days, by day and pruner.
pub(super) fn person_days(work: &[DayWork]) -> Vec<PersonDay> {
    let mut order: Vec<&DayWork> = work.iter().collect();
    order.sort_by_key(|entry| (entry.day, entry.pruner, entry.block));
    let mut days: Vec<PersonDay> = Vec::new();
    for entry in order {
        let same = days
            .last()
            .is_some_and(|last| (last.day, last.pruner) == (entry.day, entry.pruner));
        if !same {
            days.push(PersonDay {
                day: entry.day,
                pruner: entry.pruner,
                parts: Vec::with_capacity(1),
                whole: Part::NONE,
            });
        }
        if let Some(day) = days.last_mut() {
            day.add(entry);
        }
    }
    days
}

/// How long a day is where it was not noted: the pruner's mean of the days that were, else the crew's.
pub(super) struct UsualDay {
    own: BTreeMap<PrunerId, u32>,
    crew: Option<u32>,
}

impl UsualDay {
    pub fn of<'a>(days: impl IntoIterator<Item = &'a PersonDay>) -> Self {
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
