//! Briefs as text, a page per block.

use super::TextOptions;
use super::page::{Page, head};
use crate::report::fit::Align::{Left, Right};
use crate::report::{BriefSheet, words};

/// Briefs one below the other.
pub fn briefs(sheets: &[BriefSheet], options: TextOptions) -> String {
    if sheets.is_empty() {
        return format!("{}\n", words::NO_BRIEF);
    }
    let between = if options.page_breaks { "\u{c}" } else { "\n\n" };
    sheets.iter().map(brief).collect::<Vec<_>>().join(between)
}

fn brief(sheet: &BriefSheet) -> String {
    let mut page = Page::default();
    let title = format!("BRIEF  {}", sheet.block_name);
    head(
        &mut page,
        &sheet.orchard,
        &sheet.winter,
        &title,
        &words::day(sheet.day),
    );
    page.para(&words::brief_for(sheet), 0);
    let taken = words::what_if(&sheet.what_if);
    if !taken.is_empty() {
        page.para(&taken, 0);
    }
    wanted(&mut page, sheet);
    by_buds(&mut page, sheet);
    factors(&mut page, sheet);
    page.heading("SEASONS");
    let yields = words::yields(sheet);
    if !yields.is_empty() {
        page.para(&yields, 2);
    }
    for line in words::bearing(sheet) {
        page.para(&line, 2);
    }
    page.blank();
    for caution in sheet.safety {
        page.para(caution, 0);
    }
    page.finish()
}

fn wanted(page: &mut Page, sheet: &BriefSheet) {
    let (Some(aim), Some(brief)) = (sheet.aim, &sheet.brief) else {
        page.blank();
        page.para(words::NO_AIM, 0);
        return;
    };
    page.heading(&format!("TO LEAVE for {}", words::aim_yields(aim, brief)));
    page.row(&[("", 40, Left), ("a tree", 10, Right), ("a stem", 10, Right)]);
    for [name, tree, stem] in words::to_leave(sheet, brief) {
        page.row(&[(&name, 40, Left), (&tree, 10, Right), (&stem, 10, Right)]);
    }
    page.para(&words::buds_by_rule(sheet), 2);
    page.para(&words::growth(&sheet.growth), 2);
}

fn by_buds(page: &mut Page, sheet: &BriefSheet) {
    let Some(brief) = &sheet.brief else { return };
    page.blank();
    page.row(&[
        ("BUDS A UNIT", 12, Left),
        ("units/tree", 10, Right),
        ("units/stem", 10, Right),
        ("1-year", 7, Right),
        ("2-year", 7, Right),
        ("3-year", 7, Right),
        ("t/ha if units stay", 19, Right),
    ]);
    for row in &brief.by_buds {
        page.row(&[
            (&format!("{:.0}", row.buds_per_unit), 12, Left),
            (&words::figure(row.units_per_tree), 10, Right),
            (&words::figure(row.units_per_stem), 10, Right),
            (&words::figure(row.pieces[0]), 7, Right),
            (&words::figure(row.pieces[1]), 7, Right),
            (&words::figure(row.pieces[2]), 7, Right),
            (&words::figure(row.tonnes_with_same_units), 19, Right),
        ]);
    }
}

fn factors(page: &mut Page, sheet: &BriefSheet) {
    page.blank();
    page.row(&[
        ("FACTORS", 36, Left),
        ("value", 7, Right),
        ("4 times of 5 within", 20, Right),
    ]);
    for line in &sheet.factors {
        page.row(&[
            (line.factor, 36, Left),
            (&words::figure(line.value), 7, Right),
            (&words::range(line.lo, line.hi), 20, Right),
        ]);
        page.para(&line.source, 4);
    }
}
