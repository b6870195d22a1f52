//! What comes of typing in a field that is filled: one rule for every field of every form.

use ratatui::style::{Modifier, Style};
use thirdwood::tui::app::{Event, FormKind};
use thirdwood::tui::form::Kind;
use thirdwood::tui::runtime::Runtime;
use thirdwood::tui::{Action, Key};

use crate::forms::{all, form, open};
use crate::{demo, drawn, letters};

const SIZE: (u16, u16) = (80, 24);

/// Ways of typing a 7.
fn typing() -> [Event; 3] {
    [
        Event::Key(Key::Char('7')),
        Event::Act(Action::Type('7')),
        Event::Paste("7".to_owned()),
    ]
}

/// Opens a form with something in each field that is typed into, and comes to one of them by keys or by a touch.
fn come_to(desk: &mut Runtime<'_>, kind: FormKind, place: usize, touch: bool) {
    open(desk, kind);
    let fields = form(desk).fields.len();
    let Some(thirdwood::tui::app::Layer::Form(form, _)) = desk.model.layers.last_mut() else {
        unreachable!("it was opened");
    };
    for field in &mut form.fields {
        if field.is_typed() && field.value().is_empty() {
            field.set_value("12");
        }
    }
    // away from the first field, so that one comes to each
    form.set_focus(if place == 0 { fields - 1 } else { 0 });
    if touch {
        desk.take(Event::Act(Action::Field(place)));
    } else {
        let (key, steps) = if place == 0 {
            (Key::BackTab, fields - 1)
        } else {
            (Key::Tab, place)
        };
        for _ in 0..steps {
            desk.take(Event::Key(key));
        }
    }
    assert_eq!(self::form(desk).focus(), place, "{kind:?}");
}

fn value(desk: &Runtime<'_>) -> String {
    form(desk).focused().unwrap().value().to_owned()
}

/// The places of the fields that are typed into, and whether it is a note.
fn typed(desk: &mut Runtime<'_>, kind: FormKind) -> Vec<(usize, bool)> {
    open(desk, kind);
    let fields = form(desk).fields.iter().enumerate();
    let typed = fields.filter(|(_, field)| field.is_typed());
    typed
        .map(|(place, field)| (place, field.kind == Kind::Note))
        .collect()
}

#[test]
fn the_first_letter_replaces_what_stands_in_a_field_but_goes_on_in_a_note() {
    let store = demo();
    let (mut desk, kinds) = all(&store, SIZE);
    let mut fields = 0;
    for kind in kinds {
        for (place, note) in typed(&mut desk, kind) {
            // a form of one field begins there: a touch is then one on the field in focus
            let alone = form(&desk).fields.len() == 1;
            for touch in [false, true].into_iter().filter(|touch| !touch || !alone) {
                for seven in typing() {
                    come_to(&mut desk, kind, place, touch);
                    let stood = value(&desk);
                    desk.take(seven.clone());
                    let first = if note {
                        format!("{stood}7")
                    } else {
                        "7".to_owned()
                    };
                    assert_eq!(value(&desk), first, "{kind:?} {place} {seven:?}");
                    desk.take(seven);
                    assert_eq!(value(&desk), format!("{first}7"), "{kind:?} {place}");
                }
                fields += 1;
            }
        }
    }
    assert!(fields > 150, "{fields} fields");
}

#[test]
fn an_arrow_a_second_touch_and_backspace_keep_what_stands_there() {
    let store = demo();
    let (mut desk, kinds) = all(&store, SIZE);
    for kind in kinds {
        for (place, _) in typed(&mut desk, kind) {
            for first in [
                Event::Key(Key::Left),
                Event::Key(Key::Right),
                Event::Key(Key::Home),
                Event::Key(Key::End),
                Event::Act(Action::Field(place)),
                Event::Key(Key::Backspace),
                Event::Act(Action::Erase),
            ] {
                come_to(&mut desk, kind, place, false);
                let mut stood = value(&desk);
                desk.take(first.clone());
                let mut at = stood.len();
                match first {
                    Event::Key(Key::Left) => at = stood.char_indices().last().unwrap().0,
                    Event::Key(Key::Home) => at = 0,
                    Event::Key(Key::Backspace) | Event::Act(Action::Erase) => {
                        stood.pop();
                        at = stood.len();
                    }
                    _ => {}
                }
                assert_eq!(value(&desk), stood, "{kind:?} {place} {first:?}");
                stood.insert(at, '7');
                desk.take(Event::Key(Key::Char('7')));
                assert_eq!(value(&desk), stood, "{kind:?} {place} {first:?}");
            }
        }
    }
}

/// How the letters of the value in focus are drawn, and how the rest of its field is.
fn looks(desk: &Runtime<'_>) -> (Vec<Style>, Style) {
    let (buf, _) = drawn(desk, SIZE);
    let lines = letters(&buf);
    let line = lines
        .lines()
        .position(|line| line.starts_with('▸'))
        .unwrap() as u16;
    let label = &form(desk).focused().unwrap().label;
    let row: Vec<_> = (0..SIZE.0).map(|x| buf[(x, line)].style()).collect();
    let value = value(desk);
    let from = (0..SIZE.0 - 1).find(|x| {
        let rest: String = (*x..SIZE.0).map(|x| buf[(x, line)].symbol()).collect();
        usize::from(*x) > label.chars().count() && rest.starts_with(&value)
    });
    let from = usize::from(from.unwrap_or_else(|| panic!("no {value:?} in\n{lines}")));
    let to = from + value.chars().count();
    (row[from..to].to_vec(), row[to + 1])
}

#[test]
fn what_will_be_replaced_is_seen_and_said_without_colours() {
    let store = demo();
    let (mut desk, kinds) = all(&store, SIZE);
    let mut seen = 0;
    for kind in kinds {
        for (place, note) in typed(&mut desk, kind) {
            come_to(&mut desk, kind, place, false);
            if value(&desk).chars().count() > 12 {
                continue;
            }
            let marked = |desk: &Runtime<'_>| {
                let (value, rest) = looks(desk);
                let turned = |style: &Style| style.add_modifier.contains(Modifier::REVERSED);
                value.iter().all(|style| turned(style) != turned(&rest))
            };
            let says =
                |desk: &Runtime<'_>, words: &str| letters(&drawn(desk, SIZE).0).contains(words);
            let shown = letters(&drawn(&desk, SIZE).0);
            assert_eq!(marked(&desk), !note, "{kind:?} {place}\n{shown}");
            assert_eq!(says(&desk, "keeps it"), !note, "{kind:?} {place}\n{shown}");
            assert_eq!(says(&desk, "goes on"), note, "{kind:?} {place}\n{shown}");
            desk.take(Event::Key(Key::End));
            assert!(
                !marked(&desk) && !says(&desk, "keeps it"),
                "{kind:?} {place}"
            );
            seen += 1;
        }
    }
    assert!(seen > 60, "{seen} fields");
}
