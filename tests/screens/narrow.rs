//! Every form in a small window: above the keyboard of a screen held upright, and on the smallest screen.

use thirdwood::tui::app::{Event, FormKind, Layer};
use thirdwood::tui::form::{Kind, UNSAVED};
use thirdwood::tui::keymap::TABLE;
use thirdwood::tui::runtime::Runtime;
use thirdwood::tui::{Action, Context, Field, Key};

use crate::forms::{all, form, open};
use crate::{demo, drawn, letters};

const SIZES: [(u16, u16); 2] = [(60, 16), (80, 24)];
const FAULT: &str = "40.25 is outside 0.5 to 12: type a number within these, such as 4.5";

/// The words of a text, without how it is broken into lines.
fn words(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The letters that a hand finds on buttons.
fn pad(field: &Field) -> &str {
    match field.kind {
        Kind::Number if field.marks.is_empty() => "0123456789.",
        Kind::Day => "0123456789-",
        Kind::Number | Kind::Text | Kind::Note => field.marks,
        Kind::Choice(_) | Kind::Toggle => "",
    }
}

fn put_fault(desk: &mut Runtime<'_>, fault: Option<&str>) {
    let Some(Layer::Form(form, _)) = desk.model.layers.last_mut() else {
        panic!("no form");
    };
    let place = form.focus();
    form.fields[place].error = fault.map(str::to_owned);
}

/// What of the field in focus is not in sight, or cannot be touched.
fn lacks(desk: &Runtime<'_>, size: (u16, u16), fault: Option<&str>, touch: bool) -> Vec<String> {
    let (buf, hits) = drawn(desk, size);
    let field = form(desk).focused().unwrap();
    let shown = letters(&buf);
    let lines: Vec<&str> = shown.lines().collect();
    let from = lines.iter().position(|line| line.starts_with('▸'));
    let own = lines[from.unwrap_or(lines.len())..].join("\n");
    let mut lacks = Vec::new();
    if !own.starts_with(&format!("▸{}", field.label)) {
        lacks.push(format!("label {}", field.label));
    }
    for told in [Some(field.hint.as_str()), fault].into_iter().flatten() {
        if !words(&own).contains(&words(told)) {
            lacks.push(format!("words {told}"));
        }
    }
    let mut buttons = vec![Action::Save, Action::Cancel, Action::Up, Action::Down];
    if form(desk).next.is_some() {
        buttons.push(Action::SaveNext);
    }
    if touch {
        buttons.extend(pad(field).chars().map(Action::Type));
        if !pad(field).is_empty() {
            buttons.push(Action::Erase);
        }
    }
    if field.entries() > 1 {
        buttons.extend([Action::Choose(-1), Action::Choose(1)]);
    }
    let there: Vec<Action> = hits.targets().map(|(_, action)| action).collect();
    for button in buttons {
        if !there.contains(&button) {
            lacks.push(format!("button {button:?}"));
        }
    }
    if !hits.too_small().is_empty() {
        lacks.push(format!("small {:?}", hits.too_small()));
    }
    if !lacks.is_empty() {
        lacks.push(shown);
    }
    lacks
}

fn walk(desk: &mut Runtime<'_>, kind: FormKind, size: (u16, u16), touch: bool) -> Vec<String> {
    let mut wrong = Vec::new();
    let step = if touch {
        Event::Act(Action::Down)
    } else {
        Event::Key(Key::Tab)
    };
    open(desk, kind);
    // the hand that is at it is known by what it does; a form may begin further down
    for _ in 0..=form(desk).focus() {
        desk.take(if touch {
            Event::Act(Action::Up)
        } else {
            Event::Key(Key::Up)
        });
    }
    for place in 0..form(desk).fields.len() {
        assert_eq!(form(desk).focus(), place, "{kind:?}");
        for fault in [None, Some(FAULT)] {
            put_fault(desk, fault);
            let lacks = lacks(desk, size, fault, touch);
            if !lacks.is_empty() {
                wrong.push(format!(
                    "{kind:?} field {place}, touch {touch}: {}",
                    lacks.join("\n")
                ));
            }
        }
        put_fault(desk, None);
        desk.take(step.clone());
    }
    wrong
}

/// Whether the buttons that type are in sight.
fn has_pad(desk: &Runtime<'_>, size: (u16, u16)) -> bool {
    let (_, hits) = drawn(desk, size);
    let mut actions = hits.targets().map(|(_, action)| action);
    actions.any(|action| matches!(action, Action::Type(_)))
}

#[test]
fn the_buttons_that_type_stay_while_the_form_has_something_to_say() {
    let store = demo();
    let (mut desk, kinds) = all(&store, SIZES[0]);
    desk.model.message = None;
    let mut pads = 0;
    for kind in kinds {
        open(&mut desk, kind);
        desk.take(Event::Act(Action::Up));
        for _ in 0..form(&desk).fields.len() {
            if has_pad(&desk, SIZES[0]) {
                let Some(Layer::Form(form, _)) = desk.model.layers.last_mut() else {
                    panic!("no form");
                };
                form.problem = Some(UNSAVED.to_owned());
                assert!(has_pad(&desk, SIZES[0]), "{kind:?}");
                pads += 1;
            }
            desk.take(Event::Act(Action::Down));
        }
    }
    assert!(pads > 50, "{pads} pads");
}

#[test]
fn the_help_of_a_form_can_be_read_where_there_is_little_room() {
    let store = demo();
    let (mut desk, kinds) = all(&store, SIZES[0]);
    open(&mut desk, kinds[0]);
    desk.take(Event::Key(Key::F(1)));
    let mut shown = String::new();
    for _ in 0..10 {
        let (buf, hits) = drawn(&desk, SIZES[0]);
        assert_eq!(hits.too_small(), []);
        shown += &letters(&buf);
        desk.take(Event::Act(Action::PageDown));
    }
    let docs = TABLE.iter().filter(|line| line.context == Context::Form);
    for line in docs {
        assert!(words(&shown).contains(line.doc), "{}\n{shown}", line.doc);
    }
}

#[test]
fn every_form_can_be_filled_in_where_there_is_little_room() {
    let store = demo();
    for size in SIZES {
        let (mut desk, kinds) = all(&store, size);
        desk.model.message = None;
        let mut wrong = Vec::new();
        for kind in kinds {
            for touch in [false, true] {
                wrong.extend(walk(&mut desk, kind, size, touch));
            }
        }
        assert!(
            wrong.is_empty(),
            "{size:?}: {}\n{}",
            wrong.len(),
            wrong.join("\n")
        );
    }
}
