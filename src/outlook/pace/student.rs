//! Student's t, as far as ranges of 80 % need it.

use crate::judge::t_half_width;

/// The 90 % point of Student's t with `nu` (at least 1) degrees of freedom: half the width of an interval that holds
/// with 80 %. It is found by halving, which is too slow for each run of a forecast.
pub(super) fn student_90(nu: f64) -> f64 {
    t_half_width(0.8, nu)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Printed points of the usual t table, one-sided 10 %.
    #[test]
    fn close_to_the_printed_table() {
        for (nu, t) in [
            (1.0, 3.078),
            (2.0, 1.886),
            (4.0, 1.533),
            (10.0, 1.372),
            (30.0, 1.310),
        ] {
            assert!((student_90(nu) - t).abs() < 6e-4, "{nu}");
        }
        let normal = student_90(1e6);
        assert!((normal - crate::outlook::Z_90).abs() < 1e-5, "{normal}");
    }
}
