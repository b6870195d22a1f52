//! What happens between an event and the model, seen through `update` and `view` alone.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

use super::*;
use crate::tui::trial::{model, moment, orchard};
use crate::tui::{Action, Form, HitMap, Key, Mode, forms};

fn happens(model: &mut Model, event: Event) {
    update(model, event, moment());
}

fn typed(model: &mut Model, letters: &str) {
    for letter in letters.chars() {
        happens(model, Event::Key(Key::Char(letter)));
    }
}

fn form(model: &Model) -> &Form {
    match model.layers.last() {
        Some(Layer::Form(form, _)) => form,
        other => panic!("no form: {other:?}"),
    }
}

/// Goes to a field by touch.
fn to(model: &mut Model, key: &str) {
    let place = form(model).fields.iter().position(|field| field.key == key);
    happens(model, Event::Act(Action::Field(place.unwrap())));
}

fn drawn(model: &Model) -> (Vec<String>, HitMap) {
    let (width, height) = model.size;
    let mut buf = Buffer::empty(Rect::new(0, 0, width, height));
    let hits = view(model, &mut buf);
    let line = |y| (0..width).map(|x| buf[(x, y)].symbol()).collect();
    ((0..height).map(line).collect(), hits)
}

#[test]
fn what_is_typed_goes_on_while_an_earlier_field_is_wrong() {
    let mut model = model();
    forms::open(&mut model, FormKind::Block(None));
    to(&mut model, "row_spacing_m");
    typed(&mut model, "4.5");
    let name = &form(&model).fields[0];
    assert!(name.error.is_some(), "the name is still empty");
    assert_eq!(form(&model).focused().unwrap().key, "row_spacing_m");
    assert_eq!(form(&model).value("row_spacing_m"), "4.5");

    let mut model = orchard();
    forms::open(&mut model, FormKind::GoBack(None));
    to(&mut model, "day");
    typed(&mut model, "2027-01-11");
    assert_eq!(form(&model).value("day"), "2027-01-11");
    let row = form(&model).fields.iter().find(|field| field.key == "row");
    assert!(row.unwrap().error.is_some(), "the row is still empty");
}

#[test]
fn a_field_after_the_one_in_hand_is_not_found_fault_with_yet() {
    let mut model = model();
    forms::open(&mut model, FormKind::Block(None));
    typed(&mut model, "River");
    assert!(
        form(&model)
            .fields
            .iter()
            .all(|field| field.error.is_none())
    );
    happens(&mut model, Event::Act(Action::Save));
    assert_eq!(form(&model).focused().unwrap().key, "row_spacing_m");
    assert!(form(&model).focused().unwrap().error.is_some());
}

#[test]
fn what_is_pasted_is_checked_as_what_is_typed() {
    let mut model = orchard();
    forms::open(&mut model, FormKind::Work(None));
    to(&mut model, "row");
    happens(&mut model, Event::Paste("900".to_owned()));
    assert!(form(&model).focused().unwrap().error.is_some());
    happens(&mut model, Event::Key(Key::Ctrl('u')));
    happens(&mut model, Event::Paste("3".to_owned()));
    assert_eq!(form(&model).focused().unwrap().error, None);
    let summary = form(&model).summary.as_deref().unwrap();
    assert!(summary.starts_with("50 trees"), "{summary}");
}

#[test]
fn a_long_message_is_read_in_full_and_goes_by_a_touch() {
    let mut model = orchard();
    let words = "the disk could not be read or written ".repeat(3) + "so copy the file";
    happens(&mut model, Event::Failed(words));
    let (lines, hits) = drawn(&model);
    let foot = lines[22..].concat();
    assert!(lines[22].starts_with("! the disk"), "{}", lines[22]);
    assert!(foot.contains("so copy the file"), "{foot}");
    assert_eq!(hits.at(3, 22), Some(Action::Read));
    assert_eq!(hits.too_small(), []);
    happens(&mut model, Event::Act(Action::Read));
    assert_eq!(model.message, None);
    assert_eq!(drawn(&model).1.at(3, 23), None);

    happens(&mut model, Event::Failed("much to read ".repeat(90)));
    let (lines, _) = drawn(&model);
    assert!(lines[18].starts_with("! much"), "{}", lines[18]);
    assert!(!lines[17].contains("much"), "six lines at most");
}

#[test]
fn a_long_message_leaves_the_buttons_of_a_form_in_sight() {
    for size in [(80, 24), (80, 12)] {
        let mut model = orchard();
        model.size = size;
        forms::open(&mut model, FormKind::Block(None));
        happens(&mut model, Event::Failed("much to read ".repeat(90)));
        let (_, hits) = drawn(&model);
        let bottom = size.1 - 1;
        let told = (0..bottom).rfind(|y| hits.at(3, *y) == Some(Action::Read));
        assert_eq!(told, Some(bottom - 4), "above the buttons");
        for action in [Action::Save, Action::Cancel] {
            let (place, _) = hits.targets().find(|(_, known)| *known == action).unwrap();
            let touched = hits.at(place.x, place.y + place.height / 2);
            assert_eq!(touched, Some(action), "{size:?}");
        }
        assert_eq!(hits.too_small(), []);
    }
}

#[test]
fn a_long_question_keeps_what_it_asks_and_its_answers() {
    let mut model = model();
    let words = "A bundle with many records. ".repeat(90) + "Take it in? It comes in whole.";
    let yes = Vec::new();
    model.show(Layer::Question(Question { words, yes }));
    let (lines, hits) = drawn(&model);
    assert!(lines[2].starts_with("A bundle"), "{}", lines[2]);
    let asked = lines
        .iter()
        .position(|line| line.starts_with("Take it in? It comes in whole."));
    assert_eq!(lines[asked.unwrap() - 1].trim(), "…");
    let (yes, _) = hits
        .targets()
        .find(|(_, action)| *action == Action::Confirm)
        .unwrap();
    assert!(asked.unwrap() < usize::from(yes.y), "above the buttons");
}

#[test]
fn help_and_pages_scroll_from_their_end_at_once() {
    let mut model = orchard();
    let lines: Vec<String> = (1..=50).map(|nr| format!("line {nr}.")).collect();
    let page = Layer::page("A page", lines, None);
    for layer in [Layer::help(), page] {
        model.show(layer);
        let top = drawn(&model).0;
        happens(&mut model, Event::Key(Key::End));
        let end = drawn(&model).0;
        assert_ne!(end, top);
        happens(&mut model, Event::Key(Key::Down));
        assert_eq!(drawn(&model).0, end);
        happens(&mut model, Event::Key(Key::Up));
        let up = drawn(&model).0;
        assert_eq!(up[3..20], end[2..19], "one line further up");
        // every line is passed by paging down
        happens(&mut model, Event::Key(Key::Home));
        assert_eq!(drawn(&model).0, top);
        happens(&mut model, Event::Key(Key::PageDown));
        assert_eq!(model.mode(), Mode::Help);
    }
    let paged = drawn(&model).0;
    assert!(paged[2].starts_with("line 19."), "{}", paged[2]);
}
