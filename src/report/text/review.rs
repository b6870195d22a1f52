//! The winter review as text.

use super::page::{Page, head};
use super::repeat::repeats;
use crate::report::fit::Align::{Left, Right};
use crate::report::{CropReview, DataQuality, ReviewLine, WinterReview, WorkDone, words};

/// The review as text.
pub fn review(review: &WinterReview) -> String {
    let mut page = Page::default();
    head(
        &mut page,
        &review.orchard,
        &review.winter,
        "WINTER REVIEW",
        &words::day(review.day),
    );
    page.heading("WHAT WAS ASKED");
    if review.asked.is_empty() {
        page.line("  no block is entered");
    }
    for asked in &review.asked {
        page.item("  ", &words::asked(asked));
    }
    standings(&mut page, "WHAT WAS LEFT, blocks by name", &review.blocks);
    standings(
        &mut page,
        "WHAT WAS LEFT, pruners by number",
        &review.pruners,
    );
    changed(&mut page, review);
    go_backs(&mut page, review);
    labour(&mut page, review);
    crops(&mut page, &review.crops);
    repeats(&mut page, &review.repeats);
    known(&mut page, &review.quality);
    page.blank();
    for caution in words::Tongue::english().cautions() {
        page.para(caution, 0);
    }
    page.finish()
}

fn standings(page: &mut Page, title: &str, lines: &[ReviewLine]) {
    page.heading(title);
    if lines.is_empty() {
        page.line("  nothing was pruned or counted");
        return;
    }
    for one in lines {
        let line = &one.line;
        let whose = words::named(line, lines.iter().map(|one| &one.line));
        page.item("  ", &format!("{whose}: {}", line.words()));
        page.para(&words::looked_at(one), 4);
        if line.trees == 0 {
            continue;
        }
        page.row(&[
            ("", 3, Left),
            ("", 10, Left),
            ("left", 6, Right),
            ("interval", 10, Right),
            ("rule", 9, Right),
            ("trees", 5, Right),
            ("", 1, Left),
            ("verdict", 16, Left),
        ]);
        for metric in &one.metrics {
            let [metric, left, interval, rule, trees, verdict] = &words::metric_cells(metric);
            page.row(&[
                ("", 3, Left),
                (metric, 10, Left),
                (left, 6, Right),
                (interval, 10, Right),
                (rule, 9, Right),
                (trees, 5, Right),
                ("", 1, Left),
                (verdict, 16, Left),
            ]);
        }
        page.para(&words::buds_left(one), 4);
    }
}

fn changed(page: &mut Page, review: &WinterReview) {
    page.heading("FIRST WEEK AND LAST, as far as two weeks were counted");
    if review.changed.is_empty() {
        page.line("  nobody was counted over two weeks");
        return;
    }
    for one in &review.changed {
        page.item("  ", &words::two_weeks(one, review));
        let metrics: Vec<_> = one
            .metrics
            .iter()
            .filter_map(words::metric_change)
            .collect();
        page.para(&words::changes_of(&metrics), 4);
    }
    page.para(words::HOW_WEEKS, 2);
}

fn go_backs(page: &mut Page, review: &WinterReview) {
    page.heading("ROWS SENT BACK");
    if review.go_backs.is_empty() {
        page.line("  none");
        return;
    }
    page.para(&words::go_back_totals(&review.go_back_totals), 2);
    for line in &review.go_backs {
        page.item("  ", &words::go_back(line, true));
    }
}

fn labour(page: &mut Page, review: &WinterReview) {
    let labour = &review.labour;
    page.heading("LABOUR");
    for line in words::labour(labour) {
        page.para(&line, 2);
    }
    if labour.blocks.is_empty() && labour.pruners.is_empty() {
        return;
    }
    page.row(&[
        ("", 1, Left),
        ("", 26, Left),
        ("done", 6, Right),
        ("left", 6, Right),
        ("trees/hour", 18, Right),
        ("trees/day", 18, Right),
    ]);
    for work in labour.blocks.iter().chain(&labour.pruners) {
        work_done(page, work);
    }
}

fn work_done(page: &mut Page, work: &WorkDone) {
    let [shown, done, left, per_hour, per_day] = &words::work_cells(work);
    page.row(&[
        ("", 1, Left),
        (shown, 26, Left),
        (done, 6, Right),
        (left, 6, Right),
        (per_hour, 18, Right),
        (per_day, 18, Right),
    ]);
}

fn crops(page: &mut Page, crops: &[CropReview]) {
    page.heading("CROP AND OUTLOOK");
    if crops.is_empty() {
        page.line("  no block is entered");
    }
    for crop in crops {
        page.item(
            "  ",
            &format!("{}: {}", crop.name, words::crop_review(crop)),
        );
        if let Some(ahead) = words::ahead(crop) {
            page.para(&ahead, 4);
        }
    }
}

fn known(page: &mut Page, known: &DataQuality) {
    page.heading("HOW MUCH IS KNOWN");
    for line in words::known(known) {
        page.item("  ", &line);
    }
}
