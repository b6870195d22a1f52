//! Thirty taps and one to close: by keyboard and by touch alike.

mod common;

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use thirdwood::orchard::{Age, Buds, Size, Tap, TreeCount};
use thirdwood::store::{CountFilter, Store};
use thirdwood::tui::app::{Event, view};
use thirdwood::tui::runtime::{Runtime, Start};
use thirdwood::tui::{Action, BudKeys, Key, Screen, Theme};

const SIZE: (u16, u16) = (80, 24);

fn start() -> Start {
    Start {
        theme: Some(Theme::Plain),
        few_colours: false,
        round: false,
        today: Some(common::today()),
    }
}

/// Ages of the pieces, in turn: a third of them is two-year wood.
const AGES: [usize; 6] = [0, 1, 3, 2, 1, 0];

/// 30 pieces in a mixed order, the two-year ones with their buds.
fn script() -> Vec<Tap> {
    let two_year = |i: usize| {
        let buds = Buds::new((i % 8) as u8).unwrap();
        Tap::TwoYear(Size::ALL[i / 3 % 3], buds)
    };
    let tap = |i: usize| match Age::ALL[AGES[i % AGES.len()]] {
        Age::Two => two_year(i),
        age => Tap::Piece(age),
    };
    (0..30).map(tap).collect()
}

fn key(tap: Tap) -> Key {
    match tap {
        Tap::Piece(age) => Key::Char(char::from_digit(age.index() as u32 + 1, 10).unwrap()),
        Tap::TwoYear(size, buds) | Tap::Unit(size, buds) => {
            Key::Char(BudKeys::QWERTY.key(size.index(), usize::from(buds.get())))
        }
        Tap::Upright => Key::Char('8'),
        Tap::ThickTop => Key::Char('9'),
    }
}

/// A touch in the middle of the button that asks for this, found by drawing the screen.
fn touch(desk: &Runtime<'_>, action: Action) -> Event {
    let mut buf = Buffer::empty(Rect::new(0, 0, SIZE.0, SIZE.1));
    let hits = view(&desk.model, &mut buf);
    let (area, _) = hits
        .targets()
        .find(|(_, target)| *target == action)
        .unwrap();
    let found = hits
        .at(area.x + area.width / 2, area.y + area.height / 2)
        .unwrap();
    assert_eq!(found, action, "something lies over the button");
    Event::Act(found)
}

/// Counts the first drawn tree; gives the events it took and what is in the file.
fn counted(make: impl Fn(&Runtime<'_>, Action) -> Event) -> (usize, TreeCount, Vec<Tap>) {
    let store = Store::in_memory().unwrap();
    let small = common::fill(&store);
    let mut desk = Runtime::new(&store, start(), SIZE).unwrap();
    desk.take(Event::Act(Action::Go(Screen::Count)));
    let mut events = 0;
    for action in script()
        .into_iter()
        .map(Action::Tap)
        .chain([Action::CloseTree])
    {
        let event = make(&desk, action);
        desk.take(event);
        events += 1;
    }
    let counts = store.counts(CountFilter::Winter(small.winter.id)).unwrap();
    assert_eq!(counts.len(), 1);
    let taps = store.taps(counts[0].id).unwrap();
    (events, counts[0].clone(), taps)
}

#[test]
fn a_tree_of_thirty_pieces_takes_thirty_taps_and_one_to_close() {
    let by_key = counted(|_, action| {
        Event::Key(match action {
            Action::Tap(tap) => key(tap),
            _ => Key::Enter,
        })
    });
    let by_touch = counted(touch);
    for (events, count, taps) in [&by_key, &by_touch] {
        assert_eq!(*events, 31);
        assert_eq!(*taps, script());
        assert_eq!((count.tally.pieces(), count.tally.unit_count()), (30, 10));
        assert!(count.closed);
    }
    // the same but for the identity and the moment
    let (_, mut keyed, _) = by_key;
    let (_, touched, _) = by_touch;
    keyed.id = touched.id;
    keyed.head.at = touched.head.at;
    assert_eq!(keyed, touched);
}

#[test]
fn undo_goes_back_through_all_taps_also_after_reopening() {
    let store = Store::in_memory().unwrap();
    let small = common::fill(&store);
    let mut desk = Runtime::new(&store, start(), SIZE).unwrap();
    desk.take(Event::Act(Action::Go(Screen::Count)));
    for tap in script() {
        desk.take(Event::Key(key(tap)));
    }
    drop(desk);

    let mut desk = Runtime::new(&store, start(), SIZE).unwrap();
    desk.take(Event::Key(Key::F(3)));
    assert_eq!(
        desk.model.count.tally().unwrap().pieces(),
        30,
        "the open count is taken up again"
    );
    for left in (0..30).rev() {
        desk.take(Event::Key(Key::Backspace));
        let counts = store.counts(CountFilter::Winter(small.winter.id)).unwrap();
        assert_eq!(store.taps(counts[0].id).unwrap(), script()[..left]);
    }
    desk.take(Event::Key(Key::Backspace));
    assert!(
        desk.model.message.is_some(),
        "nothing more to take back, and it says so"
    );
}

#[test]
fn one_too_many_is_taken_off_wherever_it_stands_and_the_rest_stays() {
    let store = Store::in_memory().unwrap();
    let small = common::fill(&store);
    let mut desk = Runtime::new(&store, start(), SIZE).unwrap();
    desk.take(Event::Act(Action::Go(Screen::Count)));
    for tap in script() {
        desk.take(Event::Key(key(tap)));
    }
    let taps = |desk: &Runtime<'_>| store.taps(desk.model.count.begun().unwrap()).unwrap();
    // each tap of the script by turns, the last of its kind each time, by key and by touch
    let mut left = script();
    for (nr, tap) in script().into_iter().enumerate() {
        if nr % 2 == 0 {
            desk.take(Event::Key(Key::Delete));
            desk.take(Event::Key(key(tap)));
        } else {
            desk.take(touch(&desk, Action::Less));
            desk.take(touch(&desk, Action::Tap(tap)));
        }
        let place = left.iter().rposition(|known| *known == tap).unwrap();
        left.remove(place);
        assert_eq!(taps(&desk), left);
    }
    // there is nothing left to take off, and it is over after one
    desk.take(Event::Key(Key::Delete));
    desk.take(Event::Key(Key::Char('1')));
    desk.take(Event::Key(Key::Char('2')));
    desk.take(Event::Key(Key::Delete));
    desk.take(Event::Key(Key::Char('3')));
    let message = desk.model.message.as_ref().unwrap();
    assert!(message.words.contains("there is no "), "{}", message.words);
    desk.take(Event::Key(Key::Delete));
    desk.take(Event::Key(Key::Esc));
    assert_eq!(
        desk.model.screen,
        Screen::Count,
        "Esc leaves only the taking off"
    );
    desk.take(Event::Key(Key::Char('2')));
    let counts = store.counts(CountFilter::Winter(small.winter.id)).unwrap();
    assert_eq!(counts[0].tally.ages, [1, 2, 0, 0]);
    let problems = store.check().unwrap().problems;
    assert!(problems.is_empty(), "{problems:?}");
}

#[test]
fn undo_after_closing_opens_the_tree_again() {
    let store = Store::in_memory().unwrap();
    let small = common::fill(&store);
    let mut desk = Runtime::new(&store, start(), SIZE).unwrap();
    desk.take(Event::Act(Action::Go(Screen::Count)));
    for key in [Key::Char('1'), Key::Char('2'), Key::Enter] {
        desk.take(Event::Key(key));
    }
    assert_eq!(
        desk.model.count.place().unwrap().tree,
        21,
        "the next drawn tree is in hand"
    );
    desk.take(Event::Key(Key::Backspace));
    assert_eq!(desk.model.count.place().unwrap().tree, 4);
    desk.take(Event::Key(Key::Backspace));
    let counts = store.counts(CountFilter::Winter(small.winter.id)).unwrap();
    assert!(!counts[0].closed);
    assert_eq!(counts[0].tally.ages, [1, 0, 0, 0]);
}

#[test]
fn every_button_of_the_count_screen_is_as_large_as_a_finger() {
    let store = Store::in_memory().unwrap();
    common::fill(&store);
    store.set(thirdwood::store::Setting::Extras, "yes").unwrap();
    for size in [(80, 24), (100, 30), (120, 40), (200, 60)] {
        let mut desk = Runtime::new(&store, start(), size).unwrap();
        desk.take(Event::Act(Action::Go(Screen::Count)));
        let mut buf = Buffer::empty(Rect::new(0, 0, size.0, size.1));
        let hits = view(&desk.model, &mut buf);
        assert_eq!(hits.too_small(), [], "at {size:?}");
        assert_eq!(hits.targets().count(), 4 + 2 + 24 + 10, "at {size:?}");
    }
}

#[test]
fn a_tap_that_cannot_be_written_is_not_shown() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("orchard.db");
    let store = Store::open(&path).unwrap();
    common::fill(&store);
    let mut desk = Runtime::new(&store, start(), SIZE).unwrap();
    desk.take(Event::Act(Action::Go(Screen::Count)));
    desk.take(Event::Key(Key::Char('1')));
    // another program removes the count under our hands
    let other = Store::open(&path).unwrap();
    let count = other
        .counts(CountFilter::Open(common::winter().id))
        .unwrap()[0]
        .id;
    other.remove_count(count, true).unwrap();
    desk.take(Event::Key(Key::Char('1')));
    assert_eq!(desk.model.count.tally().unwrap().ages, [1, 0, 0, 0]);
    let message = desk.model.message.as_ref().unwrap();
    assert!(
        message.words.contains("no longer in the file"),
        "{}",
        message.words
    );
}
