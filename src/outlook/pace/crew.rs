//! What each pruner did on each day seen: the rows that future days are drawn from.

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;
use serde::Serialize;

use super::effort::Efforts;
use super::work::{PersonDay, UsualDay};
use crate::orchard::PrunerId;

/// Work is counted in thousandths of the average tree.
pub(super) const MILLI: f64 = 1_000.0;

/// A pruner of the crew from today on. One who worked but is not listed is taken to have left.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Member {
    /// Who.
    pub pruner: PrunerId,
    /// The first day here; `None` for one who is here already.
    pub from: Option<NaiveDate>,
    /// The last day here; `None` for one who stays.
    pub until: Option<NaiveDate>,
}

impl Member {
    /// Whether the pruner is here on a day.
    pub fn is_there(&self, day: NaiveDate) -> bool {
        self.from.is_none_or(|from| from <= day) && self.until.is_none_or(|until| day <= until)
    }
}

/// Pruners still to come, without a name yet.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Newcomers {
    /// How many.
    pub count: u16,
    /// Their first day.
    pub from: NaiveDate,
    /// Their last day; `None` if they stay.
    pub until: Option<NaiveDate>,
}

/// One pruner's day: work done, and the minutes it took as far as they can be known.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Cell {
    /// Thousandths of the average tree.
    pub work: u64,
    pub minutes: Option<u32>,
}

/// The days seen, and each pruner's row of them.
pub(super) struct Rows {
    pub dates: Vec<NaiveDate>,
    pub of: BTreeMap<PrunerId, Vec<Cell>>,
}

impl Rows {
    /// Days on which a pruner was away though the crew worked hold nothing. Days before the pruner's first are filled
    /// with the pruner's mean (days away included) times how good the day was for those who were there.
    pub fn new(days: &[PersonDay], efforts: &Efforts) -> Self {
        let dates: Vec<NaiveDate> = days
            .iter()
            .map(|day| day.day)
            .collect::<BTreeSet<_>>()
            .into_iter()
            .collect();
        let usual = UsualDay::of(days);
        let mut of: BTreeMap<PrunerId, Vec<Option<Cell>>> = BTreeMap::new();
        for day in days {
            let Ok(at) = dates.binary_search(&day.day) else {
                continue;
            };
            let work: f64 = (day.parts.iter())
                .map(|(block, part)| efforts.of(*block).mean * part.trees.number())
                .sum();
            let row = of
                .entry(day.pruner)
                .or_insert_with(|| vec![None; dates.len()]);
            row[at] = Some(Cell {
                work: (work * MILLI).round() as u64,
                minutes: day.whole.minutes.or_else(|| usual.minutes(day.pruner)),
            });
        }
        let quality = quality(&of, dates.len());
        let of = of
            .into_iter()
            .map(|(pruner, row)| (pruner, filled(&row, &quality)))
            .collect();
        Self { dates, of }
    }

    /// The same days, so many times as long.
    pub fn stretched(mut self, length: f64) -> Self {
        if (length - 1.0).abs() > f64::EPSILON {
            for cell in self.of.values_mut().flatten() {
                cell.work = (cell.work as f64 * length).round() as u64;
                cell.minutes = cell.minutes.map(|m| (f64::from(m) * length).round() as u32);
            }
        }
        self
    }

    /// The mean row of these pruners, work only: what an average one does on each day seen.
    pub fn average(&self, pruners: &[PrunerId]) -> Vec<u64> {
        let n = pruners.len().max(1) as u64;
        let at = |i: usize| {
            let work = pruners
                .iter()
                .filter_map(|p| self.of.get(p))
                .map(|row| row[i].work);
            work.sum::<u64>() / n
        };
        (0..self.dates.len()).map(at).collect()
    }
}

/// How good each day was: work done over what those present do on average.
fn quality(of: &BTreeMap<PrunerId, Vec<Option<Cell>>>, days: usize) -> Vec<f64> {
    let mut sums = vec![(0.0, 0.0); days];
    for row in of.values() {
        let present = || row.iter().flatten();
        let mean =
            present().map(|cell| cell.work as f64).sum::<f64>() / present().count().max(1) as f64;
        for (sum, cell) in sums.iter_mut().zip(row) {
            if let Some(cell) = cell {
                *sum = (sum.0 + cell.work as f64, sum.1 + mean);
            }
        }
    }
    let ratio = |(work, mean): (f64, f64)| if mean > 0.0 { work / mean } else { 1.0 };
    sums.into_iter().map(ratio).collect()
}

fn filled(row: &[Option<Cell>], quality: &[f64]) -> Vec<Cell> {
    let first = row.iter().position(Option::is_some).unwrap_or(0);
    let here = &row[first..];
    let mean = here
        .iter()
        .flatten()
        .map(|cell| cell.work as f64)
        .sum::<f64>()
        / here.len().max(1) as f64;
    let noted: Option<u32> = here.iter().flatten().map(|cell| cell.minutes).sum();
    let minutes = noted.map(|sum| sum / here.len().max(1) as u32);
    let fill = |(i, cell): (usize, &Option<Cell>)| match cell {
        Some(cell) => *cell,
        None if i < first => Cell {
            work: (mean * quality[i]).round() as u64,
            minutes,
        },
        None => Cell {
            work: 0,
            minutes: Some(0),
        },
    };
    row.iter().enumerate().map(fill).collect()
}
