//! Which part of a drawn tree is counted, by lot: on which leaders, from where on, and how many pieces.
//!
//! Runs that begin at the base of a leader, or where the counter likes, leave the tip out too often: on invented trees with
//! older wood at the base that made the one-year share 3 to 15 points too small. With a third drawn by the pieces that it
//! has, and some pieces left out, every piece has the same chance, and the mean share of such trees is that of the whole
//! leaders (two-stage sampling: Cochran, Sampling Techniques, 1977, ch. 10; from memory).

use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha20Rng;

use crate::orchard::{PieceRun, Portion, Third};

/// Share of a leader's pieces in its base, middle and top third where nobody has counted them. From memory.
pub const THIRDS: [f64; 3] = [0.27, 0.33, 0.40];
/// Pieces of a leader from which on the parts of a third are told apart, so that few have to be left out.
const MANY: f64 = 45.0;
/// Streams of the trees of a draw lie beyond those of the pruners.
const TREE_STREAM: u64 = 1 << 32;
/// Trees that the shares taken from memory count as, in pieces.
const THIRDS_KNOWN: f64 = 60.0;
/// Leaders that the number of pieces taken from memory counts as.
const PIECES_KNOWN: f64 = 5.0;

/// How many runs, and how many pieces each.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Take {
    /// Runs, 1 to 4.
    pub runs: u8,
    /// Pieces of a run.
    pub pieces: u8,
}

impl Take {
    /// Two runs of ten: the least variance for its time on trees of most kinds, by our own simulation.
    pub const USUAL: Self = Self {
        runs: 2,
        pieces: 10,
    };
    /// Where a leader has hardly more than ten.
    pub const SHORT: Self = Self { runs: 3, pieces: 8 };
    /// Fewest pieces of a leader for [`Take::USUAL`].
    const SHORT_BELOW: f64 = 12.0;
    /// A tree with fewer pieces than this many times those to count is counted whole.
    const WORTH_IT: f64 = 1.5;

    /// What to count of trees with so many leaders of so many pieces each; none: the whole tree.
    pub fn on(leaders: u8, pieces: f64) -> Option<Self> {
        let take = if pieces < Self::SHORT_BELOW && leaders >= Self::SHORT.runs {
            Self::SHORT
        } else {
            Self::USUAL
        };
        let counted = f64::from(take.runs) * f64::from(take.pieces);
        (f64::from(leaders) * pieces >= Self::WORTH_IT * counted).then_some(take)
    }
}

/// What is known of the leaders of a block.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Leaders {
    /// Leaders of the tree.
    pub of: u8,
    /// Pieces of a leader, mean.
    pub pieces: f64,
    /// Shares of them in its thirds, base to top.
    pub thirds: [f64; 3],
}

/// What was drawn for one tree, both from 0 to below 1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lot {
    /// Which leader comes first.
    pub leader: f64,
    /// How far up it the first run begins.
    pub height: f64,
}

/// The lot of a tree by its draw's seed and its place in the draw, from 0. The same seed and place always give the same.
pub fn lot(seed: u64, place: usize) -> Lot {
    let mut generator = ChaCha20Rng::seed_from_u64(seed);
    generator.set_stream(TREE_STREAM + place as u64);
    Lot {
        leader: generator.random_range(0.0..1.0),
        height: generator.random_range(0.0..1.0),
    }
}

/// The leaders of so many runs on a tree of `of` leaders, from 1: the first by lot, the others spread over the tree.
pub fn leaders_of(of: u8, runs: u8, lot: Lot) -> Vec<u8> {
    let of = u32::from(of.max(1));
    let first = ((lot.leader * f64::from(of)) as u32).min(of - 1);
    (0..u32::from(runs))
        .map(|nth| ((first + nth * of / u32::from(runs)) % of) as u8 + 1)
        .collect()
}

/// The runs of a tree. Their starts are spread over the leaders' length.
pub fn runs(leaders: &Leaders, take: Take, lot: Lot) -> Vec<PieceRun> {
    let begin = |(leader, nth): (u8, u8)| {
        let height = (lot.height + f64::from(nth) / f64::from(take.runs)).fract();
        begins(leaders, leader, height, take.pieces)
    };
    let drawn = leaders_of(leaders.of, take.runs, lot).into_iter();
    drawn.zip(0..).map(begin).collect()
}

/// The run that begins at a height of 0 to below 1, as a share of the leader's pieces.
fn begins(leaders: &Leaders, leader: u8, height: f64, pieces: u8) -> PieceRun {
    let [base, middle, _] = leaders.thirds;
    let (third, below) = match height {
        height if height < base => (Third::Base, 0.0),
        height if height < base + middle => (Third::Middle, base),
        _ => (Third::Top, base + middle),
    };
    let up = height - below;
    let share = leaders.thirds[third as usize];
    let (portion, leave_out) = if leaders.pieces <= MANY {
        (None, up * leaders.pieces)
    } else {
        let part = up / share * 3.0;
        let nth = (part as usize).min(2);
        let up = part - nth as f64;
        (Some(Portion::ALL[nth]), up * leaders.pieces * share / 3.0)
    };
    PieceRun {
        leader,
        third,
        portion,
        leave_out: (leave_out as u8).min(*crate::orchard::limits::LEAVE_OUT.end()),
        pieces,
    }
}

/// The pieces of a run on a leader: their places, for pieces at these heights (parts of its length, rising). Past the tip
/// goes on at the base; a leader of fewer pieces is taken whole.
pub fn pieces_of(heights: &[f64], run: PieceRun) -> Vec<usize> {
    let third = run.third as usize as f64;
    let portion = run
        .portion
        .map_or(0.0, |portion| portion as usize as f64 / 3.0);
    let from = (third + portion) / 3.0;
    let start = heights.iter().filter(|height| **height < from).count();
    let start = start + usize::from(run.leave_out);
    let many = heights.len().min(usize::from(run.pieces));
    (0..many).map(|at| (start + at) % heights.len()).collect()
}

/// Shares of pieces in the thirds of a leader, by those counted and by [`THIRDS`], which count as 60 pieces.
pub fn learned_thirds(counted: [f64; 3]) -> [f64; 3] {
    let all = THIRDS_KNOWN + counted.iter().sum::<f64>();
    std::array::from_fn(|nth| (THIRDS_KNOWN * THIRDS[nth] + counted[nth]) / all)
}

/// Pieces of a leader, by those counted on `n` of them in all and by what is taken for granted, which counts as five.
pub fn learned_pieces(taken: f64, counted: f64, n: u32) -> f64 {
    (PIECES_KNOWN * taken + counted) / (PIECES_KNOWN + f64::from(n))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(of: u8, take: (u8, u8), pieces: f64, thirds: [f64; 3], lot: (f64, f64)) -> Vec<String> {
        let leaders = Leaders { of, pieces, thirds };
        let take = Take {
            runs: take.0,
            pieces: take.1,
        };
        let lot = Lot {
            leader: lot.0,
            height: lot.1,
        };
        let one = |run: PieceRun| {
            let portion = run.portion.map_or("", Portion::word);
            format!(
                "{} {portion} {} {}",
                run.leader,
                run.third.word(),
                run.leave_out
            )
        };
        runs(&leaders, take, lot).into_iter().map(one).collect()
    }

    /// Worked by hand from the rule: the first leader is the one that the lot falls on, runs are spread over leaders and
    /// heights alike, and what is left out is the rest of the height within its third (or its part of a third).
    #[test]
    fn runs_by_hand() {
        let even = [1.0 / 3.0; 3];
        assert_eq!(
            told(6, (2, 10), 35.0, THIRDS, (4.5 / 6.0, 0.75)),
            ["5  top 5", "2  base 8"]
        );
        assert_eq!(
            told(6, (3, 10), 35.0, even, (1.5 / 6.0, 0.5))[1..],
            ["4  top 5", "6  base 5"]
        );
        assert_eq!(
            told(1, (2, 10), 95.0, THIRDS, (0.2, 0.3)),
            ["1 lower middle 2", "1 middle top 6"]
        );
        assert_eq!(
            told(4, (2, 10), 100.0, THIRDS, (3.5 / 4.0, 0.025)),
            ["4 lower base 2", "2 upper middle 3"]
        );
    }

    /// A leader of 36 pieces, 9, 12 and 15 of them in its thirds.
    fn leader() -> Vec<f64> {
        let part = |from: f64, to: f64, n: usize| {
            (0..n).map(move |i| from + (to - from) * i as f64 / (n - 1) as f64)
        };
        part(0.0, 0.33, 9)
            .chain(part(0.34, 0.66, 12))
            .chain(part(0.67, 0.99, 15))
            .collect()
    }

    #[test]
    fn every_piece_has_the_same_chance() {
        let leaders = Leaders {
            of: 1,
            pieces: 36.0,
            thirds: [9.0 / 36.0, 12.0 / 36.0, 15.0 / 36.0],
        };
        let take = Take {
            runs: 1,
            pieces: 10,
        };
        let mut hit = [0u32; 36];
        let starts = 3_600;
        for at in 0..starts {
            let lot = Lot {
                leader: 0.0,
                height: (f64::from(at) + 0.5) / f64::from(starts),
            };
            for piece in pieces_of(&leader(), runs(&leaders, take, lot)[0]) {
                hit[piece] += 1;
            }
        }
        for (piece, hits) in hit.into_iter().enumerate() {
            let chance = f64::from(hits) / f64::from(starts);
            assert!((chance - 10.0 / 36.0).abs() < 1e-3, "{piece}: {chance}");
        }
    }

    /// What the pieces left out are for.
    #[test]
    fn thirds_begun_at_their_base_never_reach_the_tip() {
        let mut hit = [0u32; 36];
        for third in Third::ALL {
            let run = PieceRun {
                leader: 1,
                third,
                portion: None,
                leave_out: 0,
                pieces: 10,
            };
            for piece in pieces_of(&leader(), run) {
                hit[piece] += 1;
            }
        }
        assert_eq!(hit[31..], [0; 5]);
    }

    /// Pearson's chi-square over many draws: leaders, and thirds by their shares; 5 and 2 degrees of freedom, one in a
    /// thousand (printed table: 20.5 and 13.8).
    #[test]
    fn lots_favour_no_leader_and_no_third() {
        let leaders = Leaders {
            of: 6,
            pieces: 35.0,
            thirds: THIRDS,
        };
        let draws = 6_000;
        let (mut by_leader, mut by_third) = ([0u32; 6], [0u32; 3]);
        for seed in 0..draws / 20 {
            for place in 0..20 {
                let first = runs(&leaders, Take::USUAL, lot(seed, place))[0];
                by_leader[usize::from(first.leader) - 1] += 1;
                by_third[first.third as usize] += 1;
            }
        }
        let square = |seen: u32, share: f64| {
            let wanted = draws as f64 * share;
            (f64::from(seen) - wanted).powi(2) / wanted
        };
        let leaders: f64 = by_leader.iter().map(|seen| square(*seen, 1.0 / 6.0)).sum();
        assert!(leaders < 20.5, "{by_leader:?}");
        let thirds = by_third.iter().zip(THIRDS);
        let thirds: f64 = thirds.map(|(seen, share)| square(*seen, share)).sum();
        assert!(thirds < 13.8, "{by_third:?}");
    }

    // a new generator would send people to other leaders for draws that are already stored: then this changes, and must not
    #[test]
    fn a_seed_fixes_the_lot() {
        let lots = [lot(2026, 0), lot(2026, 1)];
        assert_ne!(lots[0], lots[1]);
        assert_eq!(leaders_of(6, 2, lots[0]), PINNED[0]);
        assert_eq!(leaders_of(6, 2, lots[1]), PINNED[1]);
    }
    const PINNED: [[u8; 2]; 2] = [[2, 5], [5, 2]];

    #[test]
    fn what_is_learned_begins_with_what_is_taken_for_granted() {
        let near = |a: [f64; 3], b: [f64; 3]| a.iter().zip(b).all(|(a, b)| (a - b).abs() < 1e-12);
        assert!(near(
            learned_thirds([10.0, 12.0, 13.0]),
            [26.2 / 95.0, 31.8 / 95.0, 37.0 / 95.0]
        ));
        assert!(near(learned_thirds([0.0; 3]), THIRDS));
        assert!((learned_pieces(35.0, 90.0, 3) - 33.125).abs() < 1e-12);
    }

    #[test]
    fn small_trees_are_counted_whole_and_short_leaders_three_by_eight() {
        assert_eq!(Take::on(6, 35.0), Some(Take::USUAL));
        assert_eq!(Take::on(1, 95.0), Some(Take::USUAL));
        assert_eq!(Take::on(8, 10.0), Some(Take::SHORT));
        assert_eq!(Take::on(1, 25.0), None);
        assert_eq!(Take::on(4, 6.0), None);
    }
}
