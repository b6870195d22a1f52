//! A file in memory with a block, a pruner and a winter.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use thirdwood::orchard::*;
use thirdwood::store::Store;
use uuid::Uuid;

use crate::drafts::{block_draft, pruner_draft};

pub fn day(d: u32) -> NaiveDate {
    NaiveDate::from_ymd_opt(2027, 1, d).unwrap()
}

pub struct Small {
    pub store: Store,
    pub block: Block,
    pub pruner: Pruner,
    pub winter: Winter,
}

pub fn block(name: &str, rows: &str, missing: &str) -> BlockDraft {
    BlockDraft {
        row_spacing_m: 3.5,
        tree_spacing_m: 1.25,
        ..block_draft(name, rows, missing)
    }
}

pub fn small() -> Small {
    let store = Store::in_memory().unwrap();
    let block = Block::new(
        BlockId(Uuid::now_v7()),
        block("River", "1-3x40, 5x12", "2:7-9"),
    )
    .unwrap();
    store.save_block(&block).unwrap();
    let pruner = PrunerDraft {
        label: "Me".into(),
        ..pruner_draft(3, "Mele")
    };
    let pruner = Pruner::new(PrunerId(Uuid::now_v7()), pruner).unwrap();
    store.save_pruner(&pruner).unwrap();
    let winter = WinterDraft {
        label: "2026/27".into(),
        start: NaiveDate::from_ymd_opt(2026, 12, 1).unwrap(),
        budburst: NaiveDate::from_ymd_opt(2027, 3, 20).unwrap(),
        block_budburst: BTreeMap::from([(block.id, NaiveDate::from_ymd_opt(2027, 3, 12).unwrap())]),
    };
    let winter = Winter::new(WinterId(Uuid::now_v7()), winter).unwrap();
    store.save_winter(&winter).unwrap();
    Small {
        store,
        block,
        pruner,
        winter,
    }
}

impl Small {
    pub fn head(&self, tree: u16) -> CountHead {
        CountHead {
            winter: self.winter.id,
            block: self.block.id,
            row: 1,
            tree,
            pruner: Some(self.pruner.id),
            stage: Stage::After,
            part: Part::Stems(2),
            chosen: Chosen::Drawn,
            counter: "Ana".into(),
            at: Stamp::parse_rfc3339("2027-01-12T09:30:00+01:00").unwrap(),
            note: "wet".into(),
            again: false,
        }
    }

    pub fn work(&self, row: u16, first: u16, last: u16) -> WorkEntry {
        let draft = WorkDraft {
            winter: self.winter.id,
            pruner: self.pruner.id,
            block: self.block.id,
            row,
            first,
            last,
            day: day(12),
            minutes: Some(450),
            how: How::default(),
        };
        WorkEntry::new(WorkId(Uuid::now_v7()), draft, &self.block).unwrap()
    }
}
