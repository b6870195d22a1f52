//! A large invented orchard, for measuring.

use std::collections::{BTreeMap, BTreeSet};

use chrono::{Days, NaiveDate};

use super::Habit;
use super::habit::pruned_tree;
use super::maker::{Maker, made, moment};
use crate::orchard::{
    Block, BlockDraft, BlockId, Chosen, CountHead, CountId, Draw, DrawId, DrawnTree, Fate, How,
    Part, Pruner, PrunerDraft, PrunerId, RowPlan, Stage, TreeCount, Winter, WinterDraft, WinterId,
    WorkDraft, WorkEntry, WorkId,
};
use crate::store::{Store, StoreError};

/// Rows of a block.
const ROWS: u16 = 20;
/// Tree places of a row.
const PLACES: u16 = 60;
/// Days of work in a winter.
const DAYS: u64 = 60;
const HABITS: [Habit; 6] = [
    Habit::Good,
    Habit::LittleOneYear,
    Habit::Good,
    Habit::ManyBuds,
    Habit::Erratic,
    Habit::OldWood,
];

/// How large.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct LargeSpec {
    /// Winters, 1 to 100; the first is that of 2015.
    pub winters: u16,
    /// Blocks, 1 or more, of 1,200 trees each.
    pub blocks: u16,
    /// Pruners, 1 to 9,999.
    pub pruners: u16,
    /// Counts in each winter, about 40 taps each. No tree is counted twice in a winter, so at most
    /// 1,200 a block are made.
    pub counts_per_winter: usize,
    /// The seed; the same makes the same.
    pub seed: u64,
}

/// Fills an empty store with an orchard of any size, in one change. Gives the number of counts.
pub fn fill_large(store: &Store, spec: LargeSpec) -> Result<usize, StoreError> {
    store.atomically(|store| {
        let mut maker = Maker::new(spec.seed);
        let first = NaiveDate::from_ymd_opt(2015, 6, 1).unwrap_or_default();
        let mut blocks = Vec::new();
        for at in 1..=spec.blocks.max(1) {
            let block = block(&mut maker, first, at)?;
            store.save_block(&block)?;
            blocks.push(block);
        }
        let mut crew = Vec::new();
        for number in 1..=spec.pruners.max(1) {
            let draft = PrunerDraft {
                number,
                name: format!("Pruner {number}"),
                label: String::new(),
                active: true,
                number_only: false,
                language: String::new(),
            };
            let id = PrunerId(maker.id(moment(first, i64::from(number))));
            let pruner = made(Pruner::new(id, draft))?;
            store.save_pruner(&pruner)?;
            crew.push(pruner.id);
        }
        let mut counts = 0;
        for at in 0..spec.winters.clamp(1, 100) {
            let start = first.with_year_after(i32::from(at));
            let winter = WinterDraft {
                label: (2015 + at).to_string(),
                start,
                budburst: start + Days::new(DAYS + 30),
                block_budburst: BTreeMap::new(),
            };
            let id = WinterId(maker.id(moment(start, 0)));
            let winter = made(Winter::new(id, winter))?;
            store.save_winter(&winter)?;
            let large = Large {
                store,
                blocks: &blocks,
                crew: &crew,
                winter: &winter,
            };
            large.work(&mut maker)?;
            counts += large.counts(&mut maker, spec.counts_per_winter)?;
        }
        Ok(counts)
    })
}

trait YearAfter {
    fn with_year_after(self, years: i32) -> Self;
}

impl YearAfter for NaiveDate {
    fn with_year_after(self, years: i32) -> Self {
        use chrono::Datelike;
        self.with_year(self.year() + years).unwrap_or(self)
    }
}

fn block(maker: &mut Maker, first: NaiveDate, at: u16) -> Result<Block, StoreError> {
    let stems = [1, 4, 6][usize::from(at % 3)];
    let draft = BlockDraft {
        name: format!("Block {at:03}"),
        variety: "Conference".into(),
        rootstock: "Quince A".into(),
        planted: Some(1990 + i32::from(at % 25)),
        row_spacing_m: 4.0,
        tree_spacing_m: 1.5,
        stems,
        rows: made(RowPlan::parse(&format!("1-{ROWS}x{PLACES}"), ""))?,
        ..BlockDraft::default()
    };
    let id = BlockId(maker.id(moment(first, i64::from(at))));
    made(Block::new(id, draft))
}

/// One winter being filled.
struct Large<'a> {
    store: &'a Store,
    blocks: &'a [Block],
    crew: &'a [PrunerId],
    winter: &'a Winter,
}

impl Large<'_> {
    /// Who prunes a row, by place in the crew; each block has several pruners.
    fn who(&self, block: usize, row: u16) -> usize {
        (block * 5 + usize::from(row) / 3) % self.crew.len()
    }

    /// When a row is pruned.
    fn day(&self, block: usize, row: u16) -> NaiveDate {
        let at = (block as u64 * u64::from(ROWS) + u64::from(row)) * 7 % DAYS;
        self.winter.start + Days::new(at)
    }

    fn work(&self, maker: &mut Maker) -> Result<(), StoreError> {
        for (at, block) in self.blocks.iter().enumerate() {
            for row in 1..=ROWS {
                let day = self.day(at, row);
                let draft = WorkDraft {
                    winter: self.winter.id,
                    pruner: self.crew[self.who(at, row)],
                    block: block.id,
                    row,
                    first: 1,
                    last: PLACES,
                    day,
                    minutes: Some(400 + maker.below(80) as u16),
                    how: How::default(),
                };
                let id = WorkId(maker.id(moment(day, 61_200)));
                self.store
                    .save_work(&made(WorkEntry::new(id, draft, block))?)?;
            }
        }
        Ok(())
    }

    /// Counts trees on the day after their row was pruned; the drawn ones make the day's draw.
    fn counts(&self, maker: &mut Maker, wanted: usize) -> Result<usize, StoreError> {
        let trees = self.blocks.len() * usize::from(ROWS) * usize::from(PLACES);
        let mut taken = BTreeSet::new();
        while taken.len() < wanted.min(trees) {
            let row = 1 + maker.below(usize::from(ROWS)) as u16;
            let tree = 1 + maker.below(usize::from(PLACES)) as u16;
            taken.insert((maker.below(self.blocks.len()), row, tree));
        }
        let mut draws: BTreeMap<NaiveDate, Vec<DrawnTree>> = BTreeMap::new();
        for ((at, row, tree), n) in taken.iter().copied().zip(0i64..) {
            let who = self.who(at, row);
            let chosen = if maker.chance(0.9) {
                Chosen::Drawn
            } else {
                Chosen::ByEye
            };
            let day = self.day(at, row) + Days::new(1);
            let head = CountHead {
                winter: self.winter.id,
                block: self.blocks[at].id,
                row,
                tree,
                pruner: Some(self.crew[who]),
                stage: Stage::After,
                part: Part::Whole,
                chosen,
                counter: "Ines".into(),
                at: moment(day, 28_800 + n % 28_000),
                note: String::new(),
                again: false,
            };
            if chosen == Chosen::Drawn {
                draws.entry(day).or_default().push(DrawnTree {
                    runs: None,
                    block: head.block,
                    row,
                    tree,
                    pruner: self.crew[who],
                    fate: Fate::Waiting,
                });
            }
            let habit = HABITS[who % HABITS.len()];
            self.store.add_count(&TreeCount {
                id: CountId(maker.id(head.at)),
                head: made(head.check(&self.blocks[at]))?,
                tally: pruned_tree(maker, habit, true, 30.0),
                closed: true,
                by_log: None,
                pruned_on: None,
            })?;
        }
        for (day, trees) in draws {
            let before = day - Days::new(1);
            self.store.add_draw(&Draw {
                id: DrawId(maker.id(moment(day, 27_000))),
                winter: self.winter.id,
                day,
                since: before,
                until: before,
                seed: maker.seed(),
                trees,
            })?;
        }
        Ok(taken.len())
    }
}
