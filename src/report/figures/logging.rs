//! What an entry of the work log changes, told before it is saved.

use std::collections::HashMap;

use chrono::NaiveDate;

use super::Season;
use crate::orchard::{PrunerId, WorkEntry, WorkId};
use crate::outlook::pace::DayWork;

/// What becomes of an entry that is in the log already, once another names some of its trees.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Beside {
    /// It was of an earlier day: the new one mends.
    Mended,
    /// It is of a later day: it is the one that mends.
    Mends,
    /// It is of the same day and loses some trees; its other trees and its hours stay.
    Corrected,
    /// It is of the same day and loses all its trees, and these minutes with them.
    Replaced(Option<u16>),
    /// It is of the same day and was logged after the one that is changed here: it keeps the trees.
    Holds,
}

/// What saving some entries changes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Logging {
    /// Trees that the entries name.
    pub trees: u32,
    /// Trees among them that nobody had pruned before in this winter, by the log.
    pub new: u32,
    /// Entries that name some of the same trees: who, the day, and what becomes of them. Each pruner once a day.
    pub beside: Vec<(PrunerId, NaiveDate, Beside)>,
}

impl Season {
    /// What the log would say with these entries in it; those of the same identity are changed.
    pub fn logging(&self, entries: &[WorkEntry]) -> Logging {
        let is_in = |work: &WorkEntry| entries.iter().any(|entry| entry.id == work.id);
        let without: Vec<_> = (self.work.iter().filter(|work| !is_in(work)))
            .cloned()
            .collect();
        let mut with = without.clone();
        with.extend_from_slice(entries);
        with.sort_by_key(|work| (work.day, work.id));
        let before = self.trees_by_log(without);
        let after = self.with_log(with);
        let kept = after.new_trees(NaiveDate::MAX);
        // one that has lost its trees to a correction has none to lose
        let had = self.new_trees(NaiveDate::MAX);
        let overlapping = |work: &&WorkEntry| {
            let overlaps = entries.iter().any(|entry| entry.overlaps(work));
            overlaps && !is_in(work) && had.contains_key(&work.id)
        };
        let mut beside: Vec<_> = (self.work.iter().filter(overlapping))
            .filter_map(|work| {
                let entry = entries.iter().find(|entry| entry.overlaps(work))?;
                Some((work.pruner, work.day, becomes(work, entry, &kept)))
            })
            .collect();
        beside.dedup();
        Logging {
            trees: entries.iter().map(|entry| self.trees_of_entry(entry)).sum(),
            new: after.trees_pruned_first().saturating_sub(before),
            beside,
        }
    }

    fn trees_by_log(&self, work: Vec<WorkEntry>) -> u32 {
        self.with_log(work).trees_pruned_first()
    }

    fn trees_pruned_first(&self) -> u32 {
        let days = self.day_work(NaiveDate::MAX);
        days.iter().map(|day: &DayWork| day.trees).sum()
    }
}

fn becomes(work: &WorkEntry, entry: &WorkEntry, kept: &HashMap<WorkId, u32>) -> Beside {
    match work.day.cmp(&entry.day) {
        std::cmp::Ordering::Less => Beside::Mended,
        std::cmp::Ordering::Greater => Beside::Mends,
        std::cmp::Ordering::Equal if work.id > entry.id => Beside::Holds,
        std::cmp::Ordering::Equal if kept.contains_key(&work.id) => Beside::Corrected,
        std::cmp::Ordering::Equal => Beside::Replaced(work.minutes),
    }
}
