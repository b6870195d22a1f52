//! Which trees to look at: chosen at random, so that no favour comes in, and so that anyone can repeat the draw.

use super::More;
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha20Rng;

/// Trees that each pruner gets at least, when there are enough to hand out.
pub const MIN_DRAW: usize = 2;
/// Trees a pruner is planned for: what one without a forecast is taken to need in all.
const PLANNED: u32 = 30;

/// What one pruner brings to the sharing out of trees.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Need {
    /// Trees pruned and not drawn yet.
    pub trees_available: usize,
    /// How far from a verdict.
    pub more: More,
    /// Trees counted so far.
    pub n: u32,
}

impl Need {
    /// Trees still wanted, as a weight.
    fn wanted(&self) -> f64 {
        match self.more {
            More::Settled => 0.0,
            More::About(trees) => f64::from(trees),
            More::TooClose => 60.0,
            More::Unknown | More::NotLookedAt => f64::from(PLANNED.saturating_sub(self.n).max(5)),
        }
    }
}

/// Shares `k` trees out over pruners: the number for each, in the order of `needs`.
///
/// Each gets [`MIN_DRAW`] as far as there are trees; the rest go one by one to whom it helps most: the most trees
/// still wanted for each tree given. If `k` does not reach [`MIN_DRAW`] for all, those farthest from a verdict come
/// first, one tree each before anybody gets a second. Nobody gets more than are available. Ties: fewer trees counted
/// first, then the order of `needs`. The sum is `k`, or all trees available if these are fewer.
pub fn allocate(k: usize, needs: &[Need]) -> Vec<usize> {
    let mut given = vec![0; needs.len()];
    let mut left = k;
    let mut order: Vec<usize> = (0..needs.len()).collect();
    order.sort_by(|&a, &b| {
        let (a, b) = (&needs[a], &needs[b]);
        b.wanted().total_cmp(&a.wanted()).then(a.n.cmp(&b.n))
    });
    for round in 0..MIN_DRAW {
        for &i in &order {
            if left > 0 && needs[i].trees_available > round {
                given[i] += 1;
                left -= 1;
            }
        }
    }
    while left > 0 {
        let worth = |i: usize| (needs[i].wanted() + 1.0) / (given[i] as f64 + 1.0);
        let open = order
            .iter()
            .copied()
            .filter(|&i| given[i] < needs[i].trees_available);
        // the first of the most worth: `order` settles ties
        let next = open.reduce(|best, i| if worth(i) > worth(best) { i } else { best });
        let Some(next) = next else { break };
        given[next] += 1;
        left -= 1;
    }
    given
}

/// A random systematic sample: `k` of `len` trees that are laid end to end in walking order, as rising indices.
///
/// Random start, fixed fractional step `len`/`k`: every tree has the same chance k/len. All trees if `k >= len`. The
/// same `seed` always gives the same trees. Systematic sampling: Cochran, Sampling Techniques (1977), ch. 8 (from memory).
pub fn systematic(len: usize, k: usize, seed: u64) -> Vec<usize> {
    systematic_in(len, k, seed, 0)
}

/// As [`systematic`], on its own random stream: one stored seed serves several pruners (a stream each) without tying
/// one pruner's start to another's.
pub fn systematic_in(len: usize, k: usize, seed: u64, stream: u64) -> Vec<usize> {
    if k >= len {
        return (0..len).collect();
    }
    if k == 0 {
        return Vec::new();
    }
    let mut generator = ChaCha20Rng::seed_from_u64(seed);
    generator.set_stream(stream);
    // whole-number arithmetic: positions (start + i len) / k with a start in 0..len are exact at any size
    let (len, k) = (len as u128, k as u128);
    let start = u128::from(generator.random_range(0..len as u64));
    (0..k).map(|i| ((start + i * len) / k) as usize).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn need(trees_available: usize, more: More, n: u32) -> Need {
        Need {
            trees_available,
            more,
            n,
        }
    }

    #[test]
    fn the_farthest_from_a_verdict_get_more_and_all_get_two() {
        let needs = [
            need(50, More::Settled, 40),
            need(50, More::About(10), 20),
            need(50, More::About(40), 20),
            need(50, More::Unknown, 0),
        ];
        let given = allocate(20, &needs);
        assert_eq!(given.iter().sum::<usize>(), 20);
        assert_eq!(given[0], 2);
        assert!(given[1] < given[3] && given[3] < given[2], "{given:?}");
    }

    #[test]
    fn too_few_for_all_go_to_the_farthest() {
        let needs = [
            need(9, More::Settled, 40),
            need(9, More::TooClose, 40),
            need(9, More::Unknown, 3),
        ];
        assert_eq!(allocate(2, &needs), [0, 1, 1]);
        assert_eq!(allocate(4, &needs), [1, 2, 1]);
    }

    #[test]
    fn equal_needs_go_to_whom_has_been_counted_least() {
        let needs = [need(9, More::About(20), 12), need(9, More::About(20), 8)];
        assert_eq!(allocate(1, &needs), [0, 1]);
        assert_eq!(allocate(5, &needs), [2, 3]);
    }

    #[test]
    fn a_seed_fixes_the_draw() {
        assert_eq!(systematic(100, 6, 2026), PINNED);
        assert_eq!(systematic_in(100, 6, 2026, 3), PINNED_STREAM);
        assert_ne!(systematic(100, 6, 2026), systematic(100, 6, 2027));
    }
    // a new generator would give other trees for seeds that are already stored: then these change, and must not
    const PINNED: [usize; 6] = [8, 25, 41, 58, 75, 91];
    const PINNED_STREAM: [usize; 6] = [7, 24, 40, 57, 74, 90];

    #[test]
    fn every_tree_has_the_same_chance() {
        let (len, k, draws) = (17, 5, 20_000);
        let mut times = vec![0u32; len];
        for seed in 0..draws {
            for i in systematic(len, k, seed) {
                times[i] += 1;
            }
        }
        let expected = draws as f64 * k as f64 / len as f64;
        let sd = (expected * (1.0 - k as f64 / len as f64)).sqrt();
        for count in times {
            assert!((f64::from(count) - expected).abs() < 5.0 * sd);
        }
    }

    proptest! {
        #[test]
        fn draws_rise_within_range_and_are_spread(len in 0usize..3000, k in 0usize..200, seed in any::<u64>()) {
            let drawn = systematic(len, k, seed);
            prop_assert_eq!(drawn.len(), k.min(len));
            prop_assert!(drawn.iter().all(|&i| i < len));
            let step = if k == 0 { 0 } else { len.div_ceil(k) };
            for pair in drawn.windows(2) {
                prop_assert!(pair[0] < pair[1] && pair[1] - pair[0] <= step);
            }
        }

        #[test]
        fn all_trees_are_handed_out_and_never_too_many(
            k in 0usize..80,
            pruners in prop::collection::vec((0usize..20, 0u8..4, 0u32..60), 0..12),
        ) {
            let needs: Vec<Need> = pruners
                .into_iter()
                .map(|(trees, more, n)| {
                    let more = [More::Settled, More::About(20), More::TooClose, More::Unknown][more as usize];
                    need(trees, more, n)
                })
                .collect();
            let given = allocate(k, &needs);
            let available: usize = needs.iter().map(|n| n.trees_available).sum();
            prop_assert_eq!(given.iter().sum::<usize>(), k.min(available));
            let least_wanted: usize = needs.iter().map(|n| n.trees_available.min(MIN_DRAW)).sum();
            for (given, need) in given.iter().zip(&needs) {
                prop_assert!(*given <= need.trees_available);
                prop_assert!(k < least_wanted || *given >= need.trees_available.min(MIN_DRAW));
            }
        }
    }
}
