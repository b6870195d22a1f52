//! Whether a tree has so few pieces that it can hardly be counted through.

use super::t_half_width;

/// With fewer other trees nothing is said.
pub const MIN_LIKE: usize = 4;
/// A tree like the others falls below the bound by chance once in so many closings, where their spread is all there is to
/// go by.
const ONCE_IN: f64 = 1_000.0;
/// Whatever the spread, a tree with more than this share of what is usual is not asked about.
const FAR_FEWER: f64 = 0.5;

/// What other trees have, and from where on a tree has far too few.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Usual {
    /// Pieces of the usual tree.
    pub pieces: f64,
    /// A tree with fewer has far fewer than the others.
    pub bound: f64,
}

/// What is usual among trees of so many pieces each; bare ones are no measure. None with fewer than [`MIN_LIKE`].
///
/// Pieces of trees differ by factors, so all is done with their logarithms: the bound is the lower end of the interval in
/// which one more such tree falls, m - t s sqrt(1 + 1/n) with Student's t (Hahn & Meeker, Statistical Intervals, 1991,
/// ch. 4; from memory), and at most half of what is usual.
pub fn usual_pieces(trees: impl Iterator<Item = f64>) -> Option<Usual> {
    let logs: Vec<f64> = trees.filter(|pieces| *pieces > 0.0).map(f64::ln).collect();
    if logs.len() < MIN_LIKE {
        return None;
    }
    let n = logs.len() as f64;
    let mean = logs.iter().sum::<f64>() / n;
    let squares: f64 = logs.iter().map(|log| (log - mean).powi(2)).sum();
    let spread = (squares / (n - 1.0)).sqrt();
    let t = t_half_width(1.0 - 2.0 / ONCE_IN, n - 1.0);
    let lowest = mean - t * spread * (1.0 + 1.0 / n).sqrt();
    Some(Usual {
        pieces: mean.exp(),
        bound: lowest.exp().min(FAR_FEWER * mean.exp()),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn usual(trees: &[f64]) -> Usual {
        usual_pieces(trees.iter().copied()).unwrap()
    }

    #[test]
    fn the_bound_follows_from_the_spread() {
        assert_eq!(usual_pieces([90.0, 95.0, 100.0, 0.0].into_iter()), None);
        // trees alike: half of what is usual
        let alike = usual(&[94.0, 95.0, 96.0, 95.0]);
        assert!((alike.pieces - 95.0).abs() < 0.1 && (alike.bound - 47.5).abs() < 0.1);
        // by hand: logs of 50, 100, 100 and 200 have the mean ln 100 and the spread 0.5660; t of 3 degrees of freedom,
        // one in a thousand on one side, is 10.215 (printed table)
        let apart = usual(&[50.0, 100.0, 100.0, 200.0]);
        let by_hand = 100.0 * (-10.215 * 0.565_97 * 1.25_f64.sqrt()).exp();
        assert!((apart.bound - by_hand).abs() < 1e-3, "{apart:?} {by_hand}");
    }

    #[test]
    fn more_trees_settle_it_sooner() {
        let four = [70.0, 95.0, 95.0, 130.0];
        let many: Vec<f64> = four.iter().cycle().take(40).copied().collect();
        assert!(usual(&many).bound > usual(&four).bound);
        assert!(usual(&many).bound < 47.5 + 1e-9);
    }
}
