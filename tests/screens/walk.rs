//! The way from tree to tree, and back.

use thirdwood::orchard::TreeCount;
use thirdwood::report::WalkTree;
use thirdwood::tui::app::{Event, Layer};
use thirdwood::tui::runtime::Runtime;
use thirdwood::tui::{Action, Key, Screen};

use crate::{demo, desk, drawn, fill, letters};

const SIZE: (u16, u16) = (80, 24);

fn waiting(desk: &Runtime<'_>) -> Vec<WalkTree> {
    desk.model.figures.walk.as_ref().unwrap().next.clone()
}

/// Goes to one of the drawn trees that wait.
fn go_to(desk: &mut Runtime<'_>, at: usize) {
    let line = desk.model.figures.walk.as_ref().unwrap().resume.len() + at;
    desk.take(Event::Act(Action::Go(Screen::Today)));
    desk.take(Event::Act(Action::Select(line)));
    desk.take(Event::Act(Action::Open));
}

fn is_in_hand(desk: &Runtime<'_>, tree: &WalkTree) -> bool {
    let place = desk.model.count.place().unwrap();
    (place.block, place.row, place.tree) == (tree.block, tree.row, tree.tree)
}

fn fill_in(desk: &mut Runtime<'_>, values: &[(&str, &str)]) {
    let Some(Layer::Form(form, _)) = desk.model.layers.last_mut() else {
        panic!("no form: {:?}", desk.model.message);
    };
    for (key, value) in values {
        fill(form, key, value);
    }
}

#[test]
fn a_closed_tree_is_followed_by_the_next_one_of_the_walk() {
    let store = demo();
    let mut desk = desk(&store, SIZE);
    let trees = waiting(&desk);
    go_to(&mut desk, 3);
    desk.take(Event::Key(Key::Char('1')));
    desk.take(Event::Act(Action::CloseTree));
    desk.take(Event::Act(Action::Confirm));
    assert!(
        is_in_hand(&desk, &trees[4]),
        "not back to those left standing"
    );
    // past the last one, what was left standing comes
    go_to(&mut desk, trees.len() - 2);
    assert!(is_in_hand(&desk, &trees[trees.len() - 1]));
    desk.take(Event::Key(Key::Char('1')));
    desk.take(Event::Act(Action::CloseTree));
    desk.take(Event::Act(Action::Confirm));
    let place = desk.model.count.place().unwrap().clone();
    let open = &desk.model.figures.walk.as_ref().unwrap().resume;
    assert!(
        open.iter()
            .any(|tree| (tree.row, tree.tree) == (place.row, place.tree))
    );
}

#[test]
fn a_tree_left_out_by_mistake_comes_back_by_undo() {
    let store = demo();
    let mut desk = desk(&store, SIZE);
    let trees = waiting(&desk);
    go_to(&mut desk, 2);
    desk.take(Event::Act(Action::SkipTree));
    fill_in(&mut desk, &[("reason", "dead")]);
    desk.take(Event::Act(Action::Save));
    assert!(is_in_hand(&desk, &trees[3]));
    assert_eq!(waiting(&desk).len(), trees.len() - 1);
    desk.take(Event::Act(Action::Undo));
    assert!(is_in_hand(&desk, &trees[2]));
    assert_eq!(waiting(&desk), trees);
    let shown = letters(&drawn(&desk, SIZE).0);
    assert!(shown.contains("in hand again"), "{shown}");
}

#[test]
fn no_more_trees_are_drawn_than_wait() {
    let store = demo();
    let mut desk = desk(&store, SIZE);
    desk.take(Event::Act(Action::Go(Screen::Today)));
    let before = waiting(&desk);
    desk.take(Event::Key(Key::Char('d')));
    fill_in(&mut desk, &[("trees", "500")]);
    desk.take(Event::Act(Action::Save));
    let shown = letters(&drawn(&desk, SIZE).0);
    assert!(
        shown.contains("trees of these days wait to be drawn"),
        "{shown}"
    );
    desk.take(Event::Act(Action::Cancel));
    desk.take(Event::Act(Action::Cancel));
    assert_eq!(waiting(&desk), before);
}

#[test]
fn a_count_that_moves_onto_another_is_told() {
    let store = demo();
    let mut desk = desk(&store, SIZE);
    let season = desk.model.season.clone().unwrap();
    // as they are listed: the newest first
    let mut counts: Vec<_> = season.counts().iter().collect();
    counts.sort_by_key(|count| std::cmp::Reverse((count.head.at.utc_ms, count.id)));
    let plain = |count: &TreeCount| count.closed && !count.head.again;
    let at = counts.iter().position(|count| plain(count)).unwrap();
    let head = &counts[at].head;
    let alike = |other: &TreeCount| {
        let other = &other.head;
        (other.block, other.stage, other.pruner) == (head.block, head.stage, head.pruner)
    };
    let mut others = counts[at + 1..]
        .iter()
        .filter(|count| plain(count) && alike(count));
    let other = others.next().unwrap();
    desk.take(Event::Act(Action::Go(Screen::SetUp)));
    desk.take(Event::Act(Action::Section(5)));
    desk.take(Event::Act(Action::Select(at)));
    desk.take(Event::Act(Action::Edit));
    let place = (other.head.row.to_string(), other.head.tree.to_string());
    fill_in(&mut desk, &[("row", &place.0), ("tree", &place.1)]);
    desk.take(Event::Act(Action::Field(5)));
    desk.take(Event::Key(Key::Char('x')));
    let shown = letters(&drawn(&desk, SIZE).0);
    assert!(
        shown.contains("This tree has another count, of "),
        "{shown}"
    );
}

/// Undo undoes the last act: a piece that was taken off comes back where it stood, and then the taps go, last first.
#[test]
fn undo_puts_back_what_was_taken_off() {
    let store = demo();
    let mut desk = desk(&store, SIZE);
    go_to(&mut desk, 0);
    let ages = |desk: &Runtime<'_>| desk.model.count.tally().unwrap().ages;
    let press = |desk: &mut Runtime<'_>, keys: &[Key]| {
        for key in keys {
            desk.take(Event::Key(*key));
        }
    };
    let one = Key::Char('1');
    press(&mut desk, &[one, Key::Char('2'), Key::Delete, one]);
    assert_eq!(ages(&desk), [0, 1, 0, 0]);
    press(&mut desk, &[Key::Backspace]);
    assert_eq!(ages(&desk), [1, 1, 0, 0]);
    assert!(letters(&drawn(&desk, SIZE).0).contains("put back: "));
    press(&mut desk, &[Key::Backspace]);
    assert_eq!(ages(&desk), [1, 0, 0, 0], "the two was tapped last");
    // also where nothing is left on the tree, and the tree before it must not open
    press(&mut desk, &[Key::Delete, one]);
    assert_eq!(ages(&desk), [0; 4]);
    press(&mut desk, &[Key::Backspace]);
    assert_eq!(ages(&desk), [1, 0, 0, 0]);
    // what is recorded with the tree changes in between
    press(&mut desk, &[Key::Delete, one, Key::Char('5')]);
    fill_in(&mut desk, &[("note", "wind")]);
    press(&mut desk, &[Key::Ctrl('s'), Key::Backspace]);
    assert_eq!(ages(&desk), [1, 0, 0, 0]);
    assert_eq!(desk.model.count.place().unwrap().note, "wind");
}
