//! An interval for a mean of shares that may be looked at after every tree.
//!
//! It is the union of two parts, cut to [0, 1].
//!
//! - **Part A**, a Student-t confidence sequence: a normal mixture over the effect size with the right-Haar prior on
//!   the scale. Lai, "On confidence sequences", Annals of Statistics 4 (1976); Gönen, Johnson, Lu and Westfall, "The
//!   Bayesian two-sample t test", The American Statistician 59 (2005), for the Bayes factor; Wang and Ramdas,
//!   "Anytime-valid t-tests and confidence sequences for Gaussian means with unknown variance".
//! - **Part B**, a score (Wilson-type) floor: shares near 0 or 1 are skewed, and trees that are all equal have no
//!   variance at all, so the variance that the candidate mean itself implies is used too.
//!
//! Of a pruner's four ages, B is floored by the spread that they have in common ([`super::COMMON_SPREAD`]): a few trees that
//! happen to look alike in one age are not believed where the other ages differ.
//!
//! Part A is exactly valid at any look for Gaussian values only. For shares the validity of the union rests on
//! simulation (`tests/simulation.rs` and `benches/simulation.rs`), to 100 trees.

use schemars::JsonSchema;
use serde::Serialize;

/// Scale of the mixture over effect sizes (in standard deviations between trees); the width is flat between 0.7 and 1.5.
pub const TAU: f64 = 1.0;
/// Error rate of the interval that light, heavy and leaning rest on: one-sided 1 % for each of five metrics.
pub const ALPHA_FLAG: f64 = 0.02;
/// Error rate of the interval that in balance rests on.
pub const ALPHA_BALANCE: f64 = 0.10;
/// Error rate of a block's interval.
pub const ALPHA_BLOCK: f64 = 0.05;

/// A closed interval within [0, 1].
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct Interval {
    /// Lower end.
    pub lo: f64,
    /// Upper end.
    pub hi: f64,
}

impl Interval {
    /// The whole range: nothing is known.
    pub const fn whole() -> Self {
        Self { lo: 0.0, hi: 1.0 }
    }

    /// Whether `value` lies in the interval.
    pub fn contains(&self, value: f64) -> bool {
        self.lo <= value && value <= self.hi
    }

    /// Whether the interval lies wholly inside [lo, hi].
    pub fn inside(&self, lo: f64, hi: f64) -> bool {
        self.lo >= lo && self.hi <= hi
    }

    /// Whether the two intervals share no value: only then may two means be called different.
    pub fn apart(&self, other: &Interval) -> bool {
        self.hi < other.lo || other.hi < self.lo
    }

    /// Length, 0 to 1.
    pub fn width(&self) -> f64 {
        self.hi - self.lo
    }
}

/// Logarithm of the Bayes factor against "the mean is mu", for t = (x - mu) sqrt(`n_eff`) / s with `nu` degrees of
/// freedom: the mixture of part A. Only the tests need it; [`multiplier`] is its inverse in t.
///
/// With r = 1 + `n_eff` τ²: -½ ln r + ½ (ν + 1) (ln(1 + t²/ν) - ln(1 + t²/(ν r))). `nu` above 0. The sources stand at the
/// head of this file.
pub fn log_bayes_factor(n_eff: f64, nu: f64, t: f64) -> f64 {
    let r = 1.0 + n_eff * TAU * TAU;
    let tt = t * t;
    -0.5 * r.ln() + 0.5 * (nu + 1.0) * ((tt / nu).ln_1p() - (tt / (nu * r)).ln_1p())
}

/// Half width of part A in standard errors s / sqrt(`n_eff`), at error rate `alpha`, with `nu` degrees of freedom.
/// A pruner: `n_eff` = n and `nu` = n - 1. None: unbounded, that is the whole [0, 1]; so it is with `nu` below 1.
///
/// The t at which [`log_bayes_factor`] is -ln `alpha`: √(ν (e^q - 1) / (1 - e^(q - r))), with r = ln(1 + `n_eff` τ²) and
/// q = (r - 2 ln `alpha`) / (ν + 1); unbounded where q reaches r.
pub fn multiplier(n_eff: f64, nu: f64, alpha: f64) -> Option<f64> {
    let possible = n_eff > 0.0 && nu >= 1.0 && alpha > 0.0 && alpha < 1.0;
    if !possible {
        return None;
    }
    let lr = (n_eff * TAU * TAU).ln_1p();
    let lq = (-2.0 * alpha.ln() + lr) / (nu + 1.0);
    if lq >= lr {
        return None;
    }
    let m = (nu * lq.exp_m1() / -(lq - lr).exp_m1()).sqrt();
    m.is_finite().then_some(m)
}

/// The interval at any look: the union of part A and part B, cut to [0, 1].
///
/// With w = [`multiplier`] / √`n_eff`, part A is the mean ± w √(s² + extra); part B is all μ with
/// |mean - μ| <= w √(b μ (1 - μ) + extra), Wilson's form (1927; Journal of the American Statistical Association
/// 22:209-212, from memory) with a part added for what was not seen.
///
/// `mean` in [0, 1]; `s`: standard deviation between trees; `n_eff`, `nu`: see [`multiplier`]; `b`: see
/// [`super::Sums::score_b`]; `extra`: variance to add for strata without counts, on the scale of one tree (0 for a
/// pruner).
pub fn interval(
    mean: f64,
    s: f64,
    n_eff: f64,
    nu: f64,
    b: f64,
    alpha: f64,
    extra: f64,
) -> Interval {
    let Some(multiple) = multiplier(n_eff, nu, alpha) else {
        return Interval::whole();
    };
    let w = multiple / n_eff.sqrt();
    let half = w * (s * s + extra).max(0.0).sqrt();
    // |mean - mu| <= w sqrt(B mu (1 - mu) + E), solved for mu
    let a = w * w * b;
    let centre = mean + a / 2.0;
    let radicand = a * mean * (1.0 - mean) + a * a / 4.0 + (1.0 + a) * w * w * extra;
    let root = radicand.max(0.0).sqrt();
    let lo = (mean - half).min((centre - root) / (1.0 + a));
    let hi = (mean + half).max((centre + root) / (1.0 + a));
    if lo.is_nan() || hi.is_nan() {
        return Interval::whole();
    }
    Interval {
        lo: lo.clamp(0.0, 1.0),
        hi: hi.clamp(0.0, 1.0),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn flags_are_possible_from_six_trees() {
        assert_eq!(multiplier(5.0, 4.0, ALPHA_FLAG), None);
        assert!(multiplier(6.0, 5.0, ALPHA_FLAG).is_some());
        assert_eq!(
            interval(0.0, 0.01, 5.0, 4.0, 0.05, ALPHA_FLAG, 0.0),
            Interval::whole()
        );
    }

    #[test]
    fn no_degrees_of_freedom_is_the_whole_range() {
        assert_eq!(multiplier(30.0, 0.0, 0.05), None);
        assert_eq!(multiplier(0.0, 5.0, 0.05), None);
        assert_eq!(multiplier(f64::NAN, 5.0, 0.05), None);
    }

    #[test]
    fn the_multiplier_is_where_the_bayes_factor_reaches_its_bound() {
        for (n, alpha) in [(8.0, 0.1), (30.0, 0.02), (200.0, 0.05)] {
            let m = multiplier(n, n - 1.0, alpha).unwrap();
            assert!((log_bayes_factor(n, n - 1.0, m) + f64::ln(alpha)).abs() < 1e-10);
        }
    }

    #[test]
    fn apart_means_no_shared_value() {
        let (a, b) = (Interval { lo: 0.1, hi: 0.2 }, Interval { lo: 0.3, hi: 0.4 });
        assert!(a.apart(&b) && b.apart(&a));
        assert!(!a.apart(&Interval { lo: 0.2, hi: 0.5 }));
    }

    proptest! {
        #[test]
        fn holds_its_mean_and_stays_in_range(
            mean in 0.0f64..=1.0, s in 0.0f64..0.6, n in 1u32..300, b in 0.0f64..1.0,
            alpha in 0.001f64..0.5, extra in 0.0f64..2.0,
        ) {
            let n = f64::from(n);
            let found = interval(mean, s, n, n - 1.0, b, alpha, extra);
            prop_assert!(0.0 <= found.lo && found.hi <= 1.0);
            prop_assert!(found.contains(mean), "{found:?} without {mean}");
        }

        #[test]
        fn more_trees_never_widen_it(
            mean in 0.0f64..=1.0, s in 0.0f64..0.6, n in 2u32..300, b in 0.0f64..1.0,
            alpha in 0.001f64..0.5, extra in 0.0f64..1.0,
        ) {
            let at = |n: u32| {
                let n = f64::from(n);
                interval(mean, s, n, n - 1.0, b, alpha, extra)
            };
            let (few, more) = (at(n), at(n + 1));
            prop_assert!(few.lo <= more.lo + 1e-12 && more.hi <= few.hi + 1e-12);
        }

        #[test]
        fn a_smaller_error_rate_never_narrows_it(
            mean in 0.0f64..=1.0, s in 0.0f64..0.6, n in 2u32..300, b in 0.0f64..1.0,
        ) {
            let n = f64::from(n);
            let strict = interval(mean, s, n, n - 1.0, b, ALPHA_FLAG, 0.0);
            let loose = interval(mean, s, n, n - 1.0, b, ALPHA_BALANCE, 0.0);
            prop_assert!(strict.lo <= loose.lo && loose.hi <= strict.hi);
        }

        #[test]
        fn any_numbers_at_all_do_no_harm(
            mean in any::<f64>(), s in any::<f64>(), n in any::<f64>(), nu in any::<f64>(),
            b in any::<f64>(), alpha in any::<f64>(), extra in any::<f64>(),
        ) {
            let found = interval(mean, s, n, nu, b, alpha, extra);
            prop_assert!(0.0 <= found.lo && found.lo <= found.hi && found.hi <= 1.0);
        }
    }
}
