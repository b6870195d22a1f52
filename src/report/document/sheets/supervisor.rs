//! The supervisor's page on paper.

use super::draw::trees;
use super::parts::{Head, Put, paper, sheet, table};
use super::standings::{BLOCKS, CREW, rows};
use super::words;
use crate::report::document::pictures::{Labels, rows as rows_map, rows_on_paper};
use crate::report::document::{Document, Part, Sheet};
use crate::report::fit::Align::{Left, Right};
use crate::report::words::Tongue;
use crate::report::{StandingsOf, SupervisorPage};

const TITLE: &str = "Supervisor's page";
const DONE: &str = "Done and left";
const DONE_TABLE: &str = "Trees, by the work log";
const DONE_HEADS: [Head<'static>; 3] = [("Block", Left), ("Done", Right), ("Left", Right)];
const SENT_BACK: &str = "Rows sent back";
const CANKER: &str = "Canker, in walking order";
const NEXT: &str = "Next walk";
const ABOUT: &str = "About the counts";
const NONE: &str = "None.";

/// The supervisor's page as a paper.
pub fn supervisor(of: &SupervisorPage) -> Document {
    let day = words::day(of.day);
    let mut page = sheet(&of.orchard, &of.winter, TITLE.to_owned(), day.clone());
    page.heading(BLOCKS);
    rows(&mut page, StandingsOf::Blocks, &of.blocks);
    page.heading(CREW);
    rows(&mut page, StandingsOf::Crew, &of.pruners);
    progress(&mut page, of);
    page.heading(SENT_BACK);
    if of.go_backs.is_empty() {
        page.para(NONE);
    }
    let lines = of.go_backs.iter();
    page.list(
        false,
        lines.map(|line| words::go_back(line, true)).collect(),
    );
    if !of.canker.is_empty() {
        page.heading(CANKER);
        page.list(false, words::canker(&of.canker));
    }
    page.heading(NEXT);
    page.para(words::next_walk(of.next.len()) + ".");
    trees(&mut page, &of.next);
    page.heading(ABOUT);
    page.list(false, words::quality(&of.quality));
    for caution in Tongue::english().cautions() {
        page.caution(caution);
    }
    paper(format!("{TITLE}, {day}"), vec![page])
}

/// The pictures of the orchard as it stands.
fn pictures(of: &SupervisorPage) -> Vec<Part> {
    let labels = Labels::english();
    let drawn = of
        .maps
        .iter()
        .map(|map| rows_map(map, &labels, rows_on_paper(map)));
    drawn.map(Part::Picture).collect()
}

fn progress(page: &mut Sheet, of: &SupervisorPage) {
    page.heading(DONE);
    let rows = of.progress.iter().map(|block| {
        vec![
            block.name.clone(),
            block.pruned.to_string(),
            block.left.to_string(),
        ]
    });
    page.part(table(DONE_TABLE, &DONE_HEADS, rows.collect()));
    page.parts.extend(pictures(of));
}
