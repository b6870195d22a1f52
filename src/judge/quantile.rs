//! Points of the F and t distributions, from the incomplete beta function.
//!
//! Formulas: Abramowitz & Stegun, Handbook of Mathematical Functions (1964), 26.5.8 (continued fraction of the
//! incomplete beta function), 26.6.2 (F) and 26.7.1 (t); Lanczos' approximation of the gamma function, coefficients for
//! g = 7 (all from memory; checked against scipy in `tests/repeat.rs`).

/// Lanczos' coefficients for g = 7, nine terms.
const LANCZOS: [f64; 9] = [
    0.999_999_999_999_809_9,
    676.520_368_121_885_1,
    -1_259.139_216_722_402_8,
    771.323_428_777_653_1,
    -176.615_029_162_140_6,
    12.507_343_278_686_905,
    -0.138_571_095_265_720_12,
    9.984_369_578_019_572e-6,
    1.505_632_735_149_311_6e-7,
];
/// Steps of the continued fraction at most; it converges in about the root of the larger parameter.
const STEPS: u32 = 10_000;

/// Logarithm of the gamma function, for `x` of 1/2 and more.
fn ln_gamma(x: f64) -> f64 {
    let x = x - 1.0;
    let t = x + 7.5;
    let sum = (1..9)
        .zip(&LANCZOS[1..])
        .fold(LANCZOS[0], |sum, (i, c)| sum + c / (x + f64::from(i)));
    0.5 * (2.0 * std::f64::consts::PI).ln() + (x + 0.5) * t.ln() - t + sum.ln()
}

/// The continued fraction of the incomplete beta function, evaluated from the front (Lentz's way).
fn fraction(a: f64, b: f64, x: f64) -> f64 {
    const TINY: f64 = 1e-300;
    let guard = |value: f64| if value.abs() < TINY { TINY } else { value };
    let mut above = 1.0;
    let mut below = 1.0 / guard(1.0 - (a + b) * x / (a + 1.0));
    let mut whole = below;
    for step in (1..STEPS).map(f64::from) {
        let far = a + 2.0 * step;
        let even = step * (b - step) * x / ((far - 1.0) * far);
        let odd = -(a + step) * (a + b + step) * x / (far * (far + 1.0));
        let before = whole;
        for term in [even, odd] {
            below = 1.0 / guard(1.0 + term * below);
            above = guard(1.0 + term / above);
            whole *= above * below;
        }
        if ((whole - before) / whole).abs() < 1e-16 {
            break;
        }
    }
    whole
}

/// The regularised incomplete beta function `I_x(a, b)`; `y` is 1 - x, given apart so that nothing is lost near 1.
fn incomplete_beta(a: f64, b: f64, x: f64, y: f64) -> f64 {
    if x <= 0.0 {
        return 0.0;
    }
    if y <= 0.0 {
        return 1.0;
    }
    let front = a * x.ln() + b * y.ln() + ln_gamma(a + b) - ln_gamma(a) - ln_gamma(b);
    if x < (a + 1.0) / (a + b + 2.0) {
        front.exp() * fraction(a, b, x) / a
    } else {
        1.0 - front.exp() * fraction(b, a, y) / b
    }
}

/// The point below which F with `d1` and `d2` degrees of freedom (each 1 or more) falls with probability `p`, for `p`
/// within 0 and 1. Found by halving on the scale of ln F, so that it is as exact far out as near 1.
pub fn f_quantile(p: f64, d1: f64, d2: f64) -> f64 {
    let below = |f: f64| {
        let all = d2 + d1 * f;
        incomplete_beta(d1 / 2.0, d2 / 2.0, d1 * f / all, d2 / all)
    };
    let (mut lo, mut hi) = (-80.0f64, 80.0f64);
    for _ in 0..80 {
        let middle = f64::midpoint(lo, hi);
        if below(middle.exp()) < p {
            lo = middle;
        } else {
            hi = middle;
        }
    }
    f64::midpoint(lo, hi).exp()
}

/// The half width, in standard errors, of a two-sided interval of Student's t that holds with probability `level`,
/// with `nu` degrees of freedom (1 or more): t² is F with 1 and `nu`.
pub fn t_half_width(level: f64, nu: f64) -> f64 {
    f_quantile(level, 1.0, nu).sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Printed points of the usual tables (from memory): t, two-sided 95 %, and F, upper 2.5 %.
    #[test]
    fn close_to_the_printed_tables() {
        for (nu, t) in [(1.0, 12.706), (4.0, 2.776), (16.0, 2.120), (60.0, 2.000)] {
            assert!((t_half_width(0.95, nu) - t).abs() < 6e-4, "{nu}");
        }
        // to half of the last printed digit
        for (d1, d2, f, digit) in [
            (5.0, 5.0, 7.15, 0.01),
            (10.0, 20.0, 2.77, 0.01),
            (1.0, 1.0, 647.8, 0.1),
        ] {
            let found = f_quantile(0.975, d1, d2);
            assert!((found - f).abs() <= digit / 2.0, "{d1} {d2}: {found}");
        }
    }

    proptest! {
        #[test]
        fn the_lower_point_is_one_over_the_upper_with_the_degrees_changed(
            p in 0.01f64..0.99, d1 in 1.0f64..200.0, d2 in 1.0f64..200.0,
        ) {
            let product = f_quantile(p, d1, d2) * f_quantile(1.0 - p, d2, d1);
            prop_assert!((product - 1.0).abs() < 1e-9, "{product}");
        }

        #[test]
        fn more_probability_is_farther_out(p in 0.05f64..0.9, d1 in 1.0f64..60.0, d2 in 1.0f64..60.0) {
            prop_assert!(f_quantile(p, d1, d2) < f_quantile(p + 0.05, d1, d2));
        }
    }
}
