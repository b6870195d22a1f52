//! Outlooks as text, a page per block.

use super::page::{Page, head};
use super::{TextOptions, bar};
use crate::outlook::Year;
use crate::report::fit::Align::{Left, Right};
use crate::report::fit::percent;
use crate::report::{OutlookSheet, words};

/// Digits in a bar of the mix.
const BAR: usize = 24;

/// Outlooks one below the other.
pub fn outlooks(sheets: &[OutlookSheet], options: TextOptions) -> String {
    if sheets.is_empty() {
        return format!("{}\n", words::NO_OUTLOOK);
    }
    let between = if options.page_breaks { "\u{c}" } else { "\n\n" };
    sheets.iter().map(outlook).collect::<Vec<_>>().join(between)
}

fn outlook(sheet: &OutlookSheet) -> String {
    let mut page = Page::default();
    let title = format!("OUTLOOK  {}", sheet.block_name);
    head(
        &mut page,
        &sheet.orchard,
        &sheet.winter,
        &title,
        &words::day(sheet.day),
    );
    page.para(&words::counted(sheet.left.as_ref()), 0);
    let taken = words::what_if(&sheet.what_if);
    if !taken.is_empty() {
        page.para(&taken, 0);
    }
    crop(&mut page, sheet);
    kept(&mut page, sheet);
    if let Some(mend) = &sheet.mend {
        page.heading("TO MEND IT SOONEST");
        for line in words::mend(mend) {
            page.para(&line, 2);
        }
    }
    for ahead in &sheet.ahead {
        scenario(
            &mut page,
            &ahead.scenario.words().to_uppercase(),
            &ahead.years,
        );
    }
    let not_ahead = words::not_ahead(sheet);
    if !not_ahead.is_empty() {
        page.blank();
        page.para(not_ahead, 0);
    }
    if !sheet.ahead.is_empty() {
        page.blank();
        page.para(&words::growth(&sheet.growth), 0);
        page.para(&words::units_wanted(sheet), 0);
    }
    page.finish()
}

fn crop(page: &mut Page, sheet: &OutlookSheet) {
    page.heading(&words::crop_of(sheet).replacen("Crop", "CROP", 1));
    if let Some(crop) = &sheet.crop {
        let potential = &crop.potential;
        page.row(&[
            ("", 16, Left),
            ("mean", 9, Right),
            ("4 times of 5", 18, Right),
        ]);
        for (name, range) in [
            ("t/ha", potential.tonnes_per_ha),
            ("kg a tree", potential.kg_per_tree),
            ("fruit a tree", potential.fruit_per_tree),
        ] {
            page.row(&[
                (&format!("  {name}"), 16, Left),
                (&words::figure(range.mean), 9, Right),
                (&words::range(range.lo, range.hi), 18, Right),
            ]);
        }
    }
    for line in words::crop_rests_on(sheet) {
        page.para(&line, 2);
    }
}

fn kept(page: &mut Page, sheet: &OutlookSheet) {
    let Some(left) = &sheet.left else { return };
    page.blank();
    page.row(&[
        ("PIECES A TREE", 16, Left),
        ("one-year", 9, Right),
        ("two-year", 9, Right),
        ("three-year", 10, Right),
        ("four-plus", 9, Right),
    ]);
    let mut line = |name: &str, cells: [String; 4]| {
        let [one, two, three, four] = &cells;
        page.row(&[
            (name, 16, Left),
            (one, 9, Right),
            (two, 9, Right),
            (three, 10, Right),
            (four, 9, Right),
        ]);
    };
    if let Some(offered) = left.offered {
        line("  offered", offered.pieces.map(words::figure));
    }
    line("  left", left.pieces.map(words::figure));
    if left.offered.is_some() {
        line("  share kept", left.kept.map(words::share));
    }
}

fn scenario(page: &mut Page, title: &str, years: &[Year]) {
    page.blank();
    page.row(&[
        (title, 13, Left),
        ("1-yr", 6, Right),
        ("2-yr", 6, Right),
        ("3-yr", 6, Right),
        ("4+", 6, Right),
        ("t/ha", 6, Right),
        ("likely", 10, Right),
        ("wrong", 6, Right),
    ]);
    for year in years {
        let [one, two, three, four] = year.pieces.map(words::figure);
        let crop = year.crop.tonnes_per_ha;
        let range = [crop.lo, crop.hi].map(words::figure).join("-");
        page.row(&[
            (&words::winter_name(year.ahead), 13, Left),
            (&one, 6, Right),
            (&two, 6, Right),
            (&three, 6, Right),
            (&four, 6, Right),
            (&words::figure(crop.mean), 6, Right),
            (&range, 10, Right),
            (&percent(year.wrong_age), 6, Right),
        ]);
        if year.pieces.iter().sum::<f64>() > 0.0 {
            page.line(&format!("  {}", bar(year.mix, BAR)));
        }
    }
    let held = words::held(years);
    if !held.is_empty() {
        page.para(&held, 2);
    }
}
