//! What each pruner did last, and might go on with.

use std::collections::HashSet;

use chrono::NaiveDate;

use super::season::Season;
use crate::orchard::{BlockId, Pruner, PrunerId, WorkEntry};

/// The rows of a pruner's last day of work.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct LastRows {
    /// The block that was worked in last; none of somebody who has not worked yet.
    pub block: Option<BlockId>,
    /// The rows there of that day, by number.
    pub same: Vec<u16>,
    /// As many rows of the block behind them that nobody has worked on, and that nobody before in the list is offered.
    pub next: Vec<u16>,
    /// Minutes of that day; none where not all were noted.
    pub minutes: Option<u16>,
}

impl Season {
    /// What each of these did on the last day before this one, and what comes next, in the order asked for.
    pub fn last_rows<'p>(
        &self,
        crew: impl IntoIterator<Item = &'p Pruner>,
        before: NaiveDate,
    ) -> Vec<(Pruner, LastRows)> {
        let mut taken: HashSet<(BlockId, u16)> = self
            .work
            .iter()
            .map(|work| (work.block, work.row))
            .collect();
        let each = crew.into_iter().map(|pruner| {
            let mut last = self.last_rows_of(pruner.id, before);
            last.next = self.rows_behind(&last, &taken);
            taken.extend(last.block.into_iter().flat_map(|block| {
                let next = last.next.iter();
                next.map(move |row| (block, *row)).collect::<Vec<_>>()
            }));
            (pruner.clone(), last)
        });
        each.collect()
    }

    fn last_rows_of(&self, pruner: PrunerId, before: NaiveDate) -> LastRows {
        let own = || (self.work.iter()).filter(|work| work.pruner == pruner && work.day < before);
        let Some(day) = own().map(|work| work.day).max() else {
            return LastRows::default();
        };
        let of_day: Vec<&WorkEntry> = own().filter(|work| work.day == day).collect();
        // where the day ended is told by the order in which it was entered
        let block = of_day
            .iter()
            .max_by_key(|work| work.id)
            .map(|work| work.block);
        let here = of_day.iter().filter(|work| Some(work.block) == block);
        let mut same: Vec<u16> = here.map(|work| work.row).collect();
        same.sort_unstable();
        same.dedup();
        let minutes: Option<u16> = of_day.iter().map(|work| work.minutes).sum();
        LastRows {
            block,
            same,
            next: Vec::new(),
            minutes,
        }
    }

    /// As many rows as the last ones, behind them, that are not taken.
    fn rows_behind(&self, last: &LastRows, taken: &HashSet<(BlockId, u16)>) -> Vec<u16> {
        let block = last.block.and_then(|block| self.block(block));
        let (Some(block), Some(first)) = (block, last.same.last()) else {
            return Vec::new();
        };
        let rows = block.rows.rows().iter().map(|row| row.number);
        let free = rows.filter(|row| row > first && !taken.contains(&(block.id, *row)));
        free.take(last.same.len()).collect()
    }
}
