//! Briefs as text, a page per block, in the language of the sheet.

use super::TextOptions;
use super::page::{Page, head_in};
use crate::orchard::Age;
use crate::report::BriefSheet;
use crate::report::fit::Align::{Left, Right};
use crate::report::words::Tongue;

/// Briefs one below the other.
pub fn briefs(sheets: &[BriefSheet], options: TextOptions) -> String {
    if sheets.is_empty() {
        return "No brief: no block is entered yet.\n".to_owned();
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
    let to_leave = words.say(
        "brief-to-leave",
        [
            ("aim", words.aim(aim).into()),
            ("tonnes", words.figure(brief.tonnes_per_ha).into()),
            ("kg", words.figure(brief.kg_per_tree).into()),
        ],
    );
    page.para(&to_leave, 0);
    let columns = [(40, Left), (10, Right), (10, Right)];
    page.table(&columns, &to_leave_rows(sheet, words));
    page.para(&words.buds_rule(sheet), 2);
    page.para(&words.growth(&sheet.growth), 2);
}

/// What to leave, on a tree and on a stem.
fn to_leave_rows(sheet: &BriefSheet, words: &Tongue) -> Vec<Vec<String>> {
    let Some(brief) = &sheet.brief else {
        return Vec::new();
    };
    let label = |key: &'static str| words.label(key).to_owned();
    let mut rows = vec![vec![
        String::new(),
        label("brief-a-tree"),
        label("brief-a-stem"),
    ]];
    let mut row = |name: String, tree: f64, stem: f64| {
        rows.push(vec![name, words.figure(tree), words.figure(stem)]);
    };
    let (tree, stem) = (&brief.tree, &brief.stem);
    row(label("brief-fruit"), tree.fruit, stem.fruit);
    row(label("brief-fruit-set"), tree.fruit_set, stem.fruit_set);
    row(label("brief-clusters"), tree.clusters, stem.clusters);
    row(label("brief-fruit-buds"), tree.fruit_buds, stem.fruit_buds);
    row(label("brief-buds"), tree.buds, stem.buds);
    row(label("brief-units"), tree.units, stem.units);
    for age in Age::ALL {
        let at = age.index();
        if sheet.rule_target[at] > 0.0 {
            let name = words.say("brief-pieces", [("age", words.age(age).into())]);
            row(format!("  {name}"), tree.pieces[at], stem.pieces[at]);
        }
    }
    let extra = format!("  {}", words.label("brief-extra"));
    row(extra, tree.extra_one_year, stem.extra_one_year);
    rows
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
    rows.extend(brief.by_buds.iter().map(|row| {
        vec![
            words.decimal(row.buds_per_unit, 0),
            words.figure(row.units_per_tree),
            words.figure(row.units_per_stem),
            words.figure(row.pieces[0]),
            words.figure(row.pieces[1]),
            words.figure(row.pieces[2]),
            words.figure(row.tonnes_with_same_units),
        ]
    }));
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
        let range = words.range(&words.figure(line.lo), &words.figure(line.hi));
        page.row(&[
            (words.factor(line.kind), 36, Left),
            (&words.figure(line.value), 7, Right),
            (&range, 20, Right),
        ]);
        page.para(&words.factor_source(line), 4);
    }
}
