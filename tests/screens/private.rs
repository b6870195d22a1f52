//! Numbers only: no name of a pruner on any screen, in any form, list or picture, nor in what the screens know.

use thirdwood::orchard::{CountHead, Pruner, PrunerDraft, PrunerId};
use thirdwood::store::bundle::{Joinable, Since, TakeIn};
use thirdwood::store::{CountFilter, Setting, Store};
use thirdwood::tui::app::{Event, Layer};
use thirdwood::tui::runtime::Runtime;
use thirdwood::tui::{Action, Key, Screen};

use crate::names::{found, told, typed_everywhere};
use crate::{demo, desk, drawn, letters, places};

const SIZES: [(u16, u16); 2] = [(80, 24), (160, 50)];

/// All that is to be seen at a place, and all that the program has in mind there.
fn all_at(desk: &Runtime<'_>) -> (String, String) {
    let seen = SIZES.map(|size| letters(&drawn(desk, size).0));
    (seen.join("\n"), format!("{:?}", desk.model))
}

/// Every place, and what lies behind keys that the places do not try.
fn everywhere(store: &Store, mut look: impl FnMut(&str, &Runtime<'_>)) {
    for place in places::all() {
        look(&place.name, &place.open(store, (80, 24)));
    }
    let key = |c: char| Event::Key(Key::Char(c));
    let go = |screen| Event::Act(Action::Go(screen));
    let right = Event::Key(Key::Right);
    for screen in [
        Screen::Crew,
        Screen::Blocks,
        Screen::Winter,
        Screen::Outlook,
    ] {
        let mut desk = desk(store, (80, 24));
        for event in [go(screen), key('v')] {
            desk.take(event);
        }
        for picture in 0..6 {
            look(&format!("{} picture {picture}", screen.title()), &desk);
            desk.take(right.clone());
        }
        for part in 0..6 {
            let mut desk = self::desk(store, (80, 24));
            desk.take(go(screen));
            (0..part).for_each(|_| desk.take(right.clone()));
            look(&format!("{} part {part}", screen.title()), &desk);
            for c in ['n', 'e', 'x'] {
                desk.take(key(c));
                look(&format!("{} part {part} {c}", screen.title()), &desk);
                desk.take(Event::Key(Key::Esc));
                desk.take(Event::Key(Key::Esc));
            }
        }
    }
    let mut desk = desk(store, (80, 24));
    for event in [go(Screen::SetUp), Event::Act(Action::Section(2)), key('t')] {
        desk.take(event);
    }
    look("take a name away", &desk);
    desk.take(Event::Key(Key::Esc));
    desk.take(Event::Key(Key::Ctrl('p')));
    look("papers", &desk);
    other_tablets(store, &mut look);
}

/// The settings with what there is of other tablets: each line, its form, and what its choices say in full.
fn other_tablets(store: &Store, look: &mut impl FnMut(&str, &Runtime<'_>)) {
    let mut desk = desk(store, (80, 24));
    desk.take(Event::Act(Action::Go(Screen::SetUp)));
    desk.take(Event::Act(Action::Section(8)));
    let of = &desk.model.tablets;
    assert!(
        !of.conflicts.is_empty() && !of.twins.is_empty() && !of.joined.is_empty(),
        "{of:?}"
    );
    let mut forms = 0;
    for line in 0..16 {
        desk.take(Event::Key(Key::Char('e')));
        forms += usize::from(matches!(desk.model.layers.last(), Some(Layer::Form(..))));
        for choice in 0..3 {
            look(&format!("settings line {line} choice {choice}"), &desk);
            desk.take(Event::Key(Key::Right));
        }
        // a changed form is left when asked twice
        desk.take(Event::Key(Key::Esc));
        desk.take(Event::Key(Key::Esc));
        if desk.model.screen != Screen::SetUp {
            desk.take(Event::Act(Action::Go(Screen::SetUp)));
            desk.take(Event::Act(Action::Section(8)));
            (0..line).for_each(|_| desk.take(Event::Key(Key::Down)));
        }
        desk.take(Event::Key(Key::Down));
    }
    assert!(forms > 5, "{forms} forms opened");
}

/// A second tablet said otherwise of one count and one reason, and entered two pruners again; one of them was joined.
fn with_a_second_tablet(store: &Store) {
    let other = Store::in_memory().unwrap();
    let hand = |from: &Store, to: &Store| {
        let all = from.parcel(&Since::Beginning).unwrap();
        to.take_in(&all, TakeIn::default(), &mut |_| true).unwrap();
    };
    hand(store, &other);
    let crew = store.pruners().unwrap();
    let named: Vec<&Pruner> = crew.iter().filter(|p| !p.name.is_empty()).collect();
    let winter = store.winters().unwrap()[0].id;
    let count = store.counts(CountFilter::Winter(winter)).unwrap()[0].clone();
    for (tablet, who) in [(store, named[0]), (&other, named[1])] {
        let head = CountHead {
            note: format!("{} was beside it", who.name),
            ..count.head.clone()
        };
        tablet.change_head(count.id, &head).unwrap();
    }
    for (at, again) in named[2..4].iter().enumerate() {
        let draft = PrunerDraft {
            number: 90 + at as u16,
            ..again.draft().clone()
        };
        let twin = PrunerId(uuid::Uuid::from_u128(900 + at as u128));
        // each tablet by itself, under the same number
        for (tablet, id) in [
            (store, PrunerId(uuid::Uuid::from_u128(800 + at as u128))),
            (&other, twin),
        ] {
            let entered = Pruner::new(id, draft.clone()).unwrap();
            tablet.save_pruner(&entered).unwrap();
        }
    }
    hand(&other, store);
    let twins = store.twins().unwrap();
    assert_eq!(twins.len(), 2, "{twins:?}");
    let (gone, kept) = (twins[0].all[1].id, twins[0].all[0].id);
    store.join(Joinable::Pruner, gone, kept).unwrap();
}

#[test]
fn no_screen_tells_a_name_where_only_numbers_are_shown() {
    let store = demo();
    typed_everywhere(&store);
    with_a_second_tablet(&store);
    let words = told(&store);
    store.set(Setting::Names, "numbers only").unwrap();
    let mut places = 0;
    everywhere(&store, |name, desk| {
        let (seen, known) = all_at(desk);
        assert_eq!(found(&seen, &words), None, "{name}:\n{seen}");
        assert_eq!(found(&known, &words), None, "{name}: the program knows it");
        places += 1;
    });
    // the search does find them, where they are shown
    store.set(Setting::Names, "shown").unwrap();
    let mut telling = 0;
    everywhere(&store, |_, desk| {
        let (seen, known) = all_at(desk);
        telling += usize::from(found(&seen, &words).is_some());
        assert!(found(&known, &words).is_some());
    });
    assert!(telling > 60, "{telling} of {places}");
    println!("{places} places searched, {telling} of them tell names where names are shown");
}

#[test]
fn one_name_that_slips_in_is_found() {
    let store = demo();
    let words = told(&store);
    store.set(Setting::Names, "numbers only").unwrap();
    let mut desk = desk(&store, (80, 24));
    desk.take(Event::Act(Action::Go(Screen::Crew)));
    assert_eq!(found(&all_at(&desk).0, &words), None);
    desk.model.house.orchard.clone_from(&words[0]);
    desk.model.note(format!("({})", words[0].to_uppercase()));
    let (seen, known) = all_at(&desk);
    assert!(found(&seen, &words).is_some() && found(&known, &words).is_some());
}

#[test]
fn a_name_is_taken_away_on_the_screen() {
    let store = demo();
    let words = told(&store);
    let mut desk = desk(&store, (80, 24));
    let key = |c: char| Event::Key(Key::Char(c));
    for event in [
        Event::Act(Action::Go(Screen::SetUp)),
        Event::Act(Action::Section(2)),
        key('t'),
        key('1'),
        Event::Key(Key::Down),
        Event::Key(Key::Right),
        Event::Key(Key::Ctrl('s')),
    ] {
        desk.take(event);
    }
    let crew = store.pruners().unwrap();
    let seen = all_at(&desk).0;
    assert_eq!(crew[0].shown(), "Nr 1", "{seen}");
    assert!(seen.contains("the name is gone from the file"), "{seen}");
    assert!(found(&seen, &words).is_some(), "the others are named still");
}
