//! How much of a tree is worth counting: what a tree's share varies by, what it takes to count, and what both have been here.
//!
//! A tree's share has the variance V p (1 - p), with V = `rho_t` + `rho_s` / T + (1 - `rho_t` - `rho_s`) / (T k) for T
//! runs of k pieces, and takes C = c1 + T cs + T k c2 seconds; the fewest minutes to a word are where V C is least (three-stage
//! sampling: Cochran, Sampling Techniques, 1977, ch. 10 and 11; from memory).

use super::Take;

/// What pieces of one tree, and of one leader beyond that, have in common: correlations, 0 to 1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Alike {
    /// Of pieces of one tree.
    pub tree: f64,
    /// What pieces of one run have in common beyond that.
    pub run: f64,
}

/// What counting takes, in seconds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Seconds {
    /// Finding and handling a tree, the walk with it or apart.
    pub tree: f64,
    /// Going to one more leader and finding the place.
    pub run: f64,
    /// One more piece.
    pub piece: f64,
}

impl Alike {
    /// Where nothing is known. From memory, and near the middle of what our simulation was run over.
    pub const USUAL: Self = Self {
        tree: 0.04,
        run: 0.025,
    };
    /// Trees that [`Alike::USUAL`] counts as.
    const KNOWN: f64 = 60.0;

    /// An estimate from so many trees, drawn towards what is usual.
    #[must_use]
    pub fn tempered(self, trees: u32) -> Self {
        let weight = f64::from(trees) / (f64::from(trees) + Self::KNOWN);
        Self {
            tree: weight * self.tree + (1.0 - weight) * Self::USUAL.tree,
            run: weight * self.run + (1.0 - weight) * Self::USUAL.run,
        }
    }

    /// The variance of a tree's share, in parts of p (1 - p).
    pub fn variance(self, take: Take) -> f64 {
        let (runs, pieces) = (f64::from(take.runs), f64::from(take.pieces));
        self.tree + self.run / runs + (1.0 - self.tree - self.run) / (runs * pieces)
    }
}

impl Seconds {
    /// Where nobody has counted yet. From memory.
    pub const USUAL: Self = Self {
        tree: 90.0,
        run: 14.0,
        piece: 5.0,
    };

    /// Of a tree counted so.
    pub fn of(self, take: Take) -> f64 {
        let (runs, pieces) = (f64::from(take.runs), f64::from(take.pieces));
        self.tree + runs * self.run + runs * pieces * self.piece
    }
}

/// Variance times seconds: what is to be least.
pub fn loss(take: Take, alike: Alike, seconds: Seconds) -> f64 {
    alike.variance(take) * seconds.of(take)
}

/// Runs and pieces that are looked through.
fn choices() -> impl Iterator<Item = Take> {
    (1..=4).flat_map(|runs| {
        [6, 8, 10, 12, 15, 20]
            .into_iter()
            .map(move |pieces| Take { runs, pieces })
            .filter(|take| (15..=40).contains(&(u16::from(take.runs) * u16::from(take.pieces))))
    })
}

/// Trees with two runs or more before the advice moves.
const TREES_TO_MOVE: u32 = 40;
/// It moves only for so much less of variance times seconds.
const WORTH_MOVING: f64 = 0.92;

/// What to count of a tree from now on: `now`, unless enough trees say that another way saves 8 % of variance times time.
/// `alike` as estimated over `trees` with two runs or more.
pub fn advise(now: Take, trees: u32, alike: Alike, seconds: Seconds) -> Take {
    let alike = alike.tempered(trees);
    let of = |take: &Take| loss(*take, alike, seconds);
    let best = choices().min_by(|one, other| of(one).total_cmp(&of(other)));
    match best {
        Some(best) if trees >= TREES_TO_MOVE && of(&best) < WORTH_MOVING * of(&now) => best,
        _ => now,
    }
}

/// What kind of gap lies before a tap.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Gap {
    /// Before a further piece of a run, of this age (0 one-year to 3 four-plus).
    Piece(usize),
    /// Before the first piece of a tree's next run.
    Run,
    /// Before the first piece of a tree.
    Tree,
}

/// What counting takes, from the gaps between taps in seconds; longer ones than 30, 60 and 300 s are pauses. A piece:
/// the log-normal mean from the median and the scaled median deviation of the logarithms, each age by its number; a run
/// and a tree: the median, less a piece. None without a gap of each kind.
pub fn seconds_of(gaps: &[(Gap, f64)]) -> Option<Seconds> {
    let within = |wanted: &dyn Fn(Gap) -> bool, most: f64| -> Vec<f64> {
        let of = gaps
            .iter()
            .filter(|(gap, s)| wanted(*gap) && *s <= most && *s > 0.0);
        of.map(|(_, seconds)| *seconds).collect()
    };
    let (mut sum, mut n) = (0.0, 0.0);
    for age in 0..4 {
        let logs = within(&|gap| gap == Gap::Piece(age), 30.0);
        let logs: Vec<f64> = logs.iter().map(|s| s.ln()).collect();
        if let Some(middle) = median(&logs) {
            let off: Vec<f64> = logs.iter().map(|log| (log - middle).abs()).collect();
            let spread = 1.4826 * median(&off).unwrap_or(0.0);
            sum += logs.len() as f64 * (middle + spread * spread / 2.0).exp();
            n += logs.len() as f64;
        }
    }
    let piece = (n > 0.0).then(|| sum / n)?;
    Some(Seconds {
        tree: median(&within(&|gap| gap == Gap::Tree, 300.0))? - piece,
        run: median(&within(&|gap| gap == Gap::Run, 60.0))? - piece,
        piece,
    })
}

fn median(values: &[f64]) -> Option<f64> {
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    let middle = sorted.len() / 2;
    let upper = *sorted.get(middle)?;
    Some(if sorted.len() % 2 == 1 {
        upper
    } else {
        f64::midpoint(upper, sorted[middle - 1])
    })
}

/// A tree that was counted by runs: whose it is (any number of the pruner), and of each run the pieces by age.
#[derive(Debug, Clone, PartialEq)]
pub struct TreeRuns {
    /// The pruner, as a number.
    pub of: usize,
    /// Pieces by age of each run.
    pub runs: Vec<[f64; 4]>,
}

/// How alike pieces of one tree and of one run are: nested analysis of variance, all ages together, trees within pruners;
/// moments, none below 0 (Searle, Casella and `McCulloch`, Variance Components, 1992, ch. 3; from memory). Trees with fewer
/// than two runs that have pieces say nothing. None with fewer than two such trees of one pruner.
pub fn alike_of(trees: &[TreeRuns]) -> Option<Alike> {
    let mut trees: Vec<TreeRuns> = trees.to_vec();
    for tree in &mut trees {
        tree.runs.retain(|run| pieces(run) > 0.0);
    }
    trees.retain(|tree| tree.runs.len() >= 2);
    let mut pruners: Vec<usize> = trees.iter().map(|tree| tree.of).collect();
    pruners.sort_unstable();
    pruners.dedup();
    if trees.len() <= pruners.len() {
        return None;
    }
    let mut sums = Nested::default();
    for pruner in &pruners {
        let own: Vec<&TreeRuns> = trees.iter().filter(|tree| tree.of == *pruner).collect();
        sums.add_pruner(&own);
    }
    let runs: usize = trees.iter().map(|tree| tree.runs.len()).sum();
    sums.alike(runs as f64, trees.len() as f64, pruners.len() as f64)
}

/// Sums of squares of the nested analysis, and of the pieces that they rest on.
#[derive(Default)]
struct Nested {
    within: f64,
    between_runs: f64,
    between_trees: f64,
    pieces: f64,
    /// Squared pieces of runs over those of their tree, and over those of their pruner.
    of_tree: f64,
    of_pruner: f64,
    /// Squared pieces of trees over those of their pruner.
    trees_of_pruner: f64,
}

impl Nested {
    fn add_pruner(&mut self, trees: &[&TreeRuns]) {
        let mean = shares(trees.iter().flat_map(|tree| &tree.runs));
        let (mut theirs, mut squares, mut run_squares) = (0.0, 0.0, 0.0);
        for tree in trees {
            let of_tree = shares(&tree.runs);
            let tree_pieces: f64 = tree.runs.iter().map(pieces).sum();
            let mut sum_squares = 0.0;
            for run in &tree.runs {
                let own = pieces(run);
                let share = run.map(|n| n / own);
                self.within += own * share.iter().map(|x| x * (1.0 - x)).sum::<f64>();
                self.between_runs += own * apart(&share, &of_tree);
                sum_squares += own * own;
            }
            self.between_trees += tree_pieces * apart(&of_tree, &mean);
            self.of_tree += sum_squares / tree_pieces;
            theirs += tree_pieces;
            squares += tree_pieces * tree_pieces;
            run_squares += sum_squares;
        }
        self.trees_of_pruner += squares / theirs;
        self.of_pruner += run_squares / theirs;
        self.pieces += theirs;
    }

    fn alike(&self, runs: f64, trees: f64, pruners: f64) -> Option<Alike> {
        let (of_runs, of_trees) = (runs - trees, trees - pruners);
        let error = self.within / (self.pieces - runs);
        let run = (self.between_runs / of_runs - error) / ((self.pieces - self.of_tree) / of_runs);
        let run = run.max(0.0);
        let shared = (self.of_tree - self.of_pruner) / of_trees * run;
        let tree = self.between_trees / of_trees - error - shared;
        let tree = (tree / ((self.pieces - self.trees_of_pruner) / of_trees)).max(0.0);
        let total = error + run + tree;
        (total > 0.0).then(|| Alike {
            tree: tree / total,
            run: run / total,
        })
    }
}

fn pieces(run: &[f64; 4]) -> f64 {
    run.iter().sum()
}

fn shares<'r>(runs: impl IntoIterator<Item = &'r [f64; 4]>) -> [f64; 4] {
    let mut sum = [0.0; 4];
    for run in runs {
        for (sum, n) in sum.iter_mut().zip(run) {
            *sum += n;
        }
    }
    let all = pieces(&sum);
    sum.map(|n| n / all)
}

fn apart(one: &[f64; 4], other: &[f64; 4]) -> f64 {
    one.iter().zip(other).map(|(a, b)| (a - b).powi(2)).sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(a: f64, b: f64, by: f64) {
        assert!((a - b).abs() < by, "{a} is not {b}");
    }

    fn take(runs: u8, pieces: u8) -> Take {
        Take { runs, pieces }
    }

    /// By hand: .04 + .025 / 2 + .935 / 20 = .09925, and 90 + 28 + 100 = 218 s.
    #[test]
    fn two_runs_of_ten_are_best_where_nothing_is_known() {
        near(Alike::USUAL.variance(take(2, 10)), 0.09925, 1e-12);
        near(Seconds::USUAL.of(take(2, 10)), 218.0, 1e-12);
        near(
            loss(take(2, 10), Alike::USUAL, Seconds::USUAL),
            21.6365,
            1e-9,
        );
        let of = |take: &Take| loss(*take, Alike::USUAL, Seconds::USUAL);
        let best = choices().min_by(|a, b| of(a).total_cmp(&of(b)));
        assert_eq!(best, Some(Take::USUAL));
    }

    #[test]
    fn the_advice_moves_late_and_for_a_reason() {
        let quick = Seconds {
            tree: 45.0,
            ..Seconds::USUAL
        };
        let alike = |tree, run| Alike { tree, run };
        assert_eq!(
            advise(take(2, 10), 39, alike(0.15, 0.02), quick),
            take(2, 10)
        );
        assert_eq!(
            advise(take(2, 10), 100, alike(0.15, 0.02), quick),
            take(1, 15)
        );
        let uneven = alike(0.04, 0.10);
        assert_eq!(
            advise(take(2, 10), 200, uneven, Seconds::USUAL),
            take(2, 10)
        );
    }

    /// The same figures by an independent program, written in another language.
    #[test]
    fn times_and_correlations_of_small_tables() {
        let mut gaps = vec![
            (Gap::Tree, 100.0),
            (Gap::Tree, 80.0),
            (Gap::Tree, 95.0),
            (Gap::Tree, 900.0),
            (Gap::Run, 18.0),
            (Gap::Run, 20.0),
            (Gap::Run, 16.0),
            (Gap::Run, 200.0),
        ];
        let pieces = [
            (0, vec![2.0, 3.0, 3.0, 4.0]),
            (1, vec![7.0, 8.0, 9.0, 60.0]),
            (2, vec![4.0, 4.0, 5.0]),
        ];
        for (age, seconds) in pieces {
            gaps.extend(seconds.into_iter().map(|s| (Gap::Piece(age), s)));
        }
        let seconds = seconds_of(&gaps).unwrap();
        near(seconds.tree, 90.135_526_701_1, 1e-9);
        near(seconds.run, 13.135_526_701_1, 1e-9);
        near(seconds.piece, 4.864_473_298_9, 1e-9);
        assert_eq!(seconds_of(&gaps[..8]), None);

        let counts: [[[f64; 3]; 2]; 6] = [
            [[1., 5., 4.], [0., 8., 2.]],
            [[7., 2., 1.], [3., 4., 3.]],
            [[3., 3., 4.], [8., 1., 1.]],
            [[1., 1., 8.], [2., 5., 3.]],
            [[4., 5., 1.], [4., 1., 5.]],
            [[0., 6., 4.], [3., 6., 3.]],
        ];
        let trees: Vec<TreeRuns> = (counts.iter().enumerate())
            .map(|(nth, runs)| TreeRuns {
                of: nth / 3,
                runs: runs.iter().map(|[a, b, c]| [*a, *b, *c, 0.0]).collect(),
            })
            .collect();
        let alike = alike_of(&trees).unwrap();
        near(alike.tree, 0.045_855_577_9, 1e-9);
        near(alike.run, 0.108_884_259_7, 1e-9);
        assert_eq!(alike_of(&trees[..1]), None);
    }
}
