//! An invented orchard, to try the program on: nobody and nothing in it is real.
//!
//! Fernhollow has three blocks of different age, spacing and stems, and eight pruners with
//! different habits. Two working weeks of work, draws and counts end today. All of it follows from
//! a seed and the day: made again, it is the same to the last identity.

mod again;
mod crop;
mod days;
mod habit;
mod labour;
mod large;
mod maker;
mod planting;

use chrono::{Datelike, Days, NaiveDate, Weekday};

pub use habit::Habit;
pub use large::{LargeSpec, fill_large};

use crate::orchard::{BlockId, GoBack, GoBackId, Outcome, PrunerId, Settled, WinterId, WorkEntry};
use crate::store::{Store, StoreError};
use days::{Counting, Day};
use labour::Labour;
use maker::{Maker, made, moment};
use planting::Orchard;

/// Days of work; the counts of each are made on the next working day.
const WORKING_DAYS: usize = 12;

/// What was made.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DemoFacts {
    /// The winter.
    pub winter: WinterId,
    /// The blocks: the old one, the middle one, the young one.
    pub blocks: Vec<BlockId>,
    /// The crew in order of number, each with the habit that the verdicts should find out.
    pub crew: Vec<(PrunerId, Habit)>,
    /// The working days, the last of them with counts and a draw only.
    pub days: Vec<NaiveDate>,
    /// Counts, open ones, those before pruning and those made again among them.
    pub counts: usize,
    /// Entries of the work log.
    pub work: usize,
}

/// Fills an empty store with the invented orchard, in one change. `today` is the last day with
/// counts; on a Sunday it is the Saturday before, and outside 2000 to 2190 the nearest day within.
///
/// Fails where the store has a block, pruner or winter of the same name, and keeps nothing then.
pub fn fill(store: &Store, seed: u64, today: NaiveDate) -> Result<DemoFacts, StoreError> {
    store.atomically(|store| {
        let days = working_days(today);
        let mut maker = Maker::new(seed);
        let first = days.first().copied().unwrap_or(today);
        let orchard = planting::plant(store, &mut maker, first)?;
        crop::keep(store, seed, &orchard)?;
        let mut labour = Labour::new(&orchard);
        let mut counting = Counting::new(store, &orchard);
        let mut work: Vec<WorkEntry> = Vec::new();
        // the last working day, its part of the work, and the tree counted before pruning
        let mut last = None;
        for (at, day) in days.iter().copied().enumerate() {
            let begin = work.len();
            if at < WORKING_DAYS {
                work.extend(labour.day(&orchard, &mut maker, at, day)?);
            }
            let offered = counting.offer(&mut maker, day, &work[begin..])?;
            if let Some((before, from, offered)) = last {
                let day = Day {
                    at,
                    date: day,
                    before,
                    work: &work[from..begin],
                    offered,
                    half: at == WORKING_DAYS,
                };
                counting.day(&mut maker, &day)?;
            }
            last = Some((day, begin, offered));
        }
        for entry in &work {
            store.save_work(entry)?;
        }
        send_back(store, &mut maker, &orchard, &days, &work)?;
        let again = again::count_again(store, seed, &orchard, &days)?;
        Ok(DemoFacts {
            winter: orchard.winter.id,
            blocks: orchard.blocks.iter().map(|p| p.block.id).collect(),
            crew: orchard
                .crew
                .iter()
                .map(|m| (m.pruner.id, m.habit))
                .collect(),
            days,
            counts: counting.counts + again,
            work: work.len(),
        })
    })
}

/// The working days (Monday to Saturday) that end today.
fn working_days(today: NaiveDate) -> Vec<NaiveDate> {
    let year = |year| NaiveDate::from_ymd_opt(year, 6, 1).unwrap_or(today);
    let mut day = today.clamp(year(2000), year(2190));
    let mut days = Vec::new();
    while days.len() <= WORKING_DAYS {
        if day.weekday() != Weekday::Sun {
            days.push(day);
        }
        day = day - Days::new(1);
    }
    days.reverse();
    days
}

/// Sends some rows back: one mended, one still wrong, one not settled yet.
fn send_back(
    store: &Store,
    maker: &mut Maker,
    orchard: &Orchard,
    days: &[NaiveDate],
    work: &[WorkEntry],
) -> Result<(), StoreError> {
    let rows = [
        (
            Habit::OldWood,
            4,
            "old wood left in the top third",
            Some((Outcome::Mended, 6)),
        ),
        (
            Habit::Improves,
            5,
            "too little one-year wood left",
            Some((Outcome::StillWrong, 7)),
        ),
        (Habit::ManyBuds, 11, "thick units with 5 and 6 buds", None),
    ];
    for (habit, at, reason, settled) in rows {
        let mut crew = orchard.crew.iter();
        let pruner = crew.find(|member| member.habit == habit);
        let Some(pruner) = pruner.map(|member| member.pruner.id) else {
            continue;
        };
        let day = days[at];
        let mut before = work.iter().rev();
        let entry = before.find(|entry| entry.pruner == pruner && entry.day < day);
        let mut blocks = orchard.blocks.iter();
        let found = entry.and_then(|entry| {
            let planting = blocks.find(|planting| planting.block.id == entry.block)?;
            Some((entry, &planting.block))
        });
        let Some((entry, block)) = found else {
            continue;
        };
        let entry = GoBack {
            id: GoBackId(maker.id(moment(day, 57_600))),
            winter: orchard.winter.id,
            block: entry.block,
            row: entry.row,
            pruner,
            day,
            reason: reason.into(),
            settled: settled.map(|(outcome, at)| Settled {
                outcome,
                day: days[at],
            }),
        };
        store.save_go_back(&made(entry.check(block))?)?;
    }
    Ok(())
}
