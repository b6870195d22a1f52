//! Crew and blocks on paper.

use super::parts::{Head, Put, paper, sheet, table};
use super::words::{self, share};
use crate::report::document::pictures::{Labels, mix, on_paper};
use crate::report::document::{Document, Part, Sheet};
use crate::report::fit::Align::{Left, Right};
use crate::report::{StandingLine, Standings, StandingsOf};

pub(super) const CREW: &str = "Pruners, by number";
pub(super) const BLOCKS: &str = "Blocks, by name";
const CAPTION: &str = "The wood left, and how it stands against both rules";
const NONE: &str = "None yet.";
const PRUNER: &str = "Pruner";
const BLOCK: &str = "Block";
const HEADS: [Head<'static>; 9] = [
    ("Pruned", Right),
    ("Counted", Right),
    ("Drawn", Right),
    ("1-year", Right),
    ("2-year", Right),
    ("3-year", Right),
    ("4-plus", Right),
    ("Buds", Right),
    ("Against the rules", Left),
];

/// Pruners or blocks as a paper.
pub fn standings(of: &Standings) -> Document {
    let title = match of.of {
        StandingsOf::Crew => CREW,
        StandingsOf::Blocks => BLOCKS,
    };
    let days = words::days(of.since, of.day);
    let mut page = sheet(&of.orchard, &of.winter, title.to_owned(), days.clone());
    let lines: Vec<_> = of.standings.iter().map(StandingLine::new).collect();
    rows(&mut page, of.of, &lines);
    page.parts.extend(pictures(of));
    paper(format!("{title}, {days}"), vec![page])
}

/// The pictures of the standings.
fn pictures(of: &Standings) -> Vec<Part> {
    let labels = Labels::english();
    let counted = of
        .standings
        .iter()
        .filter(|standing| standing.mix.is_some());
    counted
        .map(|standing| Part::Picture(mix(standing, &labels, on_paper::MIX)))
        .collect()
}

/// A line each; a word where there are none.
pub(super) fn rows(page: &mut Sheet, of: StandingsOf, lines: &[StandingLine]) {
    if lines.is_empty() {
        page.para(NONE);
        return;
    }
    let first = match of {
        StandingsOf::Crew => PRUNER,
        StandingsOf::Blocks => BLOCK,
    };
    let mut heads = vec![(first, Left)];
    heads.extend(HEADS);
    let rows = lines.iter().map(|line| row(line, lines)).collect();
    page.part(table(CAPTION, &heads, rows));
    let unseen = lines.iter().filter(|line| !line.not_looked_at.is_empty());
    let said =
        |line: &StandingLine| format!("{}: {}", line.subject.shown(), words::not_looked_at(line));
    page.list(false, unseen.map(said).collect());
}

fn row(line: &StandingLine, among: &[StandingLine]) -> Vec<String> {
    let mut cells = vec![
        words::named(line, among),
        line.pruned.to_string(),
        line.trees.to_string(),
        line.drawn.to_string(),
    ];
    cells.extend((0..4).map(|age| share(line.mix.map(|mix| mix[age]))));
    cells.push(share(line.buds_within));
    cells.push(words::against_rules(line));
    cells
}
