//! The part of a tree that is drawn to be counted: runs of pieces, each on one leader, from a third of its length on.
//!
//! **Leaders** are numbered by the orchard, not by who counts, so that anybody finds the same one again. Of trees that lean
//! out to both sides, the first half stand on the side of the lower row number, the others on the other side, each from the
//! end of the row where tree 1 stands; of flat trees all from that end. Limbs of old trees go clockwise, seen from above,
//! from the direction of tree 1. **Pieces** of a leader are taken in the order in which their side wood leaves it, from the
//! base to the tip; past the tip one goes on at the base.

use std::fmt::Write as _;

use super::Invalid;
use super::limits::{LEAVE_OUT, OF_A_KIND, RUN_PIECES, STEMS, within};
use super::words::words;

/// The most runs on one tree.
pub const MAX_RUNS: usize = 4;

/// A third of a leader's length, judged by eye.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Third {
    /// From where it begins.
    Base,
    /// Between the two others.
    Middle,
    /// Up to the tip.
    Top,
}

/// A part of a third, of leaders with many pieces.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Portion {
    /// Nearest to the base.
    Lower,
    /// Between the two others.
    Middle,
    /// Nearest to the tip.
    Upper,
}

words!(Third, "part", Base = "base", Middle = "middle", Top = "top");
words!(
    Portion,
    "part",
    Lower = "lower",
    Middle = "middle",
    Upper = "upper"
);

/// Pieces one after the other on one leader.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PieceRun {
    /// The leader's number, from 1.
    pub leader: u8,
    /// Where to begin.
    pub third: Third,
    /// In which part of that third, where the leader has many pieces.
    pub portion: Option<Portion>,
    /// Pieces to leave out from there before the first that is counted, 0 to 99.
    pub leave_out: u8,
    /// Pieces to count, 0 to 60; fewer than were drawn where the leader had no more.
    pub pieces: u8,
}

/// Whether all pieces of the first run's leader are counted too, without their ages: for how much wood a tree has.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum InFull {
    /// They are not.
    #[default]
    No,
    /// They are to be counted.
    Asked,
    /// So many were there in its base, middle and top third.
    Counted([u16; 3]),
}

/// The runs of one tree. One that exists has 1 to 4 runs, on leaders that the tree has.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PieceRuns {
    /// Leaders of this tree.
    of: u8,
    runs: [Option<PieceRun>; MAX_RUNS],
    /// Its first leader as a whole.
    pub in_full: InFull,
}

/// Where on a tree the next piece is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Next {
    /// Which run, from 0.
    pub nth: usize,
    /// The run.
    pub run: PieceRun,
    /// Pieces of it still to count, 1 or more.
    pub left: u8,
}

impl PieceRuns {
    /// Checks runs on a tree with so many leaders.
    pub fn new(
        of: u8,
        list: impl IntoIterator<Item = PieceRun>,
        in_full: InFull,
    ) -> Result<Self, Invalid> {
        let of = within("part", of, &STEMS)?;
        let mut runs = [None; MAX_RUNS];
        let mut places = runs.iter_mut();
        for run in list {
            within("part", run.leader, &(1..=of))?;
            within("part", run.leave_out, &LEAVE_OUT)?;
            within("part", run.pieces, &RUN_PIECES)?;
            let too_many = || Invalid::new("part", format!("more than {MAX_RUNS} runs"));
            *places.next().ok_or_else(too_many)? = Some(run);
        }
        if let InFull::Counted(thirds) = in_full {
            for pieces in thirds {
                within("part", u32::from(pieces), &OF_A_KIND)?;
            }
        }
        if runs[0].is_none() {
            return Err(Invalid::new("part", "no run of pieces"));
        }
        Ok(Self { of, runs, in_full })
    }

    /// Leaders of the tree.
    pub fn leaders(&self) -> u8 {
        self.of
    }

    /// The runs, in the order in which they are counted.
    pub fn iter(&self) -> impl Iterator<Item = PieceRun> + '_ {
        self.runs.iter().flatten().copied()
    }

    /// Pieces to count in all.
    pub fn pieces(&self) -> u32 {
        self.iter().map(|run| u32::from(run.pieces)).sum()
    }

    /// Where the next piece is once so many are counted; none where all are.
    pub fn next(&self, counted: u32) -> Option<Next> {
        let mut before = 0;
        self.iter().enumerate().find_map(|(nth, run)| {
            before += u32::from(run.pieces);
            let left = before.checked_sub(counted).filter(|left| *left > 0)?;
            Some(Next {
                nth,
                run,
                left: left.min(u32::from(run.pieces)) as u8,
            })
        })
    }

    /// The same where the leader in hand has no further piece once so many are counted: its run is over.
    #[must_use]
    pub fn ended(mut self, counted: u32) -> Self {
        if let Some(next) = self.next(counted)
            && let Some(run) = &mut self.runs[next.nth]
        {
            run.pieces -= next.left;
        }
        self
    }

    /// The same runs on other leaders, in their order: of a tree with another number of them.
    pub fn on_leaders(&self, of: u8, leaders: &[u8]) -> Result<Self, Invalid> {
        let moved = self.iter().zip(leaders).map(|(run, leader)| PieceRun {
            leader: *leader,
            ..run
        });
        Self::new(of, moved, self.in_full)
    }

    /// Whether both begin at the same places, wherever they ended.
    pub fn alike(&self, other: &Self) -> bool {
        let begins = |runs: &Self| {
            let begin = |run: PieceRun| (run.leader, run.third, run.portion, run.leave_out);
            runs.iter().map(begin).collect::<Vec<_>>()
        };
        self.of == other.of && begins(self) == begins(other)
    }

    /// As files and tables have it, such as `leader 5 of 6, top third, leave out 5, count 10; leader 2 of 6, base third,
    /// leave out 8, count 10; leader 5 in full: 12 + 10 + 14`.
    pub fn text(&self) -> String {
        let mut text = String::new();
        for run in self.iter() {
            let gap = if text.is_empty() { "" } else { "; " };
            let of = run.portion.map_or_else(String::new, |portion| {
                format!("{} part of the ", portion.word())
            });
            let _ = write!(
                text,
                "{gap}leader {} of {}, {of}{} third, leave out {}, count {}",
                run.leader,
                self.of,
                run.third.word(),
                run.leave_out,
                run.pieces
            );
        }
        let first = self.iter().next().map_or(1, |run| run.leader);
        match self.in_full {
            InFull::No => {}
            InFull::Asked => {
                let _ = write!(text, "; leader {first} in full");
            }
            InFull::Counted([base, middle, top]) => {
                let _ = write!(text, "; leader {first} in full: {base} + {middle} + {top}");
            }
        }
        text
    }

    /// Reads [`PieceRuns::text`].
    pub fn parse(raw: &str) -> Result<Self, Invalid> {
        let wrong = || {
            let like = "leader 5 of 6, top third, leave out 5, count 10; leader 2 of 6, base third, leave out 8, count 10";
            Invalid::new("part", format!("{raw:?} does not read like: {like}"))
        };
        let mut runs = Vec::new();
        let mut leaders = None;
        let mut in_full = InFull::No;
        for part in raw.split(';').map(str::trim) {
            if let Some((_, thirds)) = part.split_once(" in full") {
                in_full = read_thirds(thirds).ok_or_else(wrong)?;
                continue;
            }
            let (of, run) = read_run(part).ok_or_else(wrong)?;
            if *leaders.get_or_insert(of) != of {
                return Err(wrong());
            }
            runs.push(run);
        }
        Self::new(leaders.ok_or_else(wrong)?, runs, in_full)
    }
}

/// Reads what follows `in full`.
fn read_thirds(text: &str) -> Option<InFull> {
    let Some(thirds) = text.trim().strip_prefix(':') else {
        return text.trim().is_empty().then_some(InFull::Asked);
    };
    let thirds: Vec<u16> = (thirds.split('+'))
        .map(|pieces| pieces.trim().parse().ok())
        .collect::<Option<_>>()?;
    Some(InFull::Counted(thirds.try_into().ok()?))
}

/// Reads the leaders of the tree, and one run.
fn read_run(text: &str) -> Option<(u8, PieceRun)> {
    let mut parts = text.split(',').map(str::trim);
    let mut after = |word: &str| parts.next()?.strip_prefix(word).map(str::trim);
    let (leader, of) = after("leader")?.split_once(" of ")?;
    let place = after("")?.strip_suffix("third")?.trim();
    let (portion, third) = match place.split_once("part of the") {
        Some((portion, third)) => (Some(Portion::parse(portion).ok()?), third),
        None => (None, place),
    };
    let run = PieceRun {
        leader: leader.trim().parse().ok()?,
        third: Third::parse(third).ok()?,
        portion,
        leave_out: after("leave out")?.parse().ok()?,
        pieces: after("count")?.parse().ok()?,
    };
    parts
        .next()
        .is_none()
        .then_some((of.trim().parse().ok()?, run))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn run(leader: u8, third: Third, leave_out: u8) -> PieceRun {
        PieceRun {
            leader,
            third,
            portion: None,
            leave_out,
            pieces: 10,
        }
    }

    fn two() -> PieceRuns {
        let runs = [run(5, Third::Top, 5), run(2, Third::Base, 8)];
        PieceRuns::new(6, runs, InFull::No).unwrap()
    }

    #[test]
    fn the_next_piece_is_counted_down_to_the_change_of_leader() {
        let at = |counted| two().next(counted).map(|next| (next.nth, next.left));
        assert_eq!(at(0), Some((0, 10)));
        assert_eq!(at(9), Some((0, 1)));
        assert_eq!(at(10), Some((1, 10)));
        assert_eq!(at(19), Some((1, 1)));
        assert_eq!(at(20), None);
        assert_eq!(at(21), None);
    }

    #[test]
    fn a_leader_without_further_pieces_ends_its_run() {
        let short = two().ended(7);
        assert_eq!(short.pieces(), 17);
        assert_eq!(
            short.next(7).map(|next| (next.nth, next.left)),
            Some((1, 10))
        );
        // a dead leader has none at all, and the last one may end too
        let none = two().ended(0).ended(0);
        assert_eq!((none.pieces(), none.next(0)), (0, None));
        assert!(two().alike(&short) && short.alike(&two()));
        assert_eq!(two().ended(20), two());
    }

    #[test]
    fn it_reads_back_as_it_is_written() {
        let text = "leader 5 of 6, top third, leave out 5, count 10; leader 2 of 6, base third, leave out 8, count 10";
        assert_eq!(two().text(), text);
        let long = PieceRun {
            portion: Some(Portion::Lower),
            ..run(1, Third::Middle, 0)
        };
        for in_full in [InFull::No, InFull::Asked, InFull::Counted([12, 10, 14])] {
            let runs = PieceRuns::new(1, [long, long], in_full).unwrap();
            assert_eq!(
                PieceRuns::parse(&runs.text()).unwrap(),
                runs,
                "{}",
                runs.text()
            );
        }
    }

    #[test]
    fn what_cannot_be_is_refused() {
        for wrong in [
            "",
            "leader 7 of 6, top third, leave out 5, count 10",
            "leader 1 of 6, tip third, leave out 5, count 10",
            "leader 1 of 6, top third, leave out 500, count 10",
            "leader 1 of 6, top third, leave out 5, count 99",
            "leader 1 of 6, top third, leave out 5",
            "leader 1 of 6, top third, leave out 5, count 10; leader 1 of 5, top third, leave out 5, count 10",
            "leader 1 of 6, top third, leave out 5, count 10; leader 1 in full: 3 + 4",
        ] {
            assert_eq!(
                PieceRuns::parse(wrong).unwrap_err().field,
                "part",
                "{wrong}"
            );
        }
        assert!(PieceRuns::new(6, [run(1, Third::Base, 0); 5], InFull::No).is_err());
    }

    proptest! {
        #[test]
        fn any_text_is_read_or_refused(raw in ".{0,80}") {
            if let Ok(runs) = PieceRuns::parse(&raw) {
                prop_assert_eq!(PieceRuns::parse(&runs.text()).unwrap(), runs);
            }
        }

        #[test]
        fn every_piece_is_told_once(lengths in prop::collection::vec(0u8..12, 1..5)) {
            let list = lengths.iter().map(|pieces| PieceRun { pieces: *pieces, ..run(1, Third::Base, 0) });
            let runs = PieceRuns::new(2, list, InFull::No).unwrap();
            let mut told = vec![0u8; lengths.len()];
            for counted in 0..runs.pieces() {
                told[runs.next(counted).unwrap().nth] += 1;
            }
            prop_assert_eq!(told, lengths);
            prop_assert_eq!(runs.next(runs.pieces()), None);
        }
    }
}
