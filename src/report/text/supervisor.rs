//! The supervisor's page as text.

use super::draw::trees;
use super::page::{Page, head};
use super::standings::rows;
use crate::report::fit::Align::{Left, Right};
use crate::report::{SAFETY, SupervisorPage, words};

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
        "NEXT WALK: {}",
        words::next_walk(page_of.next.len())
    ));
    trees(&mut page, &page_of.next);
    page.heading("ABOUT THE COUNTS");
    for line in words::quality(&page_of.quality) {
        page.item("  ", &line);
    }
    page.blank();
    for caution in SAFETY {
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
