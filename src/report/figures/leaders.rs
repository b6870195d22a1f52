//! How much wood a leader has, by block: from trees that were counted whole, and from leaders that were counted in full.

use std::collections::HashMap;

use crate::orchard::{Block, BlockId, InFull, Part, Stage, TreeCount};

/// With fewer leaders counted nothing is said of a whole tree's wood.
const FEWEST: u32 = 4;
/// Running sums over trees of a block: leaders S of the tree, and pieces M of its leader, or the mean of its leaders.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct LeaderSums {
    pub n: u32,
    /// Sums of S, S M, S², S² M and S² M².
    s: f64,
    sm: f64,
    ss: f64,
    ssm: f64,
    ssmm: f64,
    /// Sum of M.
    pub m: f64,
    /// Pieces in the thirds of leaders counted in full.
    pub thirds: [f64; 3],
}

/// What is known of a leader's pieces.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct LeaderPieces {
    /// Pieces of a leader.
    pub mean: f64,
    /// Their relative variance.
    pub relative_variance: f64,
}

/// Sums of all blocks, kept up to date count by count.
pub(super) type BlockLeaders = HashMap<BlockId, LeaderSums>;

/// Takes a count in (`sign` 1), or out again (-1). Open ones, those before pruning and second counts say nothing.
pub(super) fn note(sums: &mut BlockLeaders, blocks: &[Block], count: &TreeCount, sign: f64) {
    let head = &count.head;
    if !count.closed || head.stage == Stage::Before || head.again {
        return;
    }
    let counted = match head.part {
        Part::Whole => {
            let block = blocks.iter().find(|block| block.id == head.block);
            let stems = f64::from(block.map_or(1, |block| block.stems));
            Some((stems, f64::from(count.tally.pieces()) / stems, [0.0; 3]))
        }
        Part::Runs(runs) => match runs.in_full {
            InFull::Counted(thirds) => {
                let thirds = thirds.map(f64::from);
                Some((f64::from(runs.leaders()), thirds.iter().sum(), thirds))
            }
            InFull::No | InFull::Asked => None,
        },
        Part::Stems(_) | Part::Zone(_) => None,
    };
    if let Some((s, m, thirds)) = counted {
        let of = sums.entry(head.block).or_default();
        of.n = of.n.saturating_add_signed(sign as i32);
        for (sum, one) in [
            (&mut of.s, s),
            (&mut of.sm, s * m),
            (&mut of.ss, s * s),
            (&mut of.ssm, s * s * m),
            (&mut of.ssmm, s * s * m * m),
            (&mut of.m, m),
        ] {
            *sum += sign * one;
        }
        for (sum, one) in of.thirds.iter_mut().zip(thirds) {
            *sum += sign * one;
        }
    }
}

impl LeaderSums {
    /// Pieces of a leader, each tree weighed by its leaders; none with fewer than four trees. A ratio of sums and its
    /// variance: Cochran, Sampling Techniques, 1977, ch. 6 (from memory).
    pub fn known(&self) -> Option<LeaderPieces> {
        if self.n < FEWEST || self.sm <= 0.0 {
            return None;
        }
        let n = f64::from(self.n);
        let mean = self.sm / self.s;
        let squares = self.ssmm - 2.0 * mean * self.ssm + mean * mean * self.ss;
        let variance = squares.max(0.0) / (n - 1.0) / n / (self.s / n).powi(2);
        Some(LeaderPieces {
            mean,
            relative_variance: variance / (mean * mean),
        })
    }
}
