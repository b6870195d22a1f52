//! Nothing that is drawn panics or leaves the frame, whatever the size and the data.

use super::app::Hand;
use super::form_looks::sample_form;
use super::looks::Drawn;
use super::widgets::*;
use super::{Action, Cursor, Pen, Screen, Theme, form};
use crate::orchard::Size;
use crate::report::document::{Anchor, Drawing, Fill, Ink};
use proptest::prelude::*;
use ratatui::layout::Rect;

fn number() -> impl Strategy<Value = f64> {
    prop_oneof![
        4 => -2.0..2.0f64,
        1 => prop::sample::select(vec![
            0.0, 1.0, f64::NAN, f64::INFINITY, f64::NEG_INFINITY, f64::MAX, f64::MIN_POSITIVE, -0.0, 1e9,
        ]),
    ]
}

fn numbers(n: usize) -> impl Strategy<Value = Vec<f64>> {
    prop::collection::vec(number(), n)
}

fn words() -> impl Strategy<Value = String> {
    prop_oneof![
        ".{0,12}",
        "\\PC{0,200}",
        Just("梨".repeat(50)),
        Just("\u{1b}[2J".to_owned())
    ]
}

/// An area that may reach beyond the frame, on frames of 0 to 200 in each direction.
fn frame() -> impl Strategy<Value = (u16, u16, Rect)> {
    let area = (0u16..220, 0u16..220, 0u16..220, 0u16..220);
    let small = (0u16..4, 0u16..4, 0u16..40, 0u16..16);
    (
        0u16..200,
        0u16..200,
        prop_oneof![area, small],
        any::<bool>(),
    )
        .prop_map(|(w, h, (x, y, width, height), whole)| {
            let own = Rect::new(0, 0, w, h);
            (
                w,
                h,
                if whole {
                    own
                } else {
                    Rect::new(x, y, width, height)
                },
            )
        })
}

/// Draws in an area of a frame and checks that all touchable places are on the frame and in the area.
fn draws(frame: (u16, u16, Rect), theme: usize, draw: impl FnOnce(&mut Pen, Rect)) {
    let (width, height, area) = frame;
    let drawn = Drawn::new(Theme::ALL[theme], width, height, |pen, whole| {
        pen.fill(whole, '~', pen.theme.text());
        draw(pen, area);
    });
    let inside = drawn.buf.area.intersection(area);
    for (place, _) in drawn.hits.targets().chain(drawn.hits.rows()) {
        assert_eq!(place.intersection(inside), place, "touch outside the area");
    }
    for y in 0..height {
        for x in 0..width {
            let cell = &drawn.buf[(x, y)];
            let symbol = cell.symbol();
            assert!(
                !symbol.chars().any(char::is_control),
                "{symbol:?} at {x}, {y}"
            );
            let outside = !inside.contains((x, y).into());
            assert!(
                !outside || symbol == "~",
                "{symbol:?} drawn outside at {x}, {y}"
            );
        }
    }
}

fn pair(v: &[f64]) -> (f64, f64) {
    (v[0], v[1])
}

fn cursor_at(line: usize) -> Cursor {
    let mut cursor = Cursor::default();
    cursor.put(line);
    cursor
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn buttons(f in frame(), theme in 0usize..3, text in words(), n in 0usize..12) {
        let many: Vec<Button> = (0..n)
            .map(|i| Button::new(&text, Action::Select(i)).key(text.clone()).detail(text.clone()).active(i == 1).off(i == 2))
            .collect();
        draws(f, theme, |pen, area| button_bar(pen, area, &many));
        draws(f, theme, |pen, area| tabs(pen, area, Screen::Today));
        draws(f, theme, |pen, area| { badge(pen, area, Tone::High, &text); });
    }

    #[test]
    fn tables(f in frame(), theme in 0usize..3, text in words(), n in 0usize..300, at in 0usize..400, width in 0u16..400) {
        let columns = [
            Column::new(&text, Width::Fixed(width)),
            Column::right(&text, Width::Share(width)),
            Column::new("c", Width::Share(1)),
        ];
        let rows: Vec<Vec<Cell>> = (0..n).map(|i| vec![text.clone().into(); i % 6]).collect();
        let shown = Table { columns: &columns, rows: &rows, cursor: Some(cursor_at(at)), empty: &text };
        draws(f, theme, |pen, area| table(pen, area, &shown));
        let none = Table { cursor: None, columns: &[], ..shown };
        draws(f, theme, |pen, area| table(pen, area, &none));
    }

    #[test]
    fn bars(f in frame(), theme in 0usize..3, v in numbers(12), counts in any::<[u32; 8]>(), limit in any::<(u8, u8)>()) {
        let shares = [v[0], v[1], v[2], v[3]];
        draws(f, theme, |pen, area| mix_bar(pen, area, shares));
        draws(f, theme, |pen, area| mix_bar(pen, area, shares.map(f64::abs)));
        let bar = IntervalBar {
            mean: v[0], interval: pair(&v[1..]), target: v[3], band: pair(&v[4..]), axis: pair(&v[6..]),
        };
        draws(f, theme, |pen, area| interval_bar(pen, area, &bar));
        let bar = IntervalBar { axis: (0.0, 1.0), ..bar };
        draws(f, theme, |pen, area| interval_bar(pen, area, &bar));
        for size in Size::ALL {
            draws(f, theme, |pen, area| bud_bars(pen, area, &BudBars { size, counts, limit }));
        }
    }

    #[test]
    fn drawings(f in frame(), theme in 0usize..3, v in numbers(2), many in prop::collection::vec(numbers(4), 0..20), text in words()) {
        let mut drawing = Drawing::new(v[0] * 100.0, v[1] * 100.0);
        for (n, p) in many.iter().enumerate() {
            let p: Vec<f64> = p.iter().map(|v| v * 60.0).collect();
            let fill = [Fill::Empty, Fill::Solid, Fill::Light, Fill::Rising, Fill::Dotted][n % 5];
            drawing.rect((p[0], p[1]), (p[2], p[3]), Ink::One, fill);
            drawing.line(vec![(p[0], p[1]), (p[2], p[3])], 1.0, n % 2 == 0, Ink::Rule);
            drawing.circle((p[0], p[1]), p[2], Ink::Seen, fill);
            let anchor = [Anchor::Start, Anchor::Middle, Anchor::End][n % 3];
            drawing.text((p[0], p[1]), anchor, 9.0, text.clone());
        }
        draws(f, theme, |pen, area| picture(pen, area, &drawing));
    }

    #[test]
    fn row_maps(f in frame(), theme in 0usize..3, text in words(), sizes in prop::collection::vec(0usize..900, 0..60), at in 0usize..90) {
        use Place::{Counted, Missing, Pruned, SentBack, Unpruned};
        let kinds = [Missing, Unpruned, Pruned, Counted, SentBack];
        let rows: Vec<RowLine> = sizes.iter()
            .map(|n| RowLine { label: text.clone(), places: (0..*n).map(|i| kinds[i % 5]).collect() })
            .collect();
        draws(f, theme, |pen, area| row_map(pen, area, &RowMap { rows: &rows, cursor: cursor_at(at) }));
    }

    #[test]
    fn forms(f in frame(), theme in 0usize..3, text in words(), focus in 0usize..30) {
        let mut form = sample_form();
        form.title.clone_from(&text);
        form.problem = Some(text.clone());
        form.set_focus(focus);
        form.paste(&text);
        let place = form.focus();
        form.fields[place].error = Some(text.clone());
        form.fields[place].hint.clone_from(&text);
        draws(f, theme, |pen, area| form::view(&form, Hand::Keys, pen, area));
        form.fields.clear();
        draws(f, theme, |pen, area| form::view(&form, Hand::Keys, pen, area));
    }
}
