//! Rows that were sent back and done over: who did it and when, by the work log, and which wait to be counted anew.

use std::collections::BTreeSet;

use chrono::NaiveDate;
use serde::Serialize;

use super::Season;
use super::season::Place;
use crate::orchard::{
    BlockId, CountHead, Doer, GoBack, PrunerId, RowWork, Stage, WorkEntry, WorkKind,
};

/// Who did a row over, and when.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Redone {
    /// The pruners, by number.
    pub by: Vec<PrunerId>,
    /// The last day of it.
    pub day: NaiveDate,
}

/// A row that was done over and not looked at since.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct RedoneRow {
    /// The block.
    pub block: BlockId,
    /// The block's name.
    pub block_name: String,
    /// The row.
    pub row: u16,
    /// The day that it was done over.
    pub day: NaiveDate,
}

impl Season {
    /// Who did a row over after it was sent back, as logged up to a day: rework, or pruning of a later day.
    pub fn redone(&self, entry: &GoBack, until: NaiveDate) -> Option<Redone> {
        let after = |work: &&WorkEntry| {
            (work.block, work.row) == (entry.block, entry.row)
                && work.day <= until
                && match work.how.kind {
                    WorkKind::Rework => work.day >= entry.day,
                    kind => kind.leaves_pruned() && work.day > entry.day,
                }
        };
        let day = self.work.iter().filter(after).map(|work| work.day).max()?;
        let last = self.work.iter().filter(after);
        let by: BTreeSet<PrunerId> = last
            .filter(|work| work.day == day)
            .map(|work| work.pruner)
            .collect();
        let crew = self.pruners.iter().map(|known| known.id);
        let by = crew.filter(|id| by.contains(id)).collect();
        Some(Redone { by, day })
    }

    /// Rows that were done over up to a day, and of which no tree was counted since or waits in a draw.
    pub fn to_count_anew(&self, until: NaiveDate) -> Vec<RedoneRow> {
        let mut rows: Vec<RedoneRow> = Vec::new();
        let sent = self.go_backs.iter().filter(|entry| entry.day <= until);
        for (entry, redone) in sent.filter_map(|entry| Some((entry, self.redone(entry, until)?))) {
            let known = rows
                .iter()
                .any(|row| (row.block, row.row) == (entry.block, entry.row));
            if !known && !self.is_looked_at(entry, redone.day) {
                rows.push(RedoneRow {
                    block: entry.block,
                    block_name: self.block_name(entry.block).to_owned(),
                    row: entry.row,
                    day: redone.day,
                });
            }
        }
        rows
    }

    /// Whether a tree of a row was counted since it was done over, or is on the list to be.
    fn is_looked_at(&self, entry: &GoBack, redone: NaiveDate) -> bool {
        let sent_ms = entry.id.0.get_timestamp().map(|moment| {
            let (seconds, nanos) = moment.to_unix();
            (seconds * 1_000 + u64::from(nanos / 1_000_000)) as i64
        });
        // sent back and done over on one day: what was counted before it was sent back was counted before the mending
        let after = |head: &CountHead| {
            head.at.day > entry.day || sent_ms.is_some_and(|sent| head.at.utc_ms > sent)
        };
        let counted = self.counts().iter().map(|count| &count.head).any(|head| {
            (head.block, head.row) == (entry.block, entry.row)
                && head.stage == Stage::After
                && !head.again
                && head.at.day >= redone
                && after(head)
        });
        let waits = |(block, row, _): &Place| (*block, *row) == (entry.block, entry.row);
        counted || self.waiting_places().iter().any(waits)
    }

    /// Who pruned a row, up to a day: those who share trees are one.
    pub fn doers_of_row(&self, row: (BlockId, u16), until: NaiveDate) -> Vec<Doer> {
        let runs = RowWork::of(&self.work, row).runs((None, until));
        let mut doers: Vec<Doer> = Vec::new();
        for run in runs {
            if !doers.contains(&run.done.by) {
                doers.push(run.done.by);
            }
        }
        doers
    }

    /// The places of a row that a pruner did, up to a day; all of it where the log has none of theirs.
    pub fn places_of(
        &self,
        (block, row): (BlockId, u16),
        pruner: PrunerId,
        until: NaiveDate,
    ) -> Vec<(u16, u16)> {
        let theirs = self.work.iter().filter(|entry| {
            (entry.block, entry.row, entry.pruner) == (block, row, pruner)
                && entry.day <= until
                && entry.how.kind.leaves_pruned()
        });
        let mut places: Vec<(u16, u16)> = theirs.map(|entry| (entry.first, entry.last)).collect();
        places.sort_unstable();
        places.dedup();
        if places.is_empty() {
            let row = self.block(block).and_then(|block| block.rows.row(row));
            places.extend(row.map(|row| (1, row.places)));
        }
        places
    }
}
