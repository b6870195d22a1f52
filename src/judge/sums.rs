//! Running sums of one metric: everything that an interval needs, and nothing that grows with the number of trees.

use serde::Serialize;

/// Sums over the trees that give a value x = c/m for one metric: c of the tree's m pieces (or units) belong to it.
///
/// A tree with m = 0 has no value and changes nothing. Adding a tree takes constant time.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct Sums {
    n: u32,
    x: f64,
    xx: f64,
    c: u64,
    m: u64,
    inv_m: f64,
}

impl Sums {
    /// Adds a tree of which `c` among `m` pieces belong to the metric. `m == 0` is no value: nothing happens.
    /// A `c` above `m` counts as `m`.
    pub fn add(&mut self, c: u32, m: u32) {
        if m == 0 {
            return;
        }
        let c = c.min(m);
        let x = f64::from(c) / f64::from(m);
        self.n += 1;
        self.x += x;
        self.xx += x * x;
        self.c += u64::from(c);
        self.m += u64::from(m);
        self.inv_m += 1.0 / f64::from(m);
    }

    /// Trees with a value.
    pub fn n(&self) -> u32 {
        self.n
    }

    /// Plain mean over trees (a mean of ratios), in [0, 1]; none without trees.
    pub fn mean(&self) -> Option<f64> {
        (self.n > 0).then(|| (self.x / f64::from(self.n)).clamp(0.0, 1.0))
    }

    /// Sum of squared deviations from the mean; 0 with fewer than two trees. Never negative.
    pub fn squares(&self) -> f64 {
        if self.n < 2 {
            return 0.0;
        }
        (self.xx - self.x * self.x / f64::from(self.n)).max(0.0)
    }

    /// Sample variance (n - 1 in the denominator); 0 with fewer than two trees.
    pub fn variance(&self) -> f64 {
        if self.n < 2 {
            return 0.0;
        }
        self.squares() / f64::from(self.n - 1)
    }

    /// Standard deviation between trees, but at least what counting so few pieces a tree must give:
    /// s² = max(sample variance, p(1 - p) mean(1/m)) with p = (Σc + 0.5)/(Σm + 1).
    pub fn sd_floored(&self) -> f64 {
        let p = (self.c as f64 + 0.5) / (self.m as f64 + 1.0);
        self.variance()
            .max(p * (1.0 - p) * self.mean_inv_m())
            .sqrt()
    }

    /// Mean over trees of 1/m; 0 without trees.
    fn mean_inv_m(&self) -> f64 {
        if self.n == 0 {
            return 0.0;
        }
        self.inv_m / f64::from(self.n)
    }

    /// Sum over trees of 1/m.
    pub fn sum_inv_m(&self) -> f64 {
        self.inv_m
    }

    /// B = rho + (1 - rho) mean(1/m): variance of one tree's share as a part of p(1 - p), when the pieces of a tree
    /// are correlated by `rho`.
    pub fn score_b(&self, rho: f64) -> f64 {
        rho + (1.0 - rho) * self.mean_inv_m()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn fresh(trees: &[(u32, u32)]) -> Sums {
        let mut sums = Sums::default();
        for &(c, m) in trees {
            sums.add(c, m);
        }
        sums
    }

    #[test]
    fn a_tree_without_pieces_gives_no_value() {
        let sums = fresh(&[(0, 0)]);
        assert_eq!(sums, Sums::default());
        assert_eq!(sums.mean(), None);
        assert!(sums.sd_floored().abs() < f64::EPSILON);
    }

    #[test]
    fn equal_trees_have_the_counting_variance_for_a_floor() {
        let sums = fresh(&[(5, 10); 4]);
        assert!(sums.variance() < 1e-15);
        let p: f64 = 20.5 / 41.0;
        assert!((sums.sd_floored() - (p * (1.0 - p) / 10.0).sqrt()).abs() < 1e-15);
    }

    #[test]
    fn variance_is_the_textbook_one() {
        // shares 0.2, 0.4, 0.9: mean 0.5, squares 0.09 + 0.01 + 0.16 = 0.26, over 2
        let sums = fresh(&[(2, 10), (4, 10), (9, 10)]);
        assert!((sums.mean().unwrap() - 0.5).abs() < 1e-15);
        assert!((sums.variance() - 0.13).abs() < 1e-15);
    }
}
