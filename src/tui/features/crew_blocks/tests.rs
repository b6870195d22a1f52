//! What keys and touches do on the lists and in what is opened.

use super::Part;
use crate::orchard::{Outcome, Rule, RuleDraft};
use crate::report::{document::sheets, text};
use crate::tui::app::{FormKind, Layer, Span};
use crate::tui::features::testing::{Orchard, drawn, press, shown, today, touch};
use crate::tui::runtime::Runtime;
use crate::tui::{Action, Key, Screen, Theme};

const SMALL: (u16, u16) = (80, 24);
const LARGE: (u16, u16) = (120, 40);

#[test]
fn all_that_is_touched_is_large_enough_and_on_the_screen() {
    let orchard = Orchard::usual();
    for size in [SMALL, (99, 30), LARGE, (240, 70)] {
        for screen in [Key::F(4), Key::F(5)] {
            let mut desk = orchard.desk(Theme::Dark, size);
            press(&mut desk, &[screen]);
            fits(&desk);
            press(&mut desk, &[Key::Enter]);
            for _ in Part::OF_BLOCK {
                fits(&desk);
                press(&mut desk, &[Key::Right]);
            }
        }
    }
}

fn fits(desk: &Runtime) {
    let (buf, hits) = drawn(desk);
    assert_eq!(hits.too_small(), []);
    for (place, _) in hits.targets().chain(hits.rows()) {
        assert_eq!(place.intersection(buf.area), place);
    }
}

#[test]
fn keys_and_touches_lead_to_the_same() {
    let orchard = Orchard::usual();
    for size in [SMALL, LARGE] {
        let steps: [(Key, Action); 14] = [
            (Key::F(4), Action::Go(Screen::Crew)),
            (Key::Down, Action::Down),
            (Key::Up, Action::Up),
            (Key::Down, Action::Select(1)),
            (Key::Char('p'), Action::TogglePeriod),
            (Key::Enter, Action::Open),
            (Key::Right, Action::NextSection),
            (Key::Left, Action::PrevSection),
            (Key::Right, Action::Section(1)),
            (Key::Esc, Action::Back),
            (Key::F(5), Action::Go(Screen::Blocks)),
            (Key::Enter, Action::Open),
            (Key::Left, Action::Section(6)),
            (Key::Down, Action::Down),
        ];
        let mut keyed = orchard.desk(Theme::Dark, size);
        let mut touched = orchard.desk(Theme::Dark, size);
        for (key, action) in steps {
            press(&mut keyed, &[key]);
            touch(&mut touched, action);
            assert_eq!(shown(&keyed), shown(&touched), "{key:?} and {action:?}");
        }
    }
}

#[test]
fn a_touch_on_another_room_turns_to_it_first() {
    let mut orchard = Orchard::usual();
    orchard.go_back(2, 0, 3, (9, "stubs"), None);
    let mut desk = orchard.desk(Theme::Dark, LARGE);
    press(&mut desk, &[Key::F(5), Key::Enter]);
    // the second line of the go-back list, while the mix is the part shown
    let (_, hits) = drawn(&desk);
    let lines: Vec<_> = (0..40).map(|y| hits.at(100, y)).collect();
    assert!(lines.contains(&Some(Action::Section(5))));
    assert!(!lines.contains(&Some(Action::Select(1))));
    touch(&mut desk, Action::Section(5));
    touch(&mut desk, Action::Select(1));
    press(&mut desk, &[Key::Char('g')]);
    let entry = orchard.store.go_backs(orchard.winter.id).unwrap();
    let stubs = entry.iter().find(|entry| entry.reason == "stubs").unwrap();
    assert!(
        matches!(desk.model.layers.last(), Some(Layer::Form(_, FormKind::Settle(id))) if *id == stubs.id)
    );
}

#[test]
fn what_came_of_a_row_is_written_and_shown() {
    let orchard = Orchard::usual();
    let mut desk = orchard.desk(Theme::Dark, SMALL);
    press(&mut desk, &[Key::F(5), Key::Enter, Key::Left]);
    assert!(shown(&desk).contains(" 2! ●!●!"));
    press(&mut desk, &[Key::Char('g'), Key::Right, Key::Ctrl('s')]);
    assert!(desk.model.layers.is_empty(), "{}", shown(&desk));
    let entries = orchard.store.go_backs(orchard.winter.id).unwrap();
    let outcomes: Vec<_> = entries.iter().map(|e| e.settled.unwrap().outcome).collect();
    assert_eq!(outcomes, [Outcome::Mended, Outcome::Mended]);
    let rows = shown(&desk);
    assert!(rows.contains(" 2 ●▒●▒"), "the picture is fresh:\n{rows}");
    press(&mut desk, &[Key::Char('g')]);
    assert!(shown(&desk).contains("no row of this block is sent back and open"));
}

#[test]
fn of_several_open_rows_one_is_chosen() {
    let mut orchard = Orchard::usual();
    orchard.go_back(2, 0, 3, (9, "stubs"), None);
    let mut desk = orchard.desk(Theme::Dark, SMALL);
    press(&mut desk, &[Key::F(5), Key::Char('g')]);
    assert!(desk.model.layers.is_empty());
    let list = shown(&desk);
    assert!(
        list.contains("[go-backs]") && list.contains("choose one"),
        "{list}"
    );
    press(&mut desk, &[Key::Down, Key::Char('g')]);
    assert!(shown(&desk).contains("Row 3 of River"), "{}", shown(&desk));
}

#[test]
fn the_day_sheet_is_the_one_on_paper() {
    let orchard = Orchard::usual();
    let mut desk = orchard.desk(Theme::Dark, SMALL);
    press(&mut desk, &[Key::F(4), Key::Down, Key::Char('s')]);
    let pruner = orchard.pruners[1].id;
    let season = desk.model.season.as_ref().unwrap();
    let paper = text::render(&sheets::day_sheets(&season.day_sheet(pruner, today())));
    let from_list = page(&desk);
    assert_eq!(from_list.0, "Day sheet: Nr 2 Mele");
    assert_eq!(from_list.1, paper.lines().collect::<Vec<_>>());
    press(&mut desk, &[Key::Esc, Key::Enter]);
    assert!(desk.model.crew.is_open());
    press(&mut desk, &[Key::Char('s')]);
    assert_eq!(page(&desk), from_list);
    press(&mut desk, &[Key::Esc]);
    assert!(desk.model.crew.is_open(), "back to where it was opened");
}

fn page(desk: &Runtime) -> (String, Vec<String>) {
    match desk.model.layers.last() {
        Some(Layer::Page { title, text, .. }) => (title.clone(), text.lines(80)),
        other => panic!("no page: {other:?}"),
    }
}

#[test]
fn the_days_are_changed_where_one_is() {
    let orchard = Orchard::usual();
    let mut desk = orchard.desk(Theme::Dark, SMALL);
    press(&mut desk, &[Key::F(4), Key::Down, Key::Enter]);
    assert!(shown(&desk).contains("28 trees (26 drawn)"));
    press(&mut desk, &[Key::Char('p')]);
    assert_eq!(desk.model.span, Span::Week);
    let week = shown(&desk);
    assert!(week.contains("Nr 2 Mele") && week.contains("last seven days"));
    assert!(week.contains("12 trees ("), "{week}");
    press(&mut desk, &[Key::Char('p')]);
    let day = shown(&desk);
    assert!(
        day.contains("today") && day.contains("none counted"),
        "{day}"
    );
}

#[test]
fn one_pruner_under_two_rules_has_two_lines() {
    let mut orchard = Orchard::usual();
    let rule = RuleDraft {
        parts: [2, 1, 1, 0],
        ..RuleDraft::default()
    };
    let rule = Rule::new(rule).unwrap();
    let (winter, top) = (orchard.winter.id, orchard.blocks[1].id);
    orchard.store.save_rule(winter, Some(top), &rule).unwrap();
    for tree in 1..=12 {
        orchard.count(1, (1, 2, tree), 18, [12, 6, 6, 0], [2, 3, 4]);
    }
    let mut desk = orchard.desk(Theme::Dark, SMALL);
    press(&mut desk, &[Key::F(4)]);
    let list = shown(&desk);
    assert!(
        list.contains("Nr 2: River") && list.contains("Nr 2: Top"),
        "{list}"
    );
    press(&mut desk, &[Key::Down, Key::Down, Key::Enter]);
    assert!(
        shown(&desk).contains("Nr 2 Mele in Top"),
        "{}",
        shown(&desk)
    );
    press(&mut desk, &[Key::Char('p')]);
    assert!(
        shown(&desk).contains("Nr 2 Mele in Top"),
        "{}",
        shown(&desk)
    );
}

#[test]
fn what_to_do_next_is_said_where_there_is_nothing() {
    let mut orchard = Orchard::bare();
    let look = |orchard: &Orchard, key| {
        let mut desk = orchard.desk(Theme::Dark, SMALL);
        press(
            &mut desk,
            &[key, Key::Enter, Key::Down, Key::Char('s'), Key::Char('g')],
        );
        assert!(desk.model.layers.is_empty());
        shown(&desk)
    };
    assert!(look(&orchard, Key::F(4)).contains("Nobody is on the crew list yet: Set-up (F8)"));
    assert!(look(&orchard, Key::F(5)).contains("No block is entered yet: Set-up (F8)"));
    orchard.pruner("Aroha");
    assert!(look(&orchard, Key::F(4)).contains("Count (F3) counts them"));
    orchard.store.remove_winter(orchard.winter.id).unwrap();
    assert!(look(&orchard, Key::F(4)).contains("No winter is set up yet: Set-up (F8)"));
    assert!(look(&orchard, Key::F(5)).contains("No winter is set up yet: Set-up (F8)"));
}
