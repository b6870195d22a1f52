//! How far two counts of the same tree agree.
//!
//! Bland and Altman, "Statistical methods for assessing agreement between two methods of clinical measurement", Lancet
//! 327 (1986) 307-310, and "Measuring agreement in method comparison studies", Statistical Methods in Medical Research
//! 8 (1999) 135-160. The intervals hold with 95 % for one look at a number of pairs that was fixed before: no verdict
//! rests on them. They take the differences to be about normal and of the same size on small and large trees.

use schemars::JsonSchema;
use serde::Serialize;

use super::agreement::{LEVEL, MeanSquares, Ranged};
use super::quantile::t_half_width;

/// With fewer pairs nothing is said.
pub const MIN_PAIRS: usize = 5;
/// Standard deviations from the mean within which 95 % of a normal distribution lie.
pub const LIMITS_SD: f64 = 1.959_963_984_540_054;
/// Share of the spread that is the counter's above which a caution is due: an ICC below 0.75 is called less than good
/// in Koo and Li, "A guideline of selecting and reporting intraclass correlation coefficients for reliability
/// research", Journal of Chiropractic Medicine 15 (2016) 155-163 (as quoted in the manual of the R package effectsize).
/// A line drawn for other trades; no better one is known for trees.
pub const LARGE_COUNTER_SHARE: f64 = 0.25;

/// Who made the two counts of each pair, as far as it bears on the figures.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Pairing {
    /// Anybody: ICC(1,1).
    Unordered,
    /// All first values by one counter, all second ones by another: ICC(2,1), absolute agreement.
    TwoCounters,
}

/// How far pairs of counts agree, for one figure. In the figure's own unit, but for `icc` and `counter_share`.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct Repeat {
    /// Pairs.
    pub pairs: u32,
    /// Mean of all values.
    pub mean: f64,
    /// Mean of the differences, second less first.
    pub bias: Ranged,
    /// Standard deviation of the differences.
    pub sd_difference: f64,
    /// Standard deviation of counts of the same tree, √(Σd²/2n); a steady difference is part of it.
    pub within_sd: f64,
    /// Repeatability coefficient, 1.96 √2 × `within_sd`: 95 % of two counts of a tree differ by no more.
    pub repeatability: f64,
    /// Lower 95 % limit of agreement, mean difference less 1.96 standard deviations.
    pub limit_lo: Ranged,
    /// Upper 95 % limit of agreement.
    pub limit_hi: Ranged,
    /// Intraclass correlation; none where all counts are the same. Below 0 is taken as 0 by chance.
    pub icc: Option<Ranged>,
    /// 1 - ICC, held within 0 to 1: the share of the spread between counted trees that is the counter's.
    pub counter_share: Option<Ranged>,
}

impl Repeat {
    /// Compares pairs of (first, second); none with fewer than [`MIN_PAIRS`].
    pub fn of(pairs: &[[f64; 2]], pairing: Pairing) -> Option<Self> {
        if pairs.len() < MIN_PAIRS {
            return None;
        }
        let squares = MeanSquares::of(pairs)?;
        let n = pairs.len() as f64;
        let bias = pairs.iter().map(|[a, b]| b - a).sum::<f64>() / n;
        // of two columns the error mean square is half the variance of the differences
        let sd = (2.0 * squares.error).sqrt();
        let t = t_half_width(LEVEL, n - 1.0);
        let around = |value: f64, error: f64| Ranged {
            value,
            lo: value - t * error,
            hi: value + t * error,
        };
        let limit_error = sd * (1.0 / n + LIMITS_SD.powi(2) / (2.0 * (n - 1.0))).sqrt();
        let within_sd = squares.within.sqrt();
        let icc = match pairing {
            Pairing::Unordered => squares.one_way(),
            Pairing::TwoCounters => squares.two_way(),
        };
        Some(Self {
            pairs: pairs.len() as u32,
            mean: pairs.iter().flatten().sum::<f64>() / (2.0 * n),
            bias: around(bias, sd / n.sqrt()),
            sd_difference: sd,
            within_sd,
            repeatability: LIMITS_SD * std::f64::consts::SQRT_2 * within_sd,
            limit_lo: around(bias - LIMITS_SD * sd, limit_error),
            limit_hi: around(bias + LIMITS_SD * sd, limit_error),
            icc,
            counter_share: icc.map(counter_share),
        })
    }

    /// Whether a caution is due: more than [`LARGE_COUNTER_SHARE`] of the spread seems to be the counter's.
    pub fn is_large(&self) -> bool {
        self.counter_share
            .is_some_and(|share| share.value > LARGE_COUNTER_SHARE)
    }
}

fn counter_share(icc: Ranged) -> Ranged {
    let rest = |icc: f64| (1.0 - icc).clamp(0.0, 1.0);
    Ranged {
        value: rest(icc.value),
        lo: rest(icc.hi),
        hi: rest(icc.lo),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn many() -> impl Strategy<Value = Vec<[f64; 2]>> {
        prop::collection::vec([-50.0f64..50.0, -50.0f64..50.0], MIN_PAIRS..40)
    }

    fn near(a: f64, b: f64) -> bool {
        (a - b).abs() < 1e-8 * (1.0 + a.abs())
    }

    const BOTH: [Pairing; 2] = [Pairing::Unordered, Pairing::TwoCounters];

    #[test]
    fn few_pairs_say_nothing() {
        for pairing in BOTH {
            assert_eq!(
                Repeat::of(&[[1.0, 2.0], [3.0, 3.0], [2.0, 5.0], [7.0, 7.0]], pairing),
                None
            );
            assert_eq!(Repeat::of(&[], pairing), None);
        }
    }

    #[test]
    fn counts_that_never_differ_have_no_correlation() {
        for pairing in BOTH {
            let same = Repeat::of(&[[0.1, 0.1]; 7], pairing).unwrap();
            assert_eq!((same.icc, same.counter_share), (None, None));
            assert_eq!(
                (same.bias.value, same.sd_difference, same.repeatability),
                (0.0, 0.0, 0.0)
            );
            assert!(!same.is_large());
        }
    }

    /// The second counter always sees two pieces more: no spread in the differences, and a bias that is exact.
    #[test]
    fn a_steady_difference_is_all_bias() {
        let pairs: Vec<[f64; 2]> = (0..8).map(|i| [f64::from(i), f64::from(i) + 2.0]).collect();
        let found = Repeat::of(&pairs, Pairing::TwoCounters).unwrap();
        assert_eq!(
            (found.bias.value, found.bias.lo, found.bias.hi),
            (2.0, 2.0, 2.0)
        );
        assert!(found.sd_difference.abs() < f64::EPSILON);
        let icc = found.icc.unwrap();
        // BMS = 2 x 6, JMS = 8 x 2² / 2 = 16, EMS = 0: 12 / (12 + 2 x 16 / 8)
        assert!(near(icc.value, 0.75));
        assert!(icc.lo < 0.75 && icc.hi > 0.75 && icc.hi <= 1.0);
    }

    proptest! {
        #[test]
        fn swapping_who_was_first_flips_the_bias_and_nothing_else(pairs in many()) {
            let swapped: Vec<_> = pairs.iter().map(|[a, b]| [*b, *a]).collect();
            for pairing in BOTH {
                let (one, other) = (Repeat::of(&pairs, pairing).unwrap(), Repeat::of(&swapped, pairing).unwrap());
                prop_assert!(near(one.bias.value, -other.bias.value));
                prop_assert!(near(one.bias.lo, -other.bias.hi));
                prop_assert!(near(one.limit_lo.value, -other.limit_hi.value));
                prop_assert!(near(one.limit_hi.hi, -other.limit_lo.lo));
                prop_assert!(near(one.sd_difference, other.sd_difference));
                prop_assert!(near(one.repeatability, other.repeatability));
                let (a, b) = (one.icc.unwrap(), other.icc.unwrap());
                prop_assert!(near(a.value, b.value) && near(a.lo, b.lo) && near(a.hi, b.hi));
            }
        }

        #[test]
        fn the_same_counts_twice_agree_wholly(values in prop::collection::vec(-50.0f64..50.0, MIN_PAIRS..40)) {
            let pairs: Vec<_> = values.iter().map(|value| [*value, *value]).collect();
            for pairing in BOTH {
                let found = Repeat::of(&pairs, pairing).unwrap();
                prop_assert_eq!(found.bias, Ranged { value: 0.0, lo: 0.0, hi: 0.0 });
                prop_assert_eq!((found.within_sd, found.limit_hi.value), (0.0, 0.0));
                prop_assert_eq!(found.icc, Some(Ranged { value: 1.0, lo: 1.0, hi: 1.0 }));
                prop_assert_eq!(found.counter_share.map(|share| share.value), Some(0.0));
            }
        }

        #[test]
        fn intervals_hold_their_figure(pairs in many()) {
            for pairing in BOTH {
                let found = Repeat::of(&pairs, pairing).unwrap();
                let held = |r: Ranged| r.lo <= r.value + 1e-9 && r.value <= r.hi + 1e-9;
                prop_assert!(held(found.bias) && held(found.limit_lo) && held(found.limit_hi));
                prop_assert!(held(found.icc.unwrap()), "{:?}", found.icc);
                let share = found.counter_share.unwrap();
                prop_assert!(held(share) && 0.0 <= share.lo && share.hi <= 1.0);
            }
        }

        /// Another unit (percent for shares, say) changes no correlation.
        #[test]
        fn units_do_not_matter(pairs in many(), scale in 0.01f64..100.0) {
            let scaled: Vec<_> = pairs.iter().map(|[a, b]| [a * scale, b * scale]).collect();
            for pairing in BOTH {
                let (one, other) = (Repeat::of(&pairs, pairing).unwrap(), Repeat::of(&scaled, pairing).unwrap());
                prop_assert!(near(one.bias.value * scale, other.bias.value));
                prop_assert!((one.icc.unwrap().value - other.icc.unwrap().value).abs() < 1e-9);
            }
        }
    }
}
