//! What can be said before a verdict: a hint that somebody is off the rule, and that nothing is badly wrong.
//!
//! Set and checked by simulation for the rule as it comes (a third of each age, 5 % four-plus, 80 % of the buds); for other
//! rules the distances are kept. Our own; no published source.

use super::evidence::Evidence;
use super::{Band, BandKind, Interval, Metric, Verdict};

/// Error rate of each interval behind "nothing badly wrong".
pub(super) const ALPHA_FINE: f64 = 0.20;
/// Fewest trees before it is said.
const MIN_FINE_TREES: u32 = 8;
/// Fewest trees before a hint.
const MIN_HINT_TREES: u32 = 3;
/// How far beyond a band's edge a kept age is badly wrong.
const BADLY_KEPT: f64 = 0.05;
/// The same of wood older than may stay.
const BADLY_OLD: f64 = 0.10;
/// The same of bud compliance.
const BADLY_BUDS: f64 = 0.15;

/// That somebody is probably off the rule. Never a verdict; not for the pruner's sheet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hint {
    /// What seems off: too little one-year wood, too much four-plus wood, or buds that do not keep the rule.
    pub metric: Metric,
    /// The chance that it is, in (0, 1).
    pub chance: f64,
}

/// What is taken for granted of the people of a crew: most are `ordinary`, a share `off` is not; each kind has a mean
/// and a standard deviation over its people.
struct Prior {
    ordinary: (f64, f64),
    off: (f64, f64),
    share: f64,
    /// Correlation within a tree.
    rho: f64,
    /// The least chance at which a hint is given.
    said: f64,
}

impl Prior {
    /// None where nobody can be called off in a way that hints are given for.
    fn of(metric: Metric, band: &Band) -> Option<Self> {
        match (metric, band.kind) {
            (Metric::One, BandKind::Kept) => Some(Self {
                ordinary: (band.target, 0.04),
                // 0.18 for the rule as it comes, whose edge is 0.2333
                off: ((band.lo - (0.7 / 3.0 - 0.18)).max(0.01), 0.05),
                share: 0.12,
                rho: 0.06,
                said: 0.70,
            }),
            (Metric::FourPlus, BandKind::TooOld) => Some(Self {
                ordinary: (band.hi - 0.02, 0.025),
                off: (band.hi + 0.09, 0.05),
                share: 0.10,
                rho: 0.10,
                said: 0.80,
            }),
            (Metric::Buds, BandKind::Compliance) => Some(Self {
                ordinary: ((band.lo + 0.10).min(0.98), 0.06),
                off: ((band.lo - 0.20).max(0.02), 0.10),
                share: 0.12,
                rho: 0.12,
                said: 0.85,
            }),
            _ => None,
        }
    }

    /// The chance that one with the mean `x` over `n` trees is off; `inv` is the mean of 1/pieces of these trees. Two
    /// normal densities compared by Bayes' rule.
    fn chance(&self, x: f64, n: f64, inv: f64) -> f64 {
        let v = self.rho + (1.0 - self.rho) * inv;
        let log_density = |(m, t): (f64, f64)| {
            let variance = t * t + v * m * (1.0 - m) / n;
            -0.5 * ((x - m).powi(2) / variance + variance.ln())
        };
        let odds = (self.share / (1.0 - self.share)).ln() + log_density(self.off)
            - log_density(self.ordinary);
        1.0 / (1.0 + (-odds).exp())
    }
}

/// A hint that was given stays until its chance is below this.
const STAYS: f64 = 0.50;

/// The hint with the highest chance, of the metrics without a verdict; `given`: one that was given before stays until it is
/// hardly likelier than not. `seen` as counted, with no floor by other ages.
pub(super) fn hint(
    seen: &[Option<Evidence>; 5],
    verdicts: [Verdict; 5],
    bands: &[Band; 5],
    given: bool,
) -> Option<Hint> {
    let of = |metric: Metric| {
        let at = metric.index();
        let (seen, prior) = (seen[at].as_ref()?, Prior::of(metric, &bands[at])?);
        let inv = (seen.b - metric.rho()) / (1.0 - metric.rho());
        let chance = prior.chance(seen.mean, seen.n_eff, inv);
        let least = if given { STAYS } else { prior.said };
        let said = seen.n >= MIN_HINT_TREES && chance >= least;
        (said && verdicts[at] == Verdict::KeepCounting).then_some(Hint { metric, chance })
    };
    let hints = Metric::ALL.into_iter().filter_map(of);
    hints.max_by(|a, b| a.chance.total_cmp(&b.chance))
}

/// Whether the interval leaves no room for being badly wrong.
fn is_fine(band: &Band, interval: &Interval) -> bool {
    match band.kind {
        BandKind::Kept => interval.inside(band.lo - BADLY_KEPT, band.hi + BADLY_KEPT),
        BandKind::TooOld => interval.hi <= band.hi + BADLY_OLD,
        BandKind::Compliance => interval.lo >= band.lo - BADLY_BUDS,
    }
}

/// Whether nothing is badly wrong: none of the five metrics.
pub(super) fn nothing_badly_wrong(seen: &[Option<Evidence>; 5], bands: &[Band; 5]) -> bool {
    let of = |(seen, band): (&Option<Evidence>, &Band)| {
        let Some(seen) = seen else { return false };
        seen.n >= MIN_FINE_TREES && is_fine(band, &seen.interval(ALPHA_FINE))
    };
    seen.iter().zip(bands).all(of)
}

/// More trees until nothing is badly wrong, if it is to be expected within the search.
pub(super) fn until_fine(seen: &[Option<Evidence>; 5], bands: &[Band; 5]) -> Option<u32> {
    let of = |(seen, band): (&Option<Evidence>, &Band)| {
        let fine = |trees, interval: &Interval| trees >= MIN_FINE_TREES && is_fine(band, interval);
        seen.as_ref()?.until(band, ALPHA_FINE, fine)
    };
    let each: Option<Vec<u32>> = seen.iter().zip(bands).map(of).collect();
    each?.into_iter().max()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::judge::{Sample, TreeFigures, bands, judge};
    use crate::orchard::Rule;

    /// Worked out with another program (scipy's normal densities).
    #[test]
    fn chances_are_those_worked_out_elsewhere() {
        let bands = bands(&Rule::default());
        for (metric, x, n, inv, chance, said) in [
            (Metric::One, 0.05, 3.0, 0.05, 0.774_718_730_3, true),
            (Metric::One, 0.16, 8.0, 0.05, 0.778_897_108_8, true),
            (Metric::Buds, 0.60, 3.0, 0.15, 0.823_862_340_3, false),
            (Metric::FourPlus, 0.20, 4.0, 0.05, 0.995_673_090_1, true),
            (Metric::One, 0.33, 3.0, 0.05, 0.034_272_656_1, false),
        ] {
            let prior = Prior::of(metric, &bands[metric.index()]).unwrap();
            let found = prior.chance(x, n, inv);
            assert!((found - chance).abs() < 1e-9, "{metric:?} {x}: {found}");
            assert_eq!(found >= prior.said, said, "{metric:?} {x}");
        }
    }

    fn of(trees: u32, ages: [u32; 4], units: (u32, u32)) -> crate::judge::Judgement {
        let mut sample = Sample::new(Rule::default().target());
        for _ in 0..trees {
            sample.add(&TreeFigures {
                ages,
                units: units.0,
                units_within: units.1,
            });
        }
        judge(&sample, &bands(&Rule::default()))
    }

    #[test]
    fn a_hint_comes_from_three_trees_and_goes_with_a_verdict() {
        let short = [1, 10, 9, 0];
        assert_eq!(of(2, short, (10, 9)).hint, None);
        assert_eq!(
            of(3, short, (10, 9)).hint.map(|hint| hint.metric),
            Some(Metric::One)
        );
        let found = of(30, short, (10, 9));
        assert_eq!((found.overall, found.hint), (Verdict::Light, None));
        assert_eq!(of(5, [7, 7, 6, 0], (10, 9)).hint, None);
    }

    #[test]
    fn nothing_badly_wrong_comes_before_in_balance() {
        let even = |trees| of(trees, [7, 7, 6, 0], (10, 10)).overall;
        assert_eq!(even(7), Verdict::KeepCounting);
        let first = |wanted| (1..80).find(|trees| even(*trees) == wanted);
        let fine = first(Verdict::NothingBadlyWrong).unwrap();
        let balance = first(Verdict::InBalance).unwrap();
        assert!((8..balance).contains(&fine), "{fine} {balance}");
    }

    #[test]
    fn badly_wrong_is_so_far_from_the_band() {
        let [one, .., old, buds] = bands(&Rule::default());
        let within = |band: &Band, lo, hi| is_fine(band, &Interval { lo, hi });
        assert!(within(&one, 0.20, 0.45) && !within(&one, 0.18, 0.45));
        assert!(within(&old, 0.0, 0.10) && !within(&old, 0.0, 0.16));
        assert!(within(&buds, 0.70, 1.0) && !within(&buds, 0.64, 1.0));
    }
}
