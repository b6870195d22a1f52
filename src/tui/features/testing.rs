//! An invented orchard for the tests of the screens, and a way to drive the program on it.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use ratatui::buffer::{Buffer, Cell};
use ratatui::layout::Rect;
use uuid::Uuid;

use crate::drafts::{block_draft, pruner_draft};
use crate::orchard::{
    Block, BlockDraft, BlockId, Chosen, CountHead, CountId, GoBack, GoBackId, How, Outcome, Part,
    Pruner, PrunerId, Settled, Stage, Stamp, Tally, TreeCount, Winter, WinterDraft, WinterId,
    WorkDraft, WorkEntry, WorkId,
};
use crate::store::Store;
use crate::tui::app::{Event, view};
use crate::tui::runtime::{Runtime, Start};
use crate::tui::{Action, HitMap, Key, Theme};

/// A day in January 2027.
pub fn day(d: u32) -> NaiveDate {
    NaiveDate::from_ymd_opt(2027, 1, d).unwrap()
}

/// The day taken for today.
pub fn today() -> NaiveDate {
    day(20)
}

/// What is in the file; ids count up from 1, so that all runs are the same.
pub struct Orchard {
    /// The file.
    pub store: Store,
    /// The winter.
    pub winter: Winter,
    /// The blocks, in the order of their making.
    pub blocks: Vec<Block>,
    /// The crew, by number.
    pub pruners: Vec<Pruner>,
    next: u128,
}

impl Orchard {
    /// A winter, and nothing else.
    pub fn bare() -> Self {
        let store = Store::in_memory().unwrap();
        let draft = WinterDraft {
            label: "2026/27".into(),
            start: NaiveDate::from_ymd_opt(2026, 12, 1).unwrap(),
            budburst: NaiveDate::from_ymd_opt(2027, 3, 20).unwrap(),
            block_budburst: BTreeMap::new(),
        };
        let winter = Winter::new(WinterId(Uuid::from_u128(1)), draft).unwrap();
        store.save_winter(&winter).unwrap();
        Self {
            store,
            winter,
            blocks: Vec::new(),
            pruners: Vec::new(),
            next: 1,
        }
    }

    /// Two blocks, four pruners, work, counts and rows sent back: one pruner in balance, one with
    /// little one-year wood and too many buds, one with few counts, one with none.
    pub fn usual() -> Self {
        let mut orchard = Self::bare();
        let river = orchard.block("River", "1-8x60", "2:7-9, 5:1");
        let top = orchard.block("Top", "1-4x30", "");
        for name in ["Aroha", "Mele", "Tomasi", "Ines"] {
            orchard.pruner(name);
        }
        for (who, row) in [(0, 1), (1, 2), (2, 3), (0, 4)] {
            orchard.work(who, river, row, (1, 60), 4 + u32::from(row));
        }
        orchard.work(3, top, 1, (1, 30), 12);
        orchard.work(1, top, 2, (1, 20), 15);
        for n in 0..30u16 {
            let d = 5 + u32::from(n) / 2;
            orchard.count(0, (river, 1, 2 * n + 1), d, [8, 8, 8, 0], [2, 3, 4]);
            orchard.count(1, (river, 2, 2 * n + 1), d, [3, 9, 10, 2], [2, 4, 6]);
        }
        for n in 1..=4 {
            orchard.count(2, (river, 3, n), 19, [7, 9, 8, 1], [2, 3, 4]);
        }
        orchard.go_back(1, river, 2, (8, "upright wood left in"), None);
        let mended = Some((Outcome::Mended, 11));
        orchard.go_back(0, river, 1, (7, "thick tops"), mended);
        orchard
    }

    fn id(&mut self) -> Uuid {
        self.next += 1;
        Uuid::from_u128(self.next)
    }

    /// Adds a block; gives its place.
    pub fn block(&mut self, name: &str, rows: &str, missing: &str) -> usize {
        let draft = BlockDraft {
            rootstock: String::new(),
            row_spacing_m: 3.5,
            tree_spacing_m: 1.25,
            ..block_draft(name, rows, missing)
        };
        let block = Block::new(BlockId(self.id()), draft).unwrap();
        self.store.save_block(&block).unwrap();
        self.blocks.push(block);
        self.blocks.len() - 1
    }

    /// Adds a pruner with the next number; gives the place.
    pub fn pruner(&mut self, name: &str) -> usize {
        let draft = pruner_draft(self.pruners.len() as u16 + 1, name);
        let pruner = Pruner::new(PrunerId(self.id()), draft).unwrap();
        self.store.save_pruner(&pruner).unwrap();
        self.pruners.push(pruner);
        self.pruners.len() - 1
    }

    /// Logs the trees `first` to `last` of a row.
    pub fn work(&mut self, who: usize, block: usize, row: u16, (first, last): (u16, u16), on: u32) {
        let draft = WorkDraft {
            winter: self.winter.id,
            pruner: self.pruners[who].id,
            block: self.blocks[block].id,
            row,
            first,
            last,
            day: day(on),
            minutes: Some(300),
            how: How::default(),
        };
        let entry = WorkEntry::new(WorkId(self.id()), draft, &self.blocks[block]).unwrap();
        self.store.save_work(&entry).unwrap();
    }

    /// Counts a tree (block, row, place) with pieces by age, and units of the three sizes that vary
    /// around the buds given. Places where no tree stands are passed over.
    pub fn count(
        &mut self,
        who: usize,
        (block, row, tree): (usize, u16, u16),
        on: u32,
        ages: [u32; 4],
        buds: [usize; 3],
    ) {
        let id = CountId(self.id());
        let place = &self.blocks[block];
        if place.check_tree(row, tree).is_err() {
            return;
        }
        let mut tally = Tally {
            ages,
            ..Tally::default()
        };
        // a little different from tree to tree
        tally.ages[usize::from(tree) % 3] += u32::from(tree % 4);
        for (size, buds) in buds.into_iter().enumerate() {
            tally.units[size][(buds + usize::from(tree % 7 == 0)).min(7)] += 2 + size as u32;
        }
        tally.upright = u32::from(tree % 5 == 0);
        let head = CountHead {
            winter: self.winter.id,
            block: place.id,
            row,
            tree,
            pruner: Some(self.pruners[who].id),
            stage: Stage::After,
            part: Part::Whole,
            chosen: if tree % 9 == 0 {
                Chosen::ByEye
            } else {
                Chosen::Drawn
            },
            counter: String::new(),
            at: Stamp::parse_rfc3339(&format!("2027-01-{on:02}T09:{:02}:00+10:00", tree % 60))
                .unwrap(),
            note: String::new(),
            again: false,
        };
        let count = TreeCount {
            id,
            head,
            tally,
            closed: true,
            by_log: None,
            pruned_on: None,
        };
        self.store.add_count(&count).unwrap();
    }

    /// Sends a row back.
    pub fn go_back(
        &mut self,
        who: usize,
        block: usize,
        row: u16,
        (on, reason): (u32, &str),
        settled: Option<(Outcome, u32)>,
    ) {
        let entry = GoBack {
            id: GoBackId(self.id()),
            winter: self.winter.id,
            block: self.blocks[block].id,
            row,
            pruner: self.pruners[who].id,
            day: day(on),
            reason: reason.into(),
            settled: settled.map(|(outcome, on)| Settled {
                outcome,
                day: day(on),
            }),
        };
        self.store.save_go_back(&entry).unwrap();
    }

    /// The program on this file.
    pub fn desk(&self, theme: Theme, size: (u16, u16)) -> Runtime<'_> {
        let start = Start {
            theme: Some(theme),
            today: Some(today()),
            ..Start::default()
        };
        Runtime::new(&self.store, start, size).unwrap()
    }
}

/// What the program draws now.
pub fn drawn(desk: &Runtime) -> (Buffer, HitMap) {
    let (width, height) = desk.model.size;
    let mut buf = Buffer::empty(Rect::new(0, 0, width, height));
    let hits = view(&desk.model, &mut buf);
    (buf, hits)
}

/// The letters that the program draws now, line by line.
pub fn shown(desk: &Runtime) -> String {
    text(&drawn(desk).0)
}

/// The letters of a buffer, line by line.
pub fn text(buf: &Buffer) -> String {
    let line = |cells: &[Cell]| {
        let mut text = String::new();
        let mut hidden = 0;
        for cell in cells {
            if hidden == 0 {
                text.push_str(cell.symbol());
                hidden = crate::tui::text::width(cell.symbol());
            }
            hidden = hidden.saturating_sub(1);
        }
        text.trim_end().to_owned()
    };
    let lines = buf.content.chunks(usize::from(buf.area.width).max(1));
    lines.map(line).collect::<Vec<_>>().join("\n")
}

/// Presses keys.
pub fn press(desk: &mut Runtime, keys: &[Key]) {
    for key in keys {
        desk.take(Event::Key(*key));
    }
}

/// Touches the middle of the place that asks for an action, as it is drawn now.
#[track_caller]
pub fn touch(desk: &mut Runtime, action: Action) {
    let (_, hits) = drawn(desk);
    let mut places = hits.targets().chain(hits.rows());
    let (place, _) = places.find(|(_, asked)| *asked == action).unwrap();
    let (x, y) = (place.x + place.width / 2, place.y + place.height / 2);
    let hit = hits.at(x, y).unwrap();
    assert_eq!(hit, action, "something lies over it");
    desk.take(Event::Act(hit));
}
