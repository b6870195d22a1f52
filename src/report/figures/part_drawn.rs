//! The part of each drawn tree that is to be counted, and which part of its tree a count is of.

use std::collections::HashMap;

use super::leaders::LeaderPieces;
use super::season::Season;
use crate::judge::{Leaders, Seconds, THIRDS, Take, learned_pieces, learned_thirds, lot, runs};
use crate::orchard::{Block, BlockId, DrawnTree, InFull, Part, PieceRuns, TreeCount};

/// Pieces on a square metre of ground, and on a tree at most, where nothing is counted. From memory.
const TAKEN: (f64, f64) = (30.0, 400.0);
/// Where one run is counted of a tree, every tenth has two.
const TWO_OF_EVERY: usize = 10;
/// A leader is counted in full on the first of so many drawn trees of a block, and once [`ENOUGH`] are, on the first of
/// the second number.
const EVERY: [usize; 2] = [4, 12];
const ENOUGH: u32 = 12;

impl Season {
    /// Pieces of a block's leader; none where too few are counted.
    pub(super) fn leader_pieces(&self, block: BlockId) -> Option<LeaderPieces> {
        self.leaders.get(&block)?.known()
    }

    /// Part of its tree that a count is of, above 0, with that part's relative variance. None where it cannot be told: a
    /// count by leaders and pieces in a block of which too few leaders are counted in full.
    pub(super) fn part_of(&self, count: &TreeCount) -> Option<(f64, f64)> {
        let stems = || self.block(count.head.block).map_or(1, |block| block.stems);
        match count.head.part {
            Part::Whole => Some((1.0, 0.0)),
            Part::Stems(some) => Some((f64::from(some.max(1)) / f64::from(stems()), 0.0)),
            Part::Zone(zone) => Some((f64::from(zone.quarters().count_ones()) / 4.0, 0.0)),
            Part::Runs(runs) => {
                let leader = self.leader_pieces(count.head.block)?;
                let whole = f64::from(runs.leaders()) * leader.mean;
                let part = f64::from(runs.pieces().max(1)) / whole;
                Some((part, leader.relative_variance))
            }
        }
    }

    /// What is known and taken for granted of the leaders of a block.
    fn leaders_drawn(&self, block: &Block) -> Leaders {
        let sums = self.leaders.get(&block.id).copied().unwrap_or_default();
        let (a_metre, at_most) = TAKEN;
        let ground = block.row_spacing_m * block.tree_spacing_m;
        let taken = (a_metre * ground).min(at_most) / f64::from(block.stems);
        let thirds = if sums.thirds.iter().sum::<f64>() <= 0.0 {
            THIRDS
        } else {
            learned_thirds(sums.thirds)
        };
        Leaders {
            of: block.stems,
            pieces: learned_pieces(taken, sums.m, sums.n),
            thirds,
        }
    }

    /// What to count of the tree at this place of a draw; none: all of it.
    fn take_on(&self, leaders: &Leaders, place: usize) -> Option<Take> {
        let usual = Take::on(leaders.of, leaders.pieces)?;
        if usual != Take::USUAL {
            return Some(usual);
        }
        let mut take = self.learned.take(leaders.of, self.take_now());
        if take.runs == 1 && place.is_multiple_of(TWO_OF_EVERY) {
            // with one run on each tree nothing more would be learned of how alike runs are
            take.runs = 2;
        }
        Some(take)
    }

    /// What was counted of trees last: it stays until another way is clearly better.
    fn take_now(&self) -> Take {
        let drawn = self.draws.iter().rev().flat_map(|draw| &draw.trees);
        let takes = drawn.filter_map(|tree| {
            let runs = tree.runs?;
            Some(Take {
                runs: runs.iter().count() as u8,
                pieces: runs.iter().next()?.pieces,
            })
        });
        // three short runs are of short leaders alone
        let of_long = takes.filter(|take| *take != Take::SHORT);
        of_long.take(1).next().unwrap_or(Take::USUAL)
    }

    /// What is counted of most trees that are drawn, and the seconds that one takes with its walk; none where they are
    /// counted whole.
    pub fn usual_take(&self) -> Option<(Take, f64)> {
        let take = self.learned.take(u8::MAX, self.take_now());
        let seconds = self.learned.seconds.unwrap_or(Seconds::USUAL);
        (!self.whole_trees).then(|| (take, seconds.of(take)))
    }

    /// Trees that the seconds of [`Season::usual_take`] are learned from; 0 where they are taken from memory.
    pub fn trees_timed(&self) -> u32 {
        self.learned.seconds.map_or(0, |_| self.learned.trees)
    }

    /// Gives the trees of a draw the part of each that is to be counted.
    pub(super) fn with_runs(&self, mut trees: Vec<DrawnTree>, seed: u64) -> Vec<DrawnTree> {
        if self.whole_trees {
            return trees;
        }
        let mut asked: HashMap<BlockId, (usize, u32)> = HashMap::new();
        for tree in self.draws.iter().flat_map(|draw| &draw.trees) {
            if let Some(runs) = tree.runs {
                ask(
                    asked.entry(tree.block).or_default(),
                    runs.in_full != InFull::No,
                );
            }
        }
        for (place, tree) in trees.iter_mut().enumerate() {
            let Some(block) = self.block(tree.block) else {
                continue;
            };
            let leaders = self.leaders_drawn(block);
            let Some(take) = self.take_on(&leaders, place) else {
                continue;
            };
            let known = self.leaders.get(&block.id).map_or(0, |sums| sums.n);
            let so_far = asked.entry(block.id).or_default();
            let every = EVERY[usize::from(so_far.1.max(known) >= ENOUGH)];
            let in_full = so_far.1 == 0 && known < ENOUGH || so_far.0 + 1 >= every;
            ask(so_far, in_full);
            let in_full = if in_full { InFull::Asked } else { InFull::No };
            let drawn = runs(&leaders, take, lot(seed, place));
            tree.runs = PieceRuns::new(leaders.of, drawn, in_full).ok();
        }
        trees
    }
}

/// Notes one more tree: drawn ones since the last leader in full, and leaders in full.
fn ask((since, asked): &mut (usize, u32), in_full: bool) {
    *since = if in_full { 0 } else { *since + 1 };
    *asked += u32::from(in_full);
}
