//! How a pruner or a block stands against the rule: the figures. They are worked out in `build`.

mod build;
mod steadied;
mod touched;
mod wrong_age;

pub use touched::Touched;

use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::Serialize;

use super::wood::Offered;
use crate::judge::{Band, Judgement, WrongAge};
use crate::orchard::{Block, BlockId, BudLimit, MAX_BUDS, Pruner, PrunerId, Size, TreeCount};
use crate::outlook::ByAge;

/// Whom or what a standing is about.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case", tag = "kind")]
pub enum Subject {
    /// A pruner.
    Pruner {
        /// Identity.
        id: PrunerId,
        /// Number on the crew list.
        number: u16,
        /// As shown: number and, where wanted, name.
        shown: String,
    },
    /// A block.
    Block {
        /// Identity.
        id: BlockId,
        /// Name.
        shown: String,
    },
}

impl Subject {
    /// As shown.
    pub fn shown(&self) -> &str {
        match self {
            Self::Pruner { shown, .. } | Self::Block { shown, .. } => shown,
        }
    }

    /// The pruner; none where it is about a block.
    pub fn pruner_id(&self) -> Option<PrunerId> {
        match self {
            Self::Pruner { id, .. } => Some(*id),
            Self::Block { .. } => None,
        }
    }

    fn pruner(pruner: &Pruner) -> Self {
        Self::Pruner {
            id: pruner.id,
            number: pruner.number,
            shown: pruner.shown(),
        }
    }

    fn block(block: &Block) -> Self {
        Self::Block {
            id: block.id,
            shown: block.name.clone(),
        }
    }
}

/// Buds left on the units of one size, over all counted trees.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct BudFigures {
    /// The size.
    pub size: Size,
    /// Fewest buds the rule allows.
    pub least: u8,
    /// Most buds the rule allows.
    pub most: u8,
    /// Units by buds left, 0 to 7; the last stands for seven or more.
    pub units_by_buds: [u32; MAX_BUDS as usize + 1],
    /// Units counted.
    pub units: u32,
    /// Mean buds left a unit, a unit of seven or more taken as seven; none without units.
    pub mean_left: Option<f64>,
    /// Units with more buds than the rule allows.
    pub over: u32,
    /// Units with fewer buds than the rule allows.
    pub under: u32,
}

impl BudFigures {
    fn new(size: Size, limit: BudLimit, counts: &[&TreeCount]) -> Self {
        let mut units_by_buds = [0; MAX_BUDS as usize + 1];
        for count in counts {
            for (sum, units) in units_by_buds
                .iter_mut()
                .zip(count.tally.units[size.index()])
            {
                *sum += units;
            }
        }
        let with = |wanted: &dyn Fn(u8) -> bool| {
            (0u8..)
                .zip(units_by_buds)
                .filter(|(buds, _)| wanted(*buds))
                .map(|(_, units)| units)
                .sum()
        };
        let units: u32 = units_by_buds.iter().sum();
        let buds: u32 = (0..)
            .zip(units_by_buds)
            .map(|(buds, units): (u32, u32)| buds * units)
            .sum();
        Self {
            size,
            least: limit.least,
            most: limit.most,
            units_by_buds,
            units,
            mean_left: (units > 0).then(|| f64::from(buds) / f64::from(units)),
            over: with(&|buds| buds > limit.most),
            under: with(&|buds| buds < limit.least),
        }
    }

    /// The limit in words, such as `4` or `3-4`.
    pub fn limit_text(&self) -> String {
        BudLimit {
            least: self.least,
            most: self.most,
        }
        .text()
    }
}

/// The mean over the trees that were counted on one day.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct DayFigures {
    /// The day.
    pub day: NaiveDate,
    /// Trees counted.
    pub trees: u32,
    /// Mean share by age, youngest first; none without pieces.
    pub mix: Option<[f64; 4]>,
    /// Mean share of units within the bud limit; none without units.
    pub buds_within: Option<f64>,
}

/// How one pruner or one block stands. All shares in [0, 1]; means are means over trees.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Standing {
    /// Whom or what it is about.
    pub subject: Subject,
    /// Of a pruner: the blocks counted in, by name, or those pruned in where none was counted. Of a block: itself.
    pub blocks: Vec<String>,
    /// Pruners of a block whose trees have not been looked at, as shown; empty for a pruner.
    pub not_looked_at: Vec<String>,
    /// Share of a block's trees that those pruners pruned. Where more trees of a pruner were counted than the work log
    /// has, the counted ones are taken, as for the verdicts.
    pub unsampled: f64,
    /// Trees pruned, by the work log.
    pub pruned: u32,
    /// Trees counted.
    pub trees: u32,
    /// Of these, drawn.
    pub drawn: u32,
    /// Of these, counted on some of their stems only.
    pub in_part: u32,
    /// Wanted share by age.
    pub target: [f64; 4],
    /// What the rule accepts, by metric.
    pub bands: [Band; 5],
    /// Estimated share by age; none without pieces.
    pub mix: Option<[f64; 4]>,
    /// Pieces counted, by age. For information: no verdict rests on it.
    pub pieces: [u32; 4],
    /// Pieces on the average whole tree, over the trees with pieces: all pieces over all parts of trees that were
    /// counted (of a tree counted on some of its stems, that part). None without pieces.
    pub pieces_a_tree: Option<f64>,
    /// The same by age, beside [`Standing::offered`].
    #[serde(skip)]
    pub left: Option<ByAge>,
    /// What the trees of these blocks offered before pruning; none where fewer than four were counted then.
    pub offered: Option<Offered>,
    /// The verdicts.
    pub judgement: Judgement,
    /// Buds left, by size of unit.
    pub buds: [BudFigures; 3],
    /// How many of 100 pieces would have to be of another age, by the mix above. Where the mix weighs several pruners of
    /// a block or several blocks of a pruner, its interval is left open (0 to 1): none is known that holds for them.
    pub wrong_age: Option<WrongAge>,
    /// Upright one-year pieces left on the average whole tree; none without counts.
    pub upright_a_tree: Option<f64>,
    /// Thick pieces left in the top of the average whole tree; none without counts.
    pub thick_top_a_tree: Option<f64>,
    /// By day, oldest first.
    pub by_day: Vec<DayFigures>,
    /// Share of one-, two- and three-year wood (and older) of each counted tree, in order of counting.
    pub tree_mixes: Vec<[f64; 4]>,
}

impl Standing {
    /// Whether anything was pruned or counted.
    pub fn is_begun(&self) -> bool {
        self.pruned > 0 || self.trees > 0
    }

    /// Whether another standing, as of other days, is about the same under the same rule.
    pub fn is_same(&self, other: &Self) -> bool {
        let limits = |of: &Self| of.buds.each_ref().map(|size| (size.least, size.most));
        self.subject == other.subject && self.bands == other.bands && limits(self) == limits(other)
    }
}
