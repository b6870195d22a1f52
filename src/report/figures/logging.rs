//! What an entry of the work log changes, told before it is saved.

use chrono::NaiveDate;

use super::Season;
use crate::orchard::{LostKind, PrunerId, RowLog, WorkEntry};
use crate::report::figures::season::Period;

/// How an entry that is in the log already stands to another that names some of its trees.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Beside {
    /// It was of an earlier day: the new one mends.
    Mended,
    /// It is of a later day: it is the one that mends.
    Mends,
    /// It is of the same day, and it is said that both are meant: the trees are shared, all hours count.
    Shared,
    /// It is of the same day and claims the same part of the same trees: whether both are meant must be said.
    Disputed,
}

/// What is known of a day of work that does not fit in with it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DayRemark {
    /// The day is noted as one without work.
    NoWork(NaiveDate, LostKind),
    /// The pruner left on this day, which is before it.
    Left(PrunerId, NaiveDate),
    /// The pruner comes on this day, which is after it.
    NotYet(PrunerId, NaiveDate),
}

/// What saving some entries changes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Logging {
    /// Trees that the entries name.
    pub trees: u32,
    /// Trees among them that are done only by these entries.
    pub new: u32,
    /// Entries that name some of the same trees: who, the day, and how they stand to these. Each pruner once a day.
    pub beside: Vec<(PrunerId, NaiveDate, Beside)>,
}

impl Season {
    /// What the log would say with these entries in it; those of the same identity are changed.
    pub fn logging(&self, entries: &[WorkEntry]) -> Logging {
        let before = self.all_done_by(self.others(entries));
        let after = self.all_done_by(self.others(entries).chain(entries));
        let mut beside: Vec<_> = (self.others(entries))
            .filter_map(|work| {
                let meets = |entry: &&WorkEntry| entry.overlaps(work);
                let entry = entries.iter().find(meets)?;
                Some((work.pruner, work.day, beside(work, entry)))
            })
            .collect();
        beside.dedup();
        let mut places: Vec<_> = entries.iter().collect();
        // those who share trees name the same ones
        places.dedup_by_key(|entry| (entry.block, entry.row, entry.first, entry.last));
        Logging {
            trees: places.iter().map(|entry| self.trees_of_entry(entry)).sum(),
            new: after.saturating_sub(before),
            beside,
        }
    }

    /// What does not fit in with the days of these entries, each once.
    pub fn day_remarks(&self, entries: &[WorkEntry]) -> Vec<DayRemark> {
        let mut remarks = Vec::new();
        let mut add = |remark| {
            if !remarks.contains(&remark) {
                remarks.push(remark);
            }
        };
        for entry in entries {
            let day = entry.day;
            let lost =
                (self.labour.lost.iter()).find(|lost| (lost.first..=lost.last).contains(&day));
            if let Some(lost) = lost {
                add(DayRemark::NoWork(day, lost.kind));
            }
            let stint = self.labour.stints.get(&entry.pruner);
            if let Some(left) = stint
                .and_then(|stint| stint.leaves)
                .filter(|left| *left < day)
            {
                add(DayRemark::Left(entry.pruner, left));
            }
            if let Some(joins) = stint
                .and_then(|stint| stint.joins)
                .filter(|joins| *joins > day)
            {
                add(DayRemark::NotYet(entry.pruner, joins));
            }
        }
        remarks
    }

    /// The entries of the log that would have to be settled with these, were they saved.
    pub fn disputed_by<'s>(&'s self, entries: &'s [WorkEntry]) -> Vec<&'s WorkEntry> {
        let disputed = |work: &&WorkEntry| entries.iter().any(|entry| entry.disputes(work));
        self.others(entries).filter(disputed).collect()
    }

    /// The log without those that are changed.
    fn others<'s>(&'s self, entries: &'s [WorkEntry]) -> impl Iterator<Item = &'s WorkEntry> {
        let changed = |work: &WorkEntry| entries.iter().any(|entry| entry.id == work.id);
        self.work.iter().filter(move |work| !changed(work))
    }

    fn all_done_by<'w>(&self, work: impl Iterator<Item = &'w WorkEntry>) -> u32 {
        let done = self.trees_done_by(&RowLog::of(work), Period::so_far(NaiveDate::MAX));
        done.into_values().sum()
    }
}

fn beside(work: &WorkEntry, entry: &WorkEntry) -> Beside {
    match work.day.cmp(&entry.day) {
        std::cmp::Ordering::Less => Beside::Mended,
        std::cmp::Ordering::Greater => Beside::Mends,
        std::cmp::Ordering::Equal if work.disputes(entry) => Beside::Disputed,
        std::cmp::Ordering::Equal => Beside::Shared,
    }
}
