//! What has been seen of one metric, and a forecast of how many more trees a verdict would take.

use super::verdict::MIN_BALANCE_TREES;
use super::{ALPHA_BALANCE, ALPHA_FLAG, Band, BandKind, Interval, Metric, Sums, interval};
use schemars::JsonSchema;
use serde::Serialize;

/// The forecast is searched up to this many trees in all, and always over the next 60.
pub const FORECAST_CAP: u32 = 200;
/// Fewest trees from which a forecast is made: the spread between fewer says too little.
pub const MIN_FORECAST_TREES: u32 = 5;
/// Beyond this many more trees it is too close to call.
const FAR: u32 = 60;

/// How many more trees a verdict would take: a forecast, to be shown with "about".
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum More {
    /// None: there is a verdict.
    Settled,
    /// About this many: 5, 10, 20, 40 or 60.
    About(u16),
    /// More than 60: too close to call yet.
    TooClose,
    /// Too few trees for a forecast.
    Unknown,
    /// Over 20 % of the trees stand in strata without counts: other people's trees, not more of the same, are missing.
    NotLookedAt,
}

impl More {
    /// Coarse on purpose: the forecast is within a factor of two at best. The steps part at their geometric means.
    pub(super) fn about(trees: u32) -> Self {
        match trees {
            0..=7 => More::About(5),
            8..=14 => More::About(10),
            15..=28 => More::About(20),
            29..=49 => More::About(40),
            50..=FAR => More::About(60),
            _ => More::TooClose,
        }
    }
}

/// The error rates that a verdict rests on.
#[derive(Debug, Clone, Copy)]
pub(super) struct Alphas {
    pub flag: f64,
    pub balance: f64,
    /// Whether an early word is given too: it was simulated for a person's work alone.
    pub early: bool,
}

impl Alphas {
    /// For a person's work.
    pub const PRUNER: Alphas = Alphas {
        flag: ALPHA_FLAG,
        balance: ALPHA_BALANCE,
        early: true,
    };
}

/// More trees until each kind of verdict, if within the search.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Forecast {
    TooFew,
    /// No verdict, however many trees are counted, while so many stand in strata without counts.
    NotLookedAt,
    Trees {
        flag: Option<u32>,
        leaning: Option<u32>,
        balance: Option<u32>,
    },
}

impl Forecast {
    /// The sooner of the two.
    pub fn more(self) -> More {
        match self {
            Forecast::TooFew => More::Unknown,
            Forecast::NotLookedAt => More::NotLookedAt,
            Forecast::Trees { flag, balance, .. } => flag
                .into_iter()
                .chain(balance)
                .min()
                .map_or(More::TooClose, More::about),
        }
    }
}

/// Trees in all at which one metric of a pruner would be light or heavy, and in balance: the exact numbers behind
/// [`More`], as far as they are searched ([`FORECAST_CAP`]). None for both with fewer than [`MIN_FORECAST_TREES`].
pub fn trees_to_verdict(metric: Metric, sums: &Sums, band: &Band) -> (Option<u32>, Option<u32>) {
    let forecast = Evidence::of(metric, sums).map(|seen| seen.forecast(band, Alphas::PRUNER));
    match forecast {
        Some(Forecast::Trees { flag, balance, .. }) => {
            let all = |more: u32| sums.n() + more;
            (flag.map(all), balance.map(all))
        }
        Some(Forecast::TooFew | Forecast::NotLookedAt) | None => (None, None),
    }
}

/// How much of the spread that a person's ages have in common is taken for granted in each of them. All of it would cost
/// an ordinary pruner trees, for the spread that belongs to a band's edge is wider than that about the estimate (by
/// 0.233 x 0.767 / (0.15 x 0.85) = 1.4 for one-year wood of 0.15): 0.7 costs none. By simulation, `benches/simulation/tried.md`.
pub const COMMON_SPREAD: f64 = 0.7;

/// Floors B of each age by what the four ages tell together of how much this person's trees differ.
///
/// With D = Σ s² / Σ x(1 - x) over the ages, at most 1: B >= [`COMMON_SPREAD`] D. The spread of one age alone is badly known
/// from a few trees, and where it comes out small by chance an innocent whose trees differ much is blamed. It can only widen
/// the interval.
pub(super) fn floor_by_common_spread(seen: &mut [Option<Evidence>; 5]) {
    let (ages, _) = seen.split_at_mut(Metric::AGES.len());
    let sum = |of: fn(&Evidence) -> f64| ages.iter().flatten().map(of).sum::<f64>();
    let (squares, possible) = (
        sum(|age| age.s * age.s),
        sum(|age| age.mean * (1.0 - age.mean)),
    );
    if possible <= 0.0 {
        return;
    }
    let least = COMMON_SPREAD * (squares / possible).min(1.0);
    for age in ages.iter_mut().flatten() {
        age.b = age.b.max(least);
    }
}

/// What has been seen of one metric: of a pruner (one stratum) or of several strata.
#[derive(Debug, Clone, Copy)]
pub(super) struct Evidence {
    pub mean: f64,
    pub s: f64,
    pub b: f64,
    pub n: u32,
    /// Effective number of trees, at most about n.
    pub n_eff: f64,
    /// Degrees of freedom: n - 1 for trees of one stratum that weigh alike.
    pub nu: f64,
    /// Variance of the mean by strata without counts.
    pub unseen: f64,
}

impl Evidence {
    /// A pruner's trees in one stratum; none without trees.
    pub fn of(metric: Metric, sums: &Sums) -> Option<Self> {
        Some(Self {
            mean: sums.mean()?,
            s: sums.sd_floored(),
            b: sums.score_b(metric.rho()),
            n: sums.n(),
            n_eff: 1.0 / sums.of_mean(),
            nu: sums.degrees(),
            unseen: 0.0,
        })
    }

    /// The interval now.
    pub fn interval(&self, alpha: f64) -> Interval {
        self.at(self.n, self.mean, alpha)
    }

    /// The interval at `n` trees spread over the strata as now, with spread unchanged and the mean at `mean`.
    fn at(&self, n: u32, mean: f64, alpha: f64) -> Interval {
        let n_eff = self.n_eff * f64::from(n) / f64::from(self.n);
        // each further tree adds to the degrees of freedom what those before it did
        let each = ((self.nu + 1.0) / f64::from(self.n)).min(1.0);
        let nu = self.nu + (f64::from(n) - f64::from(self.n)) * each;
        interval(mean, self.s, n_eff, nu, self.b, alpha, n_eff * self.unseen)
    }

    /// Trees until light or heavy with the mean held, and until in balance with the mean of a kept age drawn toward
    /// its target: holding it there would overstate the wait twofold.
    pub fn forecast(&self, band: &Band, alphas: Alphas) -> Forecast {
        if self.n < MIN_FORECAST_TREES {
            return Forecast::TooFew;
        }
        let flagged = |n| {
            let seen = self.at(n, self.mean, alphas.flag);
            band.is_light(&seen) || band.is_heavy(&seen)
        };
        let held = |n, seen: &Interval| n >= MIN_BALANCE_TREES && band.holds(seen);
        let leans = |n| {
            let seen = self.at(n, self.mean, alphas.flag);
            band.kind == BandKind::Kept && (seen.hi < band.target || seen.lo > band.target)
        };
        Forecast::Trees {
            flag: self.first(flagged),
            leaning: self.first(leans),
            balance: self.until(band, alphas.balance, held),
        }
    }

    /// Trees until an interval is as `wanted` at that many trees, with the mean of a kept age drawn toward its target.
    /// None with too few trees for a forecast.
    pub fn until(
        &self,
        band: &Band,
        alpha: f64,
        wanted: impl Fn(u32, &Interval) -> bool,
    ) -> Option<u32> {
        if self.n < MIN_FORECAST_TREES {
            return None;
        }
        let mean = if band.kind == BandKind::Kept {
            self.drawn_toward(band.target)
        } else {
            self.mean
        };
        self.first(|n| wanted(n, &self.at(n, mean, alpha)))
    }

    /// t + d max(0, 1 - (s²/n)/d²), d = mean - t.
    fn drawn_toward(&self, target: f64) -> f64 {
        let d = self.mean - target;
        if d == 0.0 {
            return target;
        }
        target + d * (1.0 - self.s * self.s / self.n_eff / (d * d)).max(0.0)
    }

    /// Smallest number of further trees with which `reached` is true. More trees never widen the interval, so what is
    /// reached stays reached, and halving finds the first: at 2,000 trees in 7 steps. Not so with strata without
    /// counts, whose part of the variance stays while the multiplier grows: there the search goes tree by tree.
    fn first(&self, reached: impl Fn(u32) -> bool) -> Option<u32> {
        let mut no = self.n;
        let mut yes = FORECAST_CAP.max(self.n.saturating_add(FAR));
        if self.unseen > 0.0 {
            return (no + 1..=yes).find(|&n| reached(n)).map(|n| n - no);
        }
        if !reached(yes) {
            return None;
        }
        while yes - no > 1 {
            let middle = no.midpoint(yes);
            if reached(middle) {
                yes = middle;
            } else {
                no = middle;
            }
        }
        Some(yes - self.n)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn evidence(mean: f64, s: f64, n: u32) -> Evidence {
        Evidence {
            mean,
            s,
            b: 0.056,
            n,
            n_eff: f64::from(n),
            nu: f64::from(n) - 1.0,
            unseen: 0.0,
        }
    }

    #[test]
    fn coarse_steps() {
        let steps = [
            (1, 5),
            (7, 5),
            (8, 10),
            (14, 10),
            (15, 20),
            (28, 20),
            (29, 40),
            (49, 40),
            (50, 60),
            (60, 60),
        ];
        for (trees, shown) in steps {
            assert_eq!(More::about(trees), More::About(shown), "{trees} trees");
        }
        assert_eq!(More::about(61), More::TooClose);
    }

    #[test]
    fn a_mean_on_the_edge_is_too_close_and_few_trees_are_unknown() {
        let band = Band::kept(1.0 / 3.0, 0.10);
        let on_the_edge = evidence(band.lo, 0.12, 40).forecast(&band, Alphas::PRUNER);
        assert_eq!(on_the_edge.more(), More::TooClose);
        assert_eq!(
            evidence(0.1, 0.1, 4).forecast(&band, Alphas::PRUNER).more(),
            More::Unknown
        );
    }

    #[test]
    fn beyond_the_cap_the_next_sixty_trees_are_searched() {
        let band = Band::kept(1.0 / 3.0, 0.10);
        let more = |mean, n| {
            evidence(mean, 0.12, n)
                .forecast(&band, Alphas::PRUNER)
                .more()
        };
        assert_eq!(more(0.24, 250), More::TooClose);
        // 35 more trees would do, and were looked for up to 200 in all
        assert_eq!(more(0.2556, 250), More::About(40));
    }

    #[test]
    fn the_search_stays_short() {
        let steps = std::cell::Cell::new(0);
        let first = evidence(0.3, 0.1, 2_000).first(|n| {
            steps.set(steps.get() + 1);
            n >= 2_045
        });
        assert_eq!(first, Some(45));
        assert!(steps.get() <= 7, "{}", steps.get());
    }

    proptest! {
        #[test]
        fn halving_finds_what_stepping_finds(
            mean in 0.0f64..=1.0, s in 0.01f64..0.4, n in 5u32..300, tolerance in 0.02f64..0.2, kind in 0u8..3,
        ) {
            let band = match kind {
                0 => Band::kept(1.0 / 3.0, tolerance),
                1 => Band::too_old(tolerance),
                _ => Band::compliance(1.0 - tolerance),
            };
            let seen = evidence(mean, s, n);
            let last = FORECAST_CAP.max(n + FAR);
            let step = |reached: &dyn Fn(u32) -> bool| (n + 1..=last).find(|&k| reached(k)).map(|k| k - n);
            let drawn = if kind == 0 { seen.drawn_toward(band.target) } else { mean };
            let flag = step(&|k| {
                let at = seen.at(k, mean, ALPHA_FLAG);
                band.is_light(&at) || band.is_heavy(&at)
            });
            let balance = step(&|k| k >= 10 && band.holds(&seen.at(k, drawn, ALPHA_BALANCE)));
            let leaning = step(&|k| {
                let at = seen.at(k, mean, ALPHA_FLAG);
                kind == 0 && (at.hi < band.target || at.lo > band.target)
            });
            prop_assert_eq!(seen.forecast(&band, Alphas::PRUNER), Forecast::Trees { flag, leaning, balance });
        }
    }
}
