//! Pruners or blocks, two lines each: the figures, and how they stand against both rules.

use super::day_sheet::share;
use super::page::{Page, head};
use crate::report::fit::Align::{Left, Right};
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
        &match report.since {
            Some(since) => format!("{since} to {}", report.day),
            None => words::day(report.day),
        },
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
        // a pruner who worked under two rules has two lines: say which blocks each is about
        let twice = lines
            .iter()
            .filter(|other| other.subject == line.subject)
            .count()
            > 1;
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
        let about = if twice {
            format!("in {}: ", words::list(&line.blocks))
        } else {
            String::new()
        };
        page.para(&format!("{about}{}", against_rules(line)), 4);
        if !line.not_looked_at.is_empty() {
            page.para(
                &format!(
                    "not looked at: {} ({} of the pruned trees)",
                    words::list(&line.not_looked_at),
                    share(Some(line.unsampled))
                ),
                4,
            );
        }
    }
}

fn against_rules(line: &StandingLine) -> String {
    if line.trees == 0 {
        return "no tree counted".to_owned();
    }
    let mut said = format!("wood: {}; buds: {}", line.wood.words(), line.buds.words());
    let more = words::more(line.more);
    if !more.is_empty() {
        said.push_str("; ");
        said.push_str(&more);
    }
    said
}
