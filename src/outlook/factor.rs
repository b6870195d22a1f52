//! The numbers between buds and tonnes, each with its spread and where it comes from.

use super::kind::FactorKind;
use crate::orchard::{Invalid, within};
use schemars::JsonSchema;
use serde::Serialize;

/// 90 % point of the standard normal distribution.
pub const Z_90: f64 = 1.281_551_565_544_600_4;

/// Where a factor comes from.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Source {
    /// A publication, named: author or publisher, and title. What it says stands in the words of the sheets.
    Published(&'static str),
    /// From memory: no source at hand.
    Memory,
    /// Common practice of the trade; no source.
    CommonPractice,
    /// Entered for the block by hand.
    Entered,
    /// A factor that the block's own counts have moved.
    Own {
        /// Things counted: buds, clusters or fruit, by the kind of factor.
        n: u32,
        /// Seasons they were counted in.
        seasons: u32,
        /// Share of the value that comes from the own counts, 0 to 1; the rest is the factor that stood before.
        own_weight: f64,
    },
}

/// One number of the chain, checked.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Factor {
    kind: FactorKind,
    value: f64,
    sd: f64,
    source: Source,
}

impl Factor {
    /// Checks a factor: `value` within [`FactorKind::range`]; `sd` from 0 to the value (for shares to 0.5).
    ///
    /// `sd` is the standard deviation of what the block's mean may be in a season not yet seen. 0 says that the value
    /// is exact; calibration does not move such a factor.
    pub fn new(kind: FactorKind, value: f64, sd: f64, source: Source) -> Result<Self, Invalid> {
        within(kind.field(), value, &kind.range())?;
        let most = match kind {
            FactorKind::FruitWeight | FactorKind::FruitPerCluster => value,
            FactorKind::Set | FactorKind::Loss | FactorKind::FruitBuds => 0.5,
        };
        within(kind.field(), sd, &(0.0..=most)).map_err(|_| {
            Invalid::new(
                kind.field(),
                format!("its spread {sd} is outside 0 to {most}"),
            )
        })?;
        Ok(Self {
            kind,
            value,
            sd,
            source,
        })
    }

    /// Which number it is.
    pub fn kind(&self) -> FactorKind {
        self.kind
    }

    /// The value, in the unit of its kind.
    pub fn value(&self) -> f64 {
        self.value
    }

    /// Standard deviation, in the unit of its kind.
    pub fn sd(&self) -> f64 {
        self.sd
    }

    /// Where it comes from.
    pub fn source(&self) -> Source {
        self.source
    }

    /// 10 and 90 % points: value ∓ 1.2816 sd, kept within what the kind accepts.
    pub fn range(&self) -> (f64, f64) {
        let (least, most) = self.kind.range().into_inner();
        let half = Z_90 * self.sd;
        (
            (self.value - half).max(least),
            (self.value + half).min(most),
        )
    }
}

/// The factors of a block. The default is for a block of which nothing is known yet.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Factors {
    fruit_weight_g: Factor,
    fruit_per_cluster: Factor,
    set: Factor,
    loss: Factor,
    fruit_bud_share: Factor,
}

impl Default for Factors {
    fn default() -> Self {
        let factor = |kind, value, sd, source| Factor {
            kind,
            value,
            sd,
            source,
        };
        Self {
            // the middle and the ends of both ranges: 171 to 204 g and 180 to 228 g
            fruit_weight_g: factor(
                FactorKind::FruitWeight,
                200.0,
                22.0,
                Source::Published("Reginato & Mesa, Acta Horticulturae 1303"),
            ),
            // the 1 to 2 largest fruit of a cluster are left
            fruit_per_cluster: factor(
                FactorKind::FruitPerCluster,
                1.5,
                0.25,
                Source::Published("UC IPM, Thinning pears"),
            ),
            set: factor(FactorKind::Set, 0.60, 0.15, Source::Memory),
            loss: factor(FactorKind::Loss, 0.08, 0.04, Source::Memory),
            // on counting buds: the value is published, its spread from memory
            fruit_bud_share: factor(
                FactorKind::FruitBuds,
                0.84,
                0.08,
                Source::Published("Good Fruit Grower"),
            ),
        }
    }
}

impl Factors {
    /// The factor of a kind.
    pub fn get(&self, kind: FactorKind) -> &Factor {
        match kind {
            FactorKind::FruitWeight => &self.fruit_weight_g,
            FactorKind::FruitPerCluster => &self.fruit_per_cluster,
            FactorKind::Set => &self.set,
            FactorKind::Loss => &self.loss,
            FactorKind::FruitBuds => &self.fruit_bud_share,
        }
    }

    /// The value of a kind.
    pub fn value(&self, kind: FactorKind) -> f64 {
        self.get(kind).value
    }

    /// The same factors with one of them replaced.
    #[must_use]
    pub fn with(mut self, factor: Factor) -> Self {
        match factor.kind {
            FactorKind::FruitWeight => self.fruit_weight_g = factor,
            FactorKind::FruitPerCluster => self.fruit_per_cluster = factor,
            FactorKind::Set => self.set = factor,
            FactorKind::Loss => self.loss = factor,
            FactorKind::FruitBuds => self.fruit_bud_share = factor,
        }
        self
    }

    /// All five, in the order of [`FactorKind::ALL`].
    pub fn all(&self) -> [Factor; 5] {
        FactorKind::ALL.map(|kind| *self.get(kind))
    }

    /// Fruit harvested per counted bud:
    /// share of fruit buds × set × fruit per cluster × (1 − loss).
    pub fn fruit_per_bud(&self) -> f64 {
        self.fruit_bud_share.value
            * self.set.value
            * self.fruit_per_cluster.value
            * (1.0 - self.loss.value)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_default_would_be_accepted() {
        for factor in Factors::default().all() {
            let again = Factor::new(factor.kind(), factor.value(), factor.sd(), factor.source());
            assert_eq!(again.unwrap(), factor);
            let (lo, hi) = factor.range();
            assert!(lo < factor.value() && factor.value() < hi, "{factor:?}");
        }
    }

    #[test]
    fn wrong_values_name_the_factor() {
        for (kind, value, sd) in [
            (FactorKind::Set, 1.2, 0.1),
            (FactorKind::FruitWeight, 5.0, 1.0),
            (FactorKind::Loss, 0.1, 0.6),
            (FactorKind::FruitPerCluster, 1.0, f64::NAN),
        ] {
            let wrong = Factor::new(kind, value, sd, Source::Entered).unwrap_err();
            assert_eq!(wrong.field, kind.field());
        }
    }

    #[test]
    fn a_range_holds_four_times_out_of_five() {
        let sd = 30.0 / 1.281_551_565_544_6; // the 90 % point of the normal distribution (scipy 1.17: norm.ppf(0.9))
        let factor = Factor::new(FactorKind::FruitWeight, 200.0, sd, Source::Entered).unwrap();
        let (lo, hi) = factor.range();
        assert!((lo - 170.0).abs() < 0.01 && (hi - 230.0).abs() < 0.01);
    }
}
