//! How it looks: kept pictures, and what themes may and may not change.

use std::collections::BTreeSet;

use ratatui::style::{Color, Modifier};
use thirdwood::judge::Verdict;
use thirdwood::report::StandingLine;
use thirdwood::tui::app::Event;
use thirdwood::tui::keymap::{bindings, help, stack};
use thirdwood::tui::{Action, BudKeys, Key, Mode, Screen, Theme};

use crate::{demo, desk, drawn, empty, letters, places};

const SIZES: [(u16, u16); 2] = [(80, 24), (120, 40)];

#[test]
fn screens_as_they_were() {
    let stores = [
        ("demo", demo()),
        ("empty", empty()),
        ("odd_names", places::odd_names()),
    ];
    for (store_name, store) in &stores {
        for size in SIZES {
            for (name, screen, help) in [
                ("today", Screen::Today, false),
                ("count", Screen::Count, false),
                ("help_today", Screen::Today, true),
                ("help_count", Screen::Count, true),
            ] {
                if help && *store_name != "demo" {
                    continue;
                }
                let mut desk = desk(store, size);
                desk.take(Event::Act(Action::Go(screen)));
                if help {
                    desk.take(Event::Key(Key::F(1)));
                }
                let shown = letters(&drawn(&desk, size).0);
                insta::assert_snapshot!(format!("{name}_{store_name}_{}", size.0), shown);
            }
        }
    }
}

/// Colours of a frame, and its letters.
fn looks(
    desk: &mut thirdwood::tui::runtime::Runtime,
    theme: Theme,
    size: (u16, u16),
) -> (BTreeSet<String>, String) {
    desk.model.look.theme = theme;
    let (buf, _) = drawn(desk, size);
    let cells = buf.content.iter();
    let colours = cells.flat_map(|cell| [cell.fg, cell.bg]);
    let colours = colours.filter(|colour| *colour != Color::Reset);
    (
        colours.map(|colour| colour.to_string()).collect(),
        letters(&buf),
    )
}

#[test]
fn themes_change_colours_and_no_letter() {
    for store in [demo(), empty(), places::odd_names()] {
        for place in places::all() {
            for size in SIZES {
                let mut desk = place.open(&store, size);
                let (colours, plain) = looks(&mut desk, Theme::Plain, size);
                assert_eq!(
                    colours,
                    BTreeSet::new(),
                    "{}: plain has no colour",
                    place.name
                );
                for theme in [Theme::Dark, Theme::Bright] {
                    let (colours, letters) = looks(&mut desk, theme, size);
                    assert_eq!(letters, plain, "{} in {theme:?}", place.name);
                    assert!(colours.len() >= 2, "{} in {theme:?}", place.name);
                }
            }
        }
    }
}

#[test]
fn no_cell_is_left_in_the_terminals_own_colour() {
    let store = demo();
    for place in places::all() {
        let mut desk = place.open(&store, (80, 24));
        for theme in [Theme::Dark, Theme::Bright] {
            desk.model.look.theme = theme;
            let (buf, _) = drawn(&desk, (80, 24));
            for (at, cell) in buf.content.iter().enumerate() {
                let painted = cell.fg != Color::Reset && cell.bg != Color::Reset;
                assert!(
                    painted,
                    "{} in {theme:?}: {:?} {cell:?}",
                    place.name,
                    (at % 80, at / 80)
                );
                let visible = cell.symbol().trim().is_empty() || cell.fg != cell.bg;
                assert!(visible, "{}: {cell:?}", place.name);
            }
        }
    }
}

/// The mark that stands beside a verdict's word.
fn mark(verdict: Verdict) -> char {
    match verdict {
        Verdict::InBalance => '✓',
        Verdict::Light | Verdict::LeaningLight => '▼',
        Verdict::Heavy | Verdict::LeaningHeavy => '▲',
        Verdict::NothingBadlyWrong | Verdict::KeepCounting => '?',
    }
}

#[test]
fn every_verdict_has_its_word_and_its_mark() {
    let store = demo();
    let mut seen = BTreeSet::new();
    for size in SIZES {
        let mut desk = desk(&store, size);
        for (screen, standings) in [
            (Screen::Today, desk.model.figures.so_far.clone()),
            (Screen::Crew, desk.model.figures.crew.clone()),
            (Screen::Blocks, desk.model.figures.blocks.clone()),
        ] {
            desk.take(Event::Act(Action::Go(screen)));
            let shown = letters(&drawn(&desk, size).0);
            for standing in standings.iter().filter(|standing| standing.trees > 0) {
                let line = StandingLine::new(standing);
                let words = line.words();
                let word = words.split([',', '(']).next().unwrap().trim();
                let word = match (line.hint, line.overall) {
                    (Some(_), _) => "hint: ",
                    (None, Verdict::NothingBadlyWrong) => "nothing bad",
                    _ => word,
                };
                let badge = format!("{} {word}", mark(line.overall));
                assert!(shown.contains(&badge), "{badge:?} on {screen:?}:\n{shown}");
                seen.insert(badge);
            }
        }
    }
    // four marks at the least, and buds said in their own words
    let marks: BTreeSet<char> = seen
        .iter()
        .filter_map(|badge| badge.chars().next())
        .collect();
    assert_eq!(marks.len(), 4, "{seen:?}");
    assert!(
        seen.iter().any(|badge| badge.contains("off the rule")),
        "{seen:?}"
    );
}

#[test]
fn the_tree_in_hand_can_be_told_whatever_its_names() {
    let store = places::odd_names();
    for size in SIZES {
        let mut desk = desk(&store, size);
        for (line, name) in (0..).zip(places::names().iter().rev()) {
            desk.take(Event::Act(Action::Go(Screen::Today)));
            desk.take(Event::Act(Action::Select(line)));
            desk.take(Event::Act(Action::Open));
            let shown = letters(&drawn(&desk, size).0);
            let lines: Vec<&str> = shown.lines().collect();
            let first = name.chars().next().unwrap();
            assert!(lines[0].starts_with(first), "{shown}");
            assert!(
                lines[0].ends_with(", row 1, tree 7  (15 drawn trees to go)"),
                "{shown}"
            );
            assert!(
                lines[1].ends_with(" · after pruning · 2 stems · drawn"),
                "{shown}"
            );
            assert!(lines[4].contains(": 1 tree "), "{shown}");
        }
    }
}

#[test]
fn the_help_has_every_key_of_its_place() {
    let store = demo();
    for screen in Screen::ALL {
        let mut desk = desk(&store, (80, 24));
        desk.take(Event::Act(Action::Go(screen)));
        desk.take(Event::Key(Key::F(1)));
        let mut read = String::new();
        for _ in 0..20 {
            read += &letters(&drawn(&desk, (80, 24)).0);
            desk.take(Event::Key(Key::PageDown));
        }
        let here = stack(screen, Mode::Base);
        for line in help(here, &BudKeys::QWERTY) {
            let wanted = format!("{:<18} {}", line.keys, line.doc);
            assert!(
                read.contains(wanted.trim_end()),
                "{screen:?}: {wanted}\n{read}"
            );
        }
        let keys = here.iter().flat_map(|context| bindings(*context)).count();
        assert!(keys > 10, "{screen:?} has {keys} keys");
    }
}

#[test]
fn the_selected_line_is_marked_without_colour() {
    let store = demo();
    for screen in [Screen::Today, Screen::Crew, Screen::Blocks, Screen::SetUp] {
        let mut desk = desk(&store, (80, 24));
        desk.take(Event::Act(Action::Go(screen)));
        let (buf, hits) = drawn(&desk, (80, 24));
        let marked: Vec<_> = hits
            .rows()
            .filter(|(area, _)| buf[(area.x, area.y)].symbol() == "▸")
            .collect();
        assert_eq!(marked.len(), 1, "{screen:?}");
        let (area, _) = marked[0];
        let style = buf[(area.x, area.y)].modifier;
        assert!(style.contains(Modifier::REVERSED), "{screen:?}");
    }
}
