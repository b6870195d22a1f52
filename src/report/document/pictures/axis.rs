//! From a number to its place on the field.

/// A straight scale: `lo` stands at `from`, `hi` at `to`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Axis {
    /// Where the least value stands.
    pub from: f64,
    /// Where the greatest value stands.
    pub to: f64,
    /// The least value.
    pub lo: f64,
    /// The greatest value, above `lo`.
    pub hi: f64,
}

impl Axis {
    /// Where a value stands; what lies beyond the axis, and what is no number, stands at its nearest end.
    pub fn at(self, value: f64) -> f64 {
        let share = (value - self.lo) / (self.hi - self.lo);
        let share = if share.is_finite() {
            share.clamp(0.0, 1.0)
        } else {
            0.0
        };
        self.from + share * (self.to - self.from)
    }
}

/// Round steps from 0 that divide an axis up to `most` into at most `pieces` parts: the marks, and 0.
pub fn marks(most: f64, pieces: usize) -> Vec<f64> {
    let step = round_step(most / pieces.max(1) as f64);
    let many = (most / step + 1e-9).floor().clamp(0.0, 50.0) as usize;
    (0..=many).map(|n| n as f64 * step).collect()
}

fn round_step(least: f64) -> f64 {
    if !least.is_finite() || least <= 0.0 {
        return 1.0;
    }
    let power = 10f64.powf(least.log10().floor());
    let step = [1.0, 2.0, 5.0, 10.0]
        .into_iter()
        .find(|step| step * power >= least * (1.0 - 1e-12));
    step.unwrap_or(10.0) * power
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_third_stands_at_a_third() {
        let axis = Axis {
            from: 90.0,
            to: 390.0,
            lo: 0.0,
            hi: 1.0,
        };
        assert!((axis.at(1.0 / 3.0) - 190.0).abs() < 1e-9);
        assert!((axis.at(7.0) - 390.0).abs() < 1e-9, "beyond: the end");
        assert!((axis.at(f64::NAN) - 90.0).abs() < 1e-9);
    }

    #[test]
    fn marks_stand_at_round_numbers() {
        assert_eq!(marks(100.0, 4), [0.0, 50.0, 100.0]);
        assert_eq!(marks(6643.0, 4), [0.0, 2000.0, 4000.0, 6000.0]);
        assert_eq!(marks(f64::NAN, 4), [0.0]);
    }
}
