//! Briefs on paper, a sheet a block.

use super::parts::{Head, Put, nothing, paper, sheet, table};
use super::words::{self, figure};
use crate::report::BriefSheet;
use crate::report::fit::Align::{Left, Right};
use crate::report::paper::{Paper, Part, Sheet};

const TITLE: &str = "Brief";
const SHEETS: &str = "Briefs";
const TO_LEAVE: &str = "To leave";
const LEAVE: &str = "What to leave on the average tree and stem";
const LEAVE_HEADS: [Head; 3] = [("What", Left), ("A tree", Right), ("A stem", Right)];
const BY_BUDS: &str = "What other numbers of buds a unit would mean";
const BY_BUDS_HEADS: [Head; 7] = [
    ("Buds a unit", Left),
    ("Units a tree", Right),
    ("Units a stem", Right),
    ("1-year", Right),
    ("2-year", Right),
    ("3-year", Right),
    ("t/ha if units stay", Right),
];
const RESTS_ON: &str = "What it rests on";
const FACTORS: &str = "Factors";
const FACTOR_HEADS: [Head; 4] = [
    ("Factor", Left),
    ("Value", Right),
    ("4 times of 5 within", Right),
    ("Source", Left),
];
const SEASONS: &str = "Seasons";

/// Briefs as a paper.
pub fn briefs(sheets: &[BriefSheet]) -> Paper {
    let Some(first) = sheets.first() else {
        return nothing(SHEETS, words::NO_BRIEF);
    };
    let title = format!("{SHEETS}, {}", words::day(first.day));
    paper(title, sheets.iter().map(brief).collect())
}

fn brief(of: &BriefSheet) -> Sheet {
    let mut page = sheet(
        &of.orchard,
        &of.winter,
        format!("{TITLE} {}", of.block_name),
        words::day(of.day),
    );
    wanted(&mut page, of);
    rests_on(&mut page, of);
    page.heading(SEASONS);
    page.para(words::yields(of));
    for line in words::bearing(of) {
        page.para(line);
    }
    for caution in of.safety {
        page.caution(caution);
    }
    page
}

fn wanted(page: &mut Sheet, of: &BriefSheet) {
    let (Some(aim), Some(brief)) = (of.aim, &of.brief) else {
        page.lead(words::NO_AIM);
        page.note(words::brief_for(of));
        page.note(words::what_if(&of.what_if));
        return;
    };
    page.lead(words::aim_yields(aim, brief));
    page.note(words::brief_for(of));
    page.note(words::what_if(&of.what_if));
    page.heading(TO_LEAVE);
    page.parts.extend(pictures(of));
    let lines = words::to_leave(of, brief).into_iter();
    let rows = lines.map(|line| line.map(|cell| cell.trim().to_owned()).to_vec());
    page.part(table(LEAVE, &LEAVE_HEADS, rows.collect()));
    page.para(words::buds_by_rule(of));
    page.note(words::growth(&of.growth));
    let rows = brief.by_buds.iter().map(|row| {
        vec![
            format!("{:.0}", row.buds_per_unit),
            figure(row.units_per_tree),
            figure(row.units_per_stem),
            figure(row.pieces[0]),
            figure(row.pieces[1]),
            figure(row.pieces[2]),
            figure(row.tonnes_with_same_units),
        ]
    });
    page.part(table(BY_BUDS, &BY_BUDS_HEADS, rows.collect()));
}

/// The pictures of what to leave.
fn pictures(_of: &BriefSheet) -> Vec<Part> {
    Vec::new()
}

fn rests_on(page: &mut Sheet, of: &BriefSheet) {
    page.heading(RESTS_ON);
    let rows = of.factors.iter().map(|line| {
        vec![
            line.factor.to_owned(),
            figure(line.value),
            words::range(line.lo, line.hi),
            line.source.clone(),
        ]
    });
    page.part(table(FACTORS, &FACTOR_HEADS, rows.collect()));
}
