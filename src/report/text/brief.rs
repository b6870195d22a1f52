//! Briefs as text, a page per block, in the language of the sheet.

use super::TextOptions;
use super::page::{Page, head_in};
use crate::orchard::Age;
use crate::outlook::Brief;
use crate::report::BriefSheet;
use crate::report::fit::Align::{Left, Right};
use crate::report::words::{self, Tongue};

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
    let words = Tongue::of(sheet.language);
    let title = words.say("brief-title", [("block", sheet.block_name.as_str().into())]);
    let day = words.day(sheet.day);
    head_in(
        words,
        &mut page,
        [&sheet.orchard, &sheet.winter, &title, &day],
    );
    page.para(&words.block_facts(sheet), 0);
    let taken = words.what_if(&sheet.what_if);
    if !taken.is_empty() {
        page.para(&taken, 0);
    }
    wanted(&mut page, sheet, words);
    by_buds(&mut page, sheet, words);
    factors(&mut page, sheet, words);
    page.heading(words.label("brief-seasons"));
    if let Some(yields) = words.yields(sheet) {
        page.para(&yields, 2);
    }
    for line in words.bearing(sheet) {
        page.para(&line, 2);
    }
    page.blank();
    for caution in words.cautions() {
        page.para(caution, 0);
    }
    page.finish()
}

fn wanted(page: &mut Page, sheet: &BriefSheet, words: &Tongue) {
    page.blank();
    let (Some(aim), Some(brief)) = (sheet.aim, &sheet.brief) else {
        page.para(words.label("brief-no-aim"), 0);
        return;
    };
    let to_leave = words.to_leave(aim, brief);
    page.para(&to_leave, 0);
    let columns = [(40, Left), (10, Right), (10, Right)];
    page.table(&columns, &to_leave_rows(sheet, brief, words));
    page.para(&words.buds_rule(sheet), 2);
    page.para(&words.growth(&sheet.growth), 2);
}

/// What to leave, on a tree and on a stem, below its heads.
fn to_leave_rows(sheet: &BriefSheet, brief: &Brief, words: &Tongue) -> Vec<Vec<String>> {
    let label = |key: &'static str| words.label(key).to_owned();
    let heads = vec![String::new(), label("brief-a-tree"), label("brief-a-stem")];
    let lines = words.to_leave_lines(sheet, brief).into_iter();
    let row = |(of_units, name, figures): (bool, String, [String; 2])| {
        let [tree, stem] = figures;
        let indent = if of_units { "  " } else { "" };
        vec![format!("{indent}{name}"), tree, stem]
    };
    std::iter::once(heads).chain(lines.map(row)).collect()
}

fn by_buds(page: &mut Page, sheet: &BriefSheet, words: &Tongue) {
    let Some(brief) = &sheet.brief else { return };
    let label = |key: &'static str| words.label(key).to_owned();
    let column = |age: Age| words.age_column(age).to_owned();
    let mut rows = vec![vec![
        label("brief-buds-a-unit"),
        label("brief-units-a-tree"),
        label("brief-units-a-stem"),
        column(Age::One),
        column(Age::Two),
        column(Age::Three),
        label("brief-tonnes-same"),
    ]];
    rows.extend(words.by_buds(brief).map(Vec::from));
    let columns = [
        (12, Left),
        (10, Right),
        (10, Right),
        (7, Right),
        (7, Right),
        (7, Right),
        (19, Right),
    ];
    page.blank();
    page.table(&columns, &rows);
}

fn factors(page: &mut Page, sheet: &BriefSheet, words: &Tongue) {
    page.blank();
    page.row(&[
        (words.label("brief-factors"), 36, Left),
        (words.label("brief-value"), 7, Right),
        (words.label("brief-within"), 20, Right),
    ]);
    for line in &sheet.factors {
        let range = words.factor_range(line);
        page.row(&[
            (words.factor(line.kind), 36, Left),
            (&words.figure(line.value), 7, Right),
            (&range, 20, Right),
        ]);
        page.para(&words.factor_source(line), 4);
    }
}
