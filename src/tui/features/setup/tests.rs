//! What the Set-up screen does by keys, down to the file.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

use super::Section;
use crate::orchard::{BlockId, Pruner, PrunerId};
use crate::store::{CountFilter, Setting, Store};
use crate::tui::app::{Event, Layer, Model, view};
use crate::tui::runtime::Runtime;
use crate::tui::trial::{fill_store, start};
use crate::tui::{HitMap, Key, Screen, text};

/// One tablet at work; every key is followed by a look at the whole screen.
pub(super) struct Hand<'s> {
    pub desk: Runtime<'s>,
    pub store: &'s Store,
}

impl<'s> Hand<'s> {
    pub fn new(store: &'s Store) -> Self {
        let desk = Runtime::new(store, start(), (80, 24)).unwrap();
        Self { desk, store }
    }

    pub fn press(&mut self, key: Key) {
        self.desk.take(Event::Key(key));
        let hits = look(&self.desk.model);
        assert_eq!(hits.too_small(), []);
        if let Some(message) = &self.desk.model.message {
            assert!(text::width(&message.words) <= 80, "{}", message.words);
        }
    }

    pub fn keys(&mut self, keys: &[Key]) {
        for key in keys {
            self.press(*key);
        }
    }

    /// Types a value and goes to the next field.
    pub fn fill(&mut self, values: &[&str]) {
        for value in values {
            for letter in value.chars() {
                self.press(Key::Char(letter));
            }
            self.press(Key::Down);
        }
    }

    pub fn save(&mut self) {
        self.press(Key::Ctrl('s'));
        assert!(
            self.desk.model.layers.is_empty(),
            "{:?}",
            self.desk.model.layers
        );
    }

    pub fn go(&mut self, section: Section) {
        self.press(Key::F(8));
        for _ in 0..Section::ALL.len() {
            if self.desk.model.setup.section() == section {
                return;
            }
            self.press(Key::Right);
        }
        panic!("{section:?} is not reached");
    }

    pub fn message(&self) -> &str {
        self.desk.model.message.as_ref().map_or("", |m| &m.words)
    }
}

/// Draws the whole program, and gives what can be touched.
pub(super) fn look(model: &Model) -> HitMap {
    let (width, height) = model.size;
    view(model, &mut Buffer::empty(Rect::new(0, 0, width, height)))
}

fn steps_done(model: &Model) -> Vec<bool> {
    super::guide::steps(model).iter().map(|s| s.done).collect()
}

#[test]
fn an_orchard_is_set_up_from_nothing_and_counted_by_keys_alone() {
    let store = Store::in_memory().unwrap();
    let mut hand = Hand::new(&store);
    assert_eq!(hand.desk.model.screen, Screen::SetUp);
    assert!(super::guide::is_shown(&hand.desk.model));

    hand.keys(&[Key::Char('n'), Key::Enter, Key::Enter, Key::Enter]);
    assert_eq!(store.winters().unwrap()[0].label, "2027");
    assert!(
        hand.message().contains("next the blocks"),
        "{}",
        hand.message()
    );

    hand.keys(&[Key::Right, Key::Char('n')]);
    hand.fill(&["River 梨", "Conference", "", "2012", "4,0", "1.5"]);
    hand.keys(&[Key::Backspace]);
    hand.fill(&["6", "two", "", "1-4x50", "2:7"]);
    let Some(Layer::Form(form, _)) = hand.desk.model.layers.last() else {
        panic!("the form is closed");
    };
    let summary = form.summary.as_deref().unwrap();
    assert!(
        summary.starts_with("1667 trees/ha") && summary.contains("0.50 m"),
        "{summary}"
    );
    hand.save();
    let block = store.blocks().unwrap().remove(0);
    assert_eq!((block.name.as_str(), block.stems), ("River 梨", 6));
    assert_eq!(block.rows.trees(), 199);
    assert!(
        hand.message().contains("next the crew"),
        "{}",
        hand.message()
    );

    hand.press(Key::Right);
    for name in ["Aroha", "Zoë"] {
        hand.press(Key::Char('n'));
        hand.fill(&["", name]);
        hand.save();
    }
    let crew: Vec<_> = store.pruners().unwrap().iter().map(Pruner::shown).collect();
    assert_eq!(crew, ["Nr 1 Aroha", "Nr 2 Zoë"]);
    assert!(
        hand.message().contains("Log work (w)"),
        "{}",
        hand.message()
    );
    assert_eq!(
        steps_done(&hand.desk.model),
        [true, true, true, false, false, false]
    );

    hand.keys(&[Key::F(2), Key::Char('w')]);
    hand.fill(&["", "", "3"]);
    hand.save();
    hand.keys(&[Key::Char('d'), Key::Ctrl('s'), Key::F(3)]);
    hand.keys(&[Key::Char('1'), Key::Char('2'), Key::Char('s'), Key::Enter]);
    assert_eq!(steps_done(&hand.desk.model), [true; 6]);
    assert!(!super::guide::is_shown(&hand.desk.model));
    let winter = store.winters().unwrap()[0].id;
    assert_eq!(store.counts(CountFilter::Winter(winter)).unwrap().len(), 1);
}

#[test]
fn what_is_wrong_is_said_beside_the_field_as_it_is_typed() {
    let store = Store::in_memory().unwrap();
    let mut hand = Hand::new(&store);
    hand.go(Section::Blocks);
    hand.press(Key::Char('n'));
    hand.fill(&["River", "", "", "12"]);
    let error = |hand: &Hand, key: &str| {
        let Some(Layer::Form(form, _)) = hand.desk.model.layers.last() else {
            panic!("the form is closed");
        };
        let field = form.fields.iter().find(|field| field.key == key).unwrap();
        field.error.clone()
    };
    assert!(error(&hand, "planted").unwrap().contains("1850 to 2199"));
    assert_eq!(error(&hand, "rows"), None, "not visited yet");
    hand.press(Key::Ctrl('s'));
    assert!(store.blocks().unwrap().is_empty());
    assert!(error(&hand, "planted").is_some());
}

#[test]
fn entries_are_changed_and_removed() {
    let store = Store::in_memory().unwrap();
    fill_store(&store);
    let mut hand = Hand::new(&store);
    hand.go(Section::Blocks);
    hand.press(Key::Char('e'));
    hand.press(Key::End);
    hand.fill(&[" East"]);
    hand.save();
    assert_eq!(store.blocks().unwrap()[0].name, "River East");

    // in use: asked, refused, and told why
    hand.press(Key::Char('x'));
    assert!(matches!(
        hand.desk.model.layers.last(),
        Some(Layer::Question(_))
    ));
    hand.press(Key::Enter);
    assert_eq!(store.blocks().unwrap().len(), 2);
    assert!(
        hand.message().contains("cannot be removed"),
        "{}",
        hand.message()
    );
    // not in use, but no
    hand.keys(&[Key::Down, Key::Char('x'), Key::Esc]);
    assert_eq!(store.blocks().unwrap().len(), 2);
    hand.keys(&[Key::Char('x'), Key::Char('y')]);
    assert_eq!(store.blocks().unwrap().len(), 1);

    hand.go(Section::Crew);
    hand.keys(&[Key::Char('x'), Key::Enter]);
    assert!(hand.message().contains("not active"), "{}", hand.message());
    hand.keys(&[Key::End, Key::Char('x'), Key::Enter]);
    assert_eq!(store.pruners().unwrap().len(), 2);

    hand.go(Section::Work);
    hand.keys(&[Key::Char('x'), Key::Enter]);
    assert!(hand.desk.model.season.as_ref().unwrap().work.is_empty());
    assert_eq!(hand.message(), "removed; the figures follow");
    hand.go(Section::GoBacks);
    hand.keys(&[Key::Char('x'), Key::Enter]);
    assert!(hand.desk.model.season.as_ref().unwrap().go_backs.is_empty());
    hand.keys(&[Key::Char('n')]);
    hand.fill(&["", "", "3", "", "old", "tops"]);
    hand.save();
    assert_eq!(hand.desk.model.season.as_ref().unwrap().go_backs[0].row, 3);
}

#[test]
fn winters_are_looked_at_one_by_one() {
    let store = Store::in_memory().unwrap();
    fill_store(&store);
    let mut hand = Hand::new(&store);
    let looked_at = |hand: &Hand| {
        hand.desk
            .model
            .season
            .as_ref()
            .unwrap()
            .winter
            .label
            .clone()
    };
    hand.go(Section::Winters);
    assert_eq!(looked_at(&hand), "2026/27");
    hand.keys(&[Key::Down, Key::Enter]);
    assert_eq!(looked_at(&hand), "2025/26");
    hand.keys(&[Key::Char('x'), Key::Enter]);
    assert_eq!(looked_at(&hand), "2026/27", "the one looked at is gone");
    hand.keys(&[Key::Home, Key::Char('x'), Key::Enter]);
    assert!(
        hand.message().contains("cannot be removed"),
        "{}",
        hand.message()
    );

    let river = BlockId(uuid::Uuid::from_u128(3));
    hand.keys(&[Key::Down, Key::Enter]);
    hand.fill(&["2027-03-01"]);
    hand.save();
    let own = |store: &Store| store.winters().unwrap()[0].deadline(river).to_string();
    assert_eq!(own(&store), "2027-03-01");
    hand.keys(&[Key::Char('x'), Key::Enter]);
    assert_eq!(own(&store), "2027-03-25");
    hand.press(Key::Char('x'));
    assert!(hand.message().contains("no day of its own"));
}

#[test]
fn a_block_has_a_rule_of_its_own_until_it_is_taken_away() {
    let store = Store::in_memory().unwrap();
    fill_store(&store);
    let mut hand = Hand::new(&store);
    hand.go(Section::Rules);
    hand.press(Key::Char('n'));
    assert!(
        hand.message().contains("select a block"),
        "{}",
        hand.message()
    );
    hand.keys(&[Key::Down, Key::Char('n'), Key::Down]);
    for _ in 0..7 {
        hand.press(Key::Backspace);
    }
    hand.fill(&["2 2 1 0"]);
    hand.save();
    let winter = hand.desk.model.season.as_ref().unwrap().winter.id;
    let own = |store: &Store| store.rules(winter).unwrap().by_block;
    assert_eq!(own(&store).len(), 1);
    hand.keys(&[Key::Char('x'), Key::Enter]);
    assert!(own(&store).is_empty());
    hand.press(Key::Char('x'));
    assert!(hand.message().contains("no rule of its own"));
}

#[test]
fn settings_are_changed_where_they_are_selected() {
    let store = Store::in_memory().unwrap();
    let mut hand = Hand::new(&store);
    hand.go(Section::Settings);
    hand.keys(&[Key::Down, Key::Enter]);
    hand.fill(&["Sina", "azerty"]);
    hand.save();
    assert_eq!(
        store.setting(Setting::Counter).unwrap().as_deref(),
        Some("Sina")
    );
    assert_eq!(hand.desk.model.look.bud_keys.word(), "azerty");
    assert_eq!(
        store.setting(Setting::Orchard).unwrap(),
        None,
        "not touched"
    );
    hand.press(Key::Char('x'));
    assert!(hand.message().contains("Edit (e)"));
}

#[test]
fn the_last_pruner_made_is_selected() {
    let store = Store::in_memory().unwrap();
    fill_store(&store);
    let mut hand = Hand::new(&store);
    hand.go(Section::Crew);
    hand.press(Key::Char('n'));
    for _ in 0..2 {
        hand.press(Key::Backspace);
    }
    hand.fill(&["1", "New"]);
    hand.save();
    let line = super::lines::selected(&hand.desk.model);
    let newest = store.pruners().unwrap().remove(0);
    assert_eq!(line, Some(super::lines::Line::Pruner(newest.id)));
    assert_ne!(newest.id, PrunerId(uuid::Uuid::from_u128(5)));
}

#[test]
fn a_tree_in_hand_does_not_follow_into_another_winter() {
    let store = Store::in_memory().unwrap();
    fill_store(&store);
    let mut hand = Hand::new(&store);
    hand.go(Section::Counts);
    hand.press(Key::Char('n'));
    hand.fill(&["", "2", "20"]);
    hand.save();
    assert_eq!(hand.desk.model.screen, Screen::Count);
    assert_eq!(hand.desk.model.count.place().unwrap().tree, 20);
    hand.go(Section::Winters);
    hand.keys(&[Key::Down, Key::Enter, Key::F(3), Key::Char('1')]);
    assert!(hand.desk.model.count.place().is_none());
    let old = hand.desk.model.house.winters[0].id;
    assert!(store.counts(CountFilter::Winter(old)).unwrap().is_empty());
}
