//! What a gloved finger finds.

use thirdwood::store::CountFilter;
use thirdwood::tui::app::Event;
use thirdwood::tui::{Action, Key, Screen};

use crate::{demo, desk, drawn, empty, letters, places};

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
            for size in [(80, 24), (100, 30), (120, 40), (200, 60)] {
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
        for size in [(80, 24), (120, 40)] {
            let (buf, hits) = drawn(&place.open(&store, size), size);
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
