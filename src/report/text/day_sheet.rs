//! The day sheet as text.

use super::page::{Page, head};
use super::{TextOptions, bar};
use crate::judge::Metric;
use crate::report::fit::{Align, percent};
use crate::report::{Change, DaySheet, MetricLine, words};

/// Days that the trend shows at most.
const TREND_DAYS: usize = 10;
/// Digits in a bar of the mix.
const BAR: usize = 48;

/// Day sheets one below the other.
pub fn day_sheets(sheets: &[DaySheet], options: TextOptions) -> String {
    if sheets.is_empty() {
        return "No day sheet: nobody worked or was counted on this day.\n".to_owned();
    }
    let between = if options.page_breaks { "\u{c}" } else { "\n\n" };
    let texts: Vec<String> = sheets.iter().map(day_sheet).collect();
    texts.join(between)
}

fn day_sheet(sheet: &DaySheet) -> String {
    let mut page = Page::default();
    head(
        &mut page,
        &sheet.orchard,
        &sheet.winter,
        &format!("DAY SHEET  {}", sheet.shown()),
        &words::day(sheet.day),
    );
    told(&mut page, sheet);
    if sheet.standing.trees > 0 {
        figures(&mut page, sheet);
    }
    if !sheet.go_backs.is_empty() {
        page.heading("ROWS TO GO BACK TO");
        for line in &sheet.go_backs {
            page.item("  ", &words::go_back(line, false));
        }
    }
    page.blank();
    for caution in sheet.safety {
        page.para(caution, 0);
    }
    page.finish()
}

/// What is said: the status, what is right, what to change.
fn told(page: &mut Page, sheet: &DaySheet) {
    if !sheet.standing.blocks.is_empty() {
        page.para(
            &format!("Blocks: {}", words::list(&sheet.standing.blocks)),
            0,
        );
    }
    if sheet.standing.trees == 0 {
        page.blank();
        page.para(&words::status(sheet), 0);
        return;
    }
    for line in words::basis(sheet) {
        page.para(&line, 0);
    }
    page.blank();
    page.para(&words::status(sheet), 0);
    page.heading("RIGHT");
    for line in words::right(sheet) {
        page.para(&line, 2);
    }
    for line in &sheet.not_there {
        page.blank();
        page.para(&words::not_there(line), 0);
    }
    if !sheet.changes.is_empty() {
        page.heading("TO CHANGE");
        let said = (sheet.changes.iter()).flat_map(|change| words::change(change, &sheet.standing));
        for (number, line) in (1..).zip(said) {
            page.item(&format!("  {number}. "), &line);
        }
        if sheet.changes.iter().any(asks_for_more) {
            page.para(
                &words::only_where_offered(sheet.standing.offered.as_ref()),
                5,
            );
        }
    }
    let open = words::open(sheet);
    if !open.is_empty() {
        page.blank();
        page.para(&open, 0);
    }
}

fn asks_for_more(change: &Change) -> bool {
    matches!(change, Change::Wood { asked, .. } if asked.iter().any(|swap| swap.pieces > 0))
}

fn figures(page: &mut Page, sheet: &DaySheet) {
    use Align::{Left, Right};
    page.blank();
    page.row(&[
        ("WOOD", 11, Left),
        ("Rule", 10, Right),
        ("Left", 7, Right),
        ("Interval", 10, Right),
        ("This day", 9, Right),
        ("Trees", 6, Right),
        ("", 1, Left),
        ("Verdict", 16, Left),
    ]);
    for line in &sheet.table {
        page.row(&[
            (words::metric_short(line.metric), 11, Left),
            (&words::band(line.band), 10, Right),
            (&share(line.mean), 7, Right),
            (&words::interval(line.interval), 10, Right),
            (&share(on_the_day(sheet, line)), 9, Right),
            (&line.trees.to_string(), 6, Right),
            ("", 1, Left),
            (words::verdict(line.metric, line.verdict), 16, Left),
        ]);
    }
    if let Some(mix) = sheet.standing.mix {
        page.line(&format!("left  {}", bar(mix, BAR)));
        page.line(&format!("rule  {}", bar(sheet.standing.target, BAR)));
        page.line(&format!(
            "{:.1} pieces on the average tree",
            sheet.standing.pieces_a_tree
        ));
    }
    buds(page, sheet);
    let extras = sheet.standing.upright_a_tree + sheet.standing.thick_top_a_tree;
    if extras > 0.0 {
        for_information(page, sheet);
    }
    trend(page, sheet);
}

/// Counted beside the rule, and part of no verdict.
fn for_information(page: &mut Page, sheet: &DaySheet) {
    page.blank();
    page.para(
        &format!(
            "For information: {:.1} upright one-year and {:.1} thick pieces in the top, a tree.",
            sheet.standing.upright_a_tree, sheet.standing.thick_top_a_tree
        ),
        0,
    );
}

fn on_the_day(sheet: &DaySheet, line: &MetricLine) -> Option<f64> {
    let today = sheet.today.as_ref()?;
    match line.metric {
        Metric::Buds => today.buds_within,
        age => today.mix.map(|mix| mix[age.index()]),
    }
}

fn buds(page: &mut Page, sheet: &DaySheet) {
    use Align::{Left, Right};
    if sheet.standing.buds.iter().all(|size| size.units == 0) {
        return;
    }
    page.blank();
    page.row(&[
        ("BUDS", 11, Left),
        ("Rule", 10, Right),
        ("Left", 7, Right),
        ("Units", 10, Right),
        ("Over", 9, Right),
        ("Under", 6, Right),
    ]);
    for size in &sheet.standing.buds {
        let left = (size.mean_left).map_or_else(|| "-".to_owned(), |mean| format!("{mean:.1}"));
        page.row(&[
            (size.size, 11, Left),
            (&size.limit_text(), 10, Right),
            (&left, 7, Right),
            (&size.units.to_string(), 10, Right),
            (&size.over.to_string(), 9, Right),
            (&size.under.to_string(), 6, Right),
        ]);
    }
}

fn trend(page: &mut Page, sheet: &DaySheet) {
    use Align::{Left, Right};
    let days = &sheet.standing.by_day;
    page.blank();
    page.row(&[
        ("BY DAY", 11, Left),
        ("Trees", 6, Right),
        ("1-year", 7, Right),
        ("2-year", 7, Right),
        ("3-year", 7, Right),
        ("4-plus", 7, Right),
        ("Buds in rule", 13, Right),
    ]);
    for day in &days[days.len().saturating_sub(TREND_DAYS)..] {
        let age = |age: usize| share(day.mix.map(|mix| mix[age]));
        page.row(&[
            (&day.day.to_string(), 11, Left),
            (&day.trees.to_string(), 6, Right),
            (&age(0), 7, Right),
            (&age(1), 7, Right),
            (&age(2), 7, Right),
            (&age(3), 7, Right),
            (&share(day.buds_within), 13, Right),
        ]);
    }
    for week in &sheet.weeks {
        page.para(&words::week(week), 0);
    }
}

/// A share in percent; `-` where there is none.
pub(super) fn share(share: Option<f64>) -> String {
    share.map_or_else(|| "-".to_owned(), percent)
}
