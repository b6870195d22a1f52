//! The menu of a small screen: what finds no room on it is there, to read and to touch.

use std::collections::{BTreeSet, HashSet};

use thirdwood::tui::app::{Event, Layer};
use thirdwood::tui::keymap::{Binding, bindings, stack};
use thirdwood::tui::runtime::Runtime;
use thirdwood::tui::{Action, Context, Key, Mode, Screen};

use crate::small::{SMALL, all, is_menu, key, menu};
use crate::{demo, desk, drawn, empty, letters, places};

/// What a full screen cuts nowhere, or what leads there otherwise: see each.
fn need_not_be_touched(binding: &Binding) -> bool {
    match binding.action {
        // a list is left by the tabs
        Action::Back => binding.context == Context::List,
        Action::Stop // the shell has a keyboard
        | Action::NextScreen // the tabs lead to each screen
        | Action::PrevScreen
        | Action::First // lines and pages lead there
        | Action::Last
        | Action::PageUp
        | Action::PageDown
        | Action::EndRound // on the first round alone
        | Action::EndLeader // in the place of Skip, where leaders are drawn and a piece is counted
        | Action::Leaders(_) // a field of Tree
        => true,
        _ => false,
    }
}

#[test]
fn every_action_of_the_keys_is_touched_or_in_the_menu() {
    let stores = [demo(), places::odd_names()];
    for screen in Screen::ALL {
        let mut there: HashSet<Action> = HashSet::new();
        for store in &stores {
            for place in all().iter().filter(|place| place.screen == screen) {
                let mut desk = place.open(store, SMALL);
                if !desk.model.layers.is_empty() {
                    continue;
                }
                // some go on to Count
                let own = desk.model.screen == screen;
                let (_, hits) = drawn(&desk, SMALL);
                there.extend(
                    hits.targets()
                        .chain(hits.rows())
                        .map(|(_, action)| action)
                        .filter(|_| own),
                );
                there.extend(menu(&mut desk).1.into_iter().filter(|_| own));
            }
        }
        let opened = matches!(screen, Screen::Crew | Screen::Blocks | Screen::Outlook);
        for mode in [Mode::Base, Mode::Detail] {
            if mode == Mode::Detail && !opened {
                continue;
            }
            let here = stack(screen, mode)
                .iter()
                .flat_map(|context| bindings(*context));
            let missing: Vec<Action> = here
                .filter(|binding| !need_not_be_touched(binding))
                .map(|binding| binding.action)
                .filter(|action| !there.contains(action))
                .collect();
            assert_eq!(missing, [], "{screen:?} {mode:?}");
        }
    }
}

#[test]
fn every_action_over_a_screen_is_touched() {
    let store = demo();
    for (context, way) in [
        (
            Context::Pictures,
            vec![
                Event::Act(Action::Go(Screen::Crew)),
                key('v'),
                Event::Key(Key::Down),
            ],
        ),
        (
            Context::Confirm,
            vec![Event::Act(Action::Go(Screen::SetUp)), key('x')],
        ),
        (
            Context::Help,
            vec![Event::Key(Key::F(1)), Event::Key(Key::Down)],
        ),
    ] {
        let mut desk = desk(&store, SMALL);
        for event in way {
            desk.take(event);
        }
        let (_, hits) = drawn(&desk, SMALL);
        let mut there: HashSet<Action> = hits.targets().map(|(_, action)| action).collect();
        there.extend(menu(&mut desk).1);
        // a page is turned by its buttons, which the keys do line by line as well
        let paged = [Action::Up, Action::Down]
            .iter()
            .filter(|_| context == Context::Help);
        there.extend(paged);
        for binding in bindings(context).filter(|binding| !need_not_be_touched(binding)) {
            assert!(there.contains(&binding.action), "{binding:?}");
        }
    }
}

#[test]
fn whatever_is_cut_is_told_in_the_menu() {
    let mut cut = 0;
    for store in [demo(), empty(), places::odd_names()] {
        for place in all() {
            let mut desk = place.open(&store, SMALL);
            desk.model.message = None;
            if !desk.model.layers.is_empty() {
                continue;
            }
            let (buf, hits) = drawn(&desk, SMALL);
            let shown = letters(&buf);
            let (told, _) = menu(&mut desk);
            // all but the foot
            for (y, line) in shown.lines().enumerate().take(usize::from(SMALL.1) - 1) {
                let is_button = line.contains('│') || line.contains('┌') || line.contains('║');
                let row = hits.rows().any(|(area, action)| {
                    usize::from(area.y) == y && matches!(action, Action::Select(_))
                });
                if is_button || (row && !line.starts_with('▸')) {
                    continue;
                }
                for piece in line.split('…').rev().skip(1) {
                    let last: Vec<&str> = piece
                        .trim_start_matches('▸')
                        .split_whitespace()
                        .rev()
                        .take(2)
                        .collect();
                    let Some(word) = last.get(1) else { continue };
                    assert!(
                        told.contains(word),
                        "{}: {word:?} of {line:?} in {told:?}",
                        place.name
                    );
                    cut += 1;
                }
            }
        }
    }
    assert!(cut > 100, "{cut} lines are cut");
}

#[test]
fn the_menu_does_what_the_keys_do() {
    let store = demo();
    let mut touched = BTreeSet::new();
    // the file stays as it is
    let writes = ["Count 1", "Set-up, a count removed"];
    for place in all() {
        if writes.contains(&place.name.as_str()) {
            continue;
        }
        let mut desk = place.open(&store, SMALL);
        if !desk.model.layers.is_empty() {
            continue;
        }
        let (screen, mode) = (desk.model.screen, desk.model.screen_mode());
        for action in menu(&mut desk).1 {
            let mut bound = stack(screen, mode).iter().flat_map(|of| bindings(*of));
            let Some(binding) = bound.find(|binding| binding.action == action) else {
                continue;
            };
            // leaving by touch is asked about, and going back is the menu's own
            let own = matches!(action, Action::Quit | Action::Back);
            if own || !touched.insert(format!("{screen:?} {mode:?} {action:?}")) {
                continue;
            }
            let mut by_touch = place.open(&store, SMALL);
            let mut by_key = place.open(&store, SMALL);
            by_key.take(Event::Key(binding.keys[0]));
            by_touch.take(Event::Key(Key::F(10)));
            assert!(is_menu(&by_touch), "{}", place.name);
            by_touch.take(Event::Act(action));
            // a hand that touches has its pads in a form
            by_touch.model.hand = by_key.model.hand;
            let shown = |desk: &Runtime<'_>| letters(&drawn(desk, SMALL).0);
            assert_eq!(
                shown(&by_touch),
                shown(&by_key),
                "{} {action:?}",
                place.name
            );
        }
    }
    assert!(touched.len() > 80, "{touched:?}");
}

#[test]
fn leaving_from_the_menu_is_asked_about() {
    let store = demo();
    let mut desk = desk(&store, SMALL);
    desk.take(Event::Key(Key::F(10)));
    desk.take(Event::Act(Action::Quit));
    assert!(matches!(desk.model.layers.last(), Some(Layer::Question(_))));
    assert!(!desk.done);
    // a full screen has no menu
    let mut desk = crate::desk(&store, (80, 24));
    for event in [Event::Key(Key::F(10)), Event::Act(Action::Menu)] {
        desk.take(event);
        assert!(desk.model.layers.is_empty());
    }
}
