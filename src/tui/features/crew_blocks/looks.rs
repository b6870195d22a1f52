//! How the lists and the parts look.

use insta::assert_snapshot;

use super::Part;
use crate::judge::Verdict;
use crate::tui::features::parts::tone;
use crate::tui::features::testing::{Orchard, drawn, press, shown, text};
use crate::tui::{Key, Theme};

const SMALL: (u16, u16) = (80, 24);
const LARGE: (u16, u16) = (120, 40);

/// What is shown after some keys.
fn after(orchard: &Orchard, size: (u16, u16), keys: &[Key]) -> String {
    let mut desk = orchard.desk(Theme::Dark, size);
    press(&mut desk, keys);
    shown(&desk)
}

#[test]
fn the_lists() {
    let orchard = Orchard::usual();
    assert_snapshot!("crew", after(&orchard, SMALL, &[Key::F(4), Key::Down]));
    assert_snapshot!("crew_large", after(&orchard, LARGE, &[Key::F(4)]));
    assert_snapshot!("blocks", after(&orchard, SMALL, &[Key::F(5), Key::Down]));
    assert_snapshot!("blocks_large", after(&orchard, LARGE, &[Key::F(5)]));
}

#[test]
fn the_parts_of_a_pruner() {
    let orchard = Orchard::usual();
    let mut desk = orchard.desk(Theme::Dark, SMALL);
    press(&mut desk, &[Key::F(4), Key::Down, Key::Enter]);
    for part in Part::OF_PRUNER {
        let name = format!("pruner_{}", part.title().replace(' ', "_"));
        assert_snapshot!(name, shown(&desk));
        press(&mut desk, &[Key::Right]);
    }
    let all = after(&orchard, LARGE, &[Key::F(4), Key::Down, Key::Enter]);
    assert_snapshot!("pruner_large", all);
}

#[test]
fn the_parts_of_a_block() {
    let orchard = Orchard::usual();
    let mut desk = orchard.desk(Theme::Dark, SMALL);
    press(&mut desk, &[Key::F(5), Key::Enter, Key::Left]);
    assert_snapshot!("block_rows", shown(&desk));
    press(&mut desk, &[Key::Left]);
    assert_snapshot!("block_go_backs", shown(&desk));
    let all = after(&orchard, LARGE, &[Key::F(5), Key::Enter]);
    assert_snapshot!("block_large", all);
}

#[test]
fn a_block_that_nobody_looked_at() {
    let keys = [
        Key::F(5),
        Key::Down,
        Key::Enter,
        Key::Right,
        Key::Right,
        Key::Right,
        Key::Right,
    ];
    let shown = after(&Orchard::usual(), SMALL, &keys);
    assert!(shown.contains("50 trees pruned, none counted"), "{shown}");
    assert!(
        shown.contains("Not looked at in these days: Nr 2 Mele and Nr 4 Ines"),
        "{shown}"
    );
    assert!(shown.contains("Draw trees on Today (F2, d)"), "{shown}");
}

#[test]
fn the_letters_are_the_same_in_all_themes_and_verdicts_have_their_own_style() {
    let orchard = Orchard::usual();
    let look = |theme| {
        let mut desk = orchard.desk(theme, SMALL);
        press(&mut desk, &[Key::F(4), Key::Down, Key::Enter]);
        drawn(&desk).0
    };
    let dark = text(&look(Theme::Dark));
    for theme in Theme::ALL {
        let buf = look(theme);
        assert_eq!(text(&buf), dark, "{theme:?}");
        for (verdict, mark) in [(Verdict::Light, "▼"), (Verdict::KeepCounting, "?")] {
            let found = buf.content.iter().find(|cell| cell.symbol() == mark);
            let (style, wanted) = (found.unwrap().style(), tone(verdict).style(theme));
            assert_eq!(style.add_modifier, wanted.add_modifier, "{theme:?} {mark}");
            assert!(
                wanted.bg.is_none() || style.bg == wanted.bg,
                "{theme:?} {mark}"
            );
        }
    }
}

#[test]
fn the_selected_line_is_marked_and_styled_in_all_themes() {
    let orchard = Orchard::usual();
    for theme in Theme::ALL {
        let mut desk = orchard.desk(theme, SMALL);
        press(&mut desk, &[Key::F(4), Key::End]);
        let (buf, _) = drawn(&desk);
        let marked = buf.content.iter().position(|cell| cell.symbol() == "▸");
        let cell = &buf.content[marked.unwrap()];
        assert_eq!(
            cell.style().add_modifier,
            theme.selected().add_modifier,
            "{theme:?}"
        );
        let line = &buf.content[marked.unwrap()..][..14];
        let name: String = line.iter().map(ratatui::buffer::Cell::symbol).collect();
        assert_eq!(name.trim_end(), "▸Nr 4 Ines");
    }
}
