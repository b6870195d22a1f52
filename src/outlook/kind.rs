//! Which numbers stand between buds and tonnes.

use crate::orchard::Invalid;
use crate::orchard::limits::FRUIT_G;
use schemars::JsonSchema;
use serde::Serialize;
use std::ops::RangeInclusive;

/// Which number a [`super::Factor`] is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum FactorKind {
    /// Weight of a fruit at harvest, g.
    FruitWeight,
    /// Fruit kept per cluster after thinning.
    FruitPerCluster,
    /// Clusters kept per fruit bud.
    Set,
    /// Share of the fruit that was set and kept, but lost before harvest.
    Loss,
    /// Share of fruit buds among the buds that were counted.
    FruitBuds,
}

impl FactorKind {
    /// All kinds, in the order in which the chain from buds to tonnes uses them.
    pub const ALL: [Self; 5] = [
        Self::FruitBuds,
        Self::Set,
        Self::FruitPerCluster,
        Self::Loss,
        Self::FruitWeight,
    ];

    /// The values that are accepted, in the unit of the kind.
    ///
    /// A pear cluster has some 5 to 7 blossoms (from memory: Westwood, Temperate-Zone Pomology), hence 7 fruit at most.
    pub const fn range(self) -> RangeInclusive<f64> {
        match self {
            Self::FruitWeight => FRUIT_G,
            Self::FruitPerCluster => 0.1..=7.0,
            Self::Set | Self::FruitBuds => 0.01..=1.0,
            Self::Loss => 0.0..=0.9,
        }
    }

    /// The name in forms and files.
    pub const fn field(self) -> &'static str {
        match self {
            Self::FruitWeight => "fruit_weight_g",
            Self::FruitPerCluster => "fruit_per_cluster",
            Self::Set => "set",
            Self::Loss => "loss",
            Self::FruitBuds => "fruit_bud_share",
        }
    }

    /// Reads [`FactorKind::field`].
    pub fn parse(raw: &str) -> Result<Self, Invalid> {
        Self::ALL
            .into_iter()
            .find(|kind| kind.field() == raw.trim())
            .ok_or_else(|| {
                let all = Self::ALL.map(Self::field).join(", ");
                Invalid::new("factor", format!("{raw:?} is none of: {all}"))
            })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn kinds_are_read_by_the_names_they_are_written_by() {
        for kind in FactorKind::ALL {
            assert_eq!(FactorKind::parse(kind.field()).unwrap(), kind);
        }
        assert!(
            FactorKind::parse("sett")
                .unwrap_err()
                .problem
                .contains("fruit_weight_g")
        );
    }
}
