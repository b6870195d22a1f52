//! The wood a tree, by block: what was offered before pruning, and what was left after it.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Serialize;

use super::season::{Period, Season};
use crate::orchard::{Age, BlockId, Part, Size, Stage, TreeCount};
use crate::outlook::{ByAge, Counted, TreeWood, counted};

/// With fewer trees counted before pruning, nothing is said of what the trees offered.
pub const MIN_OFFERED: u32 = 4;

/// The counted trees of one block and one stage.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Trees {
    /// Trees counted.
    pub trees: u32,
    /// Of these, on some stems only.
    pub in_part: u32,
    /// Units counted by size: thin, medium, thick.
    pub sizes: [f64; 3],
    pieces: ByAge,
    parts: f64,
    wood: Vec<TreeWood>,
}

impl Trees {
    fn add(&mut self, count: &TreeCount, stems: u8) {
        let seen = match count.head.part {
            Part::Whole => stems,
            Part::Stems(some) => some,
        };
        let wood = TreeWood::of(&count.tally, seen, stems);
        self.trees += 1;
        self.in_part += u32::from(count.head.part != Part::Whole);
        for age in 0..4 {
            // more units than two-year pieces: each unit is such a piece
            let pieces = if age == Age::Two.index() {
                wood.two_year
            } else {
                count.tally.ages[age]
            };
            self.pieces[age] += f64::from(pieces);
        }
        for size in Size::ALL {
            self.sizes[size.index()] += f64::from(count.tally.units_of(size));
        }
        self.parts += wood.part;
        self.wood.push(wood);
    }

    /// Pieces on the average whole tree, by age; each tree weighs by the part of it that was counted.
    pub fn pieces(&self) -> Option<ByAge> {
        (self.parts > 0.0).then(|| self.pieces.map(|pieces| pieces / self.parts))
    }

    /// Units a tree and buds a unit, with their errors; none where no buds were counted.
    pub fn counted(&self) -> Option<Counted> {
        counted(&self.wood)
    }

    fn join(&mut self, other: &Self) {
        self.trees += other.trees;
        self.parts += other.parts;
        for (sum, pieces) in self.pieces.iter_mut().zip(other.pieces) {
            *sum += pieces;
        }
    }
}

/// The counted wood of all blocks.
#[derive(Debug, Clone, Default)]
pub struct Wood {
    before: BTreeMap<BlockId, Trees>,
    after: BTreeMap<BlockId, Trees>,
}

impl Wood {
    /// What the trees of a block offered; none where fewer than [`MIN_OFFERED`] were counted.
    pub fn before(&self, block: BlockId) -> Option<&Trees> {
        self.before
            .get(&block)
            .filter(|trees| trees.trees >= MIN_OFFERED)
    }

    /// What was left on a block's trees; none where none was counted.
    pub fn after(&self, block: BlockId) -> Option<&Trees> {
        self.after.get(&block)
    }

    /// What the trees of some blocks offered together; none where too few were counted.
    pub fn offered(&self, blocks: impl Iterator<Item = BlockId>) -> Option<Offered> {
        let mut all = Trees::default();
        for block in blocks {
            if let Some(trees) = self.before.get(&block) {
                all.join(trees);
            }
        }
        let pieces = all.pieces().filter(|_| all.trees >= MIN_OFFERED)?;
        Some(Offered {
            trees: all.trees,
            pieces,
        })
    }
}

/// What trees offered before pruning.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct Offered {
    /// Trees counted before pruning.
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

    fn trees_of(&self, stage: Stage, period: Period) -> BTreeMap<BlockId, Trees> {
        let mut by_block: BTreeMap<BlockId, Trees> = BTreeMap::new();
        for count in self.standing_counts(stage, period) {
            if let Some(block) = self.block(count.head.block) {
                let trees = by_block.entry(block.id).or_default();
                trees.add(count, block.stems);
            }
        }
        by_block
    }
}
