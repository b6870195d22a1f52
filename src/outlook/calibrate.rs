//! A block's own factors, from set counts in spring and fruit weighed at harvest.

use std::collections::BTreeMap;

use super::factor::Factors;
use super::family::{SeasonEstimate, moved, unit_variance};
use super::kind::FactorKind;
use crate::orchard::limits::FRUIT_G;
use crate::orchard::{Invalid, within};
use serde::Serialize;

/// Relative spread of single fruit weights within a block, from memory.
const FRUIT_CV: f64 = 0.20;
/// Fewest tagged units from which the spread between units is worked out.
const MIN_UNITS: usize = 5;
/// More fruit than this on a cluster is a slip of the pen.
const MOST_FRUIT: u32 = 10;

/// One tagged unit, followed from winter to the end of thinning.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct TaggedUnit {
    /// Buds that were left on it, of any kind.
    pub buds: u32,
    /// Fruit buds among them, where they were told apart.
    pub fruit_buds: Option<u32>,
    /// Clusters that set and were kept.
    pub clusters: u32,
    /// Fruit on these clusters after thinning.
    pub fruit: u32,
}

/// The tagged units of one season.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct SetCount {
    /// Year of the harvest.
    pub season: i32,
    /// The units.
    pub units: Vec<TaggedUnit>,
}

/// Fruit that were weighed at a harvest.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Weighed {
    /// Mean weight, g.
    pub mean_g: f64,
    /// How many were weighed.
    pub fruit: u32,
}

/// The factors after set counts and fruit weighed, `weighed` once a season. Method: beta-binomial for shares,
/// gamma-Poisson for fruit per cluster, normal for weight, each with a spread between seasons that stays; the weight of
/// the own counts is in the source. The loss stays as it is: nobody counts the fruit before it.
///
/// Tagged units differ more than chance alone would have it. From five units on, the counts of a season are taken for
/// as many fewer as Pearson's χ² over its degrees of freedom says (never for more): `McCullagh` and Nelder,
/// Generalized Linear Models, 1989 (from memory).
///
/// Where fruit buds were not told apart, clusters are compared with buds × the share of fruit buds as it stands, so
/// that share × set agrees with what was seen. Counts of one season are pooled.
pub fn calibrate(
    prior: &Factors,
    set: &[SetCount],
    weighed: &[Weighed],
) -> Result<Factors, Invalid> {
    let mut seasons: BTreeMap<i32, Vec<TaggedUnit>> = BTreeMap::new();
    for count in set {
        for unit in &count.units {
            check_unit(*unit)?;
        }
        seasons
            .entry(count.season)
            .or_default()
            .extend(&count.units);
    }
    for fruit in weighed {
        within("mean_g", fruit.mean_g, &FRUIT_G)?;
    }
    let mut factors = *prior;
    for kind in [
        FactorKind::FruitBuds,
        FactorKind::Set,
        FactorKind::FruitPerCluster,
    ] {
        let seen: Vec<_> = seasons
            .values()
            .filter_map(|units| of_units(kind, &factors, units))
            .collect();
        factors = updated(factors, kind, &seen)?;
    }
    let weights: Vec<_> = weighed.iter().filter_map(of_weights).collect();
    updated(factors, FactorKind::FruitWeight, &weights)
}

fn updated(
    factors: Factors,
    kind: FactorKind,
    seen: &[SeasonEstimate],
) -> Result<Factors, Invalid> {
    moved(factors.get(kind), seen)
        .map(|factor| factors.with(factor))
        .ok_or_else(|| Invalid::new(kind.field(), "the counts lead to a value that cannot be"))
}

pub(super) fn check_unit(unit: TaggedUnit) -> Result<(), Invalid> {
    let TaggedUnit {
        buds,
        fruit_buds,
        clusters,
        fruit,
    } = unit;
    let able = fruit_buds.unwrap_or(buds);
    if able > buds {
        return Err(Invalid::new(
            "fruit_buds",
            format!("{able} is more than the {buds} buds of the unit"),
        ));
    }
    if clusters > able {
        return Err(Invalid::new(
            "clusters",
            format!("{clusters} is more than the {able} buds that could set one"),
        ));
    }
    if fruit > clusters.saturating_mul(MOST_FRUIT) {
        return Err(Invalid::new(
            "fruit",
            format!("{fruit} fruit on {clusters} clusters is more than {MOST_FRUIT} a cluster"),
        ));
    }
    Ok(())
}

/// What the tagged units of one season say of a factor: pairs of (seen, out of) by unit.
fn of_units(kind: FactorKind, factors: &Factors, units: &[TaggedUnit]) -> Option<SeasonEstimate> {
    let share = factors.value(FactorKind::FruitBuds);
    let pairs: Vec<(f64, f64)> = units
        .iter()
        .filter_map(|unit| match kind {
            FactorKind::FruitBuds => unit
                .fruit_buds
                .map(|n| (f64::from(n), f64::from(unit.buds))),
            FactorKind::Set => {
                let able = unit
                    .fruit_buds
                    .map_or(f64::from(unit.buds) * share, f64::from);
                Some((f64::from(unit.clusters), able))
            }
            _ => Some((f64::from(unit.fruit), f64::from(unit.clusters))),
        })
        .filter(|(_, of)| *of > 0.0)
        .collect();
    let seen: f64 = pairs.iter().map(|(seen, _)| seen).sum();
    let of: f64 = pairs.iter().map(|(_, of)| of).sum();
    if of <= 0.0 {
        return None;
    }
    let (least, most) = kind.range().into_inner();
    // the variance is taken at the prior's value, so that more fruit seen can never lower the factor
    let unit = unit_variance(kind, factors.value(kind));
    Some(SeasonEstimate {
        value: (seen / of).clamp(least, most),
        variance: unit * dispersion(kind, &pairs, seen / of) / of,
        n: of.round() as u32,
    })
}

/// Pearson's χ² over its degrees of freedom, at least 1.
fn dispersion(kind: FactorKind, pairs: &[(f64, f64)], mean: f64) -> f64 {
    if pairs.len() < MIN_UNITS || mean <= 0.0 {
        return 1.0;
    }
    let unit = unit_variance(kind, mean);
    let chi2: f64 = pairs
        .iter()
        .map(|(seen, of)| (seen - of * mean).powi(2) / (of * unit))
        .sum();
    (chi2 / (pairs.len() - 1) as f64).max(1.0)
}

fn of_weights(weighed: &Weighed) -> Option<SeasonEstimate> {
    (weighed.fruit > 0).then(|| SeasonEstimate {
        value: weighed.mean_g,
        variance: (FRUIT_CV * weighed.mean_g).powi(2) / f64::from(weighed.fruit),
        n: weighed.fruit,
    })
}

#[cfg(test)]
#[path = "calibrate_tests.rs"]
mod tests;
