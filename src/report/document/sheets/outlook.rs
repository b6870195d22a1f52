//! Outlooks on paper, a sheet a block.

use super::parts::{Head, Put, nothing, paper, sheet, table};
use super::words::{self, figure, share};
use crate::report::document::pictures::{Labels, ages_ahead, crop_ahead, on_paper};
use crate::report::document::{Document, Part, Sheet};
use crate::report::fit::Align::{Left, Right};
use crate::report::fit::percent;
use crate::report::{Ahead, OutlookSheet};

const TITLE: &str = "Outlook";
const SHEETS: &str = "Outlooks";
const CROP: &str = "The crop and its range";
const CROP_HEADS: [Head<'static>; 3] = [("Crop", Left), ("Mean", Right), ("4 times of 5", Right)];
const PIECES: &str = "Pieces a tree";
const PIECES_HEADS: [Head<'static>; 5] = [
    ("What", Left),
    ("One-year", Right),
    ("Two-year", Right),
    ("Three-year", Right),
    ("Four-plus", Right),
];
const OFFERED: &str = "Offered";
const LEFT: &str = "Left";
const KEPT: &str = "Share kept";
const MEND: &str = "To mend it soonest";
const AHEAD: &str = "The winters ahead";
const AHEAD_HEADS: [Head<'static>; 8] = [
    ("Winter", Left),
    ("1-year", Right),
    ("2-year", Right),
    ("3-year", Right),
    ("4-plus", Right),
    ("t/ha", Right),
    ("likely", Right),
    ("Wrong age", Right),
];

/// Outlooks as a paper.
pub fn outlooks(sheets: &[OutlookSheet]) -> Document {
    let Some(first) = sheets.first() else {
        return nothing(SHEETS, words::NO_OUTLOOK);
    };
    let title = format!("{SHEETS}, {}", words::day(first.day));
    paper(title, sheets.iter().map(outlook).collect())
}

fn outlook(of: &OutlookSheet) -> Sheet {
    let mut page = sheet(
        &of.orchard,
        &of.winter,
        format!("{TITLE} {}", of.block_name),
        words::day(of.day),
    );
    page.lead(words::crop_short(of));
    page.note(words::counted(of.left.as_ref()));
    page.note(words::what_if(&of.what_if));
    page.parts.extend(pictures(of));
    if let Some(mend) = &of.mend {
        page.heading(MEND);
        for line in words::mend(mend) {
            page.para(line);
        }
    }
    crop(&mut page, of);
    kept(&mut page, of);
    page.note(words::not_ahead(of));
    if !of.ahead.is_empty() {
        page.heading(AHEAD);
        for ahead in &of.ahead {
            scenario(&mut page, ahead);
        }
        page.note(words::growth(&of.growth));
        page.note(words::units_wanted(of));
    }
    page
}

/// The pictures of the crop and of the winters ahead.
fn pictures(of: &OutlookSheet) -> Vec<Part> {
    if of.ahead.is_empty() {
        return Vec::new();
    }
    let labels = Labels::english();
    vec![
        Part::Picture(ages_ahead(of, &labels, on_paper::AGES_AHEAD)),
        Part::Picture(crop_ahead(of, &labels, on_paper::CROP_AHEAD)),
    ]
}

fn crop(page: &mut Sheet, of: &OutlookSheet) {
    page.heading(&words::crop_of(of));
    if let Some(crop) = &of.crop {
        let potential = &crop.potential;
        let row = |name: &str, range: crate::outlook::Range| {
            vec![
                name.to_owned(),
                figure(range.mean),
                words::range(range.lo, range.hi),
            ]
        };
        let rows = vec![
            row("t/ha", potential.tonnes_per_ha),
            row("kg a tree", potential.kg_per_tree),
            row("fruit a tree", potential.fruit_per_tree),
        ];
        page.part(table(CROP, &CROP_HEADS, rows));
    }
    for line in words::crop_rests_on(of) {
        page.note(line);
    }
}

fn kept(page: &mut Sheet, of: &OutlookSheet) {
    let Some(left) = &of.left else { return };
    let line = |name: &str, cells: [String; 4]| {
        let mut row = vec![name.to_owned()];
        row.extend(cells);
        row
    };
    let mut rows = Vec::new();
    if let Some(offered) = left.offered {
        rows.push(line(OFFERED, offered.pieces.map(figure)));
    }
    rows.push(line(LEFT, left.pieces.map(figure)));
    if left.offered.is_some() {
        rows.push(line(KEPT, left.kept.map(share)));
    }
    page.part(table(PIECES, &PIECES_HEADS, rows));
}

fn scenario(page: &mut Sheet, ahead: &Ahead) {
    let rows = ahead.years.iter().map(|year| {
        let crop = year.crop.tonnes_per_ha;
        let mut row = vec![words::winter_name(year.ahead)];
        row.extend(year.pieces.map(figure));
        row.push(figure(crop.mean));
        row.push([crop.lo, crop.hi].map(figure).join("-"));
        row.push(percent(year.wrong_age));
        row
    });
    let caption = words::sentence(ahead.scenario.words());
    page.part(table(caption, &AHEAD_HEADS, rows.collect()));
    page.note(words::held(&ahead.years));
}
