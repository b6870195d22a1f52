//! Briefs as text, a page per block.

use super::TextOptions;
use super::page::{Page, head};
use crate::orchard::Age;
use crate::report::fit::Align::{Left, Right};
use crate::report::{BriefSheet, words};

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
    let title = format!("BRIEF  {}", sheet.block_name);
    head(
        &mut page,
        &sheet.orchard,
        &sheet.winter,
        &title,
        &words::day(sheet.day),
    );
    page.para(
        &format!(
            "{:.0} trees/ha, {} a tree. For the harvest of {}.",
            sheet.trees_per_ha,
            words::plural(u32::from(sheet.stems), "stem", "stems"),
            sheet.season
        ),
        0,
    );
    let taken = words::what_if(&sheet.what_if);
    if !taken.is_empty() {
        page.para(&taken, 0);
    }
    wanted(&mut page, sheet);
    by_buds(&mut page, sheet);
    factors(&mut page, sheet);
    page.heading("SEASONS");
    if !sheet.yields.is_empty() {
        let yields: Vec<String> = (sheet.yields.iter())
            .map(|line| format!("{} {}", line.season, words::figure(line.amount)))
            .collect();
        page.para(&format!("Yields, t/ha: {}.", yields.join(", ")), 2);
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
        page.para(
            "No aim is set for this block: set one on the Outlook screen (F7), under Entries.",
            0,
        );
        return;
    };
    page.heading(&format!(
        "TO LEAVE for {}: {} t/ha, {} kg a tree",
        words::aim(aim),
        words::figure(brief.tonnes_per_ha),
        words::figure(brief.kg_per_tree)
    ));
    page.row(&[("", 40, Left), ("a tree", 10, Right), ("a stem", 10, Right)]);
    let mut line = |name: &str, tree: f64, stem: f64| {
        page.row(&[
            (name, 40, Left),
            (&words::figure(tree), 10, Right),
            (&words::figure(stem), 10, Right),
        ]);
    };
    let (tree, stem) = (&brief.tree, &brief.stem);
    line("Fruit harvested", tree.fruit, stem.fruit);
    line("Fruit after thinning", tree.fruit_set, stem.fruit_set);
    line("Clusters kept", tree.clusters, stem.clusters);
    line("Fruit buds", tree.fruit_buds, stem.fruit_buds);
    line("Buds, as they are counted", tree.buds, stem.buds);
    line("Units (two-year pieces)", tree.units, stem.units);
    for age in Age::ALL {
        let at = age.index();
        if sheet.rule_target[at] > 0.0 {
            let name = format!("  pieces of {} wood", age.word());
            line(&name, tree.pieces[at], stem.pieces[at]);
        }
    }
    line(
        "  and one-year for next winter's losses",
        tree.extra_one_year,
        stem.extra_one_year,
    );
    page.para(
        &format!(
            "Buds by the rule: {}. Here {} a unit: {}. Mean figures: half of the seasons give less.",
            sheet.bud_rule,
            words::figure(sheet.buds_per_unit),
            sheet.buds_from
        ),
        2,
    );
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
            (
                &format!("{} to {}", words::figure(line.lo), words::figure(line.hi)),
                20,
                Right,
            ),
        ]);
        page.para(&line.source, 4);
    }
}
