//! Several strata together: a block (strata are its pruners) or a pruner over several blocks.
//!
//! The stratified mean is Cochran's (Sampling Techniques, 1977, ch. 5). Spread is pooled over the strata: with
//! separate variances and Satterthwaite's degrees of freedom the interval is missed far too often when it is looked
//! at after every tree.

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
    /// Degrees of freedom: counted trees less strata with counts.
    pub nu: f64,
    /// Pooled standard deviation between trees of a stratum.
    pub s: f64,
    /// Share of the trees that stand in strata without counts.
    pub unsampled: f64,
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
        nu: f64::from(seen.n - seen.strata),
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

/// Pools the strata that have counts; none where no stratum has.
fn pool(strata: &[Stratum], metric: Metric) -> Option<Evidence> {
    let seen: Vec<&Stratum> = strata.iter().filter(|h| h.sums.n() > 0).collect();
    if seen.is_empty() {
        return None;
    }
    let all: f64 = seen.iter().map(|h| h.trees()).sum();
    let (mut mean, mut inverse, mut squares, mut inv_m, mut n) = (0.0, 0.0, 0.0, 0.0, 0);
    for h in &seen {
        let weight = h.trees() / all;
        mean += weight * h.sums.mean()?;
        inverse += weight * weight / f64::from(h.sums.n());
        squares += h.sums.squares();
        inv_m += h.sums.sum_inv_m();
        n += h.sums.n();
    }
    let count = u32::try_from(seen.len()).unwrap_or(u32::MAX);
    let nu = n.saturating_sub(count);
    let variance = if nu > 0 { squares / f64::from(nu) } else { 0.0 };
    let rho = metric.rho();
    Some(Evidence {
        mean: mean.clamp(0.0, 1.0),
        s: variance.sqrt(),
        b: rho + (1.0 - rho) * inv_m / f64::from(n),
        n,
        n_eff: 1.0 / inverse,
        strata: count,
        unseen: unseen_variance(&seen, variance, unsampled(strata)),
    })
}

/// Variance of the mean by strata without counts: `W_0²` `s_b²` (1 + 1/H), with `s_b²` the variance between strata,
/// at least [`MIN_BETWEEN_SD`] squared (and just that where only one stratum has counts).
fn unseen_variance(seen: &[&Stratum], pooled: f64, unsampled: f64) -> f64 {
    if unsampled <= 0.0 {
        return 0.0;
    }
    let mut means = Spread::default();
    let mut noise = 0.0;
    for h in seen {
        means.add(h.sums.mean().unwrap_or(0.0));
        noise += pooled / f64::from(h.sums.n());
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
