//! Day sheets on paper, a sheet a pruner, each in its own language.

use super::parts::{Put, nothing, paper, sheet_in, table};
use super::words::{self, Tongue, sentence};
use crate::orchard::Age;
use crate::report::DaySheet;
use crate::report::document::pictures::{self, Labels, mix, on_paper, ternary};
use crate::report::document::{Document, Part, Sheet};
use crate::report::fit::Align::{Left, Right};

/// Day sheets as a paper.
pub fn day_sheets(sheets: &[DaySheet]) -> Document {
    let Some(first) = sheets.first() else {
        return nothing(
            Tongue::english().label("paper-day-sheets"),
            words::NO_DAY_SHEET,
        );
    };
    let words = Tongue::of(first.language);
    let title = format!(
        "{}, {}",
        words.label("paper-day-sheets"),
        words.day(first.day)
    );
    paper(title, sheets.iter().map(day_sheet).collect())
}

fn day_sheet(of: &DaySheet) -> Sheet {
    let words = Tongue::of(of.language);
    let title = words.say("day-sheet-title", [("who", of.shown().into())]);
    let mut page = sheet_in(words, &of.orchard, &of.winter, [title, words.day(of.day)]);
    page.lead(words.status(of));
    if !of.standing.blocks.is_empty() {
        page.note(words.in_blocks(&of.standing));
    }
    if of.standing.trees > 0 {
        page.note(words.basis(of).join(" "));
        told(&mut page, of, words);
        page.heading(words.label("paper-figures"));
        page.parts.extend(pictures(of, words));
        wood(&mut page, of, words);
        buds(&mut page, of, words);
        trend(&mut page, of, words);
    }
    if !of.go_backs.is_empty() {
        page.heading(words.label("day-sheet-go-back"));
        let lines = of.go_backs.iter();
        page.list(
            false,
            lines.map(|line| words.go_back(line, false)).collect(),
        );
    }
    for caution in words.cautions() {
        page.caution(caution);
    }
    page
}

/// What is right, then what to change.
fn told(page: &mut Sheet, of: &DaySheet, words: &Tongue) {
    page.heading(words.label("day-sheet-right"));
    for line in words.right(of) {
        page.para(line);
    }
    for line in &of.not_there {
        page.para(words.not_there(line));
    }
    if !of.changes.is_empty() {
        page.heading(words.label("day-sheet-change"));
        let said = (of.changes.iter()).flat_map(|change| words.change(change, &of.standing));
        page.list(true, said.collect());
        if of.asks_for_more() {
            page.note(words.only_where_offered(of.standing.offered.as_ref()));
        }
    }
    page.para(words.open(of));
    for tree in &of.together {
        page.para(words.together(tree));
    }
}

/// The pictures of the figures.
fn pictures(of: &DaySheet, words: &'static Tongue) -> Vec<Part> {
    let labels = Labels::of(words);
    let standing = &of.standing;
    [
        mix(standing, &labels, on_paper::MIX),
        pictures::buds(standing, &labels, on_paper::BUDS),
        ternary(standing, &labels, on_paper::TERNARY),
        pictures::trend(standing, &labels, on_paper::TREND),
    ]
    .map(Part::Picture)
    .to_vec()
}

fn wood(page: &mut Sheet, of: &DaySheet, words: &Tongue) {
    let heads = [
        (words.label("day-sheet-wood"), Left),
        (words.label("day-sheet-rule"), Right),
        (words.label("day-sheet-left"), Right),
        (words.label("day-sheet-interval"), Right),
        (words.label("day-sheet-this-day"), Right),
        (words.label("day-sheet-trees"), Right),
        (words.label("day-sheet-verdict"), Left),
    ];
    let rows = of.table.iter();
    let rows = rows.map(|line| words.wood_cells(of, line).to_vec());
    page.part(table(words.label("paper-wood"), &heads, rows.collect()));
    if let Some(pieces) = words.pieces_a_tree(&of.standing) {
        page.note(sentence(&pieces) + ".");
    }
}

fn buds(page: &mut Sheet, of: &DaySheet, words: &Tongue) {
    if of.standing.buds.iter().any(|size| size.units > 0) {
        let heads = [
            (words.label("paper-units-of"), Left),
            (words.label("day-sheet-rule"), Right),
            (words.label("day-sheet-left"), Right),
            (words.label("paper-counted"), Right),
            (words.label("day-sheet-over"), Right),
            (words.label("day-sheet-under"), Right),
        ];
        let rows = of.standing.buds.iter();
        let rows = rows.map(|size| words.bud_cells(size).to_vec());
        page.part(table(words.label("paper-buds"), &heads, rows.collect()));
    }
    page.note(words.for_information(&of.standing).unwrap_or_default());
}

fn trend(page: &mut Sheet, of: &DaySheet, words: &Tongue) {
    page.heading(words.label("day-sheet-by-day"));
    let mut heads = vec![
        (words.label("paper-day"), Left),
        (words.label("day-sheet-trees"), Right),
    ];
    heads.extend(Age::ALL.map(|age| (words.age_column(age), Right)));
    heads.push((words.label("day-sheet-buds-in-rule"), Right));
    let rows = of.last_days().iter().map(words::day_cells);
    page.part(table(words.label("paper-days"), &heads, rows.collect()));
    for week in &of.weeks {
        page.para(words.week(week));
    }
}
