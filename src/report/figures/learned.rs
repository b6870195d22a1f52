//! What was learned from counts by leaders and pieces: how long counting takes, how alike the pieces of one tree are, and
//! what to count of a tree by that.

use std::collections::HashMap;

use crate::judge::{Alike, Gap, Seconds, Take, TreeRuns, advise, alike_of, seconds_of};
use crate::orchard::{Age, PrunerId, Tap, Third};
use crate::store::TimedCount;

/// Trees from which on times are used.
const TIMES_FROM: u32 = 10;
/// A piece tapped within so many milliseconds of the one before can hardly have been looked at. From memory.
const LOOKED_AT_MS: i64 = 700;
/// A tree of which more than this share of pieces was tapped so fast is told to the supervisor.
const HASTY: f64 = 0.5;

/// What was learned over a winter.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Learned {
    /// Trees with two runs or more.
    pub trees: u32,
    /// Seconds, where ten trees or more were timed.
    pub seconds: Option<Seconds>,
    /// How alike pieces are, where that is known.
    pub alike: Option<Alike>,
    /// Trees tapped too fast to be looked at.
    pub hasty: u32,
    /// Pieces by age of runs in the top third.
    pub in_top: [u32; 4],
}

/// A tap as a piece of this age; upright and thick wood and buds by themselves are none.
fn piece(tap: Tap) -> Option<Age> {
    match tap {
        Tap::Piece(age) => Some(age),
        Tap::TwoYear(..) => Some(Age::Two),
        Tap::Unit(..) | Tap::Upright | Tap::ThickTop => None,
    }
}

impl Learned {
    /// What counts say, the oldest first.
    pub fn of(counts: &[TimedCount]) -> Self {
        let mut learned = Self::default();
        let mut gaps = Vec::new();
        let mut trees = Vec::new();
        let mut pruners: HashMap<Option<PrunerId>, usize> = HashMap::new();
        let mut last: HashMap<&str, i64> = HashMap::new();
        for count in counts {
            let next = pruners.len();
            let of = *pruners.entry(count.pruner).or_insert(next);
            let before = last.get(count.counter.as_str()).copied();
            let (tree, hasty, end) = learned.take_in(count, of, before, &mut gaps);
            learned.hasty += u32::from(hasty);
            learned.trees += u32::from(tree.runs.len() >= 2);
            trees.push(tree);
            last.extend(end.map(|end| (count.counter.as_str(), end)));
        }
        let timed = gaps.iter().filter(|(gap, _)| *gap == Gap::Tree).count();
        if timed as u32 >= TIMES_FROM {
            learned.seconds = seconds_of(&gaps);
        }
        learned.alike = alike_of(&trees);
        learned
    }

    /// Takes one tree in: its runs, whether it was tapped too fast, and when its last tap was.
    fn take_in(
        &mut self,
        count: &TimedCount,
        of: usize,
        before: Option<i64>,
        gaps: &mut Vec<(Gap, f64)>,
    ) -> (TreeRuns, bool, Option<i64>) {
        let mut runs = vec![[0.0; 4]; count.runs.iter().count()];
        let (mut pieces, mut fast) = (0, 0);
        let (mut at, mut nth_before) = (before, None);
        for (tap, when) in &count.taps {
            let Some(age) = piece(*tap) else { continue };
            let Some(next) = count.runs.next(pieces) else {
                break;
            };
            runs[next.nth][age.index()] += 1.0;
            pieces += 1;
            if next.run.third == Third::Top {
                self.in_top[age.index()] += 1;
            }
            let gap = match nth_before {
                None => Gap::Tree,
                Some(before) if before != next.nth => Gap::Run,
                Some(_) => Gap::Piece(age.index()),
            };
            if let (Some(from), Some(to)) = (at, when) {
                fast += u32::from(matches!(gap, Gap::Piece(_)) && to - from < LOOKED_AT_MS);
                gaps.push((gap, (to - from) as f64 / 1_000.0));
            }
            nth_before = Some(next.nth);
            at = *when;
        }
        let hasty = f64::from(fast) > HASTY * f64::from(pieces.max(1));
        (TreeRuns { of, runs }, hasty, at)
    }

    /// What to count of a tree with so many leaders where `now` is counted.
    pub fn take(&self, leaders: u8, now: Take) -> Take {
        let seconds = self.seconds.unwrap_or(Seconds::USUAL);
        let alike = self.alike.unwrap_or(Alike::USUAL);
        let advised = advise(now, self.trees, alike, seconds);
        // more runs than leaders would lie on one another, but for the two of a single one
        if advised.runs > leaders.max(2) {
            now
        } else {
            advised
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::orchard::{BlockId, Buds, InFull, PieceRun, PieceRuns, Size, Third};

    fn count(at: Option<i64>, gap: i64) -> TimedCount {
        let run = |leader, third| PieceRun {
            leader,
            third,
            portion: None,
            leave_out: 0,
            pieces: 3,
        };
        let runs = [run(1, Third::Top), run(3, Third::Base)];
        let two = Tap::TwoYear(Size::Thin, Buds::new(2).unwrap());
        let taps = [
            Tap::Piece(Age::One),
            Tap::Upright,
            two,
            Tap::Piece(Age::FourPlus),
            Tap::Piece(Age::Three),
            two,
            two,
        ];
        let taps = taps.into_iter().zip(0..);
        TimedCount {
            block: BlockId(uuid::Uuid::from_u128(1)),
            pruner: None,
            counter: "A".to_owned(),
            runs: PieceRuns::new(4, runs, InFull::No).unwrap(),
            taps: taps
                .map(|(tap, nth): (Tap, i64)| (tap, at.map(|at| at + nth * gap)))
                .collect(),
        }
    }

    #[test]
    fn pieces_go_to_their_runs_and_their_gaps_to_what_lies_before_them() {
        let counts: Vec<TimedCount> = (0..12)
            .map(|nth| count(Some(nth * 100_000), 4_000))
            .collect();
        let learned = Learned::of(&counts);
        assert_eq!((learned.trees, learned.hasty), (12, 0));
        assert_eq!(learned.in_top, [12, 12, 0, 12]);
        let seconds = learned.seconds.unwrap();
        // upright wood between two pieces: 8 s before the two-year piece of the first run
        assert!((4.0..8.0).contains(&seconds.piece), "{seconds:?}");
        assert!((seconds.run - (4.0 - seconds.piece)).abs() < 1e-9);
        // the last tap of a tree is 24 s after its first: 76 s to the next tree
        assert!((seconds.tree - (76.0 - seconds.piece)).abs() < 1e-9);
        assert!(learned.alike.is_some());
    }

    #[test]
    fn trees_tapped_through_are_told_and_those_without_times_say_nothing_of_them() {
        let counts = [count(Some(0), 200), count(Some(90_000), 3_000)];
        let learned = Learned::of(&counts);
        assert_eq!((learned.hasty, learned.seconds), (1, None));
        let untimed = Learned::of(&[count(None, 0)]);
        assert_eq!((untimed.hasty, untimed.trees), (0, 1));
    }

    #[test]
    fn the_advice_is_that_of_the_judge_and_keeps_within_the_trees_leaders() {
        let learned = Learned {
            trees: 400,
            alike: Some(Alike {
                tree: 0.0,
                run: 0.2,
            }),
            ..Learned::default()
        };
        assert!(learned.take(8, Take::USUAL).runs > 2);
        assert_eq!(learned.take(2, Take::USUAL).runs, 2);
        assert_eq!(Learned::default().take(8, Take::USUAL), Take::USUAL);
    }
}
