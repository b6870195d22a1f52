//! The brief: from a target crop to the fruit, clusters, buds, units and pieces that a tree should be left with.

use super::factor::Factors;
use super::kind::FactorKind;
use super::wood::{ByAge, Growing, Targets};
use crate::orchard::limits::{GIRTH_CM, STEMS};
use crate::orchard::{Age, Invalid, Rule, Size, within};
use schemars::JsonSchema;
use serde::Serialize;

/// What the block is to bear.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Target {
    /// Harvested crop, t/ha, 0.1 to 300.
    TonnesPerHa(f64),
    /// Harvested fruit a tree, 1 to 20,000.
    FruitPerTree(f64),
    /// Harvested fruit by the trunk's cross-section.
    FruitPerTcsa {
        /// Fruit per cm² of trunk cross-section, 0.1 to 50.
        fruit_per_cm2: f64,
        /// Girth of the trunk, cm, 1 to 300.
        girth_cm: f64,
    },
}

impl Target {
    /// The target, where its numbers can be.
    pub fn checked(self) -> Result<Self, Invalid> {
        match self {
            Self::TonnesPerHa(tonnes) => within("tonnes_per_ha", tonnes, &(0.1..=300.0))?,
            Self::FruitPerTree(fruit) => within("fruit_per_tree", fruit, &(1.0..=20_000.0))?,
            Self::FruitPerTcsa {
                fruit_per_cm2,
                girth_cm,
            } => {
                within("fruit_per_cm2", fruit_per_cm2, &(0.1..=50.0))?;
                within("girth_cm", girth_cm, &GIRTH_CM)?
            }
        };
        Ok(self)
    }
}

/// Trunk cross-sectional area, cm², of a girth (circumference) in cm: C² / (4 π), a circle's area.
pub fn tcsa_cm2(girth_cm: f64) -> f64 {
    girth_cm * girth_cm / (4.0 * std::f64::consts::PI)
}

/// Buds that a rule leaves on a unit on average: the middle of each size's limit, over `sizes`, the shares of thin,
/// medium and thick units (0 to 1, any sum above 0). Where sizes were not counted, a third each is taken (from memory).
pub fn buds_per_unit(rule: &Rule, sizes: Option<[f64; 3]>) -> f64 {
    let sizes = sizes
        .filter(|sizes| sizes.iter().sum::<f64>() > 0.0)
        .unwrap_or([1.0; 3]);
    let sum: f64 = Size::ALL
        .iter()
        .map(|size| {
            let limit = rule.bud_limit(*size);
            sizes[size.index()] * f64::midpoint(f64::from(limit.least), f64::from(limit.most))
        })
        .sum();
    sum / sizes.iter().sum::<f64>()
}

/// What a brief is made from, beside the factors and the rule.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct BriefInput {
    /// The crop wanted.
    pub target: Target,
    /// Trees a hectare, 10 to 20,000.
    pub trees_per_ha: f64,
    /// Stems a tree, 1 to 24.
    pub stems: u8,
    /// Buds left on a unit on average, 0.1 to 20; see [`buds_per_unit`].
    pub buds_per_unit: f64,
    /// Share of each age's pieces that is still there at the next winter's pruning, [`Growing::LEAST_SURVIVAL`] to 1.
    pub survival: ByAge,
}

/// What to leave on one tree, or on one stem.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct Wanted {
    /// Fruit harvested.
    pub fruit: f64,
    /// Fruit after thinning, before losses.
    pub fruit_set: f64,
    /// Clusters kept.
    pub clusters: f64,
    /// Fruit buds.
    pub fruit_buds: f64,
    /// Buds of any kind, as they are counted.
    pub buds: f64,
    /// Units, each a piece of two-year wood.
    pub units: f64,
    /// Pieces by age, youngest first, under the rule alone.
    pub pieces: ByAge,
    /// One-year pieces to leave on top of these, so that next winter's losses still leave two-year wood for the units.
    pub extra_one_year: f64,
}

impl Wanted {
    fn each(&self, parts: f64) -> Self {
        Self {
            fruit: self.fruit / parts,
            fruit_set: self.fruit_set / parts,
            clusters: self.clusters / parts,
            fruit_buds: self.fruit_buds / parts,
            buds: self.buds / parts,
            units: self.units / parts,
            pieces: self.pieces.map(|pieces| pieces / parts),
            extra_one_year: self.extra_one_year / parts,
        }
    }
}

/// What another number of buds a unit would mean.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct BudsRow {
    /// Buds a unit.
    pub buds_per_unit: f64,
    /// Units a tree for the same target.
    pub units_per_tree: f64,
    /// Units a stem for the same target.
    pub units_per_stem: f64,
    /// Pieces a tree by age, youngest first, for the same target.
    pub pieces: ByAge,
    /// Crop, t/ha, if the number of units stayed as the brief has it.
    pub tonnes_with_same_units: f64,
}

/// What a block needs.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct Brief {
    /// Crop that the target comes to, t/ha.
    pub tonnes_per_ha: f64,
    /// The same, kg a tree.
    pub kg_per_tree: f64,
    /// On a tree.
    pub tree: Wanted,
    /// On a stem.
    pub stem: Wanted,
    /// 1, 2, 3 and 4 buds a unit.
    pub by_buds: [BudsRow; 4],
}

/// Works a brief out, backwards along the chain:
///
/// fruit = t/ha × 10⁶ g / (trees/ha × g a fruit); fruit set = fruit / (1 − loss); clusters = fruit set / fruit per
/// cluster; fruit buds = clusters / set; buds = fruit buds / share of fruit buds; units = buds / buds a unit. Two-year
/// pieces carry the units, and the other ages stand to them as the rule's shares do.
///
/// Arithmetic, with mean factors: half of the seasons give less than the target. The spread is [`super::potential`]'s.
pub fn brief(input: &BriefInput, factors: &Factors, rule: &Rule) -> Result<Brief, Invalid> {
    check(input)?;
    let weight = factors.value(FactorKind::FruitWeight);
    let fruit = match input.target {
        Target::TonnesPerHa(tonnes) => tonnes * 1e6 / (input.trees_per_ha * weight),
        Target::FruitPerTree(fruit) => fruit,
        Target::FruitPerTcsa {
            fruit_per_cm2,
            girth_cm,
        } => fruit_per_cm2 * tcsa_cm2(girth_cm),
    };
    let tree = wanted(fruit, input, factors, rule);
    let kg_per_tree = fruit * weight / 1_000.0;
    let tonnes_per_ha = kg_per_tree * input.trees_per_ha / 1_000.0;
    let stems = f64::from(input.stems);
    let by_buds = [1.0, 2.0, 3.0, 4.0].map(|buds| {
        let units = tree.buds / buds;
        BudsRow {
            buds_per_unit: buds,
            units_per_tree: units,
            units_per_stem: units / stems,
            pieces: Targets::of(rule, units).pieces,
            tonnes_with_same_units: tonnes_per_ha * buds / input.buds_per_unit,
        }
    });
    Ok(Brief {
        tonnes_per_ha,
        kg_per_tree,
        stem: tree.each(stems),
        tree,
        by_buds,
    })
}

fn check(input: &BriefInput) -> Result<(), Invalid> {
    input.target.checked()?;
    within("trees_per_ha", input.trees_per_ha, &(10.0..=20_000.0))?;
    within("stems", input.stems, &STEMS)?;
    within("buds_per_unit", input.buds_per_unit, &(0.1..=20.0))?;
    for share in input.survival {
        within("survival", share, &(Growing::LEAST_SURVIVAL..=1.0))?;
    }
    Ok(())
}

fn wanted(fruit: f64, input: &BriefInput, factors: &Factors, rule: &Rule) -> Wanted {
    let fruit_set = fruit / (1.0 - factors.value(FactorKind::Loss));
    let clusters = fruit_set / factors.value(FactorKind::FruitPerCluster);
    let fruit_buds = clusters / factors.value(FactorKind::Set);
    let buds = fruit_buds / factors.value(FactorKind::FruitBuds);
    let units = buds / input.buds_per_unit;
    let pieces = Targets::of(rule, units).pieces;
    let one = Age::One.index();
    let extra_one_year =
        Targets::with_losses(rule, units, input.survival).pieces[one] - pieces[one];
    Wanted {
        fruit,
        fruit_set,
        clusters,
        fruit_buds,
        buds,
        units,
        pieces,
        extra_one_year,
    }
}

#[cfg(test)]
#[path = "crop_tests.rs"]
mod tests;
