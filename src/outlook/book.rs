//! What is kept of a block's crop: its aim, its factors, its growth, set counts and harvests.

use std::collections::BTreeMap;

use super::bearing::SeasonYield;
use super::calibrate::{SetCount, TaggedUnit, Weighed, calibrate, check_unit};
use super::crop::Target;
use super::factor::{Factor, Factors};
use super::wood::Growing;
use crate::orchard::limits::{FRUIT_G, TAGGED_BUDS, TAGGED_FRUIT, WEIGHED, YEARS};
use crate::orchard::{BlockId, Faults, Invalid, within};
use serde::Serialize;

/// The most tagged units of a block in a season.
pub const MAX_TAGGED: usize = 100;

/// The most that a tree bears, kg.
const MOST_KG: f64 = 2_000.0;

/// A year of harvest, in [`YEARS`].
pub fn season_year(raw: &str) -> Result<i32, Invalid> {
    let wrong = || {
        Invalid::new(
            "season",
            format!(
                "{:?} is no year from {} to {}",
                raw.trim(),
                YEARS.start(),
                YEARS.end()
            ),
        )
    };
    let year = raw.trim().parse().map_err(|_| wrong())?;
    if YEARS.contains(&year) {
        Ok(year)
    } else {
        Err(wrong())
    }
}

/// A yield as it was weighed.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Yield {
    /// Of the block, t/ha, 0 to 500.
    TonnesPerHa(f64),
    /// Of the tree, kg, 0 to 2,000.
    KgPerTree(f64),
}

/// One harvest of a block.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HarvestEntry {
    /// Year of the harvest.
    pub season: i32,
    /// The yield.
    pub amount: Yield,
    /// Fruit that were weighed one by one, or counted into a weighed bin.
    pub weighed: Option<Weighed>,
}

impl HarvestEntry {
    /// Checks the numbers.
    pub fn checked(self) -> Result<Self, Faults> {
        let mut faults = Faults::default();
        faults.take(season_year(&self.season.to_string()));
        faults.take(match self.amount {
            Yield::TonnesPerHa(tonnes) => within("amount", tonnes, &(0.0..=500.0)),
            Yield::KgPerTree(kg) => within("amount", kg, &(0.0..=MOST_KG)),
        });
        if let Some(weighed) = self.weighed {
            faults.take(within("mean_g", weighed.mean_g, &FRUIT_G));
            faults.take(within("weighed", weighed.fruit, &WEIGHED));
        }
        faults.or(self)
    }

    /// As [`HarvestEntry::checked`], and no more a tree than 2,000 kg at the block's spacing: for what is typed. Entries
    /// in the file are not held to it, for the spacing may have been changed since.
    pub fn checked_at(self, trees_per_ha: f64) -> Result<Self, Faults> {
        let mut faults = Faults::default();
        faults.take(self.checked().map(Some));
        let kg = self.kg_per_tree(trees_per_ha);
        if kg > MOST_KG {
            let problem = format!(
                "is {kg:.0} kg a tree at this block's spacing, and at most {MOST_KG} can be"
            );
            faults.add(Invalid::new("amount", problem));
        }
        faults.or(self)
    }

    /// Yield, kg a tree.
    pub fn kg_per_tree(&self, trees_per_ha: f64) -> f64 {
        match self.amount {
            Yield::TonnesPerHa(tonnes) => tonnes * 1_000.0 / trees_per_ha,
            Yield::KgPerTree(kg) => kg,
        }
    }

    /// Yield, t/ha.
    pub fn tonnes_per_ha(&self, trees_per_ha: f64) -> f64 {
        match self.amount {
            Yield::TonnesPerHa(tonnes) => tonnes,
            Yield::KgPerTree(kg) => kg * trees_per_ha / 1_000.0,
        }
    }
}

/// Reads tagged units: each is its buds, clusters and fruit, or its buds, fruit buds, clusters and fruit, with blanks
/// between; units are parted by commas, semicolons or slashes. `4 3 5, 3 2 2`.
pub fn tagged(raw: &str) -> Result<Vec<TaggedUnit>, Invalid> {
    let wrong = |part: &str| {
        let such_as = "buds, clusters and fruit, such as 4 3 5, or with the fruit buds in second place, 4 4 3 5";
        Invalid::new("units", format!("{part:?} is not a unit: {such_as}"))
    };
    let mut units = Vec::new();
    let parts = raw.split([',', ';', '/']).map(str::trim);
    for part in parts.filter(|part| !part.is_empty()) {
        let numbers: Vec<u32> = part
            .split_whitespace()
            .map(|word| word.parse().ok().filter(|n| TAGGED_FRUIT.contains(n)))
            .collect::<Option<_>>()
            .ok_or_else(|| wrong(part))?;
        let unit = match numbers[..] {
            [buds, clusters, fruit] => TaggedUnit {
                buds,
                fruit_buds: None,
                clusters,
                fruit,
            },
            [buds, fruit_buds, clusters, fruit] => TaggedUnit {
                buds,
                fruit_buds: Some(fruit_buds),
                clusters,
                fruit,
            },
            _ => return Err(wrong(part)),
        };
        units.push(unit.checked()?);
    }
    if units.is_empty() {
        return Err(Invalid::new("units", "fill in one unit or more"));
    }
    if units.len() > MAX_TAGGED {
        return Err(Invalid::new(
            "units",
            format!(
                "{} are too many: at most {MAX_TAGGED} a season",
                units.len()
            ),
        ));
    }
    Ok(units)
}

impl TaggedUnit {
    /// Checks the numbers: at most 99 buds, no more clusters than buds, at most 10 fruit a cluster.
    pub fn checked(self) -> Result<Self, Invalid> {
        check_unit(self)
            .map_err(|e| Invalid::new("units", format!("{}: {}", e.field, e.problem)))?;
        if !TAGGED_BUDS.contains(&self.buds) {
            return Err(Invalid::new(
                "units",
                format!("{} buds on a unit", self.buds),
            ));
        }
        Ok(self)
    }

    /// As [`tagged`] reads it.
    pub fn text(self) -> String {
        let Self {
            buds,
            fruit_buds,
            clusters,
            fruit,
        } = self;
        match fruit_buds {
            None => format!("{buds} {clusters} {fruit}"),
            Some(able) => format!("{buds} {able} {clusters} {fruit}"),
        }
    }
}

/// What is kept of one block.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct BlockBook {
    /// What it is to bear after this winter.
    pub aim: Option<Target>,
    /// Factors of its own, at most one of a kind.
    pub factors: Vec<Factor>,
    /// Growth and losses of its own.
    pub growth: Option<Growing>,
    /// Set counts by season.
    pub sets: Vec<SetCount>,
    /// Harvests by season.
    pub harvests: Vec<HarvestEntry>,
}

impl BlockBook {
    /// The factors before the block's counts move them: its own, and the defaults for the others.
    pub fn entered(&self) -> Factors {
        (self.factors.iter()).fold(Factors::default(), |all, own| all.with(*own))
    }

    /// The factors that hold, moved by set counts and by fruit weighed at harvest. Yields move none: how many fruit hung
    /// before the losses is not counted.
    pub fn calibrated(&self) -> Result<Factors, Invalid> {
        let weighed: Vec<_> = (self.harvests.iter())
            .filter_map(|entry| entry.weighed)
            .collect();
        calibrate(&self.entered(), &self.sets, &weighed)
    }

    /// Yields by season, t/ha.
    pub fn yields(&self, trees_per_ha: f64) -> Vec<SeasonYield> {
        let line = |entry: &HarvestEntry| SeasonYield {
            season: entry.season,
            amount: entry.tonnes_per_ha(trees_per_ha),
        };
        self.harvests.iter().map(line).collect()
    }
}

/// What is kept of all blocks, as seen from one winter.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct CropBook(pub BTreeMap<BlockId, BlockBook>);

impl CropBook {
    /// What is kept of a block; empty where nothing is.
    pub fn of(&self, block: BlockId) -> BlockBook {
        self.0.get(&block).cloned().unwrap_or_default()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tagged_units_are_read_and_written() {
        let units = tagged("4 3 5, 3 3 2 2; 5 0 0").unwrap();
        assert_eq!(units.len(), 3);
        assert_eq!(units[1].fruit_buds, Some(3));
        let texts: Vec<String> = units.iter().map(|unit| unit.text()).collect();
        assert_eq!(tagged(&texts.join(", ")).unwrap(), units);
        for wrong in ["", "4", "4 3", "2 3 4", "4 5 3 2", "a b c", "4 1 99"] {
            assert_eq!(tagged(wrong).unwrap_err().field, "units", "{wrong}");
        }
    }

    #[test]
    fn yields_are_the_same_either_way() {
        let entry = |amount| HarvestEntry {
            season: 2026,
            amount,
            weighed: None,
        };
        // 1,600 trees/ha: 25 kg a tree are 40 t/ha
        let by_tree = entry(Yield::KgPerTree(25.0)).checked().unwrap();
        let by_ha = entry(Yield::TonnesPerHa(40.0)).checked().unwrap();
        assert!((by_tree.tonnes_per_ha(1_600.0) - 40.0).abs() < 1e-9);
        assert!((by_ha.kg_per_tree(1_600.0) - 25.0).abs() < 1e-9);
        assert!(entry(Yield::KgPerTree(-1.0)).checked().is_err());
        assert!(season_year("26").is_err() && season_year("2026").is_ok());
    }

    #[test]
    fn a_yield_that_no_tree_bears_is_refused_and_stops_no_factors() {
        // trees 10 m apart both ways, and 350 typed for 35.0
        let slip = HarvestEntry {
            season: 2026,
            amount: Yield::TonnesPerHa(350.0),
            weighed: None,
        };
        let refused = slip.checked_at(100.0).unwrap_err();
        assert_eq!(refused[0].field, "amount");
        assert!(refused[0].problem.contains("3500 kg a tree"), "{refused}");
        assert_eq!(slip.checked_at(1_600.0), Ok(slip));
        // kept since before it was refused
        let book = BlockBook {
            harvests: vec![slip],
            ..BlockBook::default()
        };
        assert_eq!(book.calibrated().unwrap(), Factors::default());
    }
}
