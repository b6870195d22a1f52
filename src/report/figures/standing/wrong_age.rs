//! The wrong-age share of several strata together.

use std::f64::consts::FRAC_2_PI;

use crate::judge::{
    ALPHA_BLOCK, Estimate, Interval, Metric, Sample, Stratum, WrongAge, off_target, stratified,
    wrong_age,
};

/// The wrong-age share of (trees pruned, counts) by stratum; `all` has the counts of all together. One stratum has
/// [`wrong_age`].
///
/// Of several, the share is that of the mix in which each weighs by its trees, as the verdicts have it. What chance
/// alone would show is worked out for that mean: ½ √(2/π) Σ s / √n, with the spread pooled over the strata and the
/// effective number of trees. The interval is left open: it was simulated for trees that weigh alike only.
pub(super) fn of_strata(strata: &[(u32, &Sample)], all: &Sample) -> Option<WrongAge> {
    if strata.len() <= 1 {
        return wrong_age(all);
    }
    let of = |age: Metric| -> Estimate {
        let strata: Vec<_> = (strata.iter())
            .map(|(pruned, sample)| Stratum {
                pruned: *pruned,
                sums: sample.metric(age),
            })
            .collect();
        stratified(&strata, age, ALPHA_BLOCK)
    };
    let ages = Metric::AGES.map(of);
    let plain = wrong_age(all)?;
    let chance = |age: &Estimate| 0.5 * FRAC_2_PI.sqrt() * age.s / age.n_eff.sqrt();
    Some(WrongAge {
        share: off_target(ages.map(|age| age.mean.unwrap_or(0.0)), all.target()),
        noise: ages.iter().map(chance).sum(),
        interval: Interval::whole(),
        mean_tree: plain.mean_tree,
    })
}
