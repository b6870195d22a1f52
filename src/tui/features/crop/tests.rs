use super::Part;
use super::brief::Number;
use super::entries::{Entry, lines};
use crate::outlook::{FactorKind, Target};
use crate::tui::app::{Effect, Event, Layer, Moment, update};
use crate::tui::features::testing::{Orchard, drawn, press, shown, touch};
use crate::tui::runtime::Runtime;
use crate::tui::trial::fill;
use crate::tui::{Action, Key, Screen, Theme};
use insta::assert_snapshot;

const SIZES: [(u16, u16); 2] = [(80, 24), (120, 40)];

/// The usual orchard with an aim on its first block, by name: River.
fn orchard() -> Orchard {
    let orchard = Orchard::usual();
    let aim = Some(Target::TonnesPerHa(50.0));
    let (winter, block) = (orchard.winter.id, orchard.blocks[0].id);
    orchard.store.save_aim(winter, block, aim).unwrap();
    orchard
}

fn at(desk: &mut Runtime, part: Part) {
    press(desk, &[Key::F(7), Key::Enter]);
    for _ in 0..part as usize {
        press(desk, &[Key::Right]);
    }
}

#[test]
fn every_part_is_shown_and_can_be_touched() {
    let orchard = orchard();
    for size in SIZES {
        for theme in Theme::ALL {
            let mut desk = orchard.desk(theme, size);
            press(&mut desk, &[Key::F(7)]);
            assert_eq!(drawn(&desk).1.too_small(), []);
            for part in Part::ALL {
                at(&mut desk, part);
                assert_eq!(drawn(&desk).1.too_small(), [], "{part:?} at {size:?}");
            }
        }
    }
}

#[test]
fn the_screen_at_both_sizes() {
    let orchard = orchard();
    for size in SIZES {
        let mut desk = orchard.desk(Theme::Plain, size);
        press(&mut desk, &[Key::F(7)]);
        assert_snapshot!(format!("list_{}", size.0), shown(&desk));
        for part in Part::ALL {
            at(&mut desk, part);
            assert_snapshot!(format!("{part:?}_{}", size.0), shown(&desk));
        }
    }
}

#[test]
fn without_a_winter_and_at_odd_sizes_nothing_breaks() {
    let orchard = orchard();
    for size in [(80, 24), (81, 25), (200, 24), (80, 90)] {
        let mut desk = orchard.desk(Theme::Plain, size);
        for part in Part::ALL {
            at(&mut desk, part);
            shown(&desk);
        }
    }
    let store = crate::store::Store::in_memory().unwrap();
    let mut desk = Runtime::new(&store, crate::tui::trial::start(), (80, 24)).unwrap();
    press(&mut desk, &[Key::F(7), Key::Enter, Key::Char('n')]);
    assert!(shown(&desk).contains("No winter is set up yet"));
}

#[test]
fn a_number_is_changed_in_place_and_stored_only_when_kept() {
    let orchard = orchard();
    let mut desk = orchard.desk(Theme::Plain, (80, 24));
    at(&mut desk, Part::Brief);
    let fruit = |desk: &Runtime| {
        let opened = desk.model.outlook.open.as_ref().unwrap();
        opened.brief.as_ref().unwrap().brief.unwrap().tree.fruit
    };
    let stored = || {
        let book = orchard.store.crop_book(orchard.winter.id).unwrap();
        book.of(orchard.blocks[0].id)
    };
    let before = fruit(&desk);
    touch(&mut desk, Action::Choose(1));
    assert!((fruit(&desk) / before - 51.0 / 50.0).abs() < 1e-9);
    assert!(shown(&desk).contains("taken here, not stored"));
    assert_eq!(stored().aim, Some(Target::TonnesPerHa(50.0)));
    press(&mut desk, &[Key::Backspace]);
    assert!((fruit(&desk) - before).abs() < 1e-9);
    // fruit of 195 g instead of 200: more of them
    press(&mut desk, &[Key::Char('+'), Key::Down, Key::Char('-')]);
    assert!((fruit(&desk) / before - 51.0 / 50.0 * 200.0 / 195.0).abs() < 1e-9);
    touch(&mut desk, Action::Keep);
    assert_eq!(stored().aim, Some(Target::TonnesPerHa(51.0)));
    assert_eq!(stored().factors.len(), 1);
    assert!(!shown(&desk).contains("taken here"));
    assert!((fruit(&desk) / before - 51.0 / 50.0 * 200.0 / 195.0).abs() < 1e-9);
    // a number that cannot be is not taken
    press(&mut desk, &[Key::Down]);
    for _ in 0..12 {
        press(&mut desk, &[Key::Char('+')]);
    }
    assert!(desk.model.message.is_some());
    let taken = desk
        .model
        .outlook
        .open
        .as_ref()
        .unwrap()
        .what_if
        .set
        .unwrap();
    assert!((taken - 1.0).abs() < 1e-9, "{taken}");
    // buds a unit follow from the rule
    press(
        &mut desk,
        &[Key::Backspace, Key::Down, Key::Char('+'), Key::Char('k')],
    );
    let words = desk.model.message.as_ref().unwrap().words.clone();
    assert!(words.contains("follow from the rule"), "{words}");
    press(&mut desk, &[Key::End]);
    let opened = desk.model.outlook.open.as_ref().unwrap();
    assert_eq!(Number::chosen(opened, 80), Some(Number::Buds));
}

#[test]
fn what_could_not_be_stored_stays_on_trial() {
    let orchard = orchard();
    let mut desk = orchard.desk(Theme::Plain, (80, 24));
    at(&mut desk, Part::Brief);
    press(&mut desk, &[Key::Char('+'), Key::Down, Key::Char('-')]);
    let moment = Moment {
        now: desk.model.now,
        id: uuid::Uuid::nil(),
    };
    let effects = update(&mut desk.model, Event::Act(Action::Keep), moment);
    let [Effect::Write(changes)] = &effects[..] else {
        panic!("{effects:?}");
    };
    assert_eq!(changes.len(), 2);
    let full = Event::Failed("the disk is full".to_owned());
    update(&mut desk.model, full, moment);
    let seen = shown(&desk);
    assert!(seen.contains("taken here, not stored"), "{seen}");
    assert!(seen.contains("the disk is full"), "{seen}");
    // the next that is stored is another thing
    let first = changes[..1].to_vec();
    desk.carry_out(Effect::Write(first)).unwrap();
    assert!(shown(&desk).contains("taken here, not stored"));
}

#[test]
fn every_entry_is_made_changed_and_removed() {
    let orchard = orchard();
    let block = orchard.blocks[0].id;
    let mut desk = orchard.desk(Theme::Plain, (80, 24));
    at(&mut desk, Part::Entries);
    let stored = || {
        orchard
            .store
            .crop_book(orchard.winter.id)
            .unwrap()
            .of(block)
    };
    let go = |desk: &mut Runtime, wanted: Entry| {
        let place = lines(&desk.model, block)
            .iter()
            .position(|entry| *entry == wanted);
        desk.take(crate::tui::app::Event::Act(Action::Select(place.unwrap())));
    };
    let filled = |desk: &mut Runtime, values: &[(&str, &str)]| {
        let Some(Layer::Form(form, _)) = desk.model.layers.last_mut() else {
            panic!("no form: {:?}", desk.model.message);
        };
        fill(form, values);
        press(desk, &[Key::Ctrl('s')]);
        assert!(desk.model.layers.is_empty(), "{}", shown(desk));
    };
    let new: [(Entry, &[(&str, &str)]); 5] = [
        (Entry::Aim, &[("kind", "fruit a tree"), ("amount", "180")]),
        (
            Entry::Factor(FactorKind::Loss),
            &[("value", "0.1"), ("sd", "0.02")],
        ),
        (Entry::Growth, &[("grown", "24"), ("one", "90")]),
        (
            Entry::Harvest(None),
            &[
                ("season", "2026"),
                ("amount", "44"),
                ("mean_g", "190"),
                ("weighed", "50"),
            ],
        ),
        (
            Entry::SetCount(None),
            &[("season", "2026"), ("units", "4 3 5, 3 2 2")],
        ),
    ];
    for (entry, values) in new {
        go(&mut desk, entry);
        press(&mut desk, &[Key::Char('e')]);
        filled(&mut desk, values);
    }
    let book = stored();
    assert_eq!(book.aim, Some(Target::FruitPerTree(180.0)));
    assert_eq!(
        (
            book.factors.len(),
            book.harvests.len(),
            book.sets[0].units.len()
        ),
        (1, 1, 2)
    );
    assert!((book.growth.unwrap().survival[0] - 0.9).abs() < 1e-12);
    // changed
    go(&mut desk, Entry::Harvest(Some(2026)));
    touch(&mut desk, Action::Edit);
    filled(&mut desk, &[("unit", "kg a tree"), ("amount", "20")]);
    go(&mut desk, Entry::SetCount(Some(2026)));
    press(&mut desk, &[Key::Enter]);
    filled(&mut desk, &[("units", "4 3 5")]);
    assert_eq!(stored().sets[0].units.len(), 1);
    // and removed, each after asking
    for entry in [
        Entry::Aim,
        Entry::Factor(FactorKind::Loss),
        Entry::Growth,
        Entry::Harvest(Some(2026)),
        Entry::SetCount(Some(2026)),
    ] {
        go(&mut desk, entry);
        touch(&mut desk, Action::Remove);
        assert!(
            matches!(desk.model.layers.last(), Some(Layer::Question(_))),
            "{entry:?}"
        );
        press(&mut desk, &[Key::Enter]);
    }
    assert_eq!(stored(), crate::outlook::BlockBook::default());
    go(&mut desk, Entry::Growth);
    press(&mut desk, &[Key::Char('x')]);
    assert!(desk.model.layers.is_empty());
    assert_eq!(desk.model.screen, Screen::Outlook);
}

#[test]
fn the_way_of_going_on_changes_by_key_and_touch() {
    let orchard = orchard();
    let mut desk = orchard.desk(Theme::Plain, (80, 24));
    at(&mut desk, Part::Winters);
    for words in ["mended now", "on the rule", "as pruned"] {
        touch(&mut desk, Action::NextScenario);
        assert!(shown(&desk).contains(&format!("The average tree, {words} (")));
    }
    press(&mut desk, &[Key::Char('c')]);
    assert!(shown(&desk).contains("The average tree, mended now ("));
    press(&mut desk, &[Key::Esc]);
    assert!(!desk.model.outlook.is_open());
}

#[test]
fn a_season_is_entered_once() {
    let orchard = orchard();
    let entry = crate::outlook::HarvestEntry {
        season: 2026,
        amount: crate::outlook::Yield::TonnesPerHa(44.0),
        weighed: None,
    };
    let block = orchard.blocks[0].id;
    orchard.store.save_harvest(block, &entry).unwrap();
    let mut desk = orchard.desk(Theme::Plain, (80, 24));
    at(&mut desk, Part::Entries);
    press(&mut desk, &[Key::Char('n')]);
    let Some(Layer::Form(form, _)) = desk.model.layers.last_mut() else {
        panic!("no form")
    };
    fill(form, &[("season", "2026"), ("amount", "30")]);
    press(&mut desk, &[Key::Ctrl('s')]);
    assert!(shown(&desk).contains("2026 is entered already"));
    press(&mut desk, &[Key::Esc]);
    let book = orchard.store.crop_book(orchard.winter.id).unwrap();
    assert_eq!(book.of(block).harvests, [entry]);
}
