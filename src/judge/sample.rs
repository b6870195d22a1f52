//! The counted trees of one pruner (or of a pruner in one block), as running sums.

use super::{Metric, Sums, off_target};

/// One counted tree, as judged under a rule.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct TreeFigures {
    /// Pieces of one-, two-, three- and four-plus-year wood.
    pub ages: [u32; 4],
    /// Units of two-year wood whose buds were counted.
    pub units: u32,
    /// Units whose buds are within the rule.
    pub units_within: u32,
}

impl TreeFigures {
    /// Pieces of all ages.
    pub fn pieces(&self) -> u32 {
        self.ages.iter().fold(0, |sum, &c| sum.saturating_add(c))
    }

    /// (c, m) of a metric: `c` of the tree's `m` pieces or units belong to it.
    pub fn metric(&self, metric: Metric) -> (u32, u32) {
        match metric {
            Metric::Buds => (self.units_within, self.units),
            age => (self.ages[age.index()], self.pieces()),
        }
    }
}

/// Running sums over counted trees: the five metrics, and what the wrong-age share needs.
///
/// The target shares are fixed at construction, since each tree's own wrong-age share is summed as it comes.
#[derive(Debug, Clone, PartialEq)]
pub struct Sample {
    target: [f64; 4],
    trees: u32,
    metrics: [Sums; 5],
    /// Σ over trees of `x_k` `x_l`, ages k and l
    cross: [[f64; 4]; 4],
    /// Σ over trees of the tree's own wrong-age share
    own_wrong_age: f64,
}

impl Sample {
    /// No trees yet. `target`: the shares of one-, two-, three- and four-plus-year wood that the rule asks for.
    pub fn new(target: [f64; 4]) -> Self {
        Self {
            target,
            trees: 0,
            metrics: Default::default(),
            cross: [[0.0; 4]; 4],
            own_wrong_age: 0.0,
        }
    }

    /// Adds a counted tree.
    pub fn add(&mut self, tree: &TreeFigures) {
        self.trees += 1;
        for metric in Metric::ALL {
            let (c, m) = tree.metric(metric);
            self.metrics[metric.index()].add(c, m);
        }
        self.add_shares(tree);
    }

    /// Adds the trees of a batch, each with this weight.
    pub(super) fn join(&mut self, batch: &Self, weight: f64) {
        self.trees += batch.trees;
        for (sum, own) in self.metrics.iter_mut().zip(&batch.metrics) {
            sum.join(own, weight);
        }
        for (row, own) in self.cross.iter_mut().zip(batch.cross) {
            for (sum, own) in row.iter_mut().zip(own) {
                *sum += weight * own;
            }
        }
        self.own_wrong_age += weight * batch.own_wrong_age;
    }

    fn add_shares(&mut self, tree: &TreeFigures) {
        let pieces = tree.pieces();
        if pieces == 0 {
            return;
        }
        let x = tree.ages.map(|c| f64::from(c) / f64::from(pieces));
        for (row, x_k) in self.cross.iter_mut().zip(x) {
            for (sum, x_l) in row.iter_mut().zip(x) {
                *sum += x_k * x_l;
            }
        }
        self.own_wrong_age += off_target(x, self.target);
    }

    /// Target shares by age.
    pub fn target(&self) -> [f64; 4] {
        self.target
    }

    /// Counted trees, with or without pieces.
    pub fn trees(&self) -> u32 {
        self.trees
    }

    /// Running sums of one metric.
    pub fn metric(&self, metric: Metric) -> &Sums {
        &self.metrics[metric.index()]
    }

    /// Mean share of each age over the trees with pieces, by their weights; none without such a tree.
    pub fn mix(&self) -> Option<[f64; 4]> {
        let mean = |metric| self.metric(metric).mean();
        Some([
            mean(Metric::One)?,
            mean(Metric::Two)?,
            mean(Metric::Three)?,
            mean(Metric::FourPlus)?,
        ])
    }

    /// Mean over trees of each tree's own wrong-age share; none without pieces.
    pub(super) fn mean_own_wrong_age(&self) -> Option<f64> {
        let ages = self.metric(Metric::One);
        (ages.n() > 0).then(|| (self.own_wrong_age / ages.weight()).clamp(0.0, 1.0))
    }

    /// Sample variance over trees of Σ `w_k` `x_k`; 0 with fewer than two trees with pieces.
    pub(super) fn variance_of(&self, weights: [f64; 4]) -> f64 {
        let n = self.metric(Metric::One).n();
        let (Some(mix), true) = (self.mix(), n >= 2) else {
            return 0.0;
        };
        let (n, all) = (f64::from(n), self.metric(Metric::One).weight());
        let mut squares = 0.0;
        for k in 0..4 {
            for l in 0..4 {
                squares += weights[k] * weights[l] * (self.cross[k][l] - all * mix[k] * mix[l]);
            }
        }
        squares.max(0.0) / (n - 1.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const TARGET: [f64; 4] = [1.0 / 3.0, 1.0 / 3.0, 1.0 / 3.0, 0.0];

    /// Units: of all, those within the rule.
    fn tree(ages: [u32; 4], (units, units_within): (u32, u32)) -> TreeFigures {
        TreeFigures {
            ages,
            units,
            units_within,
        }
    }

    #[test]
    fn trees_without_pieces_or_units_say_nothing_of_them() {
        let mut sample = Sample::new(TARGET);
        sample.add(&tree([0; 4], (4, 3)));
        sample.add(&tree([5, 5, 5, 0], (0, 0)));
        let values = |metric| sample.metric(metric).n();
        assert_eq!(
            (sample.trees(), values(Metric::One), values(Metric::Buds)),
            (2, 1, 1)
        );
        let within = sample.metric(Metric::Buds).mean();
        assert!(within.is_some_and(|within| (within - 0.75).abs() < 1e-12));
    }

    #[test]
    fn variance_of_one_share_is_that_metrics_variance() {
        let mut sample = Sample::new(TARGET);
        for ages in [[5, 14, 12, 1], [8, 20, 15, 0], [2, 3, 4, 0]] {
            sample.add(&tree(ages, (1, 1)));
        }
        let expected = sample.metric(Metric::Two).variance();
        assert!((sample.variance_of([0.0, 1.0, 0.0, 0.0]) - expected).abs() < 1e-12);
    }
}
