//! Running sums of one metric: everything that an interval needs, and nothing that grows with the number of trees.

use serde::Serialize;

/// Sums over the trees that give a value x = c/m for one metric: c of the tree's m pieces (or units) belong to it. Each tree
/// has a weight w: 1, until batches of unlike chances are joined ([`Sums::join`]).
///
/// A tree with m = 0 has no value and changes nothing. Adding a tree takes constant time.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct Sums {
    n: u32,
    /// Sums of w, w², w³ and w⁴.
    w: [f64; 4],
    /// Sums of w x, w² x and w² x².
    x: f64,
    w2x: f64,
    w2xx: f64,
    c: u64,
    m: u64,
    /// Sum of w² / m.
    w2_inv_m: f64,
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
        for power in &mut self.w {
            *power += 1.0;
        }
        self.x += x;
        self.w2x += x;
        self.w2xx += x * x;
        self.c += u64::from(c);
        self.m += u64::from(m);
        self.w2_inv_m += 1.0 / f64::from(m);
    }

    /// Adds all trees of a batch, each with this many times its weight, above 0.
    pub fn join(&mut self, batch: &Self, weight: f64) {
        let square = weight * weight;
        self.n += batch.n;
        let powers = [weight, square, square * weight, square * square];
        for ((sum, own), power) in self.w.iter_mut().zip(batch.w).zip(powers) {
            *sum += power * own;
        }
        self.x += weight * batch.x;
        self.w2x += square * batch.w2x;
        self.w2xx += square * batch.w2xx;
        self.c += batch.c;
        self.m += batch.m;
        self.w2_inv_m += square * batch.w2_inv_m;
    }

    /// Trees with a value.
    pub fn n(&self) -> u32 {
        self.n
    }

    /// Mean over trees by their weights (a mean of ratios), in [0, 1]; none without trees.
    pub fn mean(&self) -> Option<f64> {
        (self.n > 0).then(|| (self.x / self.w[0]).clamp(0.0, 1.0))
    }

    /// Sum of the weights: n, where they are even.
    pub(super) fn weight(&self) -> f64 {
        self.w[0]
    }

    /// Sum of the pth powers of the weights as parts of all, p from 2 to 4. With even weights n to the power of 1 - p.
    fn power(&self, p: usize) -> f64 {
        self.w[p - 1] / self.w[0].powi(p as i32)
    }

    /// Variance of the mean for a variance of 1 between trees: 1/n with even weights; 0 without trees.
    pub fn of_mean(&self) -> f64 {
        if self.n == 0 { 0.0 } else { self.power(2) }
    }

    /// Degrees of freedom of [`Sums::variance`]: n - 1 with even weights, fewer with others (Satterthwaite's, for squares
    /// of trees that vary alike: Biometrics Bulletin 2:110-114, 1946, from memory).
    pub fn degrees(&self) -> f64 {
        if self.n < 2 {
            return 0.0;
        }
        (self.power(2).powi(2) / self.power(4) - 1.0).max(0.0)
    }

    /// Squared deviations from `mean`, each by its squared weight as a part of all. Never negative.
    pub fn squares_about(&self, mean: f64) -> f64 {
        if self.n == 0 {
            return 0.0;
        }
        let squares = self.w2xx - 2.0 * mean * self.w2x + mean * mean * self.w[1];
        (squares / (self.w[0] * self.w[0])).max(0.0)
    }

    /// Variance between trees, unbiased by any weights; the sample variance (n - 1 in the denominator) with even ones; 0 with
    /// fewer than two trees.
    pub fn variance(&self) -> f64 {
        let (Some(mean), true) = (self.mean(), self.n >= 2) else {
            return 0.0;
        };
        let trees = self.power(2) - 2.0 * self.power(3) + self.power(2).powi(2);
        if trees > 1e-12 {
            self.squares_about(mean) / trees
        } else {
            0.0
        }
    }

    /// Standard deviation between trees, but at least what counting so few pieces a tree must give:
    /// s² = max(variance, p(1 - p) mean(1/m)) with p = (Σc + 0.5)/(Σm + 1).
    pub fn sd_floored(&self) -> f64 {
        let p = (self.c as f64 + 0.5) / (self.m as f64 + 1.0);
        self.variance()
            .max(p * (1.0 - p) * self.mean_inv_m())
            .sqrt()
    }

    /// Mean over trees of 1/m, weighed as the variance of the mean is; 0 without trees.
    pub fn mean_inv_m(&self) -> f64 {
        if self.n == 0 {
            return 0.0;
        }
        self.w2_inv_m / self.w[1]
    }

    /// Sums of the third and fourth powers of the weights as parts of all.
    pub(super) fn higher_powers(&self) -> (f64, f64) {
        (self.power(3), self.power(4))
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

    /// By hand: shares 0.2 and 0.4 of weight 1, 0.9 of weight 3; as parts of all 1/5, 1/5, 3/5. Mean 0.66; Σu² = 11/25,
    /// Σu³ = 29/125, Σu⁴ = 83/625; Σu²(x - mean)² = (0.2116 + 0.0676 + 9 x 0.0576) / 25 = 0.031904.
    #[test]
    fn batches_weigh_by_their_trees() {
        let (one, other) = (fresh(&[(2, 10), (4, 10)]), fresh(&[(9, 10)]));
        for scale in [1.0, 7.0] {
            let mut both = Sums::default();
            both.join(&one, scale);
            both.join(&other, 3.0 * scale);
            let near = |a: f64, b: f64| assert!((a - b).abs() < 1e-12, "{a} is not {b}");
            near(both.mean().unwrap(), 0.66);
            near(both.of_mean(), 0.44);
            near(both.degrees(), 0.44 * 0.44 / 0.1328 - 1.0);
            near(both.variance(), 0.031_904 / (0.44 - 0.464 + 0.1936));
            near(both.mean_inv_m(), 0.1);
        }
        let mut even = Sums::default();
        even.join(&one, 2.0);
        even.join(&other, 2.0);
        assert!((even.degrees() - 2.0).abs() < 1e-12);
        assert!((even.variance() - 0.13).abs() < 1e-12);
    }

    #[test]
    fn variance_is_the_textbook_one() {
        // shares 0.2, 0.4, 0.9: mean 0.5, squares 0.09 + 0.01 + 0.16 = 0.26, over 2
        let sums = fresh(&[(2, 10), (4, 10), (9, 10)]);
        assert!((sums.mean().unwrap() - 0.5).abs() < 1e-15);
        assert!((sums.variance() - 0.13).abs() < 1e-15);
    }
}
