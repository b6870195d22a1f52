use super::*;
use crate::tui::{Action, Key};
use proptest::prelude::*;

fn crew() -> Vec<String> {
    ["12 Ana", "1 Bo", "3 Carla Anders", "20 Dmitri"]
        .map(str::to_owned)
        .to_vec()
}

fn form() -> Form {
    Form::new(
        "New work",
        vec![
            Field::text("name", "Name"),
            Field::number("hours", "Hours"),
            Field::choice_of("pruner", "Pruner", crew()),
            Field::toggle("active", "Active", false),
        ],
    )
}

fn type_in(form: &mut Form, text: &str) {
    for c in text.chars() {
        form.key(Key::Char(c));
    }
}

#[test]
fn enter_goes_on_and_saves_on_the_last_field() {
    let mut form = form();
    for place in 0..4 {
        assert_eq!(form.focus(), place);
        let event = form.key(Key::Enter);
        let last = if place == 3 {
            FormEvent::Save
        } else {
            FormEvent::None
        };
        assert_eq!(event, last);
    }
    form.set_focus(0);
    assert_eq!(form.key(Key::Ctrl('s')), FormEvent::Save);
    assert_eq!(form.key(Key::Esc), FormEvent::Cancel);
}

#[test]
fn keys_move_between_fields_and_stop_at_the_ends() {
    let mut form = form();
    form.key(Key::Up);
    assert_eq!(form.focus(), 0);
    form.key(Key::Tab);
    form.key(Key::Down);
    assert_eq!(form.focus(), 2);
    form.key(Key::BackTab);
    assert_eq!(form.focus(), 1);
    form.set_focus(99);
    form.key(Key::Down);
    assert_eq!(form.focus(), 3);
}

#[test]
fn text_is_typed_and_mended() {
    let mut form = form();
    type_in(&mut form, "Od Meadow?");
    assert_eq!(form.key(Key::Backspace), FormEvent::Changed);
    form.key(Key::Home);
    form.key(Key::Right);
    assert_eq!(form.key(Key::Char('l')), FormEvent::Changed);
    assert_eq!(form.value("name"), "Old Meadow");
    form.key(Key::Delete);
    assert_eq!(form.value("name"), "Ol Meadow");
    form.key(Key::Ctrl('u'));
    assert_eq!(form.value("name"), "");
}

#[test]
fn numbers_take_no_letters() {
    let mut form = form();
    form.set_focus(1);
    type_in(&mut form, "1a2,5h");
    assert_eq!(form.value("hours"), "12,5");
    assert_eq!(form.key(Key::Char('x')), FormEvent::None);
}

#[test]
fn choices_turn_round_and_are_found_by_typing() {
    let mut form = form();
    form.set_focus(2);
    assert_eq!(form.key(Key::Left), FormEvent::Changed);
    assert_eq!(form.value("pruner"), "20 Dmitri");
    form.key(Key::Char(' '));
    assert_eq!(form.choice("pruner"), 0);
    type_in(&mut form, "1");
    assert_eq!(
        form.value("pruner"),
        "1 Bo",
        "the whole number before a longer one"
    );
    type_in(&mut form, "2");
    assert_eq!(form.value("pruner"), "12 Ana");
    type_in(&mut form, "carla a");
    assert_eq!(
        form.value("pruner"),
        "3 Carla Anders",
        "what finds nothing begins anew"
    );
    form.key(Key::End);
    assert_eq!(form.value("pruner"), "20 Dmitri");
    type_in(&mut form, "and");
    assert_eq!(form.value("pruner"), "3 Carla Anders");
    type_in(&mut form, "§");
    assert_eq!(form.value("pruner"), "3 Carla Anders");
}

#[test]
fn a_toggle_is_yes_or_no() {
    let mut form = form();
    form.set_focus(3);
    assert!(!form.is_on("active"));
    form.key(Key::Char(' '));
    assert!(form.is_on("active"));
    assert_eq!(form.value("active"), "yes");
    form.act(Action::Choose(-1));
    assert!(!form.is_on("active"));
}

#[test]
fn touch_does_what_keys_do() {
    let mut form = form();
    form.act(Action::Field(2));
    assert_eq!((form.focus(), form.choice("pruner")), (2, 0));
    assert_eq!(form.act(Action::Field(2)), FormEvent::Changed);
    assert_eq!(form.choice("pruner"), 1);
    assert_eq!(form.act(Action::Save), FormEvent::Save);
    assert_eq!(form.act(Action::Cancel), FormEvent::None);
    assert_eq!(form.act(Action::Cancel), FormEvent::Cancel);
}

#[test]
fn a_problem_is_shown_where_it_is_and_leaves_when_mended() {
    let mut form = form();
    form.set_error("hours", "0 is outside 0.1 to 24");
    assert_eq!(form.focus(), 1);
    assert!(form.fields[1].error.is_some());
    form.key(Key::Char('8'));
    assert_eq!(form.fields[1].error, None);
    form.set_error("rows", "row 9 is not in the block");
    assert_eq!(
        form.problem.as_deref(),
        Some("rows: row 9 is not in the block")
    );
    form.clear_errors();
    assert_eq!(form.problem, None);
}

#[test]
fn pasted_text_is_one_harmless_line() {
    let mut form = form();
    assert_eq!(
        form.paste("two\r\nlines\tand\u{1b}[2J\n"),
        FormEvent::Changed
    );
    assert_eq!(form.value("name"), "two lines and[2J");
    form.set_focus(2);
    assert_eq!(
        form.paste("20"),
        FormEvent::None,
        "a choice is not pasted into"
    );
}

#[test]
fn a_paste_that_finds_no_room_is_refused_and_nothing_of_it_is_taken() {
    let mut form = form();
    form.paste(&"x".repeat(MAX_TYPED - 5));
    assert_eq!(form.paste(&"y".repeat(6)), FormEvent::None);
    let name = form.focused().unwrap();
    assert_eq!(name.value(), "x".repeat(MAX_TYPED - 5));
    let problem = format!("not pasted: it would be more than {MAX_TYPED} letters");
    assert_eq!(name.error, Some(problem));
    assert_eq!(form.paste(&"y".repeat(5)), FormEvent::Changed);
    let name = form.focused().unwrap();
    assert_eq!(name.value().chars().count(), MAX_TYPED);
    assert_eq!(name.error, None);
}

#[test]
fn values_are_set_by_their_field() {
    let mut form = form();
    form.fields[2].set_value("1 Bo");
    form.fields[2].set_value("nobody");
    assert_eq!(form.choice("pruner"), 1);
    form.fields[2].set_choice(77);
    assert_eq!(form.choice("pruner"), 3);
    form.fields[0].set_value("A");
    assert_eq!((form.value("name"), form.value("none")), ("A", ""));
}

fn any_key() -> impl Strategy<Value = Key> {
    let named = [
        Key::Enter,
        Key::Backspace,
        Key::Delete,
        Key::Tab,
        Key::BackTab,
        Key::Up,
        Key::Down,
        Key::Left,
        Key::Right,
        Key::Home,
        Key::End,
        Key::PageUp,
        Key::F(1),
        Key::Ctrl('u'),
    ];
    prop_oneof![
        2 => any::<char>().prop_map(Key::Char),
        1 => prop::sample::select(named.to_vec()),
    ]
}

proptest! {
    #[test]
    fn any_keys_leave_a_form_whole(keys in prop::collection::vec(any_key(), 0..80)) {
        let mut form = form();
        form.fields.push(Field::choice_of("none", "None", Vec::new()));
        for key in keys {
            form.key(key);
            prop_assert!(form.focus() < form.fields.len());
            prop_assert!(form.choice("pruner") < 4);
            prop_assert!(!form.value("name").chars().any(char::is_control));
        }
    }

    #[test]
    fn a_form_without_fields_takes_any_key(keys in prop::collection::vec(any_key(), 0..20)) {
        let mut form = Form::new("Empty", Vec::new());
        for key in keys { form.key(key); }
        form.paste("text");
        prop_assert_eq!(form.focus(), 0);
    }
}

#[test]
fn a_changed_form_is_left_only_when_asked_twice_in_a_row() {
    let mut form = form();
    assert_eq!(form.key(Key::Char('s')), FormEvent::Changed);
    assert_eq!(form.key(Key::Esc), FormEvent::None);
    assert_eq!(form.problem.as_deref(), Some(super::UNSAVED));
    form.key(Key::Char('x'));
    assert_eq!((form.problem.as_deref(), form.value("name")), (None, "sx"));
    assert_eq!(form.key(Key::Esc), FormEvent::None);
    form.paste("y");
    assert_eq!((form.problem.as_deref(), form.value("name")), (None, "sxy"));
    assert_eq!(form.key(Key::Esc), FormEvent::None);
    assert_eq!(form.key(Key::Esc), FormEvent::Cancel);
}

#[test]
fn one_more_on_a_spoiled_day_is_the_day_that_stood_there() {
    let day = Field::day("day", "Day").with("2027-01-12");
    let mut form = Form::new("New work", vec![day, Field::day("until", "Until")]);
    type_in(&mut form, "4.5");
    assert_eq!(form.value("day"), "4.5");
    form.act(Action::Step(1));
    assert_eq!(form.value("day"), "2027-01-12");
    form.act(Action::Step(1));
    assert_eq!(form.value("day"), "2027-01-13");
    form.key(Key::Tab);
    form.act(Action::Step(1));
    assert_eq!(form.value("until"), "", "no day stood there");
}

fn filled() -> Form {
    Form::new(
        "Work",
        vec![
            Field::text("rows", "Rows").with("1"),
            Field::number("hours", "Hours").with("7.5"),
            Field::note("note", "Note").with("dry"),
        ],
    )
}

#[test]
fn what_a_field_cannot_take_replaces_nothing() {
    let mut form = filled();
    form.set_focus(1);
    assert_eq!(form.key(Key::Char('h')), FormEvent::None);
    assert_eq!(form.paste("hours"), FormEvent::None);
    assert!(form.replaces());
    assert_eq!(form.value("hours"), "7.5");
    form.key(Key::Char('8'));
    assert_eq!(form.value("hours"), "8");
    // a paste finds the room of what it replaces
    form.set_focus(0);
    let long = "x".repeat(MAX_TYPED);
    assert_eq!(form.paste(&long), FormEvent::Changed);
    assert_eq!(form.value("rows"), long);
}

#[test]
fn what_is_being_typed_goes_on_where_its_field_stands_after_a_change_elsewhere() {
    let mut form = filled();
    form.set_focus(1);
    form.key(Key::Char('8'));
    let mut now = filled();
    now.fields.insert(0, Field::text("block", "Block"));
    form.renew(now);
    form.key(Key::Char('5'));
    assert_eq!((form.focus(), form.value("hours")), (2, "85"));
    // its field is gone: what stands at its place was not typed here
    form.renew(Form::new(
        "Work",
        vec![
            Field::text("rows", "Rows").with("1"),
            Field::note("note", "Note"),
            Field::text("hedge", "Hedge").with("4"),
        ],
    ));
    form.key(Key::Char('6'));
    assert_eq!(form.value("hedge"), "6");
}
