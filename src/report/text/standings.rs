//! Pruners or blocks, two lines each: the figures, and how they stand against both rules.

use super::page::{Page, head};
use crate::report::fit::Align::{Left, Right};
use crate::report::words::share;
use crate::report::{StandingLine, Standings, StandingsOf, words};

/// Pruners or blocks as text.
pub fn standings(report: &Standings) -> String {
    let (title, column) = match report.of {
        StandingsOf::Crew => ("CREW, by number", "Pruner"),
        StandingsOf::Blocks => ("BLOCKS, by name", "Block"),
    };
    let mut page = Page::default();
    head(
        &mut page,
        &report.orchard,
        &report.winter,
        title,
        &words::days(report.since, report.day),
    );
    let lines: Vec<_> = report.standings.iter().map(StandingLine::new).collect();
    rows(&mut page, column, &lines);
    page.finish()
}

/// Headed lines; a word where there are none.
pub(super) fn rows(page: &mut Page, column: &str, lines: &[StandingLine]) {
    if lines.is_empty() {
        page.line("  none yet");
        return;
    }
    page.row(&[
        (column, 27, Left),
        ("Pruned", 7, Right),
        ("Counted", 7, Right),
        ("Drawn", 6, Right),
        ("1-yr", 5, Right),
        ("2-yr", 5, Right),
        ("3-yr", 5, Right),
        ("4+", 5, Right),
        ("Buds", 5, Right),
    ]);
    for line in lines {
        let age = |age: usize| share(line.mix.map(|mix| mix[age]));
        page.row(&[
            (line.subject.shown(), 27, Left),
            (&line.pruned.to_string(), 7, Right),
            (&line.trees.to_string(), 7, Right),
            (&line.drawn.to_string(), 6, Right),
            (&age(0), 5, Right),
            (&age(1), 5, Right),
            (&age(2), 5, Right),
            (&age(3), 5, Right),
            (&share(line.buds_within), 5, Right),
        ]);
        // a pruner who worked under two rules has two lines: say which blocks each is about
        let about = match words::only_in(line, lines) {
            only if only.is_empty() => only,
            only => format!("{only}: "),
        };
        page.para(&format!("{about}{}", words::against_rules(line)), 4);
        let unseen = words::not_looked_at(line);
        if !unseen.is_empty() {
            page.para(&unseen, 4);
        }
    }
}
