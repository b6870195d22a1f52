//! Closing a tree that cannot be right asks first.

use crate::judge::More;
use crate::orchard::{CountId, Stage};
use crate::report::{Period, Season};
use crate::store::Store;
use crate::tui::Key;
use crate::tui::app::{Event, Layer};
use crate::tui::runtime::Runtime;
use crate::tui::trial::{start, today};

fn demo(store: &Store) -> Runtime<'_> {
    crate::demo::fill(store, 1, today()).unwrap();
    Runtime::new(store, start(), (80, 24)).unwrap()
}

fn keys(desk: &mut Runtime<'_>, keys: &[Key]) {
    for key in keys {
        desk.take(Event::Key(*key));
    }
}

/// How many more trees each pruner wants, who has any counted.
fn more(desk: &Runtime<'_>) -> Vec<More> {
    let standings = desk.model.figures.so_far.iter();
    standings.map(|standing| standing.judgement.more).collect()
}

#[test]
fn seven_pieces_close_no_tree_of_the_demo_unasked() {
    let store = Store::in_memory().unwrap();
    let mut desk = demo(&store);
    let before = more(&desk);
    assert!(
        before.iter().any(|more| matches!(more, More::About(_))),
        "{before:?}"
    );
    let trees = desk.model.figures.walk.as_ref().unwrap().waiting;
    assert!(trees > 10);
    keys(&mut desk, &[Key::F(3)]);
    for _ in 0..trees {
        let begun = desk.model.count.begun().map(|id| {
            let season = desk.model.season.as_ref().unwrap();
            season.count(id).unwrap().tally.pieces()
        });
        for _ in begun.unwrap_or(0)..7 {
            keys(&mut desk, &[Key::Char('1')]);
        }
        keys(&mut desk, &[Key::Enter]);
        let Some(Layer::Question(question)) = desk.model.layers.last() else {
            panic!("closed unasked: {:?}", desk.model.message);
        };
        let words = &question.words;
        let head = desk.model.count.place().unwrap();
        if head.part.runs().is_some() {
            assert!(words.starts_with("7 of 20 pieces are counted"), "{words}");
        } else {
            assert!(words.starts_with("7 pieces; "), "{words}");
            let others = words.contains("other trees") && words.contains("have about ");
            assert!(others, "{words}");
        }
        keys(&mut desk, &[Key::Char('n')]);
        assert_eq!(more(&desk), before, "no: nothing is closed");
        // leave it, and on to the next one
        keys(&mut desk, &[Key::Backspace; 7]);
        keys(&mut desk, &[Key::Char('0'), Key::Ctrl('s')]);
    }
}

#[test]
fn yes_closes_it_all_the_same() {
    let store = Store::in_memory().unwrap();
    let mut desk = demo(&store);
    keys(&mut desk, &[Key::F(3), Key::Char('1'), Key::Enter]);
    let id = desk.model.count.begun().unwrap();
    let closed = |desk: &Runtime<'_>, id: CountId| {
        let season = desk.model.season.as_ref().unwrap();
        season.count(id).unwrap().closed
    };
    assert!(!closed(&desk, id));
    keys(&mut desk, &[Key::Char('y')]);
    assert!(closed(&desk, id));
}

#[test]
fn of_the_demos_own_trees_few_are_asked_about() {
    let (mut asked, mut all) = (0, 0);
    for seed in 1..=4 {
        let store = Store::in_memory().unwrap();
        crate::demo::fill(&store, seed, today()).unwrap();
        for winter in store.winters().unwrap() {
            let season = Season::load(&store, winter).unwrap();
            let period = Period::so_far(chrono::NaiveDate::MAX);
            for stage in Stage::ALL {
                for count in season.standing_counts(stage, period) {
                    all += 1;
                    asked += u32::from(season.far_fewer(count, count.tally.pieces()).is_some());
                }
            }
        }
    }
    assert!(all > 1_500, "{all}");
    assert!(asked * 200 < all, "{asked} of {all}");
}

#[test]
fn it_is_compared_with_the_pruners_trees_and_else_with_the_blocks() {
    let store = Store::in_memory().unwrap();
    let desk = demo(&store);
    let season = desk.model.season.as_ref().unwrap();
    let period = Period::so_far(today());
    let mut whose = [0, 0];
    for count in season.standing_counts(Stage::After, period) {
        let few = season
            .far_fewer(count, 1)
            .expect("one piece is too few anywhere");
        whose[usize::from(few.of.is_none())] += 1;
        assert!(few.of.is_none() || few.of == count.pruner());
        // on as much of the tree as was counted
        assert!((15.0..90.0).contains(&few.usual), "{few:?}");
    }
    assert!(whose[0] > 100, "{whose:?}");
}
