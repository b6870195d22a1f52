//! How the crew spreads over the blocks: how much work must be done in all until each is through.
//!
//! All blocks that the crew worked in on the last ten days seen go on side by side, each with its share of that work;
//! when one is through, its share goes to the others in proportion. Blocks without a share come after these, all
//! together, in proportion to the work left in them.

/// For each block, the work done in all when it is through, from the shares of the blocks and the work left in each.
/// The largest is the sum.
///
/// It depends on nothing but the work done so far, so a faster crew runs through the same order faster, and no block is
/// later for it. A block with work l and share s is through at the time l/s, when each other has had
/// min(its work, its share × l/s).
pub(super) fn thresholds(shares: &[f64], left: &[u64]) -> Vec<u64> {
    let all: u64 = left.iter().sum();
    let mut through: Vec<u64> = left.iter().map(|&l| if l > 0 { all } else { 0 }).collect();
    let mut order: Vec<(f64, usize)> = (0..left.len())
        .filter(|&i| shares[i] > 0.0 && left[i] > 0)
        .map(|i| (left[i] as f64 / shares[i], i))
        .collect();
    order.sort_unstable_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
    let shared: u64 = order.iter().map(|(_, i)| left[*i]).sum();
    let mut open: f64 = order.iter().map(|(_, i)| shares[*i]).sum();
    let mut finished = 0;
    for (time, i) in order {
        through[i] = (finished as f64 + open * time).round().min(shared as f64) as u64;
        finished += left[i];
        open = (open - shares[i]).max(0.0);
    }
    through
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn side_by_side_by_shares() {
        // shares 1 : 3 with 10 and 60 left: when the first has its 10, the second has had 30 of its 60
        assert_eq!(thresholds(&[1.0, 3.0, 0.0], &[10, 60, 8]), [40, 70, 78]);
    }

    proptest! {
        #[test]
        fn the_last_block_ends_with_the_work(
            blocks in proptest::collection::vec((0u64..1_000_000, 0u32..4), 1..30),
        ) {
            let (left, shares): (Vec<u64>, Vec<f64>) =
                blocks.iter().map(|(left, share)| (*left, f64::from(*share))).unzip();
            let all: u64 = left.iter().sum();
            let through = thresholds(&shares, &left);
            let last = through.iter().max().copied().unwrap();
            prop_assert!(last.abs_diff(all) <= 1, "{} of {}", last, all);
            for (left, through) in left.iter().zip(through) {
                prop_assert!(through + 1 >= *left && (*left > 0 || through == 0));
            }
        }
    }
}
