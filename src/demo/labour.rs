//! Who prunes which trees on which day.

use std::collections::VecDeque;

use chrono::NaiveDate;

use super::maker::{Maker, made, moment};
use super::planting::Orchard;
use crate::orchard::{How, WorkDraft, WorkEntry, WorkId};
use crate::store::StoreError;

/// The block of each pruner in the first and in the second week, by place.
const PLACES: [[usize; 8]; 2] = [[0, 0, 1, 1, 1, 2, 2, 2], [1, 2, 0, 2, 0, 1, 2, 1]];
/// The day on which the newcomer begins, counted from 0.
const NEWCOMER_BEGINS: usize = 10;
/// Share of days on which a pruner stays away.
const AWAY: f64 = 0.04;

/// A piece of a row: block and row by place, and the next tree place.
#[derive(Debug, Clone, Copy)]
struct Stand {
    block: usize,
    row: u16,
    next: u16,
}

/// What is left to prune, and where everybody stands.
pub(super) struct Labour {
    free: Vec<VecDeque<u16>>,
    stands: Vec<Option<Stand>>,
}

impl Labour {
    pub(super) fn new(orchard: &Orchard) -> Self {
        let rows = |plan: &crate::orchard::RowPlan| plan.rows().iter().map(|r| r.number).collect();
        Self {
            free: orchard
                .blocks
                .iter()
                .map(|planting| rows(&planting.block.rows))
                .collect(),
            stands: vec![None; orchard.crew.len()],
        }
    }

    /// The work of all pruners on the day number `at` (from 0).
    pub(super) fn day(
        &mut self,
        orchard: &Orchard,
        maker: &mut Maker,
        at: usize,
        day: NaiveDate,
    ) -> Result<Vec<WorkEntry>, StoreError> {
        let mut entries = Vec::new();
        for who in 0..orchard.crew.len() {
            let new = orchard.crew[who].habit == super::Habit::Newcomer;
            let away = if new {
                at < NEWCOMER_BEGINS
            } else {
                maker.chance(AWAY)
            };
            if away {
                continue;
            }
            let pieces = self.pruner_day(orchard, maker, who, at);
            let hours = maker.between(7.0, 8.2);
            let noted = !maker.chance(0.05);
            let load = |stand: &(Stand, u16)| {
                f64::from(stand.1 - stand.0.next + 1) / orchard.blocks[stand.0.block].trees_a_day
            };
            let whole: f64 = pieces.iter().map(load).sum();
            for piece in &pieces {
                let minutes = hours * 60.0 * load(piece) / whole;
                let draft = WorkDraft {
                    winter: orchard.winter.id,
                    pruner: orchard.crew[who].pruner.id,
                    block: orchard.blocks[piece.0.block].block.id,
                    row: piece.0.row,
                    first: piece.0.next,
                    last: piece.1,
                    day,
                    minutes: noted.then_some((minutes.round() as u16).max(5)),
                    how: How::default(),
                };
                let id = WorkId(maker.id(moment(day, 61_200 + 10 * entries.len() as i64)));
                let block = &orchard.blocks[piece.0.block].block;
                entries.push(made(WorkEntry::new(id, draft, block))?);
            }
        }
        Ok(entries)
    }

    /// Pieces of rows, each with its last place, that a pruner does in a day.
    fn pruner_day(
        &mut self,
        orchard: &Orchard,
        maker: &mut Maker,
        who: usize,
        at: usize,
    ) -> Vec<(Stand, u16)> {
        let mut pieces = Vec::new();
        // what is left of the day, 1 at its beginning
        let mut left = orchard.crew[who].speed * maker.between(0.9, 1.1);
        while left > 0.05 {
            let home = PLACES[usize::from(at >= 6)][who % 8] % orchard.blocks.len();
            let Some(stand) = self.stands[who].take().or_else(|| self.next_row(home)) else {
                break;
            };
            let planting = &orchard.blocks[stand.block];
            let places = planting
                .block
                .rows
                .row(stand.row)
                .map_or(1, |row| row.places);
            let can = (left * planting.trees_a_day).round().max(1.0) as u16;
            let last = places.min(stand.next + can - 1);
            left -= f64::from(last - stand.next + 1) / planting.trees_a_day;
            if last < places {
                self.stands[who] = Some(Stand {
                    next: last + 1,
                    ..stand
                });
            }
            let row = planting.block.rows.row(stand.row);
            if row.is_some_and(|row| row.trees_between(stand.next, last) > 0) {
                pieces.push((stand, last));
            }
        }
        pieces
    }

    /// The next free row of the block, or of the next block that has one.
    fn next_row(&mut self, home: usize) -> Option<Stand> {
        let blocks = self.free.len();
        (home..home + blocks).find_map(|block| {
            let block = block % blocks;
            let row = self.free[block].pop_front()?;
            Some(Stand {
                block,
                row,
                next: 1,
            })
        })
    }
}
