//! In which order the blocks are pruned: how much work must be done in all until each is through.

use serde::Serialize;

use crate::orchard::BlockId;

/// The order in which the blocks still to do are pruned.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Order {
    /// The whole crew finishes one before the next. Blocks not listed follow in the order of the plan.
    OneByOne(Vec<BlockId>),
    /// All those the crew worked in on the last ten days seen, each with its share of that work; when one is through,
    /// its share goes to the others in proportion. Blocks without a share come after these, all together, in
    /// proportion to the work left in them.
    SideBySide,
}

/// The order in the plan's own numbering.
pub(super) enum Queue {
    OneByOne(Vec<usize>),
    Shares(Vec<f64>),
}

impl Queue {
    /// `shares`: work seen lately, by block of the plan.
    pub fn new(order: &Order, blocks: &[BlockId], shares: Vec<f64>) -> Self {
        let Order::OneByOne(listed) = order else {
            return Self::Shares(shares);
        };
        let at = |block: &BlockId| {
            let place = listed.iter().position(|other| other == block);
            place.unwrap_or(listed.len())
        };
        let mut queue: Vec<usize> = (0..blocks.len()).collect();
        queue.sort_by_key(|&i| at(&blocks[i]));
        Self::OneByOne(queue)
    }

    /// For each block, the work done in all when it is through, from the work left in each. The largest is the sum.
    ///
    /// Both orders depend on nothing but the work done so far, so a faster crew runs through the same order faster,
    /// and no block is later for it.
    pub fn thresholds(&self, left: &[u64]) -> Vec<u64> {
        match self {
            Self::OneByOne(queue) => {
                let mut through = vec![0; left.len()];
                let mut sum = 0;
                for &i in queue {
                    sum += left[i];
                    through[i] = if left[i] == 0 { 0 } else { sum };
                }
                through
            }
            Self::Shares(shares) => side_by_side(shares, left),
        }
    }
}

/// A block with work l and share s is through at the time l/s, when each other has had min(its work, its share × l/s).
fn side_by_side(shares: &[f64], left: &[u64]) -> Vec<u64> {
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
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn one_after_the_other() {
        let queue = Queue::OneByOne(vec![2, 0, 1]);
        assert_eq!(queue.thresholds(&[10, 0, 5]), [15, 0, 5]);
    }

    #[test]
    fn side_by_side_by_shares() {
        // shares 1 : 3 with 10 and 60 left: when the first has its 10, the second has had 30 of its 60
        let queue = Queue::Shares(vec![1.0, 3.0, 0.0]);
        assert_eq!(queue.thresholds(&[10, 60, 8]), [40, 70, 78]);
    }

    proptest! {
        #[test]
        fn the_last_block_ends_with_the_work(
            blocks in proptest::collection::vec((0u64..1_000_000, 0u32..4), 1..30),
        ) {
            let (left, shares): (Vec<u64>, Vec<f64>) =
                blocks.iter().map(|(left, share)| (*left, f64::from(*share))).unzip();
            let all: u64 = left.iter().sum();
            for queue in [Queue::Shares(shares), Queue::OneByOne((0..left.len()).collect())] {
                let through = queue.thresholds(&left);
                let last = through.iter().max().copied().unwrap();
                prop_assert!(last.abs_diff(all) <= 1, "{} of {}", last, all);
                for (left, through) in left.iter().zip(through) {
                    prop_assert!(through + 1 >= *left && (*left > 0 || through == 0));
                }
            }
        }
    }
}
