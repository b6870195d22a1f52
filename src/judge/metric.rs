//! The five numbers that a counted tree is judged by.

use schemars::JsonSchema;
use serde::Serialize;

/// One number in [0, 1] per counted tree, so that each tree weighs the same however much of it was counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Metric {
    /// Share of one-year wood among the tree's pieces.
    One,
    /// Share of two-year wood among the tree's pieces.
    Two,
    /// Share of three-year wood among the tree's pieces.
    Three,
    /// Share of wood of four years and older among the tree's pieces.
    FourPlus,
    /// Share of the tree's units whose buds are within the rule.
    Buds,
}

impl Metric {
    /// All five, in the order in which arrays over metrics are kept.
    pub const ALL: [Metric; 5] = [
        Metric::One,
        Metric::Two,
        Metric::Three,
        Metric::FourPlus,
        Metric::Buds,
    ];

    /// The four ages, first in [`Metric::ALL`].
    pub const AGES: [Metric; 4] = [Metric::One, Metric::Two, Metric::Three, Metric::FourPlus];

    /// Place of the metric in [`Metric::ALL`] (0 to 4); for the ages also the place in arrays over the four ages.
    pub const fn index(self) -> usize {
        self as usize
    }

    /// Correlation within a tree that the variance floor takes for granted (no unit): 0.02 for wood of one to three
    /// years, 0.05 for four-plus and for buds, whose trees differ more. Set by simulation.
    pub const fn rho(self) -> f64 {
        match self {
            Metric::One | Metric::Two | Metric::Three => 0.02,
            Metric::FourPlus | Metric::Buds => 0.05,
        }
    }
}

/// ½ Σ |share − target| by age, for shares that add to 1: of 100 pieces, how many would have to be of another age, as a
/// share, 0 to 1.
pub fn off_target(shares: [f64; 4], target: [f64; 4]) -> f64 {
    let off = shares
        .iter()
        .zip(target)
        .map(|(share, t)| (share - t).abs());
    0.5 * off.sum::<f64>()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn indices_follow_the_order_of_all() {
        for (place, metric) in Metric::ALL.into_iter().enumerate() {
            assert_eq!(metric.index(), place);
        }
        assert_eq!(Metric::ALL[..4], Metric::AGES);
    }
}
