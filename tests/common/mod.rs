//! A small orchard for tests, made by hand.
#![allow(dead_code)] // each test binary uses its own part of this

pub mod drafts;

use std::collections::BTreeMap;

use chrono::{Days, NaiveDate};
use thirdwood::orchard::*;
use thirdwood::store::Store;
use uuid::Uuid;

use drafts::{block_draft, pruner_draft};

/// One block, two pruners, one winter, some logged work, three drawn trees.
pub struct Small {
    pub block: Block,
    pub pruners: [Pruner; 2],
    pub winter: Winter,
    pub draw: Draw,
}

/// The day of the tests.
pub fn today() -> NaiveDate {
    NaiveDate::from_ymd_opt(2027, 1, 12).unwrap()
}

pub fn id(n: u128) -> Uuid {
    Uuid::from_u128(n)
}

pub fn block() -> Block {
    let draft = BlockDraft {
        stems: 6,
        sides: Sides::TwoSided,
        lean_deg: 15.0,
        ..block_draft("River", "1-6x50", "2:7-9")
    };
    Block::new(BlockId(id(1)), draft).unwrap()
}

pub fn pruner(number: u16, name: &str) -> Pruner {
    let draft = pruner_draft(number, name);
    Pruner::new(PrunerId(id(100 + u128::from(number))), draft).unwrap()
}

pub fn winter() -> Winter {
    let draft = WinterDraft {
        label: "2026/27".into(),
        start: today() - Days::new(20),
        budburst: today() + Days::new(60),
        block_budburst: BTreeMap::new(),
    };
    Winter::new(WinterId(id(2)), draft).unwrap()
}

/// Fills an empty store.
pub fn fill(store: &Store) -> Small {
    let (block, winter) = (block(), winter());
    let pruners = [pruner(1, "Ana"), pruner(2, "Ben")];
    store.save_block(&block).unwrap();
    store.save_winter(&winter).unwrap();
    for (pruner, row) in pruners.iter().zip(1..) {
        store.save_pruner(pruner).unwrap();
        let work = WorkDraft {
            winter: winter.id,
            pruner: pruner.id,
            block: block.id,
            row,
            first: 1,
            last: 50,
            day: today(),
            minutes: Some(480),
            how: How::default(),
        };
        let entry = WorkEntry::new(WorkId(id(200 + u128::from(row))), work, &block).unwrap();
        store.save_work(&entry).unwrap();
    }
    let tree = |tree| DrawnTree {
        runs: None,
        block: block.id,
        row: 1,
        tree,
        pruner: pruners[0].id,
        fate: Fate::Waiting,
    };
    let draw = Draw {
        id: DrawId(id(3)),
        winter: winter.id,
        day: today(),
        since: today(),
        until: today(),
        seed: 5,
        trees: vec![tree(4), tree(21), tree(38)],
    };
    store.add_draw(&draw).unwrap();
    Small {
        block,
        pruners,
        winter,
        draw,
    }
}
