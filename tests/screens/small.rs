//! Every screen where there is little room: on a screen held upright, or above the keyboard of a tablet.

use thirdwood::orchard::Tap;
use thirdwood::tui::app::{Event, Layer, view};
use thirdwood::tui::keymap::TABLE;
use thirdwood::tui::runtime::Runtime;
use thirdwood::tui::tour::Tour;
use thirdwood::tui::{Action, Context, Key, Screen};

use crate::places::{self, Place};
use crate::{demo, desk, drawn, letters};

pub const SMALL: (u16, u16) = (60, 16);

pub fn key(c: char) -> Event {
    Event::Key(Key::Char(c))
}

/// Every place, and those where something is chosen or changed first, so that all buttons have their use.
pub fn all() -> Vec<Place> {
    let right = |times: usize| vec![Event::Key(Key::Right); times];
    let mut all = places::all();
    for part in 0..5 {
        let go = Event::Act(Action::Section(part));
        all.push(Place::new(
            format!("Winter part {part}"),
            Screen::Winter,
            &[go],
        ));
    }
    let what_if = [Event::Act(Action::Section(3)), key('+')];
    all.push(Place::new(
        "Winter, something changed",
        Screen::Winter,
        &what_if,
    ));
    for part in 0..4 {
        let way = [vec![Event::Key(Key::Enter)], right(part)].concat();
        all.push(Place::new(
            format!("Outlook part {part}"),
            Screen::Outlook,
            &way,
        ));
    }
    let taken = [Event::Key(Key::Enter), key('+')];
    all.push(Place::new(
        "Outlook, something taken",
        Screen::Outlook,
        &taken,
    ));
    let removed = [Event::Act(Action::Section(5)), key('x'), key('y')];
    all.push(Place::new(
        "Set-up, a count removed",
        Screen::SetUp,
        &removed,
    ));
    for screen in [
        Screen::Crew,
        Screen::Blocks,
        Screen::Winter,
        Screen::Outlook,
    ] {
        for picture in 0..5 {
            let way = [vec![key('v')], right(picture)].concat();
            let name = format!("{} picture {picture}", screen.title());
            all.push(Place::new(name, screen, &way));
        }
    }
    all
}

pub fn is_menu(desk: &Runtime<'_>) -> bool {
    matches!(desk.model.layers.last(), Some(Layer::Menu(_)))
}

/// The words of a text, without how it is broken into lines.
pub fn words(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// All that the menu of a place says, and what can be touched in it.
pub fn menu(desk: &mut Runtime<'_>) -> (String, Vec<Action>) {
    desk.take(Event::Act(Action::Menu));
    if !is_menu(desk) {
        return (String::new(), Vec::new());
    }
    let mut said = String::new();
    loop {
        let (buf, hits) = drawn(desk, desk.model.size);
        assert_eq!(hits.too_small(), []);
        let shown = letters(&buf);
        desk.take(Event::Act(Action::Down));
        let (next, _) = drawn(desk, desk.model.size);
        let mut lines = shown.lines().skip(1);
        if next != buf {
            // the others are read with the next ones
            said += lines.next().unwrap_or_default();
            said.push(' ');
            continue;
        }
        let rest = lines.take_while(|line| !line.starts_with('┌'));
        said += &rest.collect::<Vec<_>>().join(" ");
        desk.take(Event::Key(Key::Esc));
        assert!(!is_menu(desk));
        let actions = hits.targets().map(|(_, action)| action);
        return (words(&said), actions.collect());
    }
}

/// The chosen line, marked at its left edge, where the place is a list.
fn marked(desk: &Runtime<'_>) -> Vec<Action> {
    let (buf, hits) = drawn(desk, desk.model.size);
    let rows = hits
        .rows()
        .filter(|(area, _)| buf[(area.x, area.y)].symbol() == "▸");
    rows.map(|(_, action)| action).collect()
}

#[test]
fn the_chosen_line_is_in_sight_by_keys_and_by_touch() {
    let store = demo();
    let mut lists = 0;
    for place in all() {
        for size in [SMALL, (80, 24)] {
            for by_touch in [false, true] {
                let mut desk = place.open(&store, size);
                if !desk.model.layers.is_empty() || marked(&desk).is_empty() {
                    continue;
                }
                lists += 1;
                let steps = [Key::Down; 30].into_iter().chain([Key::Up; 30]);
                for step in steps.chain([Key::PageDown, Key::End, Key::PageUp, Key::Home]) {
                    let (_, hits) = drawn(&desk, size);
                    let asked = match step {
                        Key::Down => Action::Down,
                        Key::Up => Action::Up,
                        Key::PageDown => Action::PageDown,
                        _ => Action::PageUp,
                    };
                    let touched = hits.targets().chain(hits.rows());
                    let touched: Vec<_> = touched.filter(|(_, action)| *action == asked).collect();
                    match (by_touch, touched.first()) {
                        (true, Some((area, _))) => {
                            let action = hits.at(area.x + 1, area.y).unwrap();
                            assert_eq!(action, asked, "{}", place.name);
                            desk.take(Event::Act(action));
                        }
                        _ => desk.take(Event::Key(step)),
                    }
                    assert_eq!(marked(&desk).len(), 1, "{} {step:?}", place.name);
                }
            }
        }
    }
    assert!(lists > 80, "{lists} lists");
}

/// Units are tapped size by size; a letter counts whichever size is shown, and shows its own.
#[test]
fn a_tree_is_counted_by_touch_alone() {
    use thirdwood::orchard::{Age, Buds, Size};
    let store = demo();
    let mut desk = desk(&store, SMALL);
    let waits = desk.model.figures.walk.as_ref().unwrap().resume.len();
    for action in [Action::Select(waits), Action::Open] {
        desk.take(Event::Act(action));
    }
    let three = Buds::new(3).unwrap();
    let taps = [
        Action::Tap(Tap::Piece(Age::Two)),
        Action::Pads(Size::Thick),
        Action::Tap(Tap::TwoYear(Size::Thick, three)),
        Action::Pads(Size::Thin),
        Action::Less,
        Action::Pads(Size::Thick),
        Action::Tap(Tap::TwoYear(Size::Thick, three)),
        Action::Pads(Size::Thin),
        Action::Tap(Tap::TwoYear(Size::Thin, three)),
    ];
    for tap in taps {
        let (_, hits) = drawn(&desk, SMALL);
        assert!(hits.targets().any(|(_, action)| action == tap), "{tap:?}");
        desk.take(Event::Act(tap));
    }
    let units = desk.model.count.tally().unwrap().units;
    assert_eq!(
        (units[0][3], units[2][3]),
        (1, 0),
        "the thick one was taken off"
    );
    desk.take(key('d'));
    let medium = Action::Tap(Tap::TwoYear(Size::Medium, three));
    let (_, hits) = drawn(&desk, SMALL);
    assert!(hits.targets().any(|(_, action)| action == medium));
    for action in [Action::Undo, Action::CloseTree, Action::Menu] {
        assert!(
            hits.targets().any(|(_, asked)| asked == action),
            "{action:?}"
        );
    }
}

#[test]
fn every_page_is_set_for_the_screen() {
    let store = demo();
    let mut pages = 0;
    for place in all() {
        let mut desk = place.open(&store, SMALL);
        if !matches!(
            desk.model.layers.last(),
            Some(Layer::Page { .. } | Layer::Help(_))
        ) {
            continue;
        }
        pages += 1;
        for _ in 0..60 {
            let shown = letters(&drawn(&desk, SMALL).0);
            let lines: Vec<&str> = shown.lines().take(12).collect();
            assert!(!lines.join("\n").contains('…'), "{}: {shown}", place.name);
            desk.take(Event::Key(Key::PageDown));
        }
    }
    assert!(pages > 10, "{pages} pages");
}

#[test]
fn the_first_round_is_told_and_ended() {
    let store = demo();
    let mut desk = desk(&store, SMALL);
    desk.model.tour = Some(Tour::begin(&desk.model.seen()));
    let foot = |desk: &Runtime<'_>| {
        letters(&drawn(desk, SMALL).0)
            .lines()
            .nth(15)
            .unwrap()
            .to_owned()
    };
    assert_eq!(foot(&desk), desk.model.tour.as_ref().unwrap().words());
    let (_, actions) = menu(&mut desk);
    assert!(actions.contains(&Action::EndRound));
    desk.take(Event::Act(Action::EndRound));
    assert_eq!(desk.model.tour, None);
}

#[test]
fn a_window_that_is_too_small_says_what_is_needed() {
    let store = demo();
    let form = [Event::Act(Action::LogWork)];
    for (way, least) in [(&[][..], (60, 16)), (&form[..], (60, 12))] {
        let mut desk = desk(&store, least);
        for event in way {
            desk.take(event.clone());
        }
        let told = |(columns, lines)| {
            let shown = words(&letters(&drawn(&desk, (columns, lines)).0));
            let is = format!("{columns} x {lines} is too small: ");
            let needed = format!("{} columns x {} lines are needed", least.0, least.1);
            (shown.contains(&is), shown.contains(&needed))
        };
        assert_eq!(told(least), (false, false));
        for (columns, lines) in [(least.0 - 1, least.1), (least.0, least.1 - 1), (20, 5)] {
            assert_eq!(told((columns, lines)), (true, true), "{columns} x {lines}");
        }
    }
}

#[test]
fn every_line_of_the_table_has_a_place() {
    // the lines that hold on a small screen alone are told in its help
    let store = demo();
    let mut desk = desk(&store, SMALL);
    desk.take(Event::Key(Key::F(1)));
    desk.take(Event::Key(Key::End));
    let shown = words(&letters(&view_of(&desk)));
    for line in TABLE.iter().filter(|line| line.context == Context::Small) {
        assert!(shown.contains(line.doc), "{} in {shown}", line.doc);
    }
}

fn view_of(desk: &Runtime<'_>) -> ratatui::buffer::Buffer {
    let mut buf =
        ratatui::buffer::Buffer::empty(ratatui::layout::Rect::new(0, 0, SMALL.0, SMALL.1));
    view(&desk.model, &mut buf);
    buf
}

#[test]
fn the_screens_as_they_were() {
    let store = demo();
    for screen in Screen::ALL {
        let mut desk = desk(&store, SMALL);
        desk.take(Event::Act(Action::Go(screen)));
        let shown = |desk: &Runtime<'_>| letters(&drawn(desk, SMALL).0);
        let name = screen.title().to_lowercase().replace('-', "");
        insta::assert_snapshot!(format!("small_{name}"), shown(&desk));
        if screen == Screen::Count {
            desk.take(Event::Act(Action::Menu));
            insta::assert_snapshot!("small_count_menu", shown(&desk));
        }
    }
}

#[test]
fn a_screen_of_any_size_is_drawn() {
    let store = places::odd_names();
    for place in all() {
        let mut desk = place.open(&store, SMALL);
        for size in [(61, 17), (79, 24), (80, 23), (60, 60), (200, 16)] {
            desk.take(Event::Resize(size.0, size.1));
            let (_, hits) = drawn(&desk, size);
            assert_eq!(hits.too_small(), [], "{} at {size:?}", place.name);
        }
    }
}
