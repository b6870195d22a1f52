//! What the lists of pruners and of blocks share.

use ratatui::layout::Rect;

use crate::report::{Standing, StandingLine, words};
use crate::tui::features::parts::{list_word, tone};
use crate::tui::pen::{below, line_of};
use crate::tui::text::{self, Align};
use crate::tui::widgets::{Cell, badge_text};
use crate::tui::{Pen, Theme};

const BUTTONS: u16 = 3;
/// Lines about the selected one.
const ABOUT: u16 = 2;
/// From so many columns on, a list has more of them.
pub const WIDE: u16 = 110;

/// The rooms of a list.
#[derive(Debug, Clone, Copy)]
pub struct Rooms {
    /// What is listed, and over which days.
    pub title: Rect,
    /// The table.
    pub table: Rect,
    /// The selected one in words.
    pub about: Rect,
    /// The buttons.
    pub buttons: Rect,
}

/// Shares the area out.
pub fn rooms(area: Rect) -> Rooms {
    let end = area.height.saturating_sub(BUTTONS);
    let table = end.saturating_sub(1 + ABOUT);
    Rooms {
        title: line_of(area, 0),
        table: Rect {
            height: table,
            ..below(area, 1)
        },
        about: Rect {
            height: end.saturating_sub(table + 1).min(ABOUT),
            ..below(area, table + 1)
        },
        buttons: Rect {
            height: area.height.min(BUTTONS),
            ..below(area, end)
        },
    }
}

/// A share for a narrow column: whole percents without their sign; `-` where there is none.
pub fn share(share: Option<f64>) -> Cell {
    Cell::new(share.map_or_else(|| "-".to_owned(), |share| format!("{:.0}", share * 100.0)))
}

/// The shares of the four ages, and of the units that keep the rule of buds.
pub fn shares(standing: &StandingLine) -> Vec<Cell> {
    let age = |age: usize| share(standing.mix.map(|mix| mix[age]));
    let mut cells: Vec<Cell> = (0..4).map(age).collect();
    cells.push(share(standing.buds_within));
    cells
}

/// The whole verdict as mark and word.
pub fn verdict(line: &StandingLine, theme: Theme) -> Cell {
    let tone = tone(line.overall);
    Cell::styled(badge_text(tone, &list_word(line)), tone.style(theme))
}

/// Columns for [`counted`].
pub const COUNTED: u16 = 9;

/// Trees counted, and how many of them were drawn where there is room for it.
pub fn counted(line: &StandingLine) -> Cell {
    let both = format!("{} ({})", line.trees, line.drawn);
    if both.len() > usize::from(COUNTED) {
        return Cell::new(line.trees.to_string());
    }
    Cell::new(both)
}

/// Writes the selected one in words over two lines: whom or what it is about and how it stands (or
/// what to do next), then what that rests on. A long name gives way to the verdict.
pub fn about(
    pen: &mut Pen,
    area: Rect,
    (standing, minutes_a_tree): (&Standing, Option<f64>),
    rests_on: &str,
) {
    let taking = words::taking(standing.judgement.more, minutes_a_tree);
    let said = said(standing) + &taking;
    let (style, faint) = (pen.theme.text(), pen.theme.faint());
    let room = usize::from(area.width).saturating_sub(text::width(&said) + 2);
    let shown = standing.subject.shown();
    if text::width(shown) > room {
        pen.left_out(&format!("{shown}: {said}"));
    }
    let whom = text::cut(shown, room.max(8));
    pen.text(line_of(area, 0), &format!("{whom}: {said}"), style);
    pen.text(line_of(area, 1), rests_on, faint);
}

fn said(standing: &Standing) -> String {
    if standing.trees > 0 {
        let line = StandingLine::new(standing);
        match line.hint {
            Some(hint) => format!("{}; {}", words::hint(hint), words::more(line.more)),
            None => line.words(),
        }
    } else {
        "draw trees on Today (F2, d), count them on Count (F3)".to_owned()
    }
}

/// How many trees were pruned, counted and drawn, in words.
pub fn trees(standing: &Standing) -> String {
    let pruned = format!("{} pruned", words::trees(standing.pruned));
    if standing.trees == 0 {
        return format!("{pruned}, none counted in these days");
    }
    let by_eye = standing.trees.saturating_sub(standing.drawn);
    format!(
        "{pruned}, {} counted: {} drawn, {by_eye} by eye",
        standing.trees, standing.drawn
    )
}

/// Writes the title and, at its right, the key to the table.
pub fn title(pen: &mut Pen, area: Rect, words: &str, key: &str) {
    let faint = pen.theme.faint();
    let used = text::width(key) as u16;
    if text::width(words) as u16 + used < area.width {
        pen.aligned(area, key, Align::Right, faint);
    }
    let title = pen.theme.title();
    pen.text(area, words, title);
}
