//! All of the first hour by touch alone: a key is pressed only for a name.

use thirdwood::orchard::{Age, Buds, Size, Tap};
use thirdwood::tui::app::{Event, FormKind, Layer};
use thirdwood::tui::runtime::Runtime;
use thirdwood::tui::{Action, Form, Key, Screen};

use crate::{demo, desk, drawn, empty, letters};

pub const SIZE: (u16, u16) = (100, 30);

/// Touches what asks for this; it must be on the screen, with nothing over it.
pub fn touch(desk: &mut Runtime<'_>, action: Action) {
    let size = desk.model.size;
    let (buf, hits) = drawn(desk, size);
    let all = hits.targets().chain(hits.rows());
    let place = all.filter(|(_, target)| *target == action).last();
    let (area, _) = place.unwrap_or_else(|| panic!("no {action:?} in\n{}", letters(&buf)));
    let (x, y) = (area.x + area.width / 2, area.y + area.height / 2);
    assert_eq!(
        hits.at(x, y),
        Some(action),
        "under another\n{}",
        letters(&buf)
    );
    assert_eq!(hits.too_small(), []);
    desk.take(Event::Act(action));
}

pub fn form<'d>(desk: &'d Runtime<'_>) -> &'d Form {
    match desk.model.layers.last() {
        Some(Layer::Form(form, _)) => form,
        other => panic!("no form but {other:?}: {:?}", desk.model.message),
    }
}

fn to_field(desk: &mut Runtime<'_>, key: &str) {
    for _ in 0..20 {
        if form(desk).focused().unwrap().key == key {
            return;
        }
        touch(desk, Action::Down);
    }
    panic!("no field {key}");
}

/// Fills a field in by the buttons that it has.
fn tap_in(desk: &mut Runtime<'_>, key: &str, text: &str) {
    to_field(desk, key);
    for letter in text.chars() {
        touch(desk, Action::Type(letter));
    }
    assert_eq!(form(desk).value(key), text);
}

fn name(desk: &mut Runtime<'_>, text: &str) {
    to_field(desk, "name");
    for letter in text.chars() {
        desk.take(Event::Key(Key::Char(letter)));
    }
}

pub fn saved(desk: &Runtime<'_>) {
    assert!(desk.model.layers.is_empty(), "{:?}", desk.model.layers);
}

#[test]
fn the_first_hour_needs_no_keyboard() {
    let store = empty();
    let mut desk = desk(&store, SIZE);
    // a winter: the days by their steps
    touch(&mut desk, Action::New);
    let first = form(&desk).value("start").to_owned();
    touch(&mut desk, Action::Step(-1));
    touch(&mut desk, Action::Step(-1));
    touch(&mut desk, Action::Step(1));
    assert!(form(&desk).value("start") < first.as_str());
    touch(&mut desk, Action::Save);
    saved(&desk);
    // a block apart from its name
    touch(&mut desk, Action::Section(1));
    touch(&mut desk, Action::New);
    name(&mut desk, "River");
    tap_in(&mut desk, "planted", "2012");
    tap_in(&mut desk, "row_spacing_m", "4.0");
    touch(&mut desk, Action::Step(1));
    assert_eq!(
        form(&desk).value("row_spacing_m"),
        "4.1",
        "by its last digit"
    );
    tap_in(&mut desk, "tree_spacing_m", "1.5");
    tap_in(&mut desk, "stems", "4");
    tap_in(&mut desk, "rows", "1-4x50");
    tap_in(&mut desk, "missing", "1:3");
    touch(&mut desk, Action::Save);
    saved(&desk);
    // the crew, one after the other
    touch(&mut desk, Action::Section(2));
    touch(&mut desk, Action::New);
    name(&mut desk, "Ana");
    touch(&mut desk, Action::SaveNext);
    assert_eq!(form(&desk).value("number"), "2", "the next one at once");
    touch(&mut desk, Action::Save);
    saved(&desk);
    assert_eq!(store.pruners().unwrap().len(), 2);
    // work, a draw, a count
    touch(&mut desk, Action::Go(Screen::Today));
    touch(&mut desk, Action::LogWork);
    // two on the crew: a button each
    touch(&mut desk, Action::Pick(1));
    assert!(form(&desk).value("pruner").starts_with("Nr 2"));
    touch(&mut desk, Action::Pick(0));
    tap_in(&mut desk, "row", "1-2,4");
    tap_in(&mut desk, "hours", "7:30");
    touch(&mut desk, Action::Erase);
    assert_eq!(form(&desk).value("hours"), "7:3");
    touch(&mut desk, Action::Type('0'));
    touch(&mut desk, Action::Save);
    saved(&desk);
    touch(&mut desk, Action::DrawTrees);
    touch(&mut desk, Action::Step(-1));
    assert_eq!(form(&desk).value("trees"), "19");
    touch(&mut desk, Action::Save);
    saved(&desk);
    touch(&mut desk, Action::Open);
    for _ in 0..2 {
        touch(
            &mut desk,
            Action::Tap(thirdwood::orchard::Tap::Piece(thirdwood::orchard::Age::One)),
        );
    }
    touch(&mut desk, Action::CloseTree);
    // fewer pieces than were drawn: that is asked
    touch(&mut desk, Action::Confirm);
    touch(&mut desk, Action::SkipTree);
    touch(&mut desk, Action::Pick(2));
    touch(&mut desk, Action::Save);
    saved(&desk);
    let walk = desk.model.figures.walk.clone().unwrap();
    assert_eq!((walk.counted_today, walk.waiting), (1, 17));
    // the count is mended from the list, and the tree put back
    touch(&mut desk, Action::LeaveCount);
    touch(&mut desk, Action::Go(Screen::SetUp));
    touch(&mut desk, Action::Section(7));
    touch(&mut desk, Action::Edit);
    assert!(form(&desk).value("tree").ends_with(": not pruned yet"));
    touch(&mut desk, Action::Save);
    touch(&mut desk, Action::Section(5));
    touch(&mut desk, Action::Edit);
    tap_in(&mut desk, "part", "2");
    touch(&mut desk, Action::Save);
    saved(&desk);
    // and the sheet
    touch(&mut desk, Action::Go(Screen::Crew));
    touch(&mut desk, Action::DaySheet);
    assert!(matches!(desk.model.layers.last(), Some(Layer::Page { .. })));
}

#[test]
fn help_first_steps_and_papers_are_a_touch_away_everywhere() {
    let store = demo();
    for screen in Screen::ALL {
        for size in [(80, 24), SIZE] {
            let mut desk = desk(&store, size);
            desk.take(Event::Act(Action::Go(screen)));
            touch(&mut desk, Action::Help);
            touch(&mut desk, Action::FirstSteps);
            let shown = letters(&drawn(&desk, size).0);
            assert!(shown.contains("[x] 1 a winter"), "{shown}");
            touch(&mut desk, Action::Back);
            touch(&mut desk, Action::Help);
            touch(&mut desk, Action::Papers);
            assert!(matches!(
                desk.model.layers.last(),
                Some(Layer::Form(_, FormKind::Papers))
            ));
        }
    }
}

#[test]
fn help_in_a_form_gives_the_form_back_as_it_was() {
    let store = demo();
    let mut desk = desk(&store, SIZE);
    touch(&mut desk, Action::LogWork);
    tap_in(&mut desk, "row", "12");
    touch(&mut desk, Action::Help);
    let shown = letters(&drawn(&desk, SIZE).0);
    assert!(shown.contains("save, from any field"), "{shown}");
    // no way leads away from what is not saved
    let hits = drawn(&desk, SIZE).1;
    assert!(!hits.targets().any(|(_, action)| action == Action::Papers));
    desk.take(Event::Act(Action::Papers));
    // nor does leaving the program throw it away unasked
    desk.take(Event::Key(Key::Ctrl('q')));
    assert!(!desk.done);
    assert_eq!(form(&desk).value("row"), "12");
    touch(&mut desk, Action::Help);
    touch(&mut desk, Action::Back);
    assert_eq!(form(&desk).value("row"), "12");
}

/// Above a keyboard on the screen some lines are left: the field in hand and Save are among them.
#[test]
fn a_form_is_filled_in_above_a_keyboard_on_the_screen() {
    let store = demo();
    let low = (100, 15);
    let mut desk = desk(&store, SIZE);
    desk.take(Event::Act(Action::Go(Screen::SetUp)));
    desk.take(Event::Act(Action::Section(1)));
    touch(&mut desk, Action::New);
    desk.take(Event::Resize(low.0, low.1));
    for place in 0..form(&desk).fields.len() {
        let label = form(&desk).focused().unwrap().label.clone();
        assert_eq!(form(&desk).focus(), place);
        let shown = letters(&drawn(&desk, low).0);
        assert!(
            shown.contains(&format!("▸{label}")),
            "{label} not in\n{shown}"
        );
        assert!(shown.contains("Save"), "{shown}");
        desk.take(Event::Key(Key::Down));
    }
    desk.take(Event::Act(Action::Field(0)));
    for letter in "Hill".chars() {
        desk.take(Event::Key(Key::Char(letter)));
    }
    assert_eq!(form(&desk).value("name"), "Hill");
    // what is wrong is told there too
    touch(&mut desk, Action::Save);
    let shown = letters(&drawn(&desk, low).0);
    assert!(
        form(&desk).fields.iter().any(|field| field.error.is_some()),
        "{shown}"
    );
}

/// Opens the first drawn tree that waits.
pub fn take_waiting(desk: &mut Runtime<'_>) {
    let line = desk.model.figures.walk.as_ref().unwrap().resume.len();
    desk.take(Event::Act(Action::Go(Screen::Today)));
    desk.take(Event::Act(Action::Select(line)));
    touch(desk, Action::Open);
}

/// The round of the demo by touch: each step as it is told, always in sight, also under a message.
#[test]
fn the_round_is_made_by_touch() {
    let store = demo();
    for size in [(80, 24), SIZE] {
        let mut desk = thirdwood::tui::runtime::Runtime::new(
            &store,
            thirdwood::tui::runtime::Start {
                theme: Some(thirdwood::tui::Theme::Plain),
                few_colours: false,
                round: true,
                today: Some(crate::today()),
            },
            size,
        )
        .unwrap();
        let one = Action::Tap(Tap::Piece(Age::One));
        let unit = Tap::TwoYear(Size::Medium, Buds::new(2).unwrap());
        let steps: [&[Action]; 9] = [
            &[Action::DrawTrees, Action::Save],
            &[Action::Open],
            &[
                Action::TreeDetails,
                Action::Down,
                Action::Down,
                Action::Erase,
                Action::Type('2'),
                Action::Save,
            ],
            &[one],
            &[Action::Tap(unit)],
            &[Action::Undo],
            &[Action::CloseTree, Action::Confirm],
            &[
                Action::LeaveCount,
                Action::Go(Screen::Crew),
                Action::DaySheet,
            ],
            &[Action::Back, Action::Go(Screen::Winter)],
        ];
        for (at, actions) in (1..).zip(steps) {
            let told = letters(&drawn(&desk, size).0);
            let foot = told.lines().last().unwrap();
            assert!(foot.starts_with(&format!("{at}/9 ")), "{told}");
            assert!(foot.ends_with("F9 ends the round"), "{told}");
            assert!(!foot.contains('…'), "told in full: {foot}");
            if at == 8 {
                assert!(
                    told.contains(" closed: "),
                    "and what came of the tree\n{told}"
                );
            }
            for action in actions {
                touch(&mut desk, *action);
            }
        }
        assert_eq!(desk.model.tour, None);
    }
}

/// The round notices what is done also where another tree is taken in hand, or one is closed at once.
#[test]
fn the_round_keeps_up_with_whoever_goes_another_way() {
    let store = demo();
    let mut desk = desk(&store, (80, 24));
    desk.model.tour = Some(thirdwood::tui::tour::Tour::begin(&desk.model.seen()));
    let told = |desk: &Runtime<'_>| letters(&drawn(desk, (80, 24)).0);
    // one that has taps, and then one that has none
    touch(&mut desk, Action::Open);
    assert!(desk.model.count.tally().unwrap().pieces() > 0);
    desk.take(Event::Act(Action::LeaveCount));
    take_waiting(&mut desk);
    assert!(told(&desk).contains("3/9 "), "{}", told(&desk));
    for digit in ['1', '2', '3'] {
        desk.take(Event::Key(Key::Char(digit)));
    }
    touch(&mut desk, Action::CloseTree);
    touch(&mut desk, Action::Confirm);
    assert!(told(&desk).contains("8/9 "), "{}", told(&desk));
}

/// It is left at any time: by the line at the foot, and by a button as large as a finger.
#[test]
fn the_round_is_left_by_touch() {
    let store = demo();
    for by_help in [false, true] {
        let mut desk = desk(&store, (80, 24));
        desk.model.tour = Some(thirdwood::tui::tour::Tour::begin(&desk.model.seen()));
        if by_help {
            touch(&mut desk, Action::Help);
            let hits = drawn(&desk, (80, 24)).1;
            assert!(hits.targets().any(|(_, action)| action == Action::EndRound));
        }
        touch(&mut desk, Action::EndRound);
        assert_eq!(desk.model.tour, None);
    }
}
