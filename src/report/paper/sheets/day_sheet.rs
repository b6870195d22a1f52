//! Day sheets on paper, a sheet a pruner.

use super::parts::{Head, Put, nothing, paper, sheet, table};
use super::words::{self, share};
use crate::report::DaySheet;
use crate::report::fit::Align::{Left, Right};
use crate::report::paper::{Paper, Part, Sheet};

const TITLE: &str = "Day sheet";
const SHEETS: &str = "Day sheets";
const RIGHT: &str = "Right";
const CHANGE: &str = "To change";
const FIGURES: &str = "The figures";
const BY_DAY: &str = "Day by day";
const GO_BACKS: &str = "Rows to go back to";
const WOOD: &str = "Wood and buds beside the rule";
const WOOD_HEADS: [Head; 7] = [
    ("Wood", Left),
    ("Rule", Right),
    ("Left", Right),
    ("Interval", Right),
    ("This day", Right),
    ("Trees", Right),
    ("Verdict", Left),
];
const BUDS: &str = "Buds left a unit, by size";
const BUD_HEADS: [Head; 6] = [
    ("Units", Left),
    ("Rule", Right),
    ("Left", Right),
    ("Counted", Right),
    ("Over", Right),
    ("Under", Right),
];
const DAYS: &str = "The last days with counts";
const DAY_HEADS: [Head; 7] = [
    ("Day", Left),
    ("Trees", Right),
    ("1-year", Right),
    ("2-year", Right),
    ("3-year", Right),
    ("4-plus", Right),
    ("Buds in rule", Right),
];

/// Day sheets as a paper.
pub fn day_sheets(sheets: &[DaySheet]) -> Paper {
    let Some(first) = sheets.first() else {
        return nothing(SHEETS, words::NO_DAY_SHEET);
    };
    let title = format!("{SHEETS}, {}", words::day(first.day));
    paper(title, sheets.iter().map(day_sheet).collect())
}

fn day_sheet(of: &DaySheet) -> Sheet {
    let mut page = sheet(
        &of.orchard,
        &of.winter,
        format!("{TITLE} {}", of.shown()),
        words::day(of.day),
    );
    page.lead(words::status(of));
    if !of.standing.blocks.is_empty() {
        page.note(format!("Blocks: {}", words::list(&of.standing.blocks)));
    }
    if of.standing.trees > 0 {
        page.note(words::basis(of).join(" "));
        told(&mut page, of);
        page.heading(FIGURES);
        page.parts.extend(pictures(of));
        figures(&mut page, of);
        trend(&mut page, of);
    }
    if !of.go_backs.is_empty() {
        page.heading(GO_BACKS);
        let lines = of.go_backs.iter();
        page.list(
            false,
            lines.map(|line| words::go_back(line, false)).collect(),
        );
    }
    for caution in of.safety {
        page.caution(caution);
    }
    page
}

/// What is right, then what to change.
fn told(page: &mut Sheet, of: &DaySheet) {
    page.heading(RIGHT);
    for line in words::right(of) {
        page.para(line);
    }
    for line in &of.not_there {
        page.para(words::not_there(line));
    }
    if !of.changes.is_empty() {
        page.heading(CHANGE);
        let said = (of.changes.iter()).flat_map(|change| words::change(change, &of.standing));
        page.list(true, said.collect());
        if of.asks_for_more() {
            page.note(words::only_where_offered(of.standing.offered.as_ref()));
        }
    }
    page.para(words::open(of));
}

/// The pictures of the figures.
fn pictures(_of: &DaySheet) -> Vec<Part> {
    Vec::new()
}

fn figures(page: &mut Sheet, of: &DaySheet) {
    let rows = of.table.iter().map(|line| {
        vec![
            words::metric_short(line.metric).to_owned(),
            words::band(line.band),
            share(line.mean),
            words::interval(line.interval),
            share(of.on_the_day(line.metric)),
            line.trees.to_string(),
            words::verdict(line.metric, line.verdict).to_owned(),
        ]
    });
    page.part(table(WOOD, &WOOD_HEADS, rows.collect()));
    if of.standing.mix.is_some() {
        page.note(words::sentence(&words::pieces_a_tree(&of.standing)) + ".");
    }
    if of.standing.buds.iter().any(|size| size.units > 0) {
        let rows = of.standing.buds.iter().map(|size| {
            vec![
                size.size.to_owned(),
                size.limit_text(),
                words::mean_buds(size),
                size.units.to_string(),
                size.over.to_string(),
                size.under.to_string(),
            ]
        });
        page.part(table(BUDS, &BUD_HEADS, rows.collect()));
    }
    page.note(words::for_information(&of.standing));
}

fn trend(page: &mut Sheet, of: &DaySheet) {
    page.heading(BY_DAY);
    let rows = of.last_days().iter().map(|day| {
        let mut row = vec![day.day.to_string(), day.trees.to_string()];
        row.extend((0..4).map(|age| share(day.mix.map(|mix| mix[age]))));
        row.push(share(day.buds_within));
        row
    });
    page.part(table(DAYS, &DAY_HEADS, rows.collect()));
    for week in &of.weeks {
        page.para(words::week(week));
    }
}
