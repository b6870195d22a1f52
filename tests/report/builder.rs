//! A small invented orchard, built in memory.

use std::cell::Cell;
use std::collections::BTreeMap;

use chrono::NaiveDate;
use thirdwood::orchard::*;
use thirdwood::report::Season;
use thirdwood::store::{Setting, Store};
use uuid::Uuid;

use crate::drafts::{block_draft, pruner_draft};

/// The n-th day of the winter, which begins on 1 January 2027.
pub fn day(n: u64) -> NaiveDate {
    NaiveDate::from_ymd_opt(2027, 1, 1).unwrap() + chrono::Days::new(n - 1)
}

pub struct Orchard {
    pub store: Store,
    pub winter: Winter,
    clock: Cell<i64>,
}

/// What is on a tree: pieces by age, and units as (size, buds, how many).
pub struct Tree<'a>(pub [u32; 4], pub &'a [(Size, u8, u32)]);

/// Units that keep the default rule.
pub const GOOD: &[(Size, u8, u32)] = &[
    (Size::Thin, 2, 4),
    (Size::Medium, 3, 4),
    (Size::Thick, 4, 4),
];
/// Thick units with too many buds, the others as the rule asks.
pub const THICK_LONG: &[(Size, u8, u32)] = &[
    (Size::Thin, 2, 3),
    (Size::Medium, 3, 3),
    (Size::Thick, 6, 6),
];

impl Orchard {
    pub fn new(name: &str) -> Self {
        let store = Store::in_memory().unwrap();
        store.set(Setting::Orchard, name).unwrap();
        let draft = WinterDraft {
            label: "2027".into(),
            start: day(1),
            budburst: day(80),
            block_budburst: BTreeMap::new(),
        };
        let winter = Winter::new(WinterId(Uuid::now_v7()), draft).unwrap();
        store.save_winter(&winter).unwrap();
        Self {
            store,
            winter,
            clock: Cell::new(0),
        }
    }

    pub fn block(&self, name: &str, rows: &str, missing: &str) -> Block {
        let draft = BlockDraft {
            rootstock: String::new(),
            planted: None,
            ..block_draft(name, rows, missing)
        };
        let block = Block::new(BlockId(Uuid::now_v7()), draft).unwrap();
        self.store.save_block(&block).unwrap();
        block
    }

    pub fn pruner(&self, number: u16, name: &str, number_only: bool) -> Pruner {
        let draft = PrunerDraft {
            label: name.chars().take(2).collect(),
            number_only,
            ..pruner_draft(number, name)
        };
        let pruner = Pruner::new(PrunerId(Uuid::now_v7()), draft).unwrap();
        self.store.save_pruner(&pruner).unwrap();
        pruner
    }

    pub fn work(&self, pruner: &Pruner, block: &Block, row: u16, places: (u16, u16), on: u64) {
        let draft = WorkDraft {
            winter: self.winter.id,
            pruner: pruner.id,
            block: block.id,
            row,
            first: places.0,
            last: places.1,
            day: day(on),
            minutes: None,
            how: How::default(),
        };
        let entry = WorkEntry::new(WorkId(Uuid::now_v7()), draft, block).unwrap();
        self.store.save_work(&entry).unwrap();
    }

    /// A closed count of a whole, drawn tree.
    pub fn count(
        &self,
        pruner: &Pruner,
        block: &Block,
        at: (u16, u16),
        on: u64,
        tree: &Tree,
    ) -> TreeCount {
        self.count_as(pruner, block, at, on, tree, |_| ())
    }

    /// As [`Orchard::count`], with something about it changed.
    pub fn count_as(
        &self,
        pruner: &Pruner,
        block: &Block,
        (row, place): (u16, u16),
        on: u64,
        tree: &Tree,
        change: impl FnOnce(&mut TreeCount),
    ) -> TreeCount {
        self.clock.set(self.clock.get() + 60_000);
        let noon = day(on)
            .and_hms_opt(8, 0, 0)
            .unwrap()
            .and_utc()
            .timestamp_millis();
        let mut tally = Tally {
            ages: tree.0,
            ..Tally::default()
        };
        for (size, buds, units) in tree.1 {
            tally.units[size.index()][usize::from(*buds)] += units;
        }
        let mut count = TreeCount {
            id: CountId(Uuid::now_v7()),
            head: CountHead {
                winter: self.winter.id,
                block: block.id,
                row,
                tree: place,
                pruner: Some(pruner.id),
                stage: Stage::After,
                part: Part::Whole,
                chosen: Chosen::Drawn,
                counter: String::new(),
                at: Stamp::new(noon + self.clock.get() % 36_000_000, 0, day(on)).unwrap(),
                note: String::new(),
                again: false,
            },
            tally,
            closed: true,
            by_log: None,
            pruned_on: None,
        };
        change(&mut count);
        count.head = count.head.check(block).unwrap();
        self.store.add_count(&count).unwrap();
        count
    }

    /// Trees 1 to `n` of a row pruned on one day and counted on it, each tree as `tree` makes it from its number.
    pub fn counted_row<'a>(
        &self,
        pruner: &Pruner,
        block: &Block,
        row: u16,
        n: u16,
        on: u64,
        tree: impl Fn(u32) -> Tree<'a>,
    ) {
        self.work(pruner, block, row, (1, n), on);
        for place in 1..=n {
            self.count(pruner, block, (row, place), on, &tree(u32::from(place)));
        }
    }

    pub fn send_back(
        &self,
        pruner: &Pruner,
        block: &Block,
        row: u16,
        on: u64,
        reason: &str,
    ) -> GoBack {
        let entry = GoBack {
            id: GoBackId(Uuid::now_v7()),
            winter: self.winter.id,
            block: block.id,
            row,
            pruner: pruner.id,
            day: day(on),
            reason: reason.into(),
            settled: None,
        };
        self.store.save_go_back(&entry).unwrap();
        entry
    }

    pub fn season(&self) -> Season {
        Season::load(&self.store, self.winter.clone()).unwrap()
    }
}

/// A tree with a third of each age, give or take.
pub fn even(n: u32) -> Tree<'static> {
    let wobble = n % 3;
    Tree([9 + wobble, 11 - wobble, 10, 0], GOOD)
}

/// A tree with far too little one-year and too much two-year wood; three-year wood as it should be.
pub fn light(n: u32) -> Tree<'static> {
    let wobble = n % 3;
    Tree([3 + wobble, 17 - wobble, 10, 0], GOOD)
}

/// Trees that differ so much that a few of them settle nothing.
pub fn wild(n: u32) -> Tree<'static> {
    match n % 3 {
        0 => Tree([14, 10, 6, 0], GOOD),
        1 => Tree([6, 12, 11, 1], GOOD),
        _ => Tree([10, 6, 14, 0], GOOD),
    }
}
