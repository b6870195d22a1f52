//! What the Set-up screen does with counts and draws by keys, down to the file.

use super::Section;
use super::tests::Hand;
use crate::orchard::{CountId, Stage, Stamp, WorkDraft, WorkEntry, WorkId};
use crate::store::Store;
use crate::tui::app::Layer;
use crate::tui::trial::fill_store;
use crate::tui::{Key, Screen};

#[test]
fn a_count_is_opened_again_and_closed() {
    let store = Store::in_memory().unwrap();
    fill_store(&store);
    let mut hand = Hand::new(&store);
    let id = CountId(uuid::Uuid::from_u128(10));
    hand.go(Section::Counts);
    hand.press(Key::Enter);
    assert_eq!(hand.desk.model.screen, Screen::Count);
    assert!(store.count(id).unwrap().unwrap().closed);
    // only looked at: it is closed as it was, by either way out
    for way_out in [Key::Esc, Key::Enter] {
        hand.press(way_out);
        assert_eq!(hand.desk.model.screen, Screen::SetUp);
        assert!(hand.message().contains("nothing was changed"));
        assert!(store.count(id).unwrap().unwrap().closed);
        hand.press(Key::Enter);
    }
    hand.press(Key::Char('3'));
    assert!(!store.count(id).unwrap().unwrap().closed);
    hand.press(Key::Esc);
    assert_eq!(hand.desk.model.screen, Screen::SetUp);
    hand.press(Key::Enter);
    assert_eq!(
        hand.desk.model.screen,
        Screen::Count,
        "an open one is taken up as it is"
    );
    hand.press(Key::Enter);
    let count = store.count(id).unwrap().unwrap();
    assert!(count.closed);
    assert_eq!(count.tally.ages, [1, 1, 1, 0]);
    assert_eq!(hand.desk.model.screen, Screen::SetUp, "back in the list");
}

#[test]
fn a_closed_count_in_hand_is_mended_by_undo_and_its_note_without_opening() {
    let store = Store::in_memory().unwrap();
    fill_store(&store);
    let mut hand = Hand::new(&store);
    let id = CountId(uuid::Uuid::from_u128(10));
    hand.go(Section::Counts);
    hand.keys(&[Key::Enter, Key::Char('5')]);
    hand.fill(&["", "", "", "wind"]);
    hand.save();
    let count = store.count(id).unwrap().unwrap();
    assert!(count.closed && count.head.note == "wind");
    assert_eq!(hand.desk.model.count.place().unwrap().tree, 4, "in hand");
    hand.press(Key::Backspace);
    let count = store.count(id).unwrap().unwrap();
    assert!(!count.closed);
    assert_eq!(count.tally.ages, [1, 0, 0, 0]);
    // gone elsewhere without a change, it is in hand no more
    hand.keys(&[Key::Enter, Key::Enter, Key::F(2), Key::F(3)]);
    assert!(store.count(id).unwrap().unwrap().closed);
    assert_eq!(hand.desk.model.count.place().unwrap().tree, 15);
}

#[test]
fn a_count_is_changed_without_touching_the_tree_in_hand() {
    let store = Store::in_memory().unwrap();
    fill_store(&store);
    let mut hand = Hand::new(&store);
    let id = CountId(uuid::Uuid::from_u128(10));
    store.close_count(id, false).unwrap();
    hand = Hand::new(hand.store);
    hand.press(Key::F(3));
    assert_eq!(hand.desk.model.count.place().unwrap().tree, 4);
    hand.keys(&[Key::Enter]);
    assert_eq!(
        hand.desk.model.count.place().unwrap().tree,
        15,
        "the next drawn one"
    );
    hand.go(Section::Counts);
    hand.press(Key::Char('e'));
    hand.fill(&["", "", "", "before"]);
    hand.save();
    assert_eq!(store.count(id).unwrap().unwrap().head.stage, Stage::Before);
    assert_eq!(hand.desk.model.count.place().unwrap().tree, 15);
    hand.keys(&[Key::Char('e'), Key::Ctrl('s')]);
    assert_eq!(hand.message(), "nothing was changed");
}

#[test]
fn a_count_taken_out_can_be_brought_back_even_later() {
    let store = Store::in_memory().unwrap();
    fill_store(&store);
    let mut hand = Hand::new(&store);
    hand.go(Section::Counts);
    hand.press(Key::Backspace);
    assert!(hand.message().contains("no count was taken out"));
    hand.keys(&[Key::Char('x'), Key::Enter]);
    assert!(hand.message().contains("Backspace"), "{}", hand.message());
    let counted = |hand: &Hand| hand.desk.model.season.as_ref().unwrap().counts().len();
    assert_eq!(
        (counted(&hand), super::lines::lines(&hand.desk.model).len()),
        (0, 1)
    );
    for key in ['e', 'x'] {
        hand.press(Key::Char(key));
        assert!(hand.desk.model.layers.is_empty() && hand.message().contains("Backspace"));
    }

    let mut hand = Hand::new(&store);
    hand.go(Section::Counts);
    assert_eq!(
        (counted(&hand), super::lines::lines(&hand.desk.model).len()),
        (0, 1)
    );
    hand.press(Key::Enter);
    assert_eq!(hand.desk.model.screen, Screen::SetUp);
    hand.press(Key::Backspace);
    assert_eq!(
        (counted(&hand), super::lines::lines(&hand.desk.model).len()),
        (1, 1)
    );
    assert!(
        hand.message().contains("in the figures again"),
        "{}",
        hand.message()
    );
    assert!(hand.desk.model.house.removed.is_empty());
}

/// The states in the list of counts, the newest count first.
fn states(store: &Store) -> Vec<String> {
    let mut hand = Hand::new(store);
    hand.go(Section::Counts);
    let lines = super::lines::lines(&hand.desk.model).into_iter();
    let state = |line| {
        let cells = super::cells::texts(&hand.desk.model, line).unwrap();
        cells[8].clone()
    };
    lines.map(state).collect()
}

#[test]
fn the_list_tells_how_each_count_stands() {
    let store = Store::in_memory().unwrap();
    fill_store(&store);
    assert_eq!(states(&store), ["in use"]);
    let first = store
        .count(CountId(uuid::Uuid::from_u128(10)))
        .unwrap()
        .unwrap();
    let mut later = first.clone();
    later.id = CountId(uuid::Uuid::from_u128(12));
    later.head.at = Stamp::parse_rfc3339("2027-01-12T10:30:00+10:00").unwrap();
    store.add_count(&later).unwrap();
    assert_eq!(states(&store), ["in use", "replaced"]);
    // the row is mended the day after
    let work = store.work(first.head.winter).unwrap().remove(0);
    let draft = WorkDraft {
        day: work.day.succ_opt().unwrap(),
        ..(*work).clone()
    };
    let river = store
        .blocks()
        .unwrap()
        .into_iter()
        .find(|b| b.id == work.block)
        .unwrap();
    let mended = WorkEntry::new(WorkId(uuid::Uuid::from_u128(13)), draft, &river).unwrap();
    store.save_work(&mended).unwrap();
    assert_eq!(states(&store), ["re-pruned", "replaced"]);
}

#[test]
fn draws_are_read_and_left_out_trees_put_back() {
    let store = Store::in_memory().unwrap();
    fill_store(&store);
    let mut hand = Hand::new(&store);
    let draw = hand.desk.model.season.as_ref().unwrap().draws[0].id;
    hand.go(Section::Draws);
    hand.press(Key::Char('e'));
    assert!(hand.message().contains("left out"), "{}", hand.message());
    store.skip_drawn(draw, 1, Some("dead")).unwrap();
    let mut hand = Hand::new(&store);
    hand.go(Section::Draws);
    hand.press(Key::Enter);
    let Some(Layer::Page { text, .. }) = hand.desk.model.layers.last() else {
        panic!("nothing to read");
    };
    let lines = text.lines(80);
    assert_eq!(lines[0], "River, row 2, tree 4, Nr 7 Aroha: counted");
    assert_eq!(
        lines[1],
        "River, row 2, tree 15, Nr 7 Aroha: left out: dead"
    );
    hand.keys(&[Key::Esc, Key::Char('x')]);
    assert!(hand.message().contains("stays on record"));
    hand.press(Key::Char('e'));
    hand.save();
    assert_eq!(hand.desk.model.figures.walk.as_ref().unwrap().waiting, 2);
}
