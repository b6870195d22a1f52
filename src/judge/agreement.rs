//! Intraclass correlation: how much of the spread of repeated measurements is that of the things measured.
//!
//! Shrout and Fleiss, "Intraclass correlations: uses in assessing rater reliability", Psychological Bulletin 86
//! (1979) 420-428, for the two forms; `McGraw` and Wong, "Forming inferences about some intraclass correlation
//! coefficients", Psychological Methods 1 (1996) 30-46, for the intervals. (Formulas from memory, checked against the
//! example in the former and against pingouin; see `tests/repeat.rs`.)

use schemars::JsonSchema;
use serde::Serialize;

use super::quantile::f_quantile;

/// Probability with which the intervals here hold, for one look at data of a fixed size.
pub const LEVEL: f64 = 0.95;

/// A figure with its 95 % interval.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct Ranged {
    /// The estimate.
    pub value: f64,
    /// Lower end of the interval.
    pub lo: f64,
    /// Upper end of the interval.
    pub hi: f64,
}

/// Mean squares of a table of `n` things (rows), each measured `k` times (columns).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MeanSquares {
    /// Things measured.
    pub n: f64,
    /// Measurements of each.
    pub k: f64,
    /// Between things, n - 1 degrees of freedom.
    pub between: f64,
    /// Within things, n (k - 1) degrees of freedom.
    pub within: f64,
    /// Between columns, k - 1 degrees of freedom.
    pub columns: f64,
    /// What neither rows nor columns explain, (n - 1)(k - 1) degrees of freedom.
    pub error: f64,
}

impl MeanSquares {
    /// Mean squares of the rows; none with fewer than two rows or two columns, or where rows differ in length.
    pub fn of<const K: usize>(rows: &[[f64; K]]) -> Option<Self> {
        if rows.len() < 2 || K < 2 {
            return None;
        }
        let (n, k) = (rows.len() as f64, K as f64);
        let means: Vec<f64> = (rows.iter())
            .map(|row| row.iter().sum::<f64>() / k)
            .collect();
        let mean = means.iter().sum::<f64>() / n;
        let column = |at: usize| rows.iter().map(|row| row[at]).sum::<f64>() / n - mean;
        let columns: Vec<f64> = (0..K).map(column).collect();
        let mut within = 0.0;
        let mut error = 0.0;
        for (row, row_mean) in rows.iter().zip(&means) {
            for (value, column) in row.iter().zip(&columns) {
                within += (value - row_mean).powi(2);
                error += (value - row_mean - column).powi(2);
            }
        }
        let squares = |values: &mut dyn Iterator<Item = f64>| values.map(|x| x * x).sum::<f64>();
        let between = k * squares(&mut means.iter().map(|m| m - mean)) / (n - 1.0);
        // what rounding leaves of differences that are none
        let noise = 1e-24 * squares(&mut rows.iter().flatten().copied());
        let settle = |square: f64| if square <= noise { 0.0 } else { square };
        Some(Self {
            n,
            k,
            between: settle(between),
            within: settle(within) / (n * (k - 1.0)),
            columns: settle(n * squares(&mut columns.iter().copied())) / (k - 1.0),
            error: settle(error) / ((n - 1.0) * (k - 1.0)),
        })
    }

    /// ICC(1,1): one measurement, the measurers of a row being any. None where nothing differs at all.
    ///
    /// (BMS - WMS) / (BMS + (k - 1) WMS), with the interval from F = BMS / WMS.
    pub fn one_way(&self) -> Option<Ranged> {
        let (k, b, w) = (self.k, self.between, self.within);
        if b + w <= 0.0 {
            return None;
        }
        let icc = |b: f64, w: f64| (b - w) / (b + (k - 1.0) * w);
        let (d1, d2) = (self.n - 1.0, self.n * (k - 1.0));
        let upper = |d1, d2| f_quantile(f64::midpoint(1.0, LEVEL), d1, d2);
        Some(Ranged {
            value: icc(b, w),
            lo: icc(b, w * upper(d1, d2)),
            hi: icc(b * upper(d2, d1), w),
        })
    }

    /// ICC(2,1): one measurement, each column by one measurer, who are a sample of all that might measure; absolute
    /// agreement, so that a measurer who sees more than another counts as error. None where nothing differs at all.
    ///
    /// (BMS - EMS) / (BMS + (k - 1) EMS + k (JMS - EMS) / n), with Satterthwaite's degrees of freedom in the interval.
    pub fn two_way(&self) -> Option<Ranged> {
        let Self { n, k, .. } = *self;
        let (b, j, e) = (self.between, self.columns, self.error);
        let below = b + (k - 1.0) * e + k * (j - e) / n;
        if b + j + e <= 0.0 || below <= 0.0 {
            return None;
        }
        let value = (b - e) / below;
        if j + e <= 0.0 {
            return Some(Ranged {
                value,
                lo: value,
                hi: value,
            });
        }
        let v = satterthwaite(n, k, value, j, e);
        let upper = |d1, d2| f_quantile(f64::midpoint(1.0, LEVEL), d1, d2);
        let (far, near) = (upper(n - 1.0, v), upper(v, n - 1.0));
        let rest = k * j + (k * n - k - n) * e;
        Some(Ranged {
            value,
            lo: n * (b - far * e) / (far * rest + n * b),
            hi: n * (near * b - e) / (rest + n * near * b),
        })
    }
}

/// Degrees of freedom of the mixture of column and error mean squares that stands below ICC(2,1).
fn satterthwaite(n: f64, k: f64, icc: f64, j: f64, e: f64) -> f64 {
    let of_columns = k * icc * j;
    let of_error = (n * (1.0 + (k - 1.0) * icc) - k * icc) * e;
    let above = (k - 1.0) * (n - 1.0) * (of_columns + of_error).powi(2);
    let below = (n - 1.0) * of_columns.powi(2) + of_error.powi(2);
    if below > 0.0 {
        (above / below).max(1.0)
    } else {
        (k - 1.0) * (n - 1.0)
    }
}
