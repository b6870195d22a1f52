//! The brief of a block: what to leave for its aim, and what that rests on.

use chrono::{Datelike, NaiveDate};
use schemars::JsonSchema;
use serde::Serialize;

use super::season::Season;
use super::wood::Wood;
use crate::orchard::{Age, Block, BlockId, BudLimit, Invalid, Language, Winter};
use crate::outlook::{
    AlternateBearing, BlockBook, Brief, BriefInput, ByAge, Caution, Factor, FactorKind, Factors,
    Growing, SeasonYield, Source, Target, alternate_bearing, brief, buds_per_unit, caution,
};

/// Numbers taken instead of those that hold; nothing of it is stored.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, JsonSchema)]
pub struct Taken {
    /// The aim.
    pub aim: Option<Target>,
    /// Fruit weight, g.
    pub fruit_weight_g: Option<f64>,
    /// Clusters kept per fruit bud.
    pub set: Option<f64>,
    /// Buds left on a unit.
    pub buds_per_unit: Option<f64>,
}

impl Taken {
    /// Whether anything is taken otherwise.
    pub fn is_any(&self) -> bool {
        *self != Self::default()
    }

    fn factors(&self, mut factors: Factors) -> Result<Factors, Invalid> {
        let taken = [
            (FactorKind::FruitWeight, self.fruit_weight_g),
            (FactorKind::Set, self.set),
        ];
        for (kind, value) in taken {
            if let Some(value) = value {
                let sd = factors.get(kind).sd();
                factors = factors.with(Factor::new(kind, value, sd, Source::Entered)?);
            }
        }
        Ok(factors)
    }
}

/// One factor beside where it comes from.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct FactorLine {
    /// The factor.
    pub kind: FactorKind,
    /// Where it comes from; none where it is taken for this once.
    pub from: Option<Source>,
    /// Its value.
    pub value: f64,
    /// 10 % point.
    pub lo: f64,
    /// 90 % point.
    pub hi: f64,
}

impl FactorLine {
    fn new(factor: &Factor, what_if: &Taken) -> Self {
        let (lo, hi) = factor.range();
        let taken = match factor.kind() {
            FactorKind::FruitWeight => what_if.fruit_weight_g.is_some(),
            FactorKind::Set => what_if.set.is_some(),
            _ => false,
        };
        Self {
            kind: factor.kind(),
            from: (!taken).then(|| factor.source()),
            value: factor.value(),
            lo,
            hi,
        }
    }
}

/// Where the buds left on a unit come from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum BudsFrom {
    /// Taken for this once.
    Taken,
    /// The rule, over the sizes of unit that were counted.
    Counted,
    /// The rule, over a third of the units of each size: from memory.
    Thirds,
}

/// Where growth and losses come from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum GrowthFrom {
    /// Entered for the block.
    Entered,
    /// Growth from the trees counted before pruning, losses from memory.
    Counts,
    /// Both from memory.
    Memory,
    /// Losses from memory; growth is not known.
    LossesOnly,
}

/// Growth and losses, with where they come from.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct GrowthLine {
    /// New one-year pieces a tree each winter; none where neither the block nor a count nor an aim says.
    pub grown: Option<f64>,
    /// Share of the pieces of each age that is there at the next pruning.
    pub survival: ByAge,
    /// Where it comes from.
    pub from: GrowthFrom,
}

impl GrowthLine {
    fn new(grown: Option<f64>, survival: ByAge, from: GrowthFrom) -> Self {
        Self {
            grown,
            survival,
            from,
        }
    }
}

/// The brief of one block.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct BriefSheet {
    /// Language of the sheet; data say the same in any.
    pub language: Language,
    /// The orchard's name; may be empty.
    pub orchard: String,
    /// The winter's label.
    pub winter: String,
    /// The day.
    pub day: NaiveDate,
    /// The block.
    pub block: BlockId,
    /// Its name.
    pub block_name: String,
    /// Year of the harvest that this winter's pruning is for.
    pub season: i32,
    /// Trees a hectare.
    pub trees_per_ha: f64,
    /// Stems a tree.
    pub stems: u8,
    /// What is taken otherwise than it stands; nothing of it is stored.
    pub what_if: Taken,
    /// What the block is to bear; none where no aim is set.
    pub aim: Option<Target>,
    /// Buds left on a unit on average.
    pub buds_per_unit: f64,
    /// Where that comes from.
    pub buds_from: BudsFrom,
    /// Buds that may stay, by size.
    pub bud_limits: [BudLimit; 3],
    /// Shares of the ages that the rule asks for.
    pub rule_target: ByAge,
    /// What to leave; none without an aim.
    pub brief: Option<Brief>,
    /// The factors, in the order of the chain.
    pub factors: Vec<FactorLine>,
    /// Growth and losses.
    pub growth: GrowthLine,
    /// Yields by season, t/ha.
    pub yields: Vec<SeasonYield>,
    /// Alternate bearing; none without two seasons that follow each other.
    pub bearing: Option<AlternateBearing>,
    /// What the last season means for the brief.
    pub caution: Caution,
}

/// All that the figures of a block are made from.
pub(super) struct Ground<'a> {
    pub season: &'a Season,
    pub block: &'a Block,
    pub book: BlockBook,
    pub factors: Factors,
    pub aim: Option<Target>,
    pub buds_per_unit: f64,
    pub buds_from: BudsFrom,
}

impl<'a> Ground<'a> {
    pub fn new(
        season: &'a Season,
        block: &'a Block,
        wood: &Wood,
        what_if: &Taken,
    ) -> Result<Self, Invalid> {
        let book = season.crop.of(block.id);
        let factors = what_if.factors(book.calibrated()?)?;
        let sizes = wood.after(block.id).map(|trees| trees.sizes);
        let sizes = sizes.filter(|sizes| sizes.iter().sum::<f64>() > 0.0);
        let by_rule = buds_per_unit(season.rule(block.id), sizes);
        let buds_from = match (what_if.buds_per_unit, sizes) {
            (Some(_), _) => BudsFrom::Taken,
            (None, Some(_)) => BudsFrom::Counted,
            (None, None) => BudsFrom::Thirds,
        };
        Ok(Self {
            season,
            block,
            aim: what_if.aim.or(book.aim),
            book,
            factors,
            buds_per_unit: what_if.buds_per_unit.unwrap_or(by_rule),
            buds_from,
        })
    }

    pub fn survival(&self) -> ByAge {
        self.book
            .growth
            .map_or(Growing::SURVIVAL, |growth| growth.survival)
    }

    pub fn brief(&self) -> Result<Option<Brief>, Invalid> {
        let Some(target) = self.aim else {
            return Ok(None);
        };
        let input = BriefInput {
            target,
            trees_per_ha: self.block.trees_per_ha(),
            stems: self.block.stems,
            buds_per_unit: self.buds_per_unit,
            survival: self.survival(),
        };
        brief(&input, &self.factors, self.season.rule(self.block.id)).map(Some)
    }

    pub fn factor_lines(&self, what_if: &Taken) -> Vec<FactorLine> {
        let all = self.factors.all();
        all.iter()
            .map(|factor| FactorLine::new(factor, what_if))
            .collect()
    }

    /// Growth of its own, else what the trees counted before pruning offered of one-year wood, else half as much
    /// again as the `units` wanted ask for.
    pub fn growth(&self, wood: &Wood, units: Option<f64>) -> GrowthLine {
        let offered = wood
            .before(self.block.id)
            .and_then(super::wood::Trees::pieces);
        if let Some(own) = self.book.growth {
            return GrowthLine::new(Some(own.grown), own.survival, GrowthFrom::Entered);
        }
        let (grown, from) = match (offered, units) {
            (Some(offered), _) => (Some(offered[Age::One.index()]), GrowthFrom::Counts),
            (None, Some(units)) => {
                let targets = crate::outlook::Targets::of(self.season.rule(self.block.id), units);
                (Some(Growing::unknown(&targets).grown), GrowthFrom::Memory)
            }
            (None, None) => (None, GrowthFrom::LossesOnly),
        };
        GrowthLine::new(grown, Growing::SURVIVAL, from)
    }
}

/// Year of the harvest that a winter's pruning is for, and of the one before it. Where buds burst in the first half of
/// the year the fruit is picked in the same year; in the south it is picked in the next.
pub fn harvest_year(winter: &Winter) -> i32 {
    let budburst = winter.budburst;
    budburst.year() + i32::from(budburst.month() > 6)
}

impl Season {
    /// The brief of a block; `wood` is that of [`Season::wood`]. Fails where a number cannot be.
    pub fn brief(
        &self,
        block: BlockId,
        wood: &Wood,
        what_if: &Taken,
        day: NaiveDate,
    ) -> Result<BriefSheet, Invalid> {
        let block = self
            .block(block)
            .ok_or_else(|| Invalid::new("block", "is gone"))?;
        let ground = Ground::new(self, block, wood, what_if)?;
        let made = ground.brief()?;
        let trees_per_ha = block.trees_per_ha();
        let yields = ground.book.yields(trees_per_ha);
        let season = harvest_year(&self.winter);
        let bud_limits = self.rule(block.id).buds;
        Ok(BriefSheet {
            language: self.sheet_language,
            orchard: self.orchard.clone(),
            winter: self.winter.label.clone(),
            day,
            block: block.id,
            block_name: block.name.clone(),
            season,
            trees_per_ha,
            stems: block.stems,
            what_if: *what_if,
            aim: ground.aim,
            buds_per_unit: ground.buds_per_unit,
            buds_from: ground.buds_from,
            bud_limits,
            rule_target: self.rule(block.id).target(),
            factors: ground.factor_lines(what_if),
            growth: ground.growth(wood, made.map(|made| made.tree.units)),
            brief: made,
            bearing: alternate_bearing(&yields)?,
            caution: caution(&yields, season - 1)?,
            yields,
        })
    }
}
