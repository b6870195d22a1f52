//! How the parts look: their text as snapshots, their touchable places and styles as checks.

use super::theme::Stroke;
use super::widgets::*;
use super::{Action, Cursor, HitMap, Pen, Screen, Theme};
use crate::orchard::{Age, Size};
use insta::assert_snapshot;
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::{Modifier, Style};

/// What was drawn on a frame of a size.
pub(super) struct Drawn {
    pub buf: Buffer,
    pub hits: HitMap,
}

impl Drawn {
    pub fn new(theme: Theme, width: u16, height: u16, draw: impl FnOnce(&mut Pen, Rect)) -> Self {
        let mut buf = Buffer::empty(Rect::new(0, 0, width, height));
        let mut hits = HitMap::new();
        let area = buf.area;
        draw(&mut Pen::new(&mut buf, theme, &mut hits), area);
        Self { buf, hits }
    }

    /// The letters, line by line.
    pub fn text(&self) -> String {
        let width = usize::from(self.buf.area.width).max(1);
        let lines = self.buf.content.chunks(width);
        let line = |cells: &[ratatui::buffer::Cell]| {
            let mut text = String::new();
            let mut hidden = 0;
            for cell in cells {
                if hidden == 0 {
                    text.push_str(cell.symbol());
                    hidden = super::text::width(cell.symbol());
                }
                hidden = hidden.saturating_sub(1);
            }
            text.trim_end().to_owned()
        };
        lines.map(line).collect::<Vec<_>>().join("\n")
    }

    /// The style of the first cell that shows a letter.
    pub fn style_of(&self, letter: &str) -> Style {
        let mut cells = self.buf.content.iter();
        cells.find(|c| c.symbol() == letter).unwrap().style()
    }
}

/// Drawn without colour.
pub(super) fn plain(width: u16, height: u16, draw: impl FnOnce(&mut Pen, Rect)) -> Drawn {
    Drawn::new(Theme::Plain, width, height, draw)
}

#[test]
fn tabs_are_buttons_for_gloves() {
    let drawn = plain(80, 24, |pen, area| {
        tabs(pen, Rect { height: 3, ..area }, Screen::Crew);
    });
    assert_snapshot!(drawn.text().trim_end());
    assert_eq!(drawn.hits.targets().count(), Screen::ALL.len() + 2);
    assert_eq!(drawn.hits.too_small(), []);
    assert_eq!(drawn.hits.at(0, 0), Some(Action::Go(Screen::Today)));
    assert_eq!(drawn.hits.at(79, 2), Some(Action::Quit));
    let active = drawn.style_of("╔");
    assert!(active.add_modifier.contains(Modifier::REVERSED));
}

#[test]
fn buttons_wrap_rather_than_shrink() {
    let bar: Vec<Button> = (0..5)
        .map(|i| Button::new("One more", Action::Select(i)))
        .collect();
    let drawn = plain(24, 6, |pen, area| button_bar(pen, area, &bar));
    assert_eq!(drawn.hits.too_small(), []);
    assert_eq!(drawn.hits.targets().count(), 5);
}

#[test]
fn a_button_has_its_key_its_word_and_its_number() {
    let pad = Button::new("one-year", Action::Undo).key("1").detail("12");
    let off = Button::new("Undo", Action::Undo).key("Backspace").off(true);
    let drawn = plain(26, 5, |pen, area| {
        button_bar(pen, area, &[pad.clone(), off]);
    });
    assert_snapshot!(drawn.text());
    assert_eq!(drawn.hits.at(20, 2), None, "off does nothing");
    let fill = Theme::Dark.age(Age::One);
    let drawn = Drawn::new(Theme::Dark, 12, 3, |pen, area| {
        button(pen, area, &pad.style(fill));
    });
    assert_eq!(drawn.style_of("┌").bg, fill.bg);
}

#[test]
fn tables_keep_the_touched_line_in_place() {
    let columns = [
        Column::new("Pruner", Width::Share(1)),
        Column::right("Trees", Width::Fixed(5)),
        Column::new("Verdict", Width::Fixed(14)),
    ];
    let rows: Vec<Vec<Cell>> = (1..=12)
        .map(|i| {
            let badge = Cell::styled(badge_text(Tone::High, "heavy"), Theme::Dark.high());
            vec![
                format!("{i} 梨の名前 Very Long Name Indeed").into(),
                i.to_string().into(),
                badge,
            ]
        })
        .collect();
    let shown = |cursor: Cursor| {
        Drawn::new(Theme::Dark, 44, 7, |pen, area| {
            let empty = "No pruner yet.";
            let cursor = Some(cursor);
            table(
                pen,
                area,
                &Table {
                    columns: &columns,
                    rows: &rows,
                    cursor,
                    empty,
                },
            );
        })
    };
    let room = table_lines(7, 12);
    let mut cursor = Cursor::default();
    cursor.act(12, room, Action::PageDown);
    cursor.act(12, room, Action::Down);
    let drawn = shown(cursor);
    assert_snapshot!(drawn.text());
    assert_eq!(drawn.hits.at(3, 2), Some(Action::Select(6)));
    assert_eq!(drawn.hits.at(3, 4), Some(Action::Select(8)));
    cursor.act(12, room, Action::Select(8));
    assert_eq!(
        shown(cursor).hits.at(3, 4),
        Some(Action::Select(8)),
        "the list stays"
    );
    assert_eq!(
        drawn.style_of("▸"),
        drawn.style_of("7"),
        "the whole line is selected"
    );
    assert_eq!(
        drawn.style_of("▲").bg,
        Theme::Dark.high().bg,
        "a cell keeps its style"
    );
}

#[test]
fn an_empty_table_says_what_to_do() {
    let drawn = plain(30, 4, |pen, area| {
        let columns = [Column::new("Block", Width::Share(1))];
        let empty = "No block yet: press n to make the first.";
        table(
            pen,
            area,
            &Table {
                columns: &columns,
                rows: &[],
                cursor: None,
                empty,
            },
        );
    });
    assert!(drawn.text().contains("press n"), "{}", drawn.text());
}

#[test]
fn the_mix_is_a_bar() {
    let mix = [0.24, 0.31, 0.4, 0.05];
    let drawn = plain(60, 1, |pen, area| mix_bar(pen, area, mix));
    assert_snapshot!(drawn.text());
    let drawn = plain(60, 1, |pen, area| mix_bar(pen, area, [0.0; 4]));
    assert!(drawn.text().contains("nothing counted yet"));
    let drawn = Drawn::new(Theme::Bright, 60, 2, |pen, area| {
        mix_bar(pen, area, mix);
    });
    assert_eq!(drawn.style_of("#").bg, Theme::Bright.age(Age::FourPlus).bg);
}

const FIGURE: IntervalBar = IntervalBar {
    mean: 0.41,
    interval: (0.35, 0.47),
    target: 1.0 / 3.0,
    band: (0.27, 0.39),
    axis: (0.0, 0.6),
};

#[test]
fn an_interval_stands_against_what_the_rule_allows() {
    let drawn = plain(61, 1, |pen, area| interval_bar(pen, area, &FIGURE));
    assert_snapshot!(drawn.text());
    let around = IntervalBar {
        interval: (0.2, 0.6),
        ..FIGURE
    };
    let drawn = plain(61, 1, |pen, area| interval_bar(pen, area, &around));
    assert!(drawn.text().contains("─┼─"), "the target shows through");
    let beyond = IntervalBar {
        mean: 0.7,
        interval: (0.5, 0.9),
        ..FIGURE
    };
    let drawn = plain(61, 1, |pen, area| interval_bar(pen, area, &beyond));
    assert_eq!(drawn.text().chars().last(), Some('▸'));
    let unknown = IntervalBar {
        mean: f64::NAN,
        interval: (f64::NAN, f64::NAN),
        ..FIGURE
    };
    let drawn = plain(61, 1, |pen, area| interval_bar(pen, area, &unknown));
    assert!(!drawn.text().contains('●') && drawn.text().contains('┼'));
}

const BUDS: BudBars = BudBars {
    size: Size::Thick,
    counts: [0, 1, 2, 6, 12, 5, 3, 1],
    limit: (3, 4),
};

#[test]
fn buds_stand_against_their_limits() {
    let drawn = plain(48, 10, |pen, area| bud_bars(pen, area, &BUDS));
    assert_snapshot!(drawn.text());
    let drawn = plain(60, 1, |pen, area| bud_bars(pen, area, &BUDS));
    assert_eq!(drawn.text(), "thick 0:0 1:1 2:2 [3:6 4:12] 5:5 6:3 7+:1");
    let drawn = Drawn::new(Theme::Dark, 48, 10, |pen, area| bud_bars(pen, area, &BUDS));
    let within = drawn.style_of("█").fg;
    assert_eq!(within, Theme::Dark.line(Stroke::Band).fg);
}

#[test]
fn a_block_is_seen_from_above() {
    use Place::{Counted, Missing, Pruned, SentBack, Unpruned};
    let row = |label: &str, places: Vec<Place>| RowLine {
        label: label.to_owned(),
        places,
    };
    let rows = [
        row("1", [vec![Counted, Missing], vec![Pruned; 38]].concat()),
        row(
            "2",
            [vec![SentBack; 20], vec![Pruned; 7], vec![Unpruned; 7]].concat(),
        ),
        row("10", vec![Unpruned; 40]),
    ];
    let map = RowMap {
        rows: &rows,
        cursor: Cursor::default(),
    };
    let wide = plain(70, 4, |pen, area| row_map(pen, area, &map));
    let narrow = plain(24, 3, |pen, area| row_map(pen, area, &map));
    assert_snapshot!(format!("{}\n\n{}", wide.text(), narrow.text()));
    assert_eq!(wide.hits.at(9, 1), Some(Action::Select(1)));
}

#[test]
fn a_verdict_has_a_mark_a_word_and_a_style() {
    for theme in Theme::ALL {
        for tone in Tone::ALL {
            let drawn = Drawn::new(theme, 20, 1, |pen, area| {
                assert_eq!(badge(pen, area, tone, "light"), 9);
            });
            assert!(drawn.text().contains(&badge_text(tone, "light")));
        }
    }
    let drawn = Drawn::new(Theme::Dark, 20, 1, |pen, area| {
        badge(pen, area, Tone::Good, "in balance");
    });
    assert_eq!(drawn.style_of("✓").bg, Theme::Dark.good().bg);
}
