//! The part of a tree that is counted, in words.

use std::fmt::Write as _;

use super::plural;
use crate::orchard::{InFull, Part, PieceRun, PieceRuns, Sides};

/// The part in a few words: `whole tree`, `2 stems`, `20 pieces on 2 leaders`.
pub fn part(part: Part) -> String {
    match part {
        Part::Whole => "whole tree".to_owned(),
        Part::Stems(stems) => plural(u32::from(stems), "stem", "stems"),
        Part::Zone(zone) => zone.word().to_owned(),
        Part::Runs(runs) => {
            let mut leaders: Vec<u8> = runs.iter().map(|run| run.leader).collect();
            leaders.sort_unstable();
            leaders.dedup();
            let leaders = plural(leaders.len() as u32, "leader", "leaders");
            format!("{} on {leaders}", plural(runs.pieces(), "piece", "pieces"))
        }
    }
}

/// The leader of a run: `leader 5`, or `the leader` of a tree with one.
pub fn leader(runs: &PieceRuns, run: PieceRun) -> String {
    if runs.leaders() == 1 {
        "the leader".to_owned()
    } else {
        format!("leader {}", run.leader)
    }
}

/// How a leader is found: `row 15's side, 2nd from tree 1`; empty where a tree has one.
fn found(sides: Sides, row: u16, of: u8, leader: u8) -> String {
    if of <= 1 {
        return String::new();
    }
    let half = of.div_ceil(2);
    let (side, nth) = match sides {
        Sides::Flat => (String::new(), leader),
        Sides::TwoSided if leader <= half => (side(row, row.saturating_sub(1)), leader),
        Sides::TwoSided => (side(row, row + 1), leader - half),
    };
    format!(" ({side}{} from tree 1)", ordinal(nth))
}

/// The side of a row towards another; the first row has none before it.
fn side(row: u16, towards: u16) -> String {
    if towards == 0 {
        format!("far from row {}, ", row + 1)
    } else {
        format!("row {towards}'s side, ")
    }
}

/// Where a run begins: `leader 5 (row 15's side, 2nd from tree 1), top third: leave out 5`.
pub fn run_begin(sides: Sides, row: u16, runs: &PieceRuns, run: PieceRun) -> String {
    let leader = leader_found(sides, row, runs, run);
    format!("{leader}, {}", begin_on_leader(run))
}

/// The leader and how it is found: `leader 5 (row 15's side, 2nd from tree 1)`.
pub fn leader_found(sides: Sides, row: u16, runs: &PieceRuns, run: PieceRun) -> String {
    leader(runs, run) + &found(sides, row, runs.leaders(), run.leader)
}

/// Where on its leader a run begins: `top third: leave out 5`.
pub fn begin_on_leader(run: PieceRun) -> String {
    let portion = run.portion.map_or_else(String::new, |portion| {
        format!("{} part of the ", portion.word())
    });
    let out = match run.leave_out {
        0 => "leave out none".to_owned(),
        out => format!("leave out {out}"),
    };
    format!("{portion}{} third: {out}", run.third.word())
}

/// The same for a narrow column: `5: top third, leave out 5, then 10; 2: base third, leave out 8, then 10; 5 in full`.
pub fn runs_short(runs: &PieceRuns) -> String {
    let one = |run: PieceRun| {
        let portion = run.portion.map_or_else(String::new, |portion| {
            format!("{} part of ", portion.word())
        });
        format!(
            "{}: {portion}{} third, leave out {}, then {}",
            run.leader,
            run.third.word(),
            run.leave_out,
            run.pieces
        )
    };
    let mut parts: Vec<String> = runs.iter().map(one).collect();
    if runs.in_full != InFull::No
        && let Some(first) = runs.iter().next()
    {
        parts.push(format!("{} in full", first.leader));
    }
    parts.join("; ")
}

/// How leaders are numbered, for who walks with a list.
pub const LEADERS_NUMBERED: &str = "Leaders are numbered from the end of the row where tree 1 stands. Of trees that lean to both \
    sides, the first half stand on the side of the lower row number, the others on the other side. Limbs of old trees go \
    clockwise, seen from above, from the side of tree 1.";

/// What to count, for who walks there: where the first run begins, and what comes then.
pub fn runs_line(sides: Sides, row: u16, runs: &PieceRuns) -> String {
    let mut line = String::new();
    for (nth, run) in runs.iter().enumerate() {
        if nth == 0 {
            let begin = run_begin(sides, row, runs, run);
            line = format!("{begin}, then {}", run.pieces);
            continue;
        }
        let leader = leader(runs, run);
        let _ = write!(line, ". Then {leader}, {} third", run.third.word());
    }
    if runs.in_full != InFull::No
        && let Some(first) = runs.iter().next()
    {
        let _ = write!(line, ". All pieces of {}", leader(runs, first));
    }
    line[..1].to_uppercase() + &line[1..]
}

/// `1st`, `2nd`, `11th`.
fn ordinal(n: u8) -> String {
    let end = match (n % 10, n % 100) {
        (1, not) if not != 11 => "st",
        (2, not) if not != 12 => "nd",
        (3, not) if not != 13 => "rd",
        _ => "th",
    };
    format!("{n}{end}")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::orchard::{Portion, Third};

    fn run(leader: u8) -> PieceRun {
        PieceRun {
            leader,
            third: Third::Top,
            portion: None,
            leave_out: 5,
            pieces: 10,
        }
    }

    #[test]
    fn anybody_finds_the_leader() {
        let runs = PieceRuns::new(6, [run(5), run(2)], InFull::Asked).unwrap();
        let two = Sides::TwoSided;
        assert_eq!(
            run_begin(two, 14, &runs, run(5)),
            "leader 5 (row 15's side, 2nd from tree 1), top third: leave out 5"
        );
        assert_eq!(
            run_begin(two, 1, &runs, run(3)),
            "leader 3 (far from row 2, 3rd from tree 1), top third: leave out 5"
        );
        let flat = Sides::Flat;
        assert_eq!(
            runs_line(flat, 14, &runs),
            "Leader 5 (5th from tree 1), top third: leave out 5, then 10. Then leader 2, top third. All pieces of leader 5"
        );
        let long = PieceRun {
            portion: Some(Portion::Lower),
            leave_out: 0,
            ..run(1)
        };
        let one = PieceRuns::new(1, [long], InFull::No).unwrap();
        assert_eq!(
            run_begin(flat, 14, &one, long),
            "the leader, lower part of the top third: leave out none"
        );
        assert_eq!(part(Part::Runs(runs)), "20 pieces on 2 leaders");
        let words: Vec<String> = [1, 2, 3, 4, 11, 21].into_iter().map(ordinal).collect();
        assert_eq!(words, ["1st", "2nd", "3rd", "4th", "11th", "21st"]);
    }
}
