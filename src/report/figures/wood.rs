//! The wood a tree, by block: what was offered before pruning, and what was left after it.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Serialize;

use super::season::{Period, Season};
use crate::orchard::{Age, BlockId, Part, Size, Stage, TreeCount};
use crate::outlook::{ByAge, Counted, TreeWood, counted};

/// With fewer trees counted before pruning, nothing is said of what the trees offered.
pub const MIN_OFFERED: u32 = 4;

/// Pieces by age on the average whole tree: a ratio of sums, in which each tree weighs by the part of it that was
/// counted. A tree of which only buds were tapped says nothing of them and is left out; a bare tree has none.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
struct PiecesATree {
    /// Trees with pieces.
    trees: u32,
    pieces: ByAge,
    parts: f64,
}

impl PiecesATree {
    fn add(&mut self, pieces: [u32; 4], part: f64) {
        self.join(&Self {
            trees: 1,
            pieces: pieces.map(f64::from),
            parts: part,
        });
    }

    /// A tree on which nothing was left, or offered.
    fn add_bare(&mut self, part: f64) {
        self.parts += part;
    }

    fn join(&mut self, other: &Self) {
        self.trees += other.trees;
        self.parts += other.parts;
        for (sum, pieces) in self.pieces.iter_mut().zip(other.pieces) {
            *sum += pieces;
        }
    }

    fn mean(&self) -> Option<ByAge> {
        (self.trees > 0).then(|| self.pieces.map(|pieces| pieces / self.parts))
    }
}

/// The counted trees of one block and one stage.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Trees {
    /// Trees counted.
    pub trees: u32,
    /// Of these, in part only.
    pub in_part: u32,
    /// Units counted by size: thin, medium, thick.
    pub sizes: [f64; 3],
    pieces: PiecesATree,
    wood: Vec<TreeWood>,
}

impl Trees {
    /// Takes a count in, of this part of its tree; where that is not known, it says nothing of amounts.
    fn add(&mut self, count: &TreeCount, part: Option<(f64, f64)>) {
        self.trees += 1;
        self.in_part += u32::from(count.head.part != Part::Whole);
        for size in Size::ALL {
            self.sizes[size.index()] += f64::from(count.tally.units_of(size));
        }
        let Some((part, relative_variance)) = part else {
            return;
        };
        let wood = TreeWood::of(&count.tally, part, relative_variance);
        if count.tally.is_empty() {
            self.pieces.add_bare(wood.part);
        } else if count.tally.pieces() > 0 {
            let mut pieces = count.tally.ages;
            // more units than two-year pieces: each unit is such a piece
            pieces[Age::Two.index()] = wood.two_year;
            self.pieces.add(pieces, wood.part);
        }
        self.wood.push(wood);
    }

    /// Pieces on the average whole tree, by age, over the trees with pieces and the bare ones; each weighs by the part of
    /// it that was counted. None without a tree with pieces.
    pub fn pieces(&self) -> Option<ByAge> {
        self.pieces.mean()
    }

    /// Units a tree and buds a unit, with their errors; none where no buds were counted.
    pub fn counted(&self) -> Option<Counted> {
        counted(&self.wood)
    }
}

/// The counted wood of all blocks.
#[derive(Debug, Clone, Default)]
pub struct Wood {
    before: BTreeMap<BlockId, Trees>,
    after: BTreeMap<BlockId, Trees>,
}

impl Wood {
    /// What the trees of a block offered; none where fewer than [`MIN_OFFERED`] with pieces were counted.
    pub fn before(&self, block: BlockId) -> Option<&Trees> {
        self.before
            .get(&block)
            .filter(|trees| trees.pieces.trees >= MIN_OFFERED)
    }

    /// What was left on a block's trees; none where none was counted.
    pub fn after(&self, block: BlockId) -> Option<&Trees> {
        self.after.get(&block)
    }

    /// What the trees of some blocks offered together; none where too few were counted.
    pub fn offered(&self, blocks: impl Iterator<Item = BlockId>) -> Option<Offered> {
        let mut all = PiecesATree::default();
        for block in blocks {
            if let Some(trees) = self.before.get(&block) {
                all.join(&trees.pieces);
            }
        }
        let pieces = all.mean().filter(|_| all.trees >= MIN_OFFERED)?;
        Some(Offered {
            trees: all.trees,
            pieces,
        })
    }
}

/// What trees offered before pruning.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct Offered {
    /// Trees with pieces that were counted before pruning.
    pub trees: u32,
    /// Pieces on the average whole tree, by age.
    pub pieces: ByAge,
}

impl Season {
    /// The counted wood of all blocks, in one reading of the counts.
    pub fn wood(&self, period: Period) -> Wood {
        Wood {
            before: self.trees_of(Stage::Before, period),
            after: self.trees_of(Stage::After, period),
        }
    }

    /// The wood that was offered, alone.
    pub(super) fn wood_offered(&self, period: Period) -> Wood {
        Wood {
            before: self.trees_of(Stage::Before, period),
            after: BTreeMap::new(),
        }
    }

    /// Pieces as they were tapped on the average whole tree, by age, over the counts with pieces and those of bare trees;
    /// none without pieces.
    pub(super) fn pieces_of(&self, counts: &[&TreeCount]) -> Option<ByAge> {
        let mut all = PiecesATree::default();
        for count in counts {
            let Some((part, _)) = self.part_of(count) else {
                continue;
            };
            if count.tally.is_empty() {
                all.add_bare(part);
            } else if count.tally.pieces() > 0 {
                all.add(count.tally.ages, part);
            }
        }
        all.mean()
    }

    fn trees_of(&self, stage: Stage, period: Period) -> BTreeMap<BlockId, Trees> {
        let mut by_block: BTreeMap<BlockId, Trees> = BTreeMap::new();
        for count in self.standing_counts(stage, period) {
            if let Some(block) = self.block(count.head.block) {
                let trees = by_block.entry(block.id).or_default();
                trees.add(count, self.part_of(count));
            }
        }
        by_block
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bare_tree_makes_the_average_less_and_is_no_evidence_alone() {
        let mut all = PiecesATree::default();
        all.add_bare(1.0);
        assert_eq!(all.mean(), None);
        all.add([6, 4, 2, 0], 1.0);
        assert_eq!(all.mean(), Some([3.0, 2.0, 1.0, 0.0]));
        assert_eq!(all.trees, 1, "trees with pieces");
    }
}
