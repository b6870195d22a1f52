//! What the figures say, in sentences.

use ratatui::layout::Rect;

use super::{Sheet, table};
use crate::judge::WrongAge;
use crate::orchard::Age;
use crate::report::{Standing, changes, not_there, words};
use crate::tui::pen::line_of;
use crate::tui::text::{self, percent};
use crate::tui::{Action, Cursor, Pen};

/// Draws the part, scrolled down by so many lines.
pub fn view(sheet: &Sheet, pen: &mut Pen, area: Rect, at: Cursor) {
    let lines = lines(sheet, area.width);
    let room = shown(area.height, lines.len());
    let top = at.top(lines.len(), room);
    let style = pen.theme.text();
    for (y, line) in (0..room as u16).zip(&lines[top..]) {
        pen.text(line_of(area, y), line, style);
    }
    if top + room < lines.len() {
        let faint = pen.theme.faint();
        pen.text(line_of(area, room as u16), "  (more below)", faint);
    }
}

/// Scrolls through it.
pub fn scroll(sheet: &Sheet, area: Rect, at: &mut Cursor, action: Action) {
    let lines = lines(sheet, area.width).len();
    at.scroll(lines, shown(area.height, lines), action);
}

/// How many of the lines are in sight: one is kept for saying that there are more.
fn shown(height: u16, lines: usize) -> usize {
    let room = usize::from(height);
    room - usize::from(lines > room && room > 1)
}

fn lines(sheet: &Sheet, width: u16) -> Vec<String> {
    let room = usize::from(width.saturating_sub(2)).max(1);
    let wrapped = |said: &String| {
        let lines = text::wrap(said, room).into_iter().enumerate();
        lines
            .map(|(at, line)| format!("{}{line}", if at == 0 { "· " } else { "  " }))
            .collect::<Vec<_>>()
    };
    said(sheet).iter().flat_map(wrapped).collect()
}

/// The sentences: first what is asked for, then what it rests on.
fn said(sheet: &Sheet) -> Vec<String> {
    let standing = sheet.standing;
    let mut said = Vec::new();
    for change in changes(standing) {
        said.extend(words::change(&change, standing));
    }
    said.extend(not_there(standing).iter().map(words::not_there));
    said.push(format!("By the work log {}.", table::trees(standing)));
    if standing.trees == 0 {
        said.extend(not_looked_at(standing));
        said.push("Draw trees on Today (F2, d), then count them on Count (F3).".to_owned());
        return said;
    }
    said.extend(standing.wrong_age.as_ref().map(wrong_age));
    said.push(pieces(standing));
    if standing.in_part > 0 {
        said.push(format!(
            "{} counted in part: their pieces are scaled up to the whole tree.",
            words::trees(standing.in_part)
        ));
    }
    // nothing of either: they are mostly not counted then, as on the day sheet
    if let (Some(upright), Some(thick)) = (standing.upright_a_tree, standing.thick_top_a_tree)
        && upright + thick > 0.0
    {
        said.push(format!(
            "On the average tree {upright:.1} upright one-year pieces and {thick:.1} thick pieces in the top (for information).",
        ));
    }
    if !sheet.is_block() && !standing.blocks.is_empty() {
        said.push(format!("Counted in {}.", words::list(&standing.blocks)));
    }
    said.extend(not_looked_at(standing));
    said
}

fn not_looked_at(standing: &Standing) -> Option<String> {
    (!standing.not_looked_at.is_empty()).then(|| {
        format!(
            "Not looked at in these days: {}, who pruned {} of the trees that are done.",
            words::list(&standing.not_looked_at),
            percent(standing.unsampled)
        )
    })
}

fn wrong_age(found: &WrongAge) -> String {
    let of_hundred = |share: f64| format!("{:.0}", share * 100.0);
    format!(
        "Of 100 pieces, {} would have to be of another age (about {} by chance alone, were all on target); on the single tree {} on average.",
        of_hundred(found.share),
        of_hundred(found.noise),
        of_hundred(found.mean_tree)
    )
}

fn pieces(standing: &Standing) -> String {
    let by_age: Vec<String> = (Age::ALL.iter().zip(standing.pieces))
        .map(|(age, pieces)| format!("{pieces} {}", age.word()))
        .collect();
    let a_tree = standing.pieces_a_tree.map_or_else(String::new, |pieces| {
        format!("; {pieces:.1} on the average tree, all its stems")
    });
    format!("Pieces counted: {}{a_tree}.", words::list(&by_age))
}
