//! Simulated pruners: the model that the error rates are measured under.
//!
//! - Pieces a tree: Poisson, its mean gamma-distributed from tree to tree about 30 with a coefficient of variation of
//!   0.35 (mean of 1/m about 0.039). Units a tree: the same about 8.
//! - Ages of the pieces: Dirichlet-multinomial about the pruner's true mix, correlation within a tree 0.03: an age of
//!   one third then has a standard deviation between trees of about 0.123. Four-plus the same.
//! - Units within the rule: beta-binomial, correlation 0.10.
//! - A botching pruner: a share of the trees, at random, has another mix.
//! - An erratic pruner: the ages differ two or three times as much from tree to tree (standard deviation).
//!
//! Pruners and trees are independent; a look after every tree. All of it is invented: no orchard was measured.
#![allow(dead_code)]

use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha12Rng;
use rand_distr::{Distribution, Gamma, Poisson};
use thirdwood::judge::{Band, Judgement, Sample, TreeFigures, Verdict, judge};

pub const PIECES: f64 = 30.0;
pub const UNITS: f64 = 8.0;
pub const VARIATION: f64 = 0.35;
/// Mean over trees of 1/m.
pub const MEAN_INV_PIECES: f64 = 0.039;
pub const WITHIN_AGES: f64 = 0.03;
pub const WITHIN_BUDS: f64 = 0.10;
pub const THIRD: f64 = 1.0 / 3.0;
pub const TARGET: [f64; 4] = [THIRD, THIRD, THIRD, 0.0];

/// What a pruner truly does.
#[derive(Clone, Copy)]
pub struct Truth {
    pub mix: [f64; 4],
    pub buds: f64,
    /// Share of botched trees, and their mix.
    pub botched: Option<(f64, [f64; 4])>,
    /// Correlation of the ages within a tree.
    pub within: f64,
}

impl Truth {
    pub fn new(mix: [f64; 4], buds: f64) -> Self {
        Self {
            mix,
            buds,
            botched: None,
            within: WITHIN_AGES,
        }
    }

    /// The same mix, but ages differ `times` as much from tree to tree, in standard deviations.
    pub fn erratic(self, times: f64) -> Self {
        let of_one_piece = MEAN_INV_PIECES;
        let usual = of_one_piece + (1.0 - of_one_piece) * WITHIN_AGES;
        let within = (usual * times * times - of_one_piece) / (1.0 - of_one_piece);
        Self { within, ..self }
    }

    /// A `share` of the trees has the mix `bad`, the others `usual`; buds are well.
    pub fn botching(share: f64, bad: [f64; 4], usual: [f64; 4]) -> Self {
        Self {
            botched: Some((share, bad)),
            ..Self::new(usual, 0.92)
        }
    }

    /// One-year share as given, the other two ages alike, four-plus as given.
    pub fn one_year(one: f64, four_plus: f64, buds: f64) -> Self {
        let other = (1.0 - one - four_plus) / 2.0;
        Self::new([one, other, other, four_plus], buds)
    }

    /// True mean of each metric.
    pub fn means(&self) -> [f64; 5] {
        let age = |k: usize| match self.botched {
            None => self.mix[k],
            Some((share, mix)) => (1.0 - share) * self.mix[k] + share * mix[k],
        };
        [age(0), age(1), age(2), age(3), self.buds]
    }
}

/// Grows and prunes trees.
pub struct Grower(ChaCha12Rng);

impl Grower {
    pub fn new(seed: u64, stream: u64) -> Self {
        let mut generator = ChaCha12Rng::seed_from_u64(seed);
        generator.set_stream(stream);
        Self(generator)
    }

    pub fn tree(&mut self, truth: &Truth) -> TreeFigures {
        let mix = match truth.botched {
            Some((share, mix)) if self.0.random::<f64>() < share => mix,
            _ => truth.mix,
        };
        let pieces = self.number(PIECES);
        let ages = self.multinomial(pieces, mix, truth.within);
        let units = self.number(UNITS);
        let [units_within, ..] =
            self.multinomial(units, [truth.buds, 1.0 - truth.buds, 0.0, 0.0], WITHIN_BUDS);
        TreeFigures {
            ages,
            units,
            units_within,
        }
    }

    fn number(&mut self, mean: f64) -> u32 {
        let shape = 1.0 / (VARIATION * VARIATION);
        let rate = Gamma::new(shape, mean / shape).unwrap().sample(&mut self.0);
        Poisson::new(rate).unwrap().sample(&mut self.0) as u32
    }

    fn multinomial(&mut self, n: u32, mix: [f64; 4], within: f64) -> [u32; 4] {
        let strength = 1.0 / within - 1.0;
        let parts = mix.map(|share| {
            if share > 0.0 {
                Gamma::new(share * strength, 1.0)
                    .unwrap()
                    .sample(&mut self.0)
            } else {
                0.0
            }
        });
        let whole: f64 = parts.iter().sum();
        let mut counts = [0; 4];
        for _ in 0..n {
            let mut at = self.0.random::<f64>() * whole;
            let mut k = 0;
            while k < 3 && at >= parts[k] {
                at -= parts[k];
                k += 1;
            }
            counts[k] += 1;
        }
        counts
    }
}

/// `four` of four-plus, the rest in thirds.
pub fn thirds_and(four: f64) -> [f64; 4] {
    let third = (1.0 - four) / 3.0;
    [third, third, third, four]
}

/// A third each of the first three ages, `tolerance` to either side; four-plus at most 0.05; compliance 0.80.
pub fn bands(tolerance: f64) -> [Band; 5] {
    let kept = Band::kept(THIRD, tolerance);
    [
        kept,
        kept,
        kept,
        Band::too_old(0.05),
        Band::compliance(0.80),
    ]
}

/// When each verdict was first given (trees counted), by metric and for the whole.
#[derive(Clone, Copy, Default)]
pub struct Course {
    pub out: [Option<u32>; 5],
    pub leaning: [Option<u32>; 5],
    pub balance: [Option<u32>; 5],
    pub whole_balance: Option<u32>,
    /// That nothing is badly wrong.
    pub fine: Option<u32>,
    /// A hint on each metric.
    pub hint: [Option<u32>; 5],
}

impl Course {
    pub fn ever_out(&self) -> bool {
        self.out.iter().any(Option::is_some)
    }

    pub fn ever_leaning(&self) -> bool {
        self.leaning.iter().any(Option::is_some)
    }

    fn note(&mut self, n: u32, found: &Judgement) {
        for (k, metric) in found.metrics.iter().enumerate() {
            let verdict = metric.verdict;
            if verdict.is_out() {
                self.out[k].get_or_insert(n);
            } else if verdict.is_leaning() {
                self.leaning[k].get_or_insert(n);
            } else if verdict.is_settled() {
                self.balance[k].get_or_insert(n);
            }
        }
        match found.overall {
            Verdict::InBalance => _ = self.whole_balance.get_or_insert(n),
            Verdict::NothingBadlyWrong => _ = self.fine.get_or_insert(n),
            _ => {}
        }
        if let Some(hint) = found.hint {
            self.hint[hint.metric.index()].get_or_insert(n);
        }
    }
}

/// Follows one pruner, with a look after every tree.
pub fn follow(truth: &Truth, bands: &[Band; 5], looks: u32, seed: u64, stream: u64) -> Course {
    let mut grower = Grower::new(seed, stream);
    let mut sample = Sample::new(TARGET);
    let mut course = Course::default();
    for n in 1..=looks {
        sample.add(&grower.tree(truth));
        course.note(n, &judge(&sample, bands));
    }
    course
}

/// Follows many pruners with the same truth.
pub fn crew(truth: &Truth, tolerance: f64, looks: u32, pruners: u64, seed: u64) -> Vec<Course> {
    let bands = bands(tolerance);
    (0..pruners)
        .map(|stream| follow(truth, &bands, looks, seed, stream))
        .collect()
}

/// The value that a share `part` of all reach at most; never reached counts as the largest. None: not reached by so many.
pub fn percentile(times: impl Iterator<Item = Option<u32>>, part: f64) -> Option<u32> {
    let mut times: Vec<u32> = times.map(|t| t.unwrap_or(u32::MAX)).collect();
    times.sort_unstable();
    let place = ((times.len() as f64 * part).ceil() as usize).clamp(1, times.len());
    Some(times[place - 1]).filter(|&t| t != u32::MAX)
}

/// Share for which `event` is true.
pub fn rate(courses: &[Course], event: impl Fn(&Course) -> bool) -> f64 {
    courses.iter().filter(|c| event(c)).count() as f64 / courses.len() as f64
}
