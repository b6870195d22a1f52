//! Two counts of a tree side by side, once both are closed.

use super::parts::{Head, Put, paper, sheet, table};
use super::words;
use crate::orchard::{Age, Size, TreeCount};
use crate::report::document::Document;
use crate::report::fit::Align::{Left, Right};
use crate::report::{RepeatPair, Season};

const TITLE: &str = "Two counts of one tree";
const HEADS: [Head<'static>; 4] = [
    ("Counted", Left),
    ("First", Right),
    ("Again", Right),
    ("Difference", Right),
];
const NO_VERDICT: &str = "The first count stands; this one is part of no verdict. What many such pairs say stands in the \
                          winter review (F6, r).";

/// Two counts of a tree as a paper.
pub fn two_counts(season: &Season, pair: &RepeatPair<'_>) -> Document {
    let head = &pair.first.head;
    let place = words::place(season.block_name(head.block), head.row, head.tree);
    let mut page = sheet(
        &season.orchard,
        &season.winter.label,
        TITLE.to_owned(),
        String::new(),
    );
    let [first, again] = [pair.first, pair.again].map(by);
    page.para(format!("First: {first}. Again: {again}."));
    page.part(table(place, &HEADS, rows(pair)));
    page.note(NO_VERDICT);
    paper(TITLE, vec![page])
}

/// Day and counter of a count.
fn by(count: &TreeCount) -> String {
    let day = count.head.at.day;
    match count.head.counter.as_str() {
        "" => day.to_string(),
        name => format!("{day} {name}"),
    }
}

fn rows(pair: &RepeatPair<'_>) -> Vec<Vec<String>> {
    let (first, again) = (&pair.first.tally, &pair.again.tally);
    let ages = Age::ALL.map(|age| {
        let pieces = [first, again].map(|tally| tally.ages[age.index()]);
        row(&format!("{} pieces", age.word()), pieces)
    });
    let sizes = Size::ALL.into_iter().flat_map(|size| {
        let name = size.word();
        let units = [first, again].map(|tally| tally.units_of(size));
        let buds = [first, again].map(|tally| tally.buds_of(size));
        [
            row(&format!("{name} units"), units),
            row(&format!("buds on {name} units"), buds),
        ]
    });
    let extras = [
        ("upright one-year left", [first.upright, again.upright]),
        ("thick wood in the top", [first.thick_top, again.thick_top]),
    ];
    let extras = extras.into_iter().filter(|(_, [a, b])| a + b > 0);
    let extras = extras.map(|(what, counted)| row(what, counted));
    ages.into_iter().chain(sizes).chain(extras).collect()
}

fn row(what: &str, [first, again]: [u32; 2]) -> Vec<String> {
    let difference = match i64::from(again) - i64::from(first) {
        0 => "same".to_owned(),
        other => format!("{other:+}"),
    };
    vec![
        what.to_owned(),
        first.to_string(),
        again.to_string(),
        difference,
    ]
}
