//! Wrong-age share: of 100 pieces, how many would have to be of another age.

use super::{ALPHA_BLOCK, Interval, Sample, multiplier, off_target};
use schemars::JsonSchema;
use serde::Serialize;
use std::f64::consts::FRAC_2_PI;

/// The wrong-age share of the mean mix, D = ½ Σ |share - target|, beside what a perfect pruner would show.
///
/// D is biased upward in small samples, so no verdict rests on it.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct WrongAge {
    /// D of the mean mix, 0 to 1.
    pub share: f64,
    /// About what D would be for a pruner exactly on target, by chance alone.
    pub noise: f64,
    /// Interval for the true D valid at any look, at error rate 0.05.
    pub interval: Interval,
    /// Mean over trees of each tree's own D: one can balance on average and on no tree.
    pub mean_tree: f64,
}

/// The wrong-age share of a sample; none without a tree that has pieces.
///
/// The noise is ½ √(2/π) Σ s / √n over the ages: the mean distance of normal means from what they scatter about. The
/// interval goes from D - M sd(d)/√n - noise to D + M sd(d)/√n, cut to [0, 1], where M is [`multiplier`] at
/// [`ALPHA_BLOCK`] and d a tree's ½ Σ ±(share - target), with the signs that the mean mix has.
pub fn wrong_age(sample: &Sample) -> Option<WrongAge> {
    let mix = sample.mix()?;
    let target = sample.target();
    let n = f64::from(sample.metric(super::Metric::One).n());
    let share = off_target(mix, target);
    let spread: f64 = (0..4).map(|k| sample.variance_of(unit(k)).sqrt()).sum();
    let noise = 0.5 * FRAC_2_PI.sqrt() * spread / n.sqrt();
    let signs: [f64; 4] = std::array::from_fn(|k| if mix[k] >= target[k] { 0.5 } else { -0.5 });
    let sd = sample.variance_of(signs).sqrt();
    let interval = multiplier(n, n - 1.0, ALPHA_BLOCK).map_or(Interval::whole(), |m| {
        let half = m * sd / n.sqrt();
        Interval {
            lo: (share - half - noise).max(0.0),
            hi: (share + half).min(1.0),
        }
    });
    Some(WrongAge {
        share,
        noise,
        interval,
        mean_tree: sample.mean_own_wrong_age()?,
    })
}

fn unit(k: usize) -> [f64; 4] {
    std::array::from_fn(|l| if l == k { 1.0 } else { 0.0 })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::judge::TreeFigures;

    fn sample(trees: &[[u32; 4]]) -> Sample {
        let mut sample = Sample::new([1.0 / 3.0, 1.0 / 3.0, 1.0 / 3.0, 0.0]);
        for &ages in trees {
            sample.add(&TreeFigures {
                ages,
                ..TreeFigures::default()
            });
        }
        sample
    }

    #[test]
    fn none_without_pieces() {
        assert_eq!(wrong_age(&sample(&[])), None);
        assert_eq!(wrong_age(&sample(&[[0; 4]])), None);
    }

    #[test]
    fn balanced_on_average_and_on_no_tree() {
        let found = wrong_age(&sample(&[[30, 0, 0, 0], [0, 30, 0, 0], [0, 0, 30, 0]])).unwrap();
        assert!(found.share < 1e-12);
        assert!((found.mean_tree - 2.0 / 3.0).abs() < 1e-12);
        assert_eq!(found.interval, Interval::whole());
        assert!(found.noise > 0.3);
    }

    #[test]
    fn ten_of_a_hundred_pieces() {
        let found = wrong_age(&sample(&[[20, 30, 40, 0]; 12])).unwrap();
        assert!((found.share - 1.0 / 9.0).abs() < 1e-12);
        assert!((found.mean_tree - 1.0 / 9.0).abs() < 1e-12);
        assert!(found.interval.contains(found.share));
    }
}
