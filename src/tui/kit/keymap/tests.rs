use super::*;
use std::collections::{HashMap, HashSet};

fn stacks() -> Vec<&'static [Context]> {
    let all = Screen::ALL
        .into_iter()
        .flat_map(|screen| Mode::ALL.map(|layer| stack(screen, layer)));
    let set: HashSet<_> = all.collect();
    set.into_iter().collect()
}

#[test]
fn no_key_means_two_things_in_one_place() {
    for stack in stacks() {
        let mut seen: HashMap<Key, Action> = HashMap::new();
        for binding in stack.iter().flat_map(|c| bindings(*c)) {
            for key in binding.keys {
                if let Some(other) = seen.insert(*key, binding.action) {
                    panic!("{}: {other:?} and {:?}", key.name(), binding.action);
                }
            }
        }
    }
}

#[test]
fn bud_keys_collide_with_nothing_in_count() {
    let stack = stack(Screen::Count, Mode::Base);
    for keys in BudKeys::ALL {
        for size in 0..3 {
            for buds in 0..8 {
                let key = Key::Char(keys.key(size, buds));
                for context in stack {
                    assert_eq!(in_table(*context, key), None, "{}", keys.word());
                }
                let tap = Tap::TwoYear(Size::ALL[size], Buds::all().nth(buds).unwrap());
                assert_eq!(resolve(stack, key, &keys), Some(Action::Tap(tap)));
            }
        }
    }
}

/// Whether a key must reach an action; the others are touched places. A new action must be sorted here.
fn wants_key(action: Action) -> bool {
    match action {
        Action::Section(_)
        | Action::Select(_)
        | Action::Field(_)
        | Action::Read
        | Action::Pick(_)
        | Action::Type(_)
        | Action::Pads(_)
        | Action::Erase => false,
        Action::Go(_)
        | Action::NextScreen
        | Action::PrevScreen
        | Action::Menu
        | Action::Help
        | Action::EndRound
        | Action::Quit
        | Action::Stop
        | Action::Up
        | Action::Down
        | Action::PageUp
        | Action::PageDown
        | Action::First
        | Action::Last
        | Action::Open
        | Action::Back
        | Action::Tap(_)
        | Action::Undo
        | Action::Less
        | Action::CloseTree
        | Action::EndLeader
        | Action::Leaders(_)
        | Action::LeaveCount
        | Action::TreeDetails
        | Action::OtherTree
        | Action::MarkTrees
        | Action::SendBack
        | Action::SkipTree
        | Action::LogWork
        | Action::LogEvening
        | Action::DrawTrees
        | Action::CountAgain
        | Action::ForgetName
        | Action::Review
        | Action::New
        | Action::Edit
        | Action::Remove
        | Action::NextSection
        | Action::PrevSection
        | Action::Settle
        | Action::TogglePeriod
        | Action::Keep
        | Action::NextScenario
        | Action::DaySheet
        | Action::Pictures
        | Action::Papers
        | Action::FirstSteps
        | Action::Step(_)
        | Action::SaveNext
        | Action::Choose(_)
        | Action::NextField
        | Action::Save
        | Action::Cancel
        | Action::Confirm => true,
    }
}

fn every_action() -> Vec<Action> {
    use crate::orchard::Age;
    use Action as A;
    let mut all = vec![
        A::NextScreen,
        A::PrevScreen,
        A::Help,
        A::EndRound,
        A::Quit,
        A::Stop,
        A::Up,
        A::Down,
        A::PageUp,
        A::PageDown,
        A::First,
        A::Last,
        A::Open,
        A::Back,
        A::Undo,
        A::Less,
        A::CloseTree,
        A::EndLeader,
        A::Leaders(-1),
        A::Leaders(1),
        A::LeaveCount,
        A::TreeDetails,
        A::OtherTree,
        A::MarkTrees,
        A::SendBack,
        A::SkipTree,
        A::LogWork,
        A::LogEvening,
        A::DrawTrees,
        A::CountAgain,
        A::FirstSteps,
        A::Step(1),
        A::Step(-1),
        A::SaveNext,
        A::Review,
        A::New,
        A::Edit,
        A::Remove,
        A::NextSection,
        A::PrevSection,
        A::Section(0),
        A::Settle,
        A::TogglePeriod,
        A::Keep,
        A::NextScenario,
        A::DaySheet,
        A::Pictures,
        A::Papers,
        A::Select(0),
        A::Field(0),
        A::Choose(1),
        A::Choose(-1),
        A::NextField,
        A::Save,
        A::Cancel,
        A::Confirm,
        A::Tap(Tap::Upright),
        A::Tap(Tap::ThickTop),
    ];
    all.extend(Screen::ALL.map(A::Go));
    all.extend(Age::ALL.map(|age| A::Tap(Tap::Piece(age))));
    for size in Size::ALL {
        all.extend(Buds::all().map(|buds| A::Tap(Tap::TwoYear(size, buds))));
    }
    all
}

#[test]
fn every_action_is_reached_by_a_key() {
    let mut reached = HashSet::new();
    for stack in stacks() {
        for key in TABLE.iter().flat_map(|b| b.keys).copied() {
            reached.extend(resolve(stack, key, &BudKeys::QWERTY));
        }
        for key in "qwertyuiasdfghjkzxcvbnm,".chars().map(Key::Char) {
            reached.extend(resolve(stack, key, &BudKeys::QWERTY));
        }
    }
    for action in every_action().into_iter().filter(|a| wants_key(*a)) {
        assert!(reached.contains(&action), "{action:?}");
    }
}

#[test]
fn the_table_is_wholly_in_use() {
    let mut used: HashSet<Context> = stacks().into_iter().flatten().copied().collect();
    used.insert(Context::Small);
    for binding in TABLE {
        assert!(used.contains(&binding.context), "{binding:?}");
        assert!(!binding.doc.is_empty() && !binding.keys.is_empty());
    }
}

#[test]
fn each_footer_fits_80_columns() {
    for stack in stacks() {
        let footer = whole_footer(stack);
        assert!(text::width(&footer) <= 80, "{} in {footer}", footer.len());
        let helps = !stack.contains(&Context::Form);
        assert_eq!(footer.contains("F1 help"), helps, "{footer}");
    }
    let count = footer(stack(Screen::Count, Mode::Base), 80);
    assert_eq!(
        count,
        "Bksp undo  Enter close  5 tree  6 other  7 rework  0 skip  Esc leave  F1 help"
    );
}

#[test]
fn help_tells_every_key_of_the_place() {
    let help = help(stack(Screen::Count, Mode::Base), &BudKeys::AZERTY);
    let thick = help
        .iter()
        .find(|l| l.doc.contains("thick two-year"))
        .unwrap();
    assert_eq!(thick.keys, "w x c v b n , ;");
    assert!(help.iter().any(|l| l.keys == "Ctrl-Q"));
    assert!(help.iter().all(|l| text::width(&l.doc) <= 56), "{help:?}");
}

#[test]
fn keys_are_resolved_where_they_are_pressed() {
    let at = |screen, layer, key| resolve(stack(screen, layer), key, &BudKeys::QWERTY);
    let q = Key::Char('q');
    assert_eq!(at(Screen::Today, Mode::Base, q), Some(Action::Quit));
    assert_eq!(at(Screen::Today, Mode::Form, q), None);
    assert!(matches!(
        at(Screen::Count, Mode::Base, q),
        Some(Action::Tap(Tap::TwoYear(..)))
    ));
    assert_eq!(
        at(Screen::Crew, Mode::Base, Key::Char('P')),
        Some(Action::TogglePeriod)
    );
    assert_eq!(
        at(Screen::Crew, Mode::Form, Key::F(2)),
        None,
        "a form is not lost by F2"
    );
    assert_eq!(at(Screen::Count, Mode::Base, Key::F(10)), None);
    for screen in Screen::ALL {
        for layer in Mode::ALL {
            assert_eq!(at(screen, layer, Key::Ctrl('q')), Some(Action::Quit));
        }
    }
}

#[test]
fn french_digits_count_without_shift() {
    let stack = stack(Screen::Count, Mode::Base);
    let two = resolve(stack, Key::Char('2'), &BudKeys::AZERTY);
    assert_eq!(resolve(stack, Key::Char('é'), &BudKeys::AZERTY), two);
    assert!(two.is_some());
}

#[test]
fn buttons_know_their_key() {
    let stack = stack(Screen::Count, Mode::Base);
    let name = |action| key_name(stack, action, &BudKeys::QWERTY);
    assert_eq!(name(Action::Undo).as_deref(), Some("Bksp"));
    let unit = Tap::TwoYear(Size::Medium, Buds::all().nth(3).unwrap());
    assert_eq!(name(Action::Tap(unit)).as_deref(), Some("f"));
    assert_eq!(name(Action::Go(Screen::SetUp)).as_deref(), Some("F8"));
    assert_eq!(name(Action::Save), None);
}
