//! The supervisor's page as text.

use super::day_sheet::share;
use super::draw::trees;
use super::page::{Page, head};
use super::standings::rows;
use crate::report::fit::Align::{Left, Right};
use crate::report::words::Tongue;
use crate::report::{Quality, SupervisorPage, words};

/// The page as text.
pub fn supervisor(page_of: &SupervisorPage) -> String {
    let mut page = Page::default();
    head(
        &mut page,
        &page_of.orchard,
        &page_of.winter,
        "SUPERVISOR'S PAGE",
        &words::day(page_of.day),
    );
    page.line("BLOCKS, by name");
    rows(&mut page, "Block", &page_of.blocks);
    page.heading("PRUNERS, by number");
    rows(&mut page, "Pruner", &page_of.pruners);
    progress(&mut page, page_of);
    page.heading("ROWS SENT BACK");
    if page_of.go_backs.is_empty() {
        page.line("  none");
    }
    for line in &page_of.go_backs {
        page.item("  ", &words::go_back(line, true));
    }
    page.heading(&format!(
        "NEXT WALK: {} drawn and not counted",
        words::trees(page_of.next.len() as u32)
    ));
    trees(&mut page, &page_of.next);
    page.heading("ABOUT THE COUNTS");
    for line in quality(&page_of.quality) {
        page.item("  ", &line);
    }
    page.blank();
    for caution in Tongue::english().cautions() {
        page.para(caution, 0);
    }
    page.finish()
}

fn progress(page: &mut Page, page_of: &SupervisorPage) {
    page.heading("DONE AND LEFT, trees by the work log");
    for block in &page_of.progress {
        page.row(&[
            (&block.name, 28, Left),
            (&block.pruned.to_string(), 7, Right),
            ("done", 5, Left),
            (&block.left.to_string(), 7, Right),
            ("left", 5, Left),
        ]);
    }
}

/// What to keep in mind about the counts, a sentence each.
fn quality(quality: &Quality) -> Vec<String> {
    let mut said = vec![match quality.by_eye_share() {
        None => "No tree has been counted after pruning.".to_owned(),
        Some(by_eye) => format!(
            "{} counted after pruning, {} of them by eye ({}), {} on some stems only. {} counted before pruning.",
            words::trees(quality.trees),
            quality.by_eye,
            share(Some(by_eye)),
            quality.in_part,
            words::trees(quality.before)
        ),
    }];
    let mut names = |what: &str, names: &[String]| {
        if !names.is_empty() {
            said.push(format!("{what}: {}.", words::list(names)));
        }
    };
    names("Mostly counted by eye", &quality.mostly_by_eye);
    names("Pruned, but not looked at", &quality.not_looked_at);
    names("Work without any count", &quality.blocks_without_counts);
    let mut number = |n: u32, one: &str, many: &str| {
        if n > 0 {
            said.push(format!("{}.", words::plural(n, one, many)));
        }
    };
    number(
        quality.open,
        "count is not closed and is not in the figures",
        "counts are not closed and are not in the figures",
    );
    number(
        quality.skipped,
        "drawn tree was left out",
        "drawn trees were left out",
    );
    number(
        quality.without_work,
        "counted tree is not in the work log",
        "counted trees are not in the work log",
    );
    said
}
