//! The outlook of a block: what its counted wood bears, and what becomes of the wood in the winters ahead.

use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::Serialize;

use super::brief::{FactorLine, Ground, GrowthLine, Taken, harvest_year};
use super::season::Season;
use super::wood::{Offered, Trees, Wood};
use crate::orchard::{BlockId, Invalid};
use crate::outlook::{
    ByAge, Carries, Counted, Growing, Mean, Mend, Outset, Potential, Scenario, Targets, Year, mend,
    outlook, potential,
};

/// What was left of one block, beside what its trees offered.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Left {
    /// Trees counted after pruning.
    pub trees: u32,
    /// Of these, on some stems only.
    pub in_part: u32,
    /// Pieces left on the average whole tree, by age.
    pub pieces: ByAge,
    /// What the trees offered; none where fewer than four were counted before pruning.
    pub offered: Option<Offered>,
    /// Share of the offered pieces that was left, by age; none where nothing of the age was offered. Above 1 where
    /// the trees counted after pruning had more than those counted before.
    pub kept: [Option<f64>; 4],
}

/// The crop that the counted wood can bear.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct CropLine {
    /// Units a tree.
    pub units: Mean,
    /// Buds a unit.
    pub buds_per_unit: Mean,
    /// The crop with its range.
    pub potential: Potential,
}

/// The winters ahead in one scenario.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Ahead {
    /// Which.
    pub scenario: Scenario,
    /// This winter and those after it.
    pub years: Vec<Year>,
}

/// The outlook of one block.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct OutlookSheet {
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
    /// What is taken otherwise than it stands; nothing of it is stored.
    pub what_if: Taken,
    /// What was left; none where no wood was counted after pruning.
    pub left: Option<Left>,
    /// The crop of the counted wood; none where no buds were counted.
    pub crop: Option<CropLine>,
    /// Units a tree that are wanted.
    pub units_wanted: Option<f64>,
    /// Whether they come from the aim; without an aim they are those that were counted.
    pub units_from_aim: bool,
    /// Growth and losses.
    pub growth: GrowthLine,
    /// The factors, in the order of the chain.
    pub factors: Vec<FactorLine>,
    /// The three scenarios; empty where no wood was counted after pruning, or where neither buds were counted nor an aim
    /// is set: nothing says then how many units a tree is to have.
    pub ahead: Vec<Ahead>,
    /// What to leave to be back in balance soonest.
    pub mend: Option<Mend>,
}

impl Season {
    /// The outlook of a block; `wood` is that of [`Season::wood`]. Fails where a number cannot be.
    pub fn outlook(
        &self,
        block: BlockId,
        wood: &Wood,
        what_if: &Taken,
        day: NaiveDate,
    ) -> Result<OutlookSheet, Invalid> {
        let block = self
            .block(block)
            .ok_or_else(|| Invalid::new("block", "is gone"))?;
        let ground = Ground::new(self, block, wood, what_if)?;
        let after = wood.after(block.id);
        let left = after.and_then(|after| left(after, wood, block.id));
        let crop = crop(&ground, after)?;
        let aimed = ground.brief()?.map(|brief| brief.tree.units);
        let as_counted = crop.map(|crop| crop.units.mean);
        let units_wanted = aimed.or(as_counted).filter(|units| *units >= 0.1);
        let growth = ground.growth(wood, units_wanted);
        let (ahead, mend) = match (&left, units_wanted) {
            (Some(left), Some(units)) => ahead(&ground, left, crop, (units, growth))?,
            _ => (Vec::new(), None),
        };
        Ok(OutlookSheet {
            orchard: self.orchard.clone(),
            winter: self.winter.label.clone(),
            day,
            block: block.id,
            block_name: block.name.clone(),
            season: harvest_year(&self.winter),
            what_if: *what_if,
            left,
            crop,
            units_wanted,
            units_from_aim: aimed.is_some(),
            growth,
            factors: ground.factor_lines(what_if),
            ahead,
            mend,
        })
    }

    /// The crop of a block's counted wood alone, as [`Season::outlook`] has it: quick, for lists.
    pub fn crop_of(&self, block: BlockId, wood: &Wood) -> Result<Option<CropLine>, Invalid> {
        let Some(found) = self.block(block) else {
            return Ok(None);
        };
        let ground = Ground::new(self, found, wood, &Taken::default())?;
        crop(&ground, wood.after(block))
    }
}

fn left(after: &Trees, wood: &Wood, block: BlockId) -> Option<Left> {
    let pieces = after.pieces()?;
    let offered = wood.offered(std::iter::once(block));
    let kept = std::array::from_fn(|age| {
        let of = offered?.pieces[age];
        (of > 0.0).then(|| pieces[age] / of)
    });
    Some(Left {
        trees: after.trees,
        in_part: after.in_part,
        pieces,
        offered,
        kept,
    })
}

fn crop(ground: &Ground<'_>, after: Option<&Trees>) -> Result<Option<CropLine>, Invalid> {
    let Some(counted) = after.and_then(Trees::counted) else {
        return Ok(None);
    };
    let Counted::Units {
        units,
        buds_per_unit,
    } = counted
    else {
        return Ok(None);
    };
    let potential = potential(&counted, &ground.factors, ground.block.trees_per_ha())?;
    Ok(Some(CropLine {
        units,
        buds_per_unit,
        potential,
    }))
}

/// As pruned, the wood carries the buds a unit that were counted; mended and on the rule, those that are planned.
fn ahead(
    ground: &Ground<'_>,
    left: &Left,
    crop: Option<CropLine>,
    (units, growth): (f64, GrowthLine),
) -> Result<(Vec<Ahead>, Option<Mend>), Invalid> {
    let rule = ground.season.rule(ground.block.id);
    let targets = Targets::of(rule, units);
    let growing = Growing {
        grown: growth
            .grown
            .unwrap_or_else(|| Growing::unknown(&targets).grown),
        survival: growth.survival,
    };
    let counted_buds = crop.map_or(ground.buds_per_unit, |crop| crop.buds_per_unit.mean);
    // beyond that a spread says nothing more
    let counts_cv = crop.and_then(|crop| crop.potential.counts_cv.map(|cv| cv.min(2.0)));
    let outset = |buds: f64, counts_cv| Outset {
        left: left.pieces,
        offered: left.offered.map(|offered| offered.pieces),
        growing,
        rule,
        units,
        carries: Carries {
            buds_per_piece: [0.0, buds, 0.0, 0.0],
            trees_per_ha: ground.block.trees_per_ha(),
            counts_cv,
        },
        factors: &ground.factors,
    };
    let planned = outset(ground.buds_per_unit, counts_cv);
    let mut scenarios = Vec::new();
    for scenario in Scenario::ALL {
        let from = match scenario {
            Scenario::AsPruned => outset(counted_buds, counts_cv),
            Scenario::MendedNow => planned,
            Scenario::OnTheRule => outset(ground.buds_per_unit, Some(0.0)),
        };
        scenarios.push(Ahead {
            scenario,
            years: outlook(&from, scenario)?,
        });
    }
    Ok((scenarios, Some(mend(&planned)?)))
}
