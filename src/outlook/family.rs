//! How a factor moves with the seasons counted: conjugate updates with a season's own spread.
//!
//! A block's factor differs between blocks and from season to season. The prior variance sd² of a factor is split in
//! two: [`SEASON_SHARE`] of it (τ²) is the spread between seasons of one block, which no counting takes away, and the
//! rest (b²) is not knowing the block. A season whose estimate y has sampling variance v speaks for the block's mean
//! with variance v + τ². In the terms of each family, with V the variance of one counted thing:
//!
//! - beta-binomial for shares, V = m (1 − m); prior weight k = V / b² − 1 things;
//! - gamma-Poisson for fruit per cluster, V = m; prior weight k = V / b². Thinned clusters vary less than Poisson, so
//!   that this errs on the wide side;
//! - normal for weight, V = 1; prior weight k = 1 / b².
//!
//! A season weighs n' = V / (v + τ²); the new mean is (k m + Σ n' y) / (k + Σ n'), and its variance, with K the new
//! weight, V(mean) / (K + 1) for shares and V(mean) / K otherwise. The spread for a season to come adds τ² again.
//! Source of the updates: Gelman et al., Bayesian Data Analysis, ch. 2 (from memory); the split is our own.

use super::factor::{Factor, Source};
use super::kind::FactorKind;

/// Share of a factor's prior variance that is spread between seasons. From memory: no source.
const SEASON_SHARE: f64 = 0.5;

/// What one season says of a factor.
#[derive(Debug, Clone, Copy)]
pub(super) struct SeasonEstimate {
    /// The estimate, in the factor's unit.
    pub value: f64,
    /// Its sampling variance.
    pub variance: f64,
    /// Things counted.
    pub n: u32,
}

/// Variance of one counted thing at the mean `m`.
pub(super) fn unit_variance(kind: FactorKind, m: f64) -> f64 {
    match kind {
        // kept off the edges, where a beta has no room
        FactorKind::Set | FactorKind::Loss | FactorKind::FruitBuds => {
            let inside = m.clamp(0.005, 0.995);
            inside * (1.0 - inside)
        }
        FactorKind::FruitPerCluster => m,
        FactorKind::FruitWeight => 1.0,
    }
}

/// What a beta's weight has more than the other families'.
fn beta_one(kind: FactorKind) -> f64 {
    match kind {
        FactorKind::Set | FactorKind::Loss | FactorKind::FruitBuds => 1.0,
        FactorKind::FruitPerCluster | FactorKind::FruitWeight => 0.0,
    }
}

/// The factor after these seasons. Without any, or where it was given as exact, it stays as it is.
pub(super) fn moved(prior: &Factor, seasons: &[SeasonEstimate]) -> Option<Factor> {
    if seasons.is_empty() || prior.sd() <= 0.0 {
        return Some(*prior);
    }
    let kind = prior.kind();
    let total = prior.sd() * prior.sd();
    let between_seasons = SEASON_SHARE * total;
    let block = total - between_seasons;
    let unit = unit_variance(kind, prior.value());
    let one = beta_one(kind);
    // a beta so wide that it has no weight left is taken for a tenth of a bud
    let before = if one > 0.0 {
        (unit / block - one).max(0.1)
    } else {
        unit / block
    };
    let mut own = 0.0;
    let mut sum = before * prior.value();
    for season in seasons {
        let weight = unit / (season.variance + between_seasons);
        own += weight;
        sum += weight * season.value;
    }
    let (least, most) = kind.range().into_inner();
    let mean = (sum / (before + own)).clamp(least, most);
    let variance = unit_variance(kind, mean) / (before + own + one);
    let source = Source::Own {
        n: seasons.iter().map(|season| season.n).sum(),
        seasons: seasons.len() as u32,
        own_weight: own / (before + own),
    };
    Factor::new(kind, mean, (variance + between_seasons).sqrt(), source).ok()
}
