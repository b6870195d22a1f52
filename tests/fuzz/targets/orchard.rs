//! An invented orchard in memory, made once a thread; what a run does to it is taken back.

use std::collections::BTreeMap;

use chrono::{Days, NaiveDate};
use thirdwood::orchard::*;
use thirdwood::store::bundle::{Since, TakeIn};
use thirdwood::store::{Setting, Store, StoreError};
use uuid::Uuid;

use super::drafts::{block_draft, pruner_draft};

thread_local! {
    static FULL: Store = {
        let store = Store::in_memory().unwrap();
        fill(&store);
        store
    };
    static EMPTY: Store = Store::in_memory().unwrap();
}

enum Over {
    TakenBack,
    Failed(StoreError),
}

impl From<StoreError> for Over {
    fn from(error: StoreError) -> Self {
        Self::Failed(error)
    }
}

fn with(store: &Store, work: impl FnOnce(&Store)) {
    let over = store.atomically(|store| {
        work(store);
        Err::<(), _>(Over::TakenBack)
    });
    if let Err(Over::Failed(error)) = over {
        panic!("{error}");
    }
}

/// Works on the orchard, and takes back all that was done to it.
pub fn scratch(work: impl FnOnce(&Store)) {
    FULL.with(|store| with(store, work));
}

/// The same with a file in which nothing is.
pub fn emptied(work: impl FnOnce(&Store)) {
    EMPTY.with(|store| with(store, work));
}

/// The day of all runs.
pub fn today() -> NaiveDate {
    NaiveDate::from_ymd_opt(2027, 1, 12).unwrap()
}

/// The moment of all runs.
pub fn now() -> Stamp {
    Stamp::parse_rfc3339("2027-01-12T09:30:00+10:00").unwrap()
}

const fn id(n: u128) -> Uuid {
    Uuid::from_u128(n)
}

pub const BLOCK: BlockId = BlockId(id(1));
pub const WINTER: WinterId = WinterId(id(2));
pub const DRAW: DrawId = DrawId(id(3));
pub const PRUNER: PrunerId = PrunerId(id(4));
pub const WORK: WorkId = WorkId(id(200));
pub const COUNT: CountId = CountId(id(300));
pub const OPEN: CountId = CountId(id(310));
pub const GO_BACK: GoBackId = GoBackId(id(400));

fn fill(store: &Store) {
    let block = block();
    store.save_block(&block).unwrap();
    let winter = WinterDraft {
        label: "2026/27".into(),
        start: today() - Days::new(20),
        budburst: today() + Days::new(60),
        block_budburst: BTreeMap::from([(BLOCK, today() + Days::new(55))]),
    };
    store
        .save_winter(&Winter::new(WINTER, winter).unwrap())
        .unwrap();
    for (at, name, language) in [(PRUNER, "Ana", "es"), (PrunerId(id(5)), "=Ben", "")] {
        let draft = PrunerDraft {
            label: "red".into(),
            language: language.into(),
            ..pruner_draft(at.0.as_u128() as u16, name)
        };
        store.save_pruner(&Pruner::new(at, draft).unwrap()).unwrap();
    }
    store.save_rule(WINTER, None, &Rule::default()).unwrap();
    store.set(Setting::Orchard, "Invented").unwrap();
    work(store, &block);
    counts(store);
    second_tablet(store);
}

/// Another tablet noted otherwise of one count and entered a pruner under a number that was given here too.
fn second_tablet(store: &Store) {
    let other = Store::in_memory().unwrap();
    let hand = |from: &Store, to: &Store| {
        let all = from.parcel(&Since::Beginning).unwrap();
        to.take_in(&all, TakeIn::default(), &mut |_| true).unwrap();
    };
    hand(store, &other);
    for (tablet, n, note) in [(store, 70, "dry"), (&other, 71, "frost")] {
        let mut head = tablet.count(COUNT).unwrap().unwrap().head;
        head.note = note.into();
        tablet.change_head(COUNT, &head).unwrap();
        let draft = pruner_draft(7, note);
        let twin = Pruner::new(PrunerId(id(n)), draft).unwrap();
        tablet.save_pruner(&twin).unwrap();
    }
    hand(&other, store);
}

fn block() -> Block {
    let draft = BlockDraft {
        stems: 6,
        sides: Sides::TwoSided,
        lean_deg: 15.0,
        ..block_draft("River", "1-6x50", "2:7-9")
    };
    Block::new(BLOCK, draft).unwrap()
}

fn work(store: &Store, block: &Block) {
    for (pruner, row) in [(PRUNER, 1), (PrunerId(id(5)), 2)] {
        let work = WorkDraft {
            winter: WINTER,
            pruner,
            block: BLOCK,
            row,
            first: 1,
            last: 50,
            day: today(),
            minutes: Some(480),
            how: How::default(),
        };
        let at = WorkId(id(199 + u128::from(row)));
        store
            .save_work(&WorkEntry::new(at, work, block).unwrap())
            .unwrap();
    }
    let tree = |tree, fate| DrawnTree {
        runs: None,
        block: BLOCK,
        row: 1,
        tree,
        pruner: PRUNER,
        fate,
    };
    let draw = Draw {
        id: DRAW,
        winter: WINTER,
        day: today(),
        since: today(),
        until: today(),
        seed: 5,
        trees: vec![
            tree(4, Fate::Waiting),
            tree(21, Fate::Waiting),
            tree(38, Fate::Waiting),
        ],
    };
    store.add_draw(&draw).unwrap();
    store.skip_drawn(DRAW, 2, Some("a nest in it")).unwrap();
    let back = GoBack {
        id: GO_BACK,
        winter: WINTER,
        block: BLOCK,
        row: 2,
        pruner: PRUNER,
        day: today(),
        reason: "thick wood in the top".into(),
        settled: None,
    };
    store.save_go_back(&back.check(block).unwrap()).unwrap();
}

fn counts(store: &Store) {
    let unit = |size: usize, buds| Tap::TwoYear(Size::ALL[size], Buds::new(buds).unwrap());
    for (count, tree, closed) in [
        (COUNT, 4, true),
        (CountId(id(301)), 9, true),
        (OPEN, 21, false),
    ] {
        let head = CountHead {
            winter: WINTER,
            block: BLOCK,
            row: 1,
            tree,
            pruner: Some(PRUNER),
            stage: Stage::After,
            part: Part::Whole,
            chosen: if tree == 9 {
                Chosen::ByEye
            } else {
                Chosen::Drawn
            },
            counter: "Sina".into(),
            at: now(),
            note: "wet".into(),
            again: false,
        };
        store.begin_count(count, &head).unwrap();
        for age in Age::ALL {
            store.tap(count, None, Tap::Piece(age)).unwrap();
        }
        store
            .tap(count, None, unit(usize::from(tree) % 3, 3))
            .unwrap();
        store.close_count(count, closed).unwrap();
    }
}
