//! How a form looks, and that what matters in it is always in view.

use super::app::Hand;
use super::looks::plain;
use super::{Action, Field, Form, form};
use insta::assert_snapshot;
use ratatui::layout::Rect;
use ratatui::style::Modifier;

/// A form like that of a block, longer than the screen.
pub(super) fn sample_form() -> Form {
    let mut fields = vec![
        Field::text("name", "Name")
            .hint("As the crew knows it.")
            .with("Old Meadow"),
        Field::number("row_spacing_m", "Row spacing, m")
            .hint("0.5 to 12")
            .with("4.0"),
        Field::choice_of(
            "pruner",
            "Pruner",
            (1..=40).map(|i| format!("{i} Pruner {i}")).collect(),
        )
        .hint("Type a number or the first letters."),
        Field::toggle("active", "Active", true),
        Field::day("day", "Day").with("2026-01-12"),
    ];
    fields.extend((0..15).map(|_| Field::note("note", "Note").hint("At most 500 characters.")));
    Form::new("New block", fields)
}

#[test]
fn a_form_shows_the_field_in_focus_with_its_hint_and_error() {
    let mut form = sample_form();
    form.set_error("row_spacing_m", "40 is outside 0.5 to 12");
    let drawn = plain(80, 24, |pen, area| form::view(&form, Hand::Keys, pen, area));
    assert_snapshot!(drawn.text());
    assert_eq!(drawn.hits.too_small(), []);
    assert_eq!(drawn.hits.at(2, 2), Some(Action::Field(1)));
}

#[test]
fn each_field_can_be_seen_when_it_is_in_focus() {
    let mut form = sample_form();
    for place in 0..form.fields.len() {
        form.fields[place].label = format!("Field {place}.");
        form.fields[place].hint = "hinting ".repeat(12);
        form.fields[place].error = Some("mending ".repeat(9));
    }
    for place in 0..form.fields.len() {
        form.set_focus(place);
        for height in [14, 24, 50] {
            let drawn = plain(80, height, |pen, area| {
                form::view(&form, Hand::Keys, pen, area);
            });
            let text = drawn.text();
            let own = text.split(&format!("▸Field {place}.")).nth(1).unwrap();
            let own = own.split("Field ").next().unwrap();
            assert_eq!(own.matches("mending").count(), 9, "{place}: {text}");
            assert_eq!(own.matches("hinting").count(), 12, "{place}: {text}");
        }
    }
}

#[test]
fn a_short_form_has_room_for_fingers() {
    let form = Form::new("Rule", vec![Field::text("a", "A"), Field::text("b", "B")]);
    let drawn = plain(80, 24, |pen, area| form::view(&form, Hand::Keys, pen, area));
    let rows: Vec<Rect> = drawn.hits.rows().map(|(area, _)| area).collect();
    assert!(rows.iter().all(|r| r.height >= 3), "{rows:?}");
}

#[test]
fn the_cursor_is_in_view_in_a_long_text() {
    let mut form = Form::new("Note", vec![Field::note("note", "Note")]);
    form.paste(&"梨 and apples, ".repeat(20));
    form.paste("END");
    let drawn = plain(40, 10, |pen, area| form::view(&form, Hand::Keys, pen, area));
    assert!(drawn.text().contains("END"), "{}", drawn.text());
    form.act(Action::First);
    let drawn = plain(40, 10, |pen, area| form::view(&form, Hand::Keys, pen, area));
    assert!(
        drawn.text().contains("梨 and apples, 梨"),
        "{}",
        drawn.text()
    );
    let cursor = drawn.style_of("梨");
    assert!(cursor.add_modifier.contains(Modifier::UNDERLINED));
    assert!(!cursor.add_modifier.contains(Modifier::REVERSED));
}

/// The lines on which the names of fields stand.
fn lines_of_names(form: &Form, hand: Hand) -> Vec<Option<usize>> {
    let text = plain(100, 30, |pen, area| form::view(form, hand, pen, area)).text();
    let line_of = |field: &Field| {
        text.lines().position(|line| {
            line.trim_start_matches(['▸', ' '])
                .starts_with(&field.label)
        })
    };
    form.fields.iter().map(line_of).collect()
}

#[test]
fn fields_stay_in_place_as_the_focus_moves_and_a_hand_types_between_touches() {
    let pruners = ["Nr 1", "Nr 2", "Nr 3"].map(str::to_owned).to_vec();
    let fields = vec![
        Field::choice_of("pruner", "Pruner", pruners).hint("left and right"),
        Field::text("rows", "Rows")
            .written_with("0123456789-,")
            .hint("a row, or several"),
        Field::whole("last", "Last tree").hint("empty: to the end of the row"),
        Field::day("day", "Day"),
        Field::note("note", "Note").hint("in words"),
    ];
    let mut form = Form::new("Log work", fields).with_summary();
    let first = lines_of_names(&form, Hand::Touch);
    assert!(first.iter().all(Option::is_some), "{first:?}");
    for place in 0..form.fields.len() {
        form.set_focus(place);
        for hand in [Hand::Touch, Hand::Typing] {
            form.fields[2].error =
                (hand == Hand::Typing).then(|| "45 is outside 1 to 40".to_owned());
            assert_eq!(lines_of_names(&form, hand), first, "{place} {hand:?}");
        }
    }
}
