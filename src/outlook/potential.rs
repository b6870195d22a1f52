//! The brief read backwards: what crop the counted wood can bear, and how sure that is.

use super::factor::{Factors, Z_90};
use super::kind::FactorKind;
use crate::orchard::{Age, Invalid, Size, Tally, within};
use schemars::JsonSchema;
use serde::Serialize;

/// With fewer counted trees the spread between trees says too little.
const MIN_TREES: u32 = 4;

/// A mean over counted trees.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct Mean {
    /// The mean.
    pub mean: f64,
    /// Its standard error, same unit; none where it cannot be known.
    pub se: Option<f64>,
    /// Trees it rests on.
    pub n: u32,
}

impl Mean {
    /// Relative variance for a range: (se / mean)², widened by ν / (ν − 2), ν = n − 1, the variance of Student's t,
    /// because the standard error is itself an estimate. None below four trees; 0 where all of them have nothing.
    fn relative_variance(&self) -> Option<f64> {
        let se = self.se.filter(|_| self.n >= MIN_TREES)?;
        if self.mean <= 0.0 {
            return (se <= 0.0).then_some(0.0);
        }
        let nu = f64::from(self.n - 1);
        Some((se / self.mean).powi(2) * nu / (nu - 2.0))
    }
}

/// The wood that was counted.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Counted {
    /// Buds a whole tree.
    Buds(Mean),
    /// Units a whole tree, and buds a unit, where buds were counted on some units only.
    Units {
        /// Units (two-year pieces) a whole tree.
        units: Mean,
        /// Buds a unit.
        buds_per_unit: Mean,
    },
}

impl Counted {
    /// Mean buds a tree.
    pub fn buds(&self) -> f64 {
        match self {
            Self::Buds(buds) => buds.mean,
            Self::Units {
                units,
                buds_per_unit,
            } => units.mean * buds_per_unit.mean,
        }
    }

    fn relative_variances(&self) -> [Option<f64>; 2] {
        match self {
            Self::Buds(buds) => [buds.relative_variance(), Some(0.0)],
            Self::Units {
                units,
                buds_per_unit,
            } => [units.relative_variance(), buds_per_unit.relative_variance()],
        }
    }
}

/// What one counted tree says of its bearing wood.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct TreeWood {
    /// Two-year pieces seen. Where more units than pieces were tapped, the units.
    pub two_year: u32,
    /// Units whose buds were counted.
    pub units: u32,
    /// Buds on these.
    pub buds: u32,
    /// Part of the tree that was counted, above 0 to 1.
    pub part: f64,
    /// Relative variance of that part, where it is itself estimated; the same error for all trees.
    pub part_variance: f64,
}

impl TreeWood {
    /// Reads a tally of a part of the tree, with the part's relative variance. A unit of seven buds or more counts as
    /// seven.
    pub fn of(tally: &Tally, part: f64, part_variance: f64) -> Self {
        let units = tally.unit_count();
        Self {
            two_year: tally.ages[Age::Two.index()].max(units),
            units,
            buds: Size::ALL.iter().map(|size| tally.buds_of(*size)).sum(),
            part: part.min(1.0),
            part_variance,
        }
    }
}

/// Ratio of sums over trees, with the standard error of a ratio: Cochran, Sampling Techniques, 1977, ch. 6 (from
/// memory): se² = Σ (y − R x)² / (n (n − 1) x̄²). With whole trees (x = 1) it is the plain mean and its error.
fn ratio(pairs: &[(f64, f64)]) -> Option<Mean> {
    let n = pairs.len() as f64;
    let of: f64 = pairs.iter().map(|(_, x)| x).sum();
    if of <= 0.0 {
        return None;
    }
    let mean = pairs.iter().map(|(y, _)| y).sum::<f64>() / of;
    let squares: f64 = pairs.iter().map(|(y, x)| (y - mean * x).powi(2)).sum();
    let se = (pairs.len() > 1).then(|| (squares / (n * (n - 1.0))).sqrt() / (of / n));
    Some(Mean {
        mean,
        se,
        n: pairs.len() as u32,
    })
}

/// The wood a tree over counted trees; those counted in part are scaled by their part. None without trees, or where no
/// buds were counted at all.
pub fn counted(trees: &[TreeWood]) -> Option<Counted> {
    let trees: Vec<&TreeWood> = trees.iter().filter(|tree| tree.part > 0.0).collect();
    let mut units = ratio(
        &trees
            .iter()
            .map(|tree| (f64::from(tree.two_year), tree.part))
            .collect::<Vec<_>>(),
    )?;
    // the error of the parts is one for all of these trees, beside that from tree to tree
    let all: f64 = trees.iter().map(|tree| tree.part).sum();
    let error = |tree: &&TreeWood| tree.part * tree.part_variance.sqrt();
    let of_parts = units.mean * trees.iter().map(error).sum::<f64>() / all;
    units.se = units.se.map(|se| se.hypot(of_parts));
    let looked_at: Vec<_> = trees
        .iter()
        .filter(|tree| tree.units > 0)
        .map(|tree| (f64::from(tree.buds), f64::from(tree.units)))
        .collect();
    let buds_per_unit = ratio(&looked_at)?;
    Some(Counted::Units {
        units,
        buds_per_unit,
    })
}

/// A figure with its range.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct Range {
    /// Expected value.
    pub mean: f64,
    /// Standard deviation.
    pub sd: f64,
    /// 10 % point.
    pub lo: f64,
    /// 90 % point.
    pub hi: f64,
}

impl Range {
    /// Gamma distribution of this mean and relative variance c, its points by Wilson and Hilferty's cube (PNAS
    /// 17:684-688, 1931, from memory): mean × (1 − c / 9 ± 1.2816 √c / 3)³.
    fn gamma(mean: f64, c: f64) -> Self {
        let point = |z: f64| mean * (1.0 - c / 9.0 + z * c.sqrt() / 3.0).max(0.0).powi(3);
        Self {
            mean,
            sd: mean * c.sqrt(),
            lo: point(-Z_90),
            hi: point(Z_90),
        }
    }
}

/// The crop that wood can bear.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct Potential {
    /// Buds a tree.
    pub buds_per_tree: f64,
    /// Fruit harvested a tree.
    pub fruit_per_tree: Range,
    /// Crop, kg a tree.
    pub kg_per_tree: Range,
    /// Crop, t/ha.
    pub tonnes_per_ha: Range,
    /// Relative standard deviation (0 up) that the counts bring in; none where buds were counted on fewer than four
    /// trees: the ranges then hold the factors' spread alone, and are too narrow.
    pub counts_cv: Option<f64>,
    /// Relative standard deviations of the factors, in the order of [`FactorKind::ALL`]; for losses, of what is left.
    pub factor_cv: [f64; 5],
}

/// Crop from counted wood: buds × share of fruit buds × set × fruit per cluster × (1 − loss) × weight.
///
/// The range: for independent factors the mean of the product is the product of means, and its relative variance is
/// exactly Π (1 + c) − 1 over the relative variances c of all (Goodman, JASA 55:708-713, 1960, from memory). The 10
/// and 90 % points are those of the gamma distribution with that mean and variance, an approximation that the tests
/// hold against a Monte Carlo: it was nearer than the log-normal, whose lower end stood 5 % too high, because shares
/// cannot pass 1.
///
/// Taken for granted: factors independent of each other and of the buds left. In truth fruit are smaller on trees that
/// bear many, which makes the real range of the crop narrower at the top.
///
/// `trees_per_ha` 10 to 20,000.
pub fn potential(
    wood: &Counted,
    factors: &Factors,
    trees_per_ha: f64,
) -> Result<Potential, Invalid> {
    within("trees_per_ha", trees_per_ha, &(10.0..=20_000.0))?;
    let buds = within("buds_per_tree", wood.buds(), &(0.0..=100_000.0))?;
    let factor_cv = FactorKind::ALL.map(|kind| relative_sd(factors, kind));
    let sampling = match wood.relative_variances() {
        [Some(first), Some(second)] => Some((1.0 + first) * (1.0 + second) - 1.0),
        _ => None,
    };
    let spread = |kinds: &[f64]| {
        let product: f64 = kinds.iter().map(|cv| 1.0 + cv * cv).product();
        (1.0 + sampling.unwrap_or(0.0)) * product - 1.0
    };
    // weight stands last in the chain
    let fruit = buds * factors.fruit_per_bud();
    let weight = factors.value(FactorKind::FruitWeight);
    let kg = fruit * weight / 1_000.0;
    let whole = spread(&factor_cv);
    Ok(Potential {
        buds_per_tree: buds,
        fruit_per_tree: Range::gamma(fruit, spread(&factor_cv[..4])),
        kg_per_tree: Range::gamma(kg, whole),
        tonnes_per_ha: Range::gamma(kg * trees_per_ha / 1_000.0, whole),
        counts_cv: sampling.map(f64::sqrt),
        factor_cv,
    })
}

fn relative_sd(factors: &Factors, kind: FactorKind) -> f64 {
    let factor = factors.get(kind);
    match kind {
        FactorKind::Loss => factor.sd() / (1.0 - factor.value()),
        _ => factor.sd() / factor.value(),
    }
}

#[cfg(test)]
#[path = "potential_tests.rs"]
mod tests;
