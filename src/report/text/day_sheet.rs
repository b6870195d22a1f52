//! The day sheet as text.

use super::page::{Page, head};
use super::{TextOptions, bar};
use crate::report::fit::Align;
use crate::report::words::share;
use crate::report::{DaySheet, words};

/// Digits in a bar of the mix.
const BAR: usize = 48;

/// Day sheets one below the other.
pub fn day_sheets(sheets: &[DaySheet], options: TextOptions) -> String {
    if sheets.is_empty() {
        return format!("{}\n", words::NO_DAY_SHEET);
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
        if sheet.asks_for_more() {
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
            (&share(sheet.on_the_day(line.metric)), 9, Right),
            (&line.trees.to_string(), 6, Right),
            ("", 1, Left),
            (words::verdict(line.metric, line.verdict), 16, Left),
        ]);
    }
    if let Some(mix) = sheet.standing.mix {
        page.line(&format!("left  {}", bar(mix, BAR)));
        page.line(&format!("rule  {}", bar(sheet.standing.target, BAR)));
        page.line(&words::pieces_a_tree(&sheet.standing));
    }
    buds(page, sheet);
    let extras = words::for_information(&sheet.standing);
    if !extras.is_empty() {
        page.blank();
        page.para(&extras, 0);
    }
    trend(page, sheet);
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
        let left = words::mean_buds(size);
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
    for day in sheet.last_days() {
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
