//! Nothing panics or leaves its area, whatever the sizes and the names.

use proptest::prelude::*;
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

use crate::tui::features::crew_blocks::{self, Of};
use crate::tui::features::testing::{Orchard, drawn, press, shown};
use crate::tui::{HitMap, Key, Pen, Screen, Theme};

/// Forty pruners and more, long names in several scripts, and a large block.
fn crowded() -> Orchard {
    let mut orchard = Orchard::bare();
    let long = "梨園の長い名前の区画その一".repeat(4);
    let wide = orchard.block(&long, "1-120x300", "3:1-299");
    let right = orchard.block("בלוק הנהר הארוך מאוד", "1-3x20", "");
    let names = [
        "剪定",
        "محمد عبد الرحمن",
        "e\u{301}lodie",
        "Wilhelmina Featherstonehaugh",
    ];
    for n in 0..45u16 {
        let name = names[usize::from(n) % names.len()];
        let who = orchard.pruner(&name.repeat(60 / name.chars().count()));
        orchard.work(who, wide, n + 1, (1, 300), 4);
        for tree in 0..u16::from(n % 3 == 0) * 8 {
            orchard.count(who, (wide, n + 1, tree + 1), 5, [5, 6, 7, 1], [2, 3, 5]);
        }
        orchard.go_back(who, wide, n + 1, (6, &"mend ".repeat(30)), None);
    }
    orchard.work(0, right, 1, (1, 20), 6);
    orchard
}

#[test]
fn forty_pruners_are_paged() {
    let orchard = crowded();
    let mut desk = orchard.desk(Theme::Dark, (80, 24));
    press(&mut desk, &[Key::F(4)]);
    assert!(shown(&desk).contains("1 to 12 of 45"), "{}", shown(&desk));
    press(&mut desk, &[Key::PageDown]);
    assert_eq!(desk.model.crew.cursor.at(45), 12, "a page is what is shown");
    assert!(shown(&desk).contains("13 to 24 of 45"), "{}", shown(&desk));
    press(&mut desk, &[Key::End]);
    assert!(shown(&desk).contains("▸Nr 45"), "{}", shown(&desk));
    press(&mut desk, &[Key::Down]);
    assert_eq!(desk.model.crew.cursor.at(45), 44);
    press(
        &mut desk,
        &[Key::F(5), Key::End, Key::Enter, Key::Left, Key::End],
    );
    let rows = shown(&desk);
    assert!(rows.contains("▸120") && rows.contains("of 120"), "{rows}");
}

#[test]
fn long_names_stay_in_their_place() {
    let orchard = crowded();
    for size in [(80, 24), (120, 40), (200, 60)] {
        for key in [Key::F(4), Key::F(5)] {
            let mut desk = orchard.desk(Theme::Bright, size);
            press(&mut desk, &[key, Key::End, Key::Enter]);
            for _ in 0..7 {
                let (buf, _) = drawn(&desk);
                let foot = &buf.content[usize::from(size.0) * usize::from(size.1 - 2)..];
                assert_eq!(foot[0].symbol(), "└", "{}", shown(&desk));
                press(
                    &mut desk,
                    &[Key::Right, Key::PageDown, Key::Down, Key::End, Key::PageUp],
                );
            }
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn nothing_is_drawn_outside(
        areas in prop::collection::vec((0u16..130, 0u16..50, 0u16..130, 0u16..50), 12),
        tiny in prop::collection::vec((0u16..4, 0u16..4, 0u16..30, 0u16..9), 12),
        part in 0usize..7, usual in any::<bool>(),
    ) {
        thread_local! {
            static ORCHARDS: [Orchard; 2] = [Orchard::usual(), crowded()];
        }
        ORCHARDS.with(|orchards| {
            let mut desk = orchards[usize::from(!usual)].desk(Theme::Plain, (80, 24));
            for screen in [Screen::Crew, Screen::Blocks] {
                press(&mut desk, &[if screen == Screen::Crew { Key::F(4) } else { Key::F(5) }]);
                for opened in [false, true] {
                    if opened {
                        press(&mut desk, &[Key::Enter]);
                        press(&mut desk, &vec![Key::Right; part]);
                    }
                    for (x, y, width, height) in areas.iter().chain(&tiny) {
                        inside(&desk.model, screen, Rect::new(*x, *y, *width, *height));
                    }
                }
            }
        });
    }
}

/// Draws a screen on an area that may reach beyond the frame, and checks what is around it.
fn inside(model: &crate::tui::app::Model, screen: Screen, area: Rect) {
    let mut buf = Buffer::empty(Rect::new(0, 0, 125, 45));
    let mut hits = HitMap::new();
    let mut pen = Pen::new(&mut buf, Theme::Plain, &mut hits);
    let whole = pen.buf.area;
    pen.fill(whole, '~', Theme::Plain.text());
    match screen {
        Screen::Crew => crew_blocks::view(model, Of::Crew, &mut pen, area),
        _ => crew_blocks::view(model, Of::Blocks, &mut pen, area),
    }
    let inside = area.intersection(buf.area);
    for (place, _) in hits.targets().chain(hits.rows()) {
        assert_eq!(place.intersection(inside), place, "touch outside {area:?}");
    }
    for position in buf.area.positions() {
        let symbol = buf[position].symbol();
        assert!(!symbol.chars().any(char::is_control));
        let kept = inside.contains(position) || symbol == "~";
        assert!(kept, "{symbol:?} at {position:?} outside {area:?}");
    }
}
