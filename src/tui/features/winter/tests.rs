use insta::assert_snapshot;
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

use super::Part;
use crate::demo;
use crate::store::Store;
use crate::tui::app::{Event, Layer, view};
use crate::tui::runtime::Runtime;
use crate::tui::trial::{start, today};
use crate::tui::{Action, HitMap, Key, Screen};

fn filled() -> Store {
    let store = Store::in_memory().unwrap();
    demo::fill(&store, 1, today()).unwrap();
    store
}

fn desk(store: &Store, size: (u16, u16)) -> Runtime<'_> {
    let mut desk = Runtime::new(store, start(), size).unwrap();
    desk.take(Event::Act(Action::Go(Screen::Winter)));
    desk
}

fn look(desk: &Runtime<'_>) -> (String, HitMap) {
    let (width, height) = desk.model.size;
    let mut buf = Buffer::empty(Rect::new(0, 0, width, height));
    let hits = view(&desk.model, &mut buf);
    let lines = buf.content.chunks(usize::from(width));
    let text = |cells: &[ratatui::buffer::Cell]| {
        let text: String = cells.iter().map(ratatui::buffer::Cell::symbol).collect();
        text.trim_end().to_owned()
    };
    (lines.map(text).collect::<Vec<_>>().join("\n"), hits)
}

#[test]
fn each_part_looks_as_it_should_and_is_made_for_gloves() {
    let store = filled();
    for (size, name) in [((80, 24), "small"), ((120, 40), "large")] {
        let mut desk = desk(&store, size);
        for part in Part::ALL {
            desk.take(Event::Act(Action::Section(part.place())));
            let (text, hits) = look(&desk);
            assert_eq!(hits.too_small(), [], "{part:?}");
            let mut buttons = text.lines().rev().take(4);
            assert!(buttons.all(|line| !line.contains('…')), "{text}");
            assert_snapshot!(format!("{name}_{part:?}"), text);
        }
    }
}

#[test]
fn what_if_moves_the_finish_and_stores_nothing() {
    let store = filled();
    let mut desk = desk(&store, (80, 24));
    let before = store.changes_by_others().unwrap();
    desk.take(Event::Act(Action::Section(Part::WhatIf.place())));
    desk.take(Event::Key(Key::Char('+')));
    desk.take(Event::Key(Key::Char('+')));
    let figures = &desk.model.figures;
    let (now, then) = (
        figures.winter.as_ref().unwrap(),
        figures.what_if.as_ref().unwrap(),
    );
    assert_eq!(then.what_if.pruners, 2);
    assert_ne!(now.finish, then.finish);
    assert_eq!(now.done, then.done);
    assert!(look(&desk).0.contains("nothing of this is stored"));
    desk.take(Event::Key(Key::Backspace));
    assert!(desk.model.figures.what_if.is_none());
    assert_eq!(store.changes_by_others().unwrap(), before);
}

#[test]
fn days_are_entered_changed_and_removed() {
    let store = filled();
    let mut desk = desk(&store, (80, 24));
    let winter = desk.model.season.as_ref().unwrap().winter.id;
    let known = store.labour(winter).unwrap().lost.len();
    desk.take(Event::Act(Action::Section(Part::Entries.place())));
    desk.take(Event::Key(Key::Down));
    desk.take(Event::Key(Key::Char('n')));
    assert!(matches!(desk.model.layers.last(), Some(Layer::Form(..))));
    desk.take(Event::Key(Key::Ctrl('s')));
    assert!(desk.model.layers.is_empty(), "{:?}", desk.model.layers);
    let lost = store.labour(winter).unwrap().lost;
    assert_eq!(lost.len(), known + 1);
    assert!(look(&desk).0.contains("every forecast is made afresh"));
    let place = super::entries::entries(&desk.model)
        .iter()
        .position(|entry| matches!(entry, super::entries::Entry::Lost(_)))
        .unwrap();
    desk.take(Event::Act(Action::Select(place)));
    desk.take(Event::Key(Key::Char('x')));
    assert!(matches!(desk.model.layers.last(), Some(Layer::Question(_))));
    desk.take(Event::Key(Key::Enter));
    assert_eq!(store.labour(winter).unwrap().lost.len(), known);
}

#[test]
fn without_a_winter_nothing_is_promised() {
    let store = Store::in_memory().unwrap();
    let mut desk = desk(&store, (80, 24));
    for key in ['n', 'e', 'x', '+', '-'] {
        desk.take(Event::Key(Key::Char(key)));
        assert!(desk.model.layers.is_empty());
    }
    desk.take(Event::Key(Key::Enter));
    assert!(look(&desk).0.contains("No winter is set up yet"));
}

#[test]
fn all_figures_are_read_on_a_page() {
    let store = filled();
    let mut desk = desk(&store, (80, 24));
    desk.take(Event::Key(Key::Enter));
    assert!(look(&desk).0.contains("The winter's work in full"));
}
