//! Several strata together: a block (strata are its pruners) or a pruner over several blocks.
//!
//! The stratified mean is Cochran's (Sampling Techniques, 1977, ch. 5). Each stratum's spread is its own, drawn up to what
//! all have in common where it is smaller: pooled alone, or with Satterthwaite's degrees of freedom alone, the interval is
//! missed far too often when it is looked at after every tree and strata differ in weight and spread.
//!
//! Within a stratum trees weigh by **batch**: what was pruned on one day. A day that was looked at much, because
//! somebody was suspected or few trees were pruned, would else stand for more than its trees ([`by_batch`]).

use super::evidence::{Alphas, Evidence, Forecast};
use super::judgement::{Judgement, assemble};
use super::{ALPHA_BLOCK, Band, Interval, Metric, Sample, Sums, Verdict};
use serde::Serialize;

/// Above this share of trees in strata without counts there is no verdict.
pub const MAX_UNSAMPLED: f64 = 0.20;
/// Least standard deviation that is taken for granted between strata, where one of them has no counts.
pub const MIN_BETWEEN_SD: f64 = 0.05;

/// One stratum: a pruner within a block.
#[derive(Debug, Clone, Copy)]
pub struct Stratum<'a> {
    /// Trees pruned, from the work log. Where more were counted than were logged, the counted ones are taken.
    pub pruned: u32,
    /// Running sums of the metric over the counted trees.
    pub sums: &'a Sums,
}

impl Stratum<'_> {
    fn trees(&self) -> f64 {
        f64::from(self.pruned.max(self.sums.n()))
    }
}

/// A stratified estimate of one metric.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Estimate {
    /// Stratified mean, in [0, 1]; none without counts.
    pub mean: Option<f64>,
    /// Interval valid at any look.
    pub interval: Interval,
    /// Counted trees with a value.
    pub n: u32,
    /// Effective number of trees, 1 / Σ(W² / n).
    pub n_eff: f64,
    /// Degrees of freedom.
    pub nu: f64,
    /// Standard deviation between trees of a stratum.
    pub s: f64,
    /// Share of the trees that stand in strata without counts.
    pub unsampled: f64,
}

/// The counts of one stratum by batch: (trees pruned, counts) by day, in order. Each counted tree stands for as many as were
/// pruned in its batch for each one counted. A day without a counted tree goes with the next that has one, at the end
/// with the one before. Holds for any draw that is by lot within a day, however many looks the day got, and why.
pub fn by_batch(days: &[(u32, Sample)], target: [f64; 4]) -> Sample {
    let mut batches: Vec<(f64, &Sample)> = Vec::new();
    let mut trees = 0.0;
    for (pruned, counted) in days {
        trees += f64::from(*pruned.max(&counted.trees()));
        if counted.trees() > 0 {
            batches.push((std::mem::take(&mut trees), counted));
        }
    }
    if let Some((last, _)) = batches.last_mut() {
        *last += trees;
    }
    let all: f64 = batches.iter().map(|(trees, _)| trees).sum();
    let counted: u32 = batches.iter().map(|(_, sample)| sample.trees()).sum();
    let mut joined = Sample::new(target);
    for (trees, sample) in batches {
        // 1 on average, so that even weights are what they were without
        let weight = trees / f64::from(sample.trees()) * f64::from(counted) / all;
        joined.join(sample, weight);
    }
    joined
}

/// Estimates one metric over strata, with an interval at error rate `alpha`.
pub fn stratified(strata: &[Stratum], metric: Metric, alpha: f64) -> Estimate {
    let unsampled = unsampled(strata);
    let Some(seen) = pool(strata, metric) else {
        return Estimate {
            mean: None,
            interval: Interval::whole(),
            n: 0,
            n_eff: 0.0,
            nu: 0.0,
            s: 0.0,
            unsampled,
        };
    };
    Estimate {
        mean: Some(seen.mean),
        interval: seen.interval(alpha),
        n: seen.n,
        n_eff: seen.n_eff,
        nu: seen.nu,
        s: seen.s,
        unsampled,
    }
}

/// Judges a pruner over several blocks: (trees pruned, counts) by block, at the error rates of a pruner in one block.
/// A metric of which more than [`MAX_UNSAMPLED`] of the trees stand in blocks without counts gets no verdict.
/// One block alone gives what [`super::judge`] gives.
pub fn judge_strata(strata: &[(u32, &Sample)], bands: &[Band; 5]) -> Judgement {
    judge_at(strata, bands, Alphas::PRUNER)
}

/// Judges a block: (trees pruned, counts) by pruner, with one interval at [`ALPHA_BLOCK`] for every verdict.
/// A metric of which more than [`MAX_UNSAMPLED`] of the trees were pruned by people without counts gets no verdict.
pub fn judge_block(strata: &[(u32, &Sample)], bands: &[Band; 5]) -> Judgement {
    judge_at(
        strata,
        bands,
        Alphas {
            flag: ALPHA_BLOCK,
            balance: ALPHA_BLOCK,
            early: false,
        },
    )
}

fn judge_at(strata: &[(u32, &Sample)], bands: &[Band; 5], alphas: Alphas) -> Judgement {
    let of = |metric: Metric| -> Vec<Stratum> {
        (strata.iter())
            .map(|&(pruned, sample)| Stratum {
                pruned,
                sums: sample.metric(metric),
            })
            .filter(|h| h.trees() > 0.0)
            .collect()
    };
    let strata = Metric::ALL.map(of);
    let seen = Metric::ALL.map(|metric| match strata[metric.index()].as_slice() {
        [only] => Evidence::of(metric, only.sums),
        several => pool(several, metric),
    });
    assemble(bands, seen, alphas, |metric, (mut judged, mut forecast)| {
        judged.unsampled = unsampled(&strata[metric.index()]);
        // without any count there are no others: nobody at all was looked at
        if judged.n > 0 && judged.unsampled > MAX_UNSAMPLED + 1e-9 {
            forecast = Forecast::NotLookedAt;
            judged.verdict = Verdict::KeepCounting;
            judged.more = forecast.more();
        }
        (judged, forecast)
    })
}

/// Share of the trees, 0 to 1, that stand in strata without counts; 0 without trees. A stratum has the trees that were
/// pruned in it, or those counted where these are more.
pub fn unsampled(strata: &[Stratum]) -> f64 {
    let all: f64 = strata.iter().map(Stratum::trees).sum();
    if all <= 0.0 {
        return 0.0;
    }
    // from a plain zero: the sum of nothing is -0, which files would show
    let unseen = strata
        .iter()
        .filter(|h| h.sums.n() == 0)
        .map(Stratum::trees)
        .fold(0.0, |sum, trees| sum + trees);
    unseen / all
}

/// With fewer trees than this a stratum has no spread of its own: the largest that is known is taken.
const OWN_SPREAD: u32 = 4;
/// Degrees of freedom that the spread of all lends to each.
const LENT: f64 = 2.0;
/// Part of the degrees of freedom of several strata that is used. By simulation, as the two above.
const USED: f64 = 0.8;

/// Puts together the strata that have counts; none where no stratum has.
///
/// A stratum's spread that is smaller than what all have in common is drawn up towards it; a larger one stays. Degrees of
/// freedom are the lesser of Satterthwaite's and of those that weights and counts alone allow: his are fooled where a
/// heavy stratum looks calm by chance.
fn pool(strata: &[Stratum], metric: Metric) -> Option<Evidence> {
    let seen: Vec<&Stratum> = strata.iter().filter(|h| h.sums.n() > 0).collect();
    let trees: f64 = seen.iter().map(|h| h.trees()).sum();
    let weights: Vec<f64> = seen.iter().map(|h| h.trees() / trees).collect();
    let of_mean: Vec<f64> = (seen.iter().zip(&weights))
        .map(|(h, weight)| weight * weight * h.sums.of_mean())
        .collect();
    let all: f64 = of_mean.iter().sum();
    let means = seen.iter().zip(&weights);
    let mean: f64 = means
        .map(|(h, weight)| weight * h.sums.mean().unwrap_or(0.0))
        .sum();
    let inv_m = seen.iter().zip(&of_mean);
    let inv_m = inv_m.map(|(h, a)| a * h.sums.mean_inv_m()).sum::<f64>() / all;
    let rho = metric.rho();
    let (variance, nu) = match seen.as_slice() {
        [] => return None,
        [only] => (only.sums.sd_floored().powi(2), only.sums.degrees()),
        _ if seen.iter().any(|h| h.sums.n() >= OWN_SPREAD) => several(&seen, &of_mean),
        _ => as_one(&seen, &weights, mean),
    };
    Some(Evidence {
        mean: mean.clamp(0.0, 1.0),
        s: variance.sqrt(),
        b: rho + (1.0 - rho) * inv_m,
        n: seen.iter().map(|h| h.sums.n()).sum(),
        n_eff: 1.0 / all,
        nu,
        unseen: unseen_variance(&seen, variance, unsampled(strata)),
    })
}

/// Variance between trees and degrees of freedom of strata of which one at least has a spread of its own. `of_mean`: what
/// each adds to the variance of the mean for a spread of 1.
fn several(seen: &[&Stratum], of_mean: &[f64]) -> (f64, f64) {
    let degrees: f64 = seen.iter().map(|h| h.sums.degrees()).sum();
    let squares = seen.iter().map(|h| h.sums.degrees() * h.sums.variance());
    let common = squares.sum::<f64>() / degrees;
    let is_own = |h: &Stratum| h.sums.n() >= OWN_SPREAD;
    let drawn_up = |h: &Stratum| {
        let own = h.sums.variance();
        own + LENT / (h.sums.degrees() + LENT) * (common - own).max(0.0)
    };
    let largest = (seen.iter().filter(|h| is_own(h)))
        .map(|h| drawn_up(h))
        .fold(0.0, f64::max);
    let (mut weights, mut by_degrees) = (0.0, 0.0);
    let (mut variances, mut variances_by_degrees) = (0.0, 0.0);
    for (h, a) in seen.iter().zip(of_mean) {
        let spread = if is_own(h) {
            drawn_up(h)
        } else {
            h.sums.variance().max(largest)
        };
        let degrees = h.sums.degrees().max(1.0);
        let variance = a * spread;
        weights += a;
        by_degrees += a * a / degrees;
        variances += variance;
        variances_by_degrees += variance * variance / degrees;
    }
    let satterthwaite = variances * variances / variances_by_degrees.max(f64::MIN_POSITIVE);
    let allowed = weights * weights / by_degrees;
    (variances / weights, USED * allowed.min(satterthwaite))
}

/// The same of strata of few trees each: all as one, about their common mean.
fn as_one(seen: &[&Stratum], weights: &[f64], mean: f64) -> (f64, f64) {
    let (mut second, mut third, mut fourth, mut squares) = (0.0, 0.0, 0.0, 0.0);
    for (h, weight) in seen.iter().zip(weights) {
        let square = weight * weight;
        let (cubes, fourths) = h.sums.higher_powers();
        second += square * h.sums.of_mean();
        third += square * weight * cubes;
        fourth += square * square * fourths;
        squares += square * h.sums.squares_about(mean);
    }
    let trees = second - 2.0 * third + second * second;
    let variance = if trees > 1e-12 { squares / trees } else { 0.0 };
    let degrees = (second * second / fourth - 1.0).max(0.0);
    (variance, USED * degrees)
}

/// Variance of the mean by strata without counts: `W_0²` `s_b²` (1 + 1/H), with `s_b²` the variance between strata,
/// at least [`MIN_BETWEEN_SD`] squared (and just that where only one stratum has counts).
fn unseen_variance(seen: &[&Stratum], spread: f64, unsampled: f64) -> f64 {
    if unsampled <= 0.0 {
        return 0.0;
    }
    let mut means = Spread::default();
    let mut noise = 0.0;
    for h in seen {
        means.add(h.sums.mean().unwrap_or(0.0));
        noise += spread * h.sums.of_mean();
    }
    let count = seen.len() as f64;
    let between = means.variance() - noise / count;
    unsampled * unsampled * between.max(MIN_BETWEEN_SD * MIN_BETWEEN_SD) * (1.0 + 1.0 / count)
}

/// Mean and variance of plain values (Welford).
#[derive(Default)]
struct Spread {
    n: f64,
    mean: f64,
    squares: f64,
}

impl Spread {
    fn add(&mut self, x: f64) {
        self.n += 1.0;
        let d = x - self.mean;
        self.mean += d / self.n;
        self.squares += d * (x - self.mean);
    }

    fn variance(&self) -> f64 {
        if self.n < 2.0 {
            0.0
        } else {
            self.squares / (self.n - 1.0)
        }
    }
}

#[cfg(test)]
#[path = "strata_tests.rs"]
mod tests;
