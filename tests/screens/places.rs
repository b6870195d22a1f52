//! Every place of the program: screens, what is opened from them, forms, questions, help.

use std::collections::BTreeMap;

use thirdwood::orchard::*;
use thirdwood::store::{Setting, Store};
use thirdwood::tui::app::Event;
use thirdwood::tui::runtime::Runtime;
use thirdwood::tui::{Action, Key, Screen};
use uuid::Uuid;

use crate::drafts::{block_draft, pruner_draft};
use crate::{desk, today};

/// A place by name, and the way to it.
pub struct Place {
    pub name: String,
    pub screen: Screen,
    way: Vec<Event>,
}

impl Place {
    pub fn new(name: impl Into<String>, screen: Screen, way: &[Event]) -> Self {
        let mut whole = vec![Event::Act(Action::Go(screen))];
        whole.extend_from_slice(way);
        Self {
            name: name.into(),
            screen,
            way: whole,
        }
    }

    /// The program at this place.
    pub fn open<'s>(&self, store: &'s Store, size: (u16, u16)) -> Runtime<'s> {
        let mut desk = desk(store, size);
        for event in &self.way {
            desk.take(event.clone());
        }
        desk
    }
}

fn key(c: char) -> Event {
    Event::Key(Key::Char(c))
}

const HELP: Event = Event::Key(Key::F(1));
const OPEN: Event = Event::Key(Key::Enter);
const RIGHT: Event = Event::Key(Key::Right);

/// All of them.
pub fn all() -> Vec<Place> {
    let mut places = Vec::new();
    let mut add = |name: String, screen, way: &[Event]| places.push(Place::new(name, screen, way));
    for screen in Screen::ALL {
        let name = screen.title();
        add(name.to_owned(), screen, &[]);
        add(format!("{name} help"), screen, &[HELP]);
    }
    for (screen, keys) in [
        (Screen::Today, "wdas"),
        (Screen::Count, "1567"),
        (Screen::Crew, "ps"),
        (Screen::Blocks, "pg"),
        (Screen::Winter, "r"),
    ] {
        for c in keys.chars() {
            add(format!("{} {c}", screen.title()), screen, &[key(c)]);
        }
    }
    add("Count skip".into(), Screen::Count, &[OPEN, key('0')]);
    for screen in [Screen::Crew, Screen::Blocks] {
        let name = screen.title();
        for part in 0..7 {
            let mut way = vec![OPEN];
            way.extend(vec![RIGHT; part]);
            add(format!("{name} part {part}"), screen, &way);
        }
        add(format!("{name} opened, help"), screen, &[OPEN, HELP]);
        add(
            format!("{name} opened, period"),
            screen,
            &[OPEN, key('p'), key('p')],
        );
    }
    add("Crew opened, sheet".into(), Screen::Crew, &[OPEN, key('s')]);
    for section in 0..9 {
        let go = Event::Act(Action::Section(section));
        add(
            format!("Set-up {section}"),
            Screen::SetUp,
            std::slice::from_ref(&go),
        );
        for c in ['n', 'e', 'x'] {
            add(
                format!("Set-up {section} {c}"),
                Screen::SetUp,
                &[go.clone(), key(c)],
            );
        }
        add(format!("Set-up {section} open"), Screen::SetUp, &[go, OPEN]);
    }
    places
}

/// Names of every kind that a name may have: as long as may be, and of scripts that are wide, run
/// from right to left, or stand on top of each other.
pub fn names() -> Vec<String> {
    vec![
        "The long narrow strip behind the old packing shed by the mil".to_owned(),
        "梨の木の畑の古い小屋の後ろ".repeat(4),
        "بستان الإجاص القديم خلف المخزن".to_owned(),
        "Z\u{0335}a\u{0301}\u{0323}l\u{0302}g\u{0308}o\u{0303} \u{0e01}\u{0e33}\u{0e41}\u{0e1e}\u{0e07} क्षेत्र".to_owned(),
        "👩‍🌾 family 👨‍👩‍👧‍👦 🇳🇿 ✂️".to_owned(),
    ]
}

/// An orchard in which every block and pruner has such a name.
pub fn odd_names() -> Store {
    let store = Store::in_memory().unwrap();
    store.set(Setting::Orchard, &names()[0]).unwrap();
    store.set(Setting::Extras, "yes").unwrap();
    let draft = WinterDraft {
        label: names()[3].clone(),
        start: today() - chrono::Days::new(20),
        budburst: today() + chrono::Days::new(60),
        block_budburst: BTreeMap::new(),
    };
    let winter = Winter::new(WinterId(Uuid::from_u128(1)), draft).unwrap();
    store.save_winter(&winter).unwrap();
    for (name, n) in names().iter().zip(1u16..) {
        orchard_of(&store, &winter, name, n);
    }
    store
}

fn orchard_of(store: &Store, winter: &Winter, name: &str, n: u16) {
    let id = |kind: u128| Uuid::from_u128(kind * 1000 + u128::from(n));
    let draft = BlockDraft {
        variety: name.to_owned(),
        rootstock: name.to_owned(),
        stems: 6,
        sides: Sides::TwoSided,
        lean_deg: 15.0,
        ..block_draft(name, "1-6x50", "2:7-9")
    };
    let block = Block::new(BlockId(id(1)), draft).unwrap();
    store.save_block(&block).unwrap();
    let draft = pruner_draft(n * 1111, name);
    let pruner = Pruner::new(PrunerId(id(2)), draft).unwrap();
    store.save_pruner(&pruner).unwrap();
    let work = WorkDraft {
        winter: winter.id,
        pruner: pruner.id,
        block: block.id,
        row: 1,
        first: 1,
        last: 50,
        day: today(),
        minutes: Some(480),
        how: How::default(),
    };
    let work = WorkEntry::new(WorkId(id(3)), work, &block).unwrap();
    store.save_work(&work).unwrap();
    let tree = |tree| DrawnTree {
        runs: None,
        block: block.id,
        row: 1,
        tree,
        pruner: pruner.id,
        fate: Fate::Waiting,
    };
    let draw = Draw {
        id: DrawId(id(4)),
        winter: winter.id,
        day: today(),
        since: today(),
        until: today(),
        seed: 5,
        trees: [4, 7, 21, 38].map(tree).to_vec(),
    };
    store.add_draw(&draw).unwrap();
    let entry = GoBack {
        id: GoBackId(id(5)),
        winter: winter.id,
        block: block.id,
        row: 1,
        pruner: pruner.id,
        day: today(),
        reason: name.repeat(3),
        settled: None,
    };
    store.save_go_back(&entry.check(&block).unwrap()).unwrap();
    for tree in [4, 7] {
        count(store, winter, &block, &pruner, tree);
    }
}

/// A closed count, and an open one on the next tree.
fn count(store: &Store, winter: &Winter, block: &Block, pruner: &Pruner, tree: u16) {
    let head = CountHead {
        winter: winter.id,
        block: block.id,
        row: 1,
        tree,
        pruner: Some(pruner.id),
        stage: Stage::After,
        part: Part::Stems(2),
        chosen: Chosen::Drawn,
        counter: block.name.clone(),
        at: Stamp::parse_rfc3339("2027-01-12T09:30:00+10:00").unwrap(),
        note: block.name.repeat(3),
        again: false,
    };
    let number = u128::from(pruner.number) * 100 + u128::from(tree);
    let mut tally = Tally {
        ages: [5, 4, 3, 1],
        upright: 2,
        thick_top: 1,
        ..Tally::default()
    };
    tally.units[0][2] = 4;
    tally.units[2][7] = 12;
    let count = TreeCount {
        id: CountId(Uuid::from_u128(number)),
        head,
        tally,
        closed: tree == 4,
        by_log: None,
        pruned_on: None,
    };
    store.add_count(&count).unwrap();
}
