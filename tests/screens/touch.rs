//! What a gloved finger finds.

use thirdwood::store::CountFilter;
use thirdwood::tui::app::{Event, Layer};
use thirdwood::tui::{Action, Key, Screen};

use crate::{demo, desk, drawn, empty, fill, letters, places};

#[test]
fn a_tree_that_is_begun_is_resumed_and_not_counted_twice() {
    let store = demo();
    let mut desk = desk(&store, (80, 24));
    let winter = desk.model.season.as_ref().unwrap().winter.id;
    let open = || store.counts(CountFilter::Open(winter)).unwrap();
    let begun = open().len();
    // the first that waits; the lines before it are those that are begun
    let line = desk.model.figures.walk.as_ref().unwrap().resume.len();
    for step in [
        Event::Act(Action::Go(Screen::Today)),
        Event::Act(Action::Select(line)),
        Event::Act(Action::Open),
        Event::Key(Key::Char('1')),
    ] {
        desk.take(step);
    }
    let place = desk.model.count.place().unwrap().clone();
    assert_eq!(open().len(), begun + 1);
    for leave in [Action::LeaveCount, Action::Go(Screen::Today)] {
        desk.take(Event::Act(Action::Go(Screen::Count)));
        desk.take(Event::Act(leave));
        let walk = desk.model.figures.walk.clone().unwrap();
        let is_here =
            |(block, row, tree)| (block, row, tree) == (place.block, place.row, place.tree);
        assert!(
            walk.resume
                .iter()
                .any(|open| is_here((open.block, open.row, open.tree)))
        );
        assert!(
            !walk
                .next
                .iter()
                .any(|tree| is_here((tree.block, tree.row, tree.tree)))
        );
        assert_eq!(walk.waiting as usize, walk.next.len() + walk.resume.len());
        assert!(letters(&drawn(&desk, (80, 24)).0).contains("▸open: "));
    }
    // the same line again: the count is taken up
    desk.take(Event::Act(Action::Select(0)));
    desk.take(Event::Act(Action::Open));
    desk.take(Event::Key(Key::Char('2')));
    assert_eq!(desk.model.count.tally().unwrap().ages, [1, 1, 0, 0]);
    assert_eq!(open().len(), begun + 1, "and no other is begun");
}

#[test]
fn every_button_is_as_large_as_a_finger() {
    let mut buttons = 0;
    for store in [demo(), empty(), places::odd_names()] {
        for place in places::all() {
            for size in [
                (60, 16),
                (60, 40),
                (100, 16),
                (80, 24),
                (100, 30),
                (120, 40),
                (200, 60),
            ] {
                let (_, hits) = drawn(&place.open(&store, size), size);
                assert_eq!(hits.too_small(), [], "{} at {size:?}", place.name);
                buttons += hits.targets().count();
            }
        }
    }
    assert!(buttons > 5_000, "{buttons} buttons");
}

#[test]
fn no_button_lies_under_another_or_off_the_screen() {
    let store = demo();
    for place in places::all() {
        for size in [(60, 16), (80, 24), (120, 40)] {
            let mut desk = place.open(&store, size);
            if size == (60, 16) {
                // a message of two lines lies over the buttons until it is read
                desk.model.message = None;
            }
            let (buf, hits) = drawn(&desk, size);
            for (area, action) in hits.targets() {
                assert_eq!(area.intersection(buf.area), area, "{}", place.name);
                for (x, y) in [
                    (area.left(), area.top()),
                    (area.right() - 1, area.top()),
                    (area.left(), area.bottom() - 1),
                    (area.right() - 1, area.bottom() - 1),
                ] {
                    assert_eq!(hits.at(x, y), Some(action), "{} at {x}, {y}", place.name);
                }
            }
        }
    }
}

/// A tree is counted again: what is known of it stays out of sight until the second count is closed.
#[test]
fn a_tree_counted_again_is_counted_blind() {
    let store = demo();
    let size = (80, 24);
    let mut desk = desk(&store, size);
    let text = |desk: &_| letters(&drawn(desk, size).0);
    desk.take(Event::Act(Action::Go(Screen::Today)));
    desk.take(Event::Key(Key::Char('a')));
    assert!(text(&desk).contains("without sight of the first count"));
    desk.take(Event::Key(Key::Ctrl('s')));
    assert_eq!(desk.model.figures.again.len(), 5);
    assert!(text(&desk).contains("▸again: "), "{}", text(&desk));
    desk.take(Event::Act(Action::Open));
    let head = desk.model.count.place().unwrap().clone();
    assert!(head.again);
    let standings = desk.model.figures.so_far.clone();
    for c in ['1', '1', '2', 'd'] {
        desk.take(Event::Key(Key::Char(c)));
    }
    let shown = text(&desk);
    assert!(shown.contains("COUNTED AGAIN"), "{shown}");
    for hidden in [
        "keep counting",
        "balance",
        "light",
        "heavy",
        "33 %",
        "67 %",
        " trees",
    ] {
        assert!(!shown.contains(hidden), "{hidden} in\n{shown}");
    }
    // leaving and coming back takes it up again
    desk.take(Event::Act(Action::LeaveCount));
    assert!(text(&desk).contains("again: "));
    desk.take(Event::Act(Action::Go(Screen::Count)));
    desk.take(Event::Act(Action::CloseTree));
    assert!(text(&desk).contains("Is the whole of it counted?"));
    desk.take(Event::Act(Action::Confirm));
    let shown = text(&desk);
    assert!(shown.contains("The two counts of this tree"), "{shown}");
    assert!(shown.contains("one-year pieces") && shown.contains("First"));
    desk.take(Event::Act(Action::Back));
    // the next one is in hand, and the verdicts are as they were
    let next = desk.model.count.place().unwrap();
    assert!(next.again && (next.row, next.tree) != (head.row, head.tree));
    assert_eq!(desk.model.figures.so_far, standings);
    assert_eq!(desk.model.figures.again.len(), 4);
    desk.take(Event::Act(Action::Undo));
    assert_eq!(
        desk.model.count.begun(),
        None,
        "a compared count is not opened again"
    );
}

/// The form for a tree by eye makes a second count, and says where there is nothing to compare with.
#[test]
fn any_counted_tree_can_be_counted_again() {
    let store = demo();
    let mut desk = desk(&store, (80, 24));
    let first = {
        let season = desk.model.season.as_ref().unwrap();
        let counts = season.counts().iter();
        let mut closed = counts.filter(|count| count.closed && !count.head.again);
        closed
            .find(|count| count.head.pruner.is_some())
            .unwrap()
            .head
            .clone()
    };
    for (tree, fits) in [(first.tree, true), (first.tree + 1, false)] {
        desk.take(Event::Act(Action::Go(Screen::Count)));
        desk.take(Event::Act(Action::OtherTree));
        let mut blocks = desk.model.house.blocks.iter();
        let block = blocks.find(|block| block.id == first.block).unwrap();
        let block = block.name.clone();
        let Some(Layer::Form(form, _)) = desk.model.layers.last_mut() else {
            panic!("no form");
        };
        for (key, value) in [
            ("block", block),
            ("row", first.row.to_string()),
            ("tree", tree.to_string()),
            ("counter", "Bo".to_owned()),
            ("again", "again, blind".to_owned()),
        ] {
            fill(form, key, &value);
        }
        desk.take(Event::Key(Key::Ctrl('s')));
        let taken = desk
            .model
            .count
            .place()
            .is_some_and(|head| head.again && head.tree == tree && head.counter == "Bo");
        assert_eq!((taken, desk.model.layers.is_empty()), (fits, fits));
    }
}
