//! An invented orchard for the tests of forms and screens, and hands that fill in forms.

use chrono::NaiveDate;
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use uuid::Uuid;

use crate::drafts::{block_draft, pruner_draft};
use crate::orchard::{
    Age, Block, BlockDraft, BlockId, Chosen, CountHead, CountId, Draw, DrawId, DrawnTree, Fate,
    GoBack, GoBackId, How, Invalid, Part, Pruner, PrunerDraft, PrunerId, Stage, Stamp, Tap, Winter,
    WinterDraft, WinterId, WorkDraft, WorkEntry, WorkId,
};
use crate::store::{Change, Store, Thing};
use crate::tui::app::{Event, FormKind, Layer, Look, Model, Moment, view};
use crate::tui::forms::{self, Reading};
use crate::tui::runtime::{Runtime, Start};
use crate::tui::{Form, Key, Theme};

/// The day of all trials.
pub fn today() -> NaiveDate {
    NaiveDate::from_ymd_opt(2027, 1, 12).unwrap()
}

pub fn start() -> Start {
    Start {
        theme: Some(Theme::Plain),
        few_colours: false,
        round: false,
        today: Some(today()),
    }
}

pub fn moment() -> Moment {
    Moment {
        now: Stamp::parse_rfc3339("2027-01-12T09:30:00+10:00").unwrap(),
        id: Uuid::from_u128(0xfeed),
    }
}

/// What the screens know of an empty file.
pub fn model() -> Model {
    Model::new(moment().now, (80, 24), Look::default())
}

/// What the screens know of the invented orchard.
pub fn orchard() -> Model {
    desk(&Store::in_memory().unwrap()).model
}

/// The program on that orchard in a file of its own.
pub fn desk(store: &Store) -> Runtime<'_> {
    fill_store(store);
    Runtime::new(store, start(), (80, 24)).unwrap()
}

/// Presses keys.
pub fn keys(desk: &mut Runtime<'_>, keys: &[Key]) {
    for key in keys {
        desk.take(Event::Key(*key));
    }
}

/// The form that is open.
pub fn open_form<'d>(desk: &'d mut Runtime<'_>) -> &'d mut Form {
    match desk.model.layers.last_mut() {
        Some(Layer::Form(form, _)) => form,
        other => panic!("no form but {other:?}: {:?}", desk.model.message),
    }
}

/// The letters on the screen.
pub fn shown(desk: &Runtime<'_>) -> String {
    let mut buf = Buffer::empty(Rect::new(0, 0, 80, 24));
    view(&desk.model, &mut buf);
    let line = |y| (0..80).map(|x| buf[(x, y)].symbol()).collect::<String>();
    (0..24).map(line).collect::<Vec<_>>().join("\n")
}

pub fn crew_of(numbers: &[u16]) -> Vec<Pruner> {
    let pruner = |number: &u16| {
        let draft = pruner_draft(*number, &format!("Name {number}"));
        Pruner::new(PrunerId(Uuid::from_u128(u128::from(*number))), draft).unwrap()
    };
    numbers.iter().map(pruner).collect()
}

fn block(id: u128, name: &str, rows: &str, stems: u8) -> Block {
    let draft = BlockDraft {
        rootstock: "Quince C".to_owned(),
        planted: Some(2012),
        stems,
        ..block_draft(name, rows, "1:3")
    };
    Block::new(BlockId(Uuid::from_u128(id)), draft).unwrap()
}

fn pruner(id: u128, number: u16, name: &str) -> Pruner {
    let draft = PrunerDraft {
        number_only: number == 9,
        ..pruner_draft(number, name)
    };
    Pruner::new(PrunerId(Uuid::from_u128(id)), draft).unwrap()
}

const WINTER: WinterId = WinterId(Uuid::from_u128(1));

/// Two blocks, three pruners, two winters, work, a draw, a count and a row sent back.
pub fn fill_store(store: &Store) {
    let day = |text: &str| text.parse::<NaiveDate>().unwrap();
    for (id, label, start, budburst) in [
        (1, "2026/27", "2026-11-20", "2027-03-25"),
        (2, "2025/26", "2025-11-18", "2026-03-28"),
    ] {
        let draft = WinterDraft {
            label: label.to_owned(),
            start: day(start),
            budburst: day(budburst),
            block_budburst: std::collections::BTreeMap::new(),
        };
        let winter = Winter::new(WinterId(Uuid::from_u128(id)), draft).unwrap();
        store.save_winter(&winter).unwrap();
    }
    let river = block(3, "River", "1-4x50", 4);
    store.save_block(&river).unwrap();
    let far = block(
        4,
        "梨の木の畑 behind the old packing shed, lower terrace",
        "1x20",
        1,
    );
    store.save_block(&far).unwrap();
    for pruner in [
        pruner(5, 7, "Aroha"),
        pruner(
            6,
            8,
            "Wilhelmina Featherstonehaugh-Vandenberghe of the Terrace",
        ),
        pruner(7, 9, "Not shown"),
    ] {
        store.save_pruner(&pruner).unwrap();
    }
    work_and_counts(store, &river);
}

fn work_and_counts(store: &Store, river: &Block) {
    let aroha = PrunerId(Uuid::from_u128(5));
    let work = WorkDraft {
        winter: WINTER,
        pruner: aroha,
        block: river.id,
        row: 2,
        first: 1,
        last: 50,
        day: today(),
        minutes: Some(450),
        how: How::default(),
    };
    let work = WorkEntry::new(WorkId(Uuid::from_u128(8)), work, river).unwrap();
    store.save_work(&work).unwrap();
    let tree = |tree| DrawnTree {
        runs: None,
        block: river.id,
        row: 2,
        tree,
        pruner: aroha,
        fate: Fate::Waiting,
    };
    let draw = Draw {
        id: DrawId(Uuid::from_u128(9)),
        winter: WINTER,
        day: today(),
        since: today(),
        until: today(),
        seed: 1,
        trees: vec![tree(4), tree(15), tree(30)],
    };
    store.add_draw(&draw).unwrap();
    let head = CountHead {
        winter: WINTER,
        block: river.id,
        row: 2,
        tree: 4,
        pruner: Some(aroha),
        stage: Stage::After,
        part: Part::Whole,
        chosen: Chosen::Drawn,
        counter: String::new(),
        at: moment().now,
        note: String::new(),
        again: false,
    };
    let count = CountId(Uuid::from_u128(10));
    store.tap(count, Some(&head), Tap::Piece(Age::One)).unwrap();
    store.tap(count, None, Tap::Piece(Age::Two)).unwrap();
    store.close_count(count, true).unwrap();
    let entry = GoBack {
        id: GoBackId(Uuid::from_u128(11)),
        winter: WINTER,
        block: river.id,
        row: 2,
        pruner: aroha,
        day: today(),
        reason: "thick tops left in".to_owned(),
        settled: None,
    };
    store.save_go_back(&entry.check(river).unwrap()).unwrap();
}

/// Fills in fields by their names.
pub fn fill(form: &mut Form, values: &[(&str, &str)]) {
    for (key, value) in values {
        if let Some(field) = form.fields.iter_mut().find(|field| field.key == *key) {
            field.set_value(value);
        }
    }
}

/// What saving a form would save.
pub fn saved(model: &Model, form: &Form, job: FormKind) -> Thing {
    match forms::read(model, form, job, moment()).unwrap() {
        Reading::Write(changes) => match changes.into_iter().next() {
            Some(Change::Save(thing)) => *thing,
            other => panic!("saves nothing: {other:?}"),
        },
        other => panic!("saves nothing: {other:?}"),
    }
}

/// Why a form is refused.
pub fn refusal(model: &Model, form: &Form, job: FormKind) -> Invalid {
    let faults = forms::read(model, form, job, moment()).unwrap_err();
    let place = |fault: &Invalid| {
        form.fields
            .iter()
            .position(|field| field.key == fault.field)
    };
    let highest = faults
        .iter()
        .min_by_key(|fault| place(fault).unwrap_or(usize::MAX));
    highest.unwrap().clone()
}
