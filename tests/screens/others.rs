//! What other programs and tablets do to the file while the screens are open.

use thirdwood::orchard::{Age, CountId, Tap};
use thirdwood::store::{CountFilter, Store};
use thirdwood::tui::app::{Event, Tone};
use thirdwood::tui::{Action, Key, Screen};

use crate::{desk, drawn, letters, today};

const SIZE: (u16, u16) = (80, 24);

/// The invented orchard in a file, twice opened.
fn shared() -> (tempfile::TempDir, Store, Store) {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("orchard.db");
    let here = Store::open(&path).unwrap();
    thirdwood::demo::fill(&here, 1, today()).unwrap();
    let there = Store::open(&path).unwrap();
    (folder, here, there)
}

/// A tree in hand with one tap on it.
fn begun(desk: &mut thirdwood::tui::runtime::Runtime<'_>) -> CountId {
    // the lines before the first that waits are those that are begun
    let line = desk.model.figures.walk.as_ref().unwrap().resume.len();
    desk.take(Event::Act(Action::Go(Screen::Today)));
    desk.take(Event::Act(Action::Select(line)));
    desk.take(Event::Act(Action::Open));
    desk.take(Event::Key(Key::Char('1')));
    desk.model.count.begun().unwrap()
}

#[test]
fn the_tree_in_hand_is_what_the_file_says() {
    let (_folder, here, there) = shared();
    let mut desk = desk(&here, SIZE);
    let count = begun(&mut desk);
    there.tap(count, None, Tap::Piece(Age::Two)).unwrap();
    there.tap(count, None, Tap::Piece(Age::Two)).unwrap();
    let mut head = there.count(count).unwrap().unwrap().head;
    head.note = "wind".to_owned();
    there.change_head(count, &head).unwrap();
    assert!(desk.look_around().unwrap());
    assert_eq!(desk.model.count.tally().unwrap().ages, [1, 2, 0, 0]);
    assert_eq!(desk.model.count.place().unwrap().note, "wind");
    let shown = letters(&drawn(&desk, SIZE).0);
    assert!(shown.contains("this tree: 3 pieces"), "{shown}");
    desk.take(Event::Key(Key::Backspace));
    assert_eq!(desk.model.count.tally().unwrap().ages, [1, 1, 0, 0]);
}

#[test]
fn a_count_that_is_closed_elsewhere_is_let_go_of() {
    let (_folder, here, there) = shared();
    let mut desk = desk(&here, SIZE);
    let count = begun(&mut desk);
    there.close_count(count, true).unwrap();
    desk.look_around().unwrap();
    assert_ne!(desk.model.count.begun(), Some(count));
    // what is in hand now takes taps
    desk.take(Event::Key(Key::Char('2')));
    assert_eq!(desk.model.message, None);
    let winter = desk.model.season.as_ref().unwrap().winter.id;
    let counts = here.counts(CountFilter::Winter(winter)).unwrap();
    let closed = counts.iter().find(|known| known.id == count).unwrap();
    assert_eq!((closed.closed, closed.tally.ages), (true, [1, 0, 0, 0]));
}

/// What cannot be read is told at the foot, and read as soon as it can be; the screens stay open.
#[test]
fn what_cannot_be_read_is_told_and_tried_again() {
    let (folder, here, _) = shared();
    let mut desk = desk(&here, SIZE);
    let pruners = desk.model.house.pruners.len();
    let other = rusqlite::Connection::open(folder.path().join("orchard.db")).unwrap();
    other
        .execute_batch(
            "PRAGMA ignore_check_constraints = ON; UPDATE pruner SET number = 0 WHERE number = 1",
        )
        .unwrap();
    for _ in 0..2 {
        assert!(desk.glance(), "it is tried each time");
        let message = desk.model.message.take().unwrap();
        assert_eq!(message.tone, Tone::Problem);
        assert!(message.words.contains("pruner"), "{}", message.words);
        assert_eq!(
            desk.model.house.pruners.len(),
            pruners,
            "what was read stays"
        );
    }
    other
        .execute("UPDATE pruner SET number = 1 WHERE number = 0", [])
        .unwrap();
    assert!(desk.glance());
    assert_eq!(desk.model.message, None);
    assert!(!desk.glance(), "nothing is new any more");
}
