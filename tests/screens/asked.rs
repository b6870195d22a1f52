//! What is asked and proposed around a count: how many trees to draw, units without their piece, a bare tree.

use thirdwood::orchard::{Age, Buds, Size, Tap};
use thirdwood::tui::app::{Event, Layer};
use thirdwood::tui::runtime::Runtime;
use thirdwood::tui::{Action, Key, Screen};

use crate::hands::{SIZE, form, saved, take_waiting, touch};
use crate::{demo, desk, drawn, fill, letters};

#[test]
fn a_draw_proposes_no_more_than_there_is() {
    let store = demo();
    let mut desk = desk(&store, SIZE);
    let today = desk.model.now.day;
    let mut draws = 0;
    loop {
        touch(&mut desk, Action::DrawTrees);
        if desk.model.layers.is_empty() {
            break;
        }
        // as many as there are of these days
        let season = desk.model.season.as_ref().unwrap();
        let since = form(&desk).value("since").parse().unwrap();
        let all = season.trees_to_draw(since, today);
        let proposed: usize = form(&desk).value("trees").parse().unwrap();
        assert_eq!(proposed, all.min(20));
        if let Some(Layer::Form(form, _)) = desk.model.layers.last_mut() {
            crate::fill(form, "trees", &all.min(500).to_string());
        }
        touch(&mut desk, Action::Save);
        saved(&desk);
        draws += 1;
        assert!(draws < 200);
    }
    let shown = letters(&drawn(&desk, SIZE).0);
    assert!(
        shown.contains("all trees pruned so far are drawn or counted: Log work"),
        "{shown}"
    );
}

#[test]
fn buds_by_themselves_of_an_earlier_version_are_asked_about_before_the_tree_is_closed() {
    let store = demo();
    let mut desk = desk(&store, (80, 24));
    take_waiting(&mut desk);
    // a whole tree is held beside the others
    touch(&mut desk, Action::TreeDetails);
    if let Some(Layer::Form(form, _)) = desk.model.layers.last_mut() {
        fill(form, "part", "");
    }
    touch(&mut desk, Action::Save);
    let unit = Tap::Unit(Size::Medium, Buds::new(2).unwrap());
    let taps = [Age::One, Age::Two, Age::Three].map(Tap::Piece);
    for tap in taps {
        touch(&mut desk, Action::Tap(tap));
    }
    // no button has them any more
    for _ in 0..3 {
        desk.take(Event::Act(Action::Tap(unit)));
    }
    let id = desk.model.count.begun().unwrap();
    touch(&mut desk, Action::CloseTree);
    let shown = letters(&drawn(&desk, (80, 24)).0);
    assert!(
        shown.contains("3 units and 1 two-year piece were tapped") && shown.contains("2 more"),
        "{shown}"
    );
    assert!(
        shown.contains("5 pieces; ") && shown.contains("trees here have about"),
        "that it has so few even then is asked in one\n{shown}"
    );
    touch(&mut desk, Action::Cancel);
    assert_eq!(desk.model.count.tally().unwrap().ages, [1, 1, 1, 0]);

    touch(&mut desk, Action::CloseTree);
    touch(&mut desk, Action::Confirm);
    let known = |desk: &Runtime<'_>| {
        let count = desk.model.season.as_ref().unwrap().count(id).unwrap();
        (count.closed, count.tally.ages)
    };
    assert_eq!(known(&desk), (true, [1, 3, 1, 0]));
    // opened again, undo takes these two off first, and with the pieces there nothing is asked
    touch(&mut desk, Action::Undo);
    touch(&mut desk, Action::Undo);
    assert_eq!(known(&desk), (false, [1, 2, 1, 0]));
    touch(&mut desk, Action::Tap(Tap::Piece(Age::Two)));
    touch(&mut desk, Action::CloseTree);
    let shown = letters(&drawn(&desk, (80, 24)).0);
    assert!(
        !shown.contains("were tapped") && shown.contains("5 pieces; "),
        "only that it has so few\n{shown}"
    );
    touch(&mut desk, Action::Confirm);
    assert!(desk.model.layers.is_empty());
    assert_eq!(known(&desk), (true, [1, 3, 1, 0]));
}

#[test]
fn a_tree_with_nothing_tapped_is_bare_or_was_not_counted() {
    let store = demo();
    let mut desk = desk(&store, (80, 24));
    take_waiting(&mut desk);
    let place = desk.model.count.place().unwrap().clone();
    let of_pruner = |desk: &Runtime<'_>| {
        let standings = desk.model.figures.so_far.iter();
        let own = standings.filter(|one| one.subject.pruner_id() == place.pruner);
        own.map(|one| (one.trees, one.mix)).collect::<Vec<_>>()
    };
    let trees = |of: &[(u32, Option<[f64; 4]>)]| of.iter().map(|(trees, _)| trees).sum::<u32>();
    let (before, walk) = (of_pruner(&desk), desk.model.figures.walk.clone().unwrap());
    let counts = desk.model.season.as_ref().unwrap().counts().len();
    touch(&mut desk, Action::CloseTree);
    let shown = letters(&drawn(&desk, (80, 24)).0);
    assert!(
        shown.contains("Is it bare") && shown.contains("Skip (0)"),
        "{shown}"
    );
    touch(&mut desk, Action::Cancel);
    assert_eq!(desk.model.count.place().unwrap().tree, place.tree);
    assert_eq!(desk.model.season.as_ref().unwrap().counts().len(), counts);

    touch(&mut desk, Action::CloseTree);
    touch(&mut desk, Action::Confirm);
    let shown = letters(&drawn(&desk, (80, 24)).0);
    assert!(shown.contains("closed: a bare tree"), "{shown}");
    let now = desk.model.figures.walk.clone().unwrap();
    assert_eq!(
        (now.counted_today, now.waiting + 1),
        (walk.counted_today + 1, walk.waiting)
    );
    // a tree more, and no share of any age
    let after = of_pruner(&desk);
    assert_eq!(trees(&after), trees(&before) + 1);
    let mixes = after
        .iter()
        .zip(&before)
        .map(|(after, before)| (after.1, before.1));
    for (after, before) in mixes {
        // of its day's trees fewer have shares than were thought to, so that day weighs a little less
        let near = |(a, b): (f64, f64)| (a - b).abs() < 0.001;
        let (after, before) = (after.unwrap(), before.unwrap());
        assert!(
            after.into_iter().zip(before).all(near),
            "{after:?} {before:?}"
        );
    }
    desk.take(Event::Act(Action::Go(Screen::SetUp)));
    desk.take(Event::Act(Action::Section(5)));
    let shown = letters(&drawn(&desk, (80, 24)).0);
    assert!(shown.contains(" bare "), "{shown}");
    // it was a slip: undo opens it, and a piece is tapped on it
    desk.take(Event::Act(Action::Go(Screen::Count)));
    touch(&mut desk, Action::Undo);
    assert_eq!(desk.model.count.place().unwrap().tree, place.tree);
    desk.take(Event::Key(Key::Char('1')));
    assert_eq!(desk.model.count.tally().unwrap().pieces(), 1);
    assert_eq!(
        desk.model.season.as_ref().unwrap().counts().len(),
        counts + 1
    );
    assert_eq!(store.check().unwrap().problems, Vec::<String>::new());
}
