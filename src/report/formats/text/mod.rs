//! A [`Document`] as plain text: at most 80 columns, no control characters, readable when printed.
//!
//! A picture is shown by its bars of digits, where it has any: whatever else it shows stands in words or in a table as
//! well. Headings are in capitals, which is all that text has to set them apart.

mod bar;
mod page;
mod table;

use crate::report::document::{Bar, Document, Part, Sheet};
use crate::report::fit::{fit, width};
use page::{Page, WIDTH};

/// The paper as text, its sheets one below the other.
pub fn render(paper: &Document) -> String {
    render_within(paper, WIDTH)
}

/// The same for a screen of so many columns: no more of them are used than are printed, and no fewer than half as many.
pub fn render_within(paper: &Document, columns: usize) -> String {
    joined(paper, columns.clamp(WIDTH / 2, WIDTH), "\n\n")
}

/// The paper as text with a form feed between its sheets, so that a printer starts a new page.
pub fn render_paged(paper: &Document) -> String {
    joined(paper, WIDTH, "\u{c}")
}

fn joined(paper: &Document, columns: usize, between: &str) -> String {
    let sheets = paper.sheets.iter().map(|of| sheet(of, columns));
    let sheets: Vec<String> = sheets.collect();
    sheets.join(between)
}

fn sheet(of: &Sheet, columns: usize) -> String {
    let mut page = Page::new(columns);
    page.sides(&of.orchard, &of.winter);
    page.sides(&of.title, &of.day);
    page.rule();
    let mut before = None;
    for part in of.parts.iter().filter(|part| is_shown(part)) {
        if before.is_some_and(|before| are_parted(before, part)) {
            page.blank();
        }
        set(&mut page, part);
        before = Some(part);
    }
    page.finish()
}

/// Whether text has anything to show of a part.
fn is_shown(part: &Part) -> bool {
    !matches!(part, Part::Picture(picture) if picture.bars.is_empty())
}

/// Whether an empty line stands between two parts.
fn are_parted(before: &Part, part: &Part) -> bool {
    match (before, part) {
        (Part::Heading(_), _) | (Part::Caution(_), Part::Caution(_)) => false,
        (Part::Lead(_), _)
        | (Part::Note(_), Part::Para(_))
        | (Part::Table(_) | Part::Picture(_), Part::Para(_) | Part::List { .. }) => true,
        (_, part) => matches!(
            part,
            Part::Heading(_) | Part::Table(_) | Part::Picture(_) | Part::Caution(_)
        ),
    }
}

fn set(page: &mut Page, part: &Part) {
    match part {
        Part::Heading(text) => page.para(&text.to_uppercase(), 0),
        Part::Lead(text) | Part::Para(text) | Part::Note(text) | Part::Caution(text) => {
            page.para(text, 0);
        }
        Part::List { numbered, items } => {
            for (number, item) in (1..).zip(items) {
                let mark = if *numbered {
                    format!("  {number}. ")
                } else {
                    "- ".to_owned()
                };
                page.item(&mark, item);
            }
        }
        Part::Table(made) => table::set(page, made),
        Part::Picture(picture) => {
            page.para(&picture.title, 0);
            bars(page, &picture.bars);
        }
    }
}

/// Bars below each other, so that they can be compared.
fn bars(page: &mut Page, bars: &[Bar]) {
    /// Edges and bounds of a bar: `[1|2|3|4]`.
    const EDGES: usize = 5;
    let names = bars.iter().map(|bar| width(&bar.name)).max();
    let names = names.unwrap_or(0).min(page.width / 2);
    let cells = (page.width - names - 2 - EDGES).min(48);
    for bar in bars {
        let drawn = bar::digits(bar.shares, cells);
        page.line(&format!("{}  {drawn}", fit(&bar.name, names)));
    }
}

#[cfg(test)]
mod tests;
