//! From a verdict to words: how many pieces of each age to leave more or fewer, on the average tree.

/// Pieces to leave more (positive) or fewer (negative) of each age on the average tree; they add to zero.
///
/// `target`: shares asked for; `mean`: shares left; `pieces`: pieces of the average tree; `spoken`: ages that are
/// light, heavy or leaning.
///
/// The exact need of age k is (`target_k` - `mean_k`) pieces. Only spoken ages may be told as a fault. What their needs do
/// not settle among themselves is one further amount, "other wood", which is rounded together with them (largest
/// remainder, so that all add to zero). It is then laid on those unspoken ages that lie on the needed side of their
/// targets, in proportion to how far: the figure for an unspoken age is where the balancing pieces come from or go to
/// ("in place of older wood"), not a finding about that age. With no age spoken of, all are zero.
pub fn swaps(target: [f64; 4], mean: [f64; 4], pieces: f64, spoken: [bool; 4]) -> [i32; 4] {
    let need: [f64; 4] = std::array::from_fn(|k| (target[k] - mean[k]) * pieces);
    if !need.iter().all(|d| d.is_finite()) || !spoken.contains(&true) {
        return [0; 4];
    }
    let mut amounts: Vec<f64> = Vec::with_capacity(5);
    amounts.extend((0..4).map(|k| if spoken[k] { need[k] } else { 0.0 }));
    amounts.push(-amounts.iter().sum::<f64>());
    let nothing_else = spoken.iter().all(|&s| s);
    if nothing_else {
        amounts.pop(); // shares add to one on both sides, so four spoken needs add to zero by themselves
    }
    let whole = largest_remainder(&amounts, 0);
    let mut told: [i32; 4] = std::array::from_fn(|k| whole[k]);
    if let Some(&other) = whole.get(4) {
        let weights: Vec<f64> = (0..4)
            .map(|k| {
                if spoken[k] {
                    0.0
                } else {
                    (need[k] * f64::from(other.signum())).max(0.0)
                }
            })
            .collect();
        for (amount, extra) in told.iter_mut().zip(spread(other, &weights, spoken)) {
            *amount += extra;
        }
    }
    told
}

/// Lays `total` on the unspoken ages in proportion to `weights`; on all of them alike if no weight is above zero.
fn spread(total: i32, weights: &[f64], spoken: [bool; 4]) -> Vec<i32> {
    let mut weights = weights.to_vec();
    if weights.iter().sum::<f64>() <= 0.0 {
        weights = spoken.iter().map(|&s| if s { 0.0 } else { 1.0 }).collect();
    }
    let sum: f64 = weights.iter().sum();
    let exact: Vec<f64> = weights.iter().map(|w| f64::from(total) * w / sum).collect();
    largest_remainder(&exact, total)
}

/// Whole numbers near `exact` that add to `total` (which the exact ones add to, but for rounding). An amount of
/// exactly zero stays zero while others can take the difference; ties go to the younger age.
fn largest_remainder(exact: &[f64], total: i32) -> Vec<i32> {
    let mut whole: Vec<i32> = exact.iter().map(|d| d.floor() as i32).collect();
    let mut order: Vec<usize> = (0..exact.len()).collect();
    order.sort_by(|&a, &b| {
        let rest = |k: usize| exact[k] - exact[k].floor();
        rest(b).total_cmp(&rest(a))
    });
    let mut left = total - whole.iter().sum::<i32>();
    for &k in order.iter().cycle().take(4 * exact.len()) {
        if left <= 0 {
            break;
        }
        whole[k] += 1;
        left -= 1;
    }
    whole
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const THIRDS: [f64; 4] = [1.0 / 3.0, 1.0 / 3.0, 1.0 / 3.0, 0.0];

    #[test]
    fn all_spoken() {
        // 30 pieces, 5 / 11 / 13 / 1: needs 5, -1, -3, -1
        let mean = [5.0 / 30.0, 11.0 / 30.0, 13.0 / 30.0, 1.0 / 30.0];
        assert_eq!(swaps(THIRDS, mean, 30.0, [true; 4]), [5, -1, -3, -1]);
    }

    #[test]
    fn one_age_spoken_takes_from_the_ages_that_have_too_much() {
        let mean = [5.0 / 30.0, 9.0 / 30.0, 14.0 / 30.0, 2.0 / 30.0];
        // needs 5, 1, -4, -2; the five come from three-year and four-plus as 4 : 2
        assert_eq!(
            swaps(THIRDS, mean, 30.0, [true, false, false, false]),
            [5, 0, -3, -2]
        );
    }

    #[test]
    fn two_spoken_ages_trade_with_each_other_first() {
        let mean = [5.0 / 30.0, 10.4 / 30.0, 14.2 / 30.0, 0.4 / 30.0];
        // needs 5, -0.4, -4.2, -0.4; other wood -0.8 rounds to -1
        assert_eq!(
            swaps(THIRDS, mean, 30.0, [true, false, true, false]),
            [5, -1, -4, 0]
        );
    }

    #[test]
    fn nothing_spoken_nothing_told() {
        assert_eq!(
            swaps(THIRDS, [0.1, 0.5, 0.3, 0.1], 30.0, [false; 4]),
            [0; 4]
        );
        assert_eq!(swaps(THIRDS, [f64::NAN; 4], 30.0, [true; 4]), [0; 4]);
    }

    fn mix(parts: [f64; 4]) -> [f64; 4] {
        let sum: f64 = parts.iter().sum();
        parts.map(|p| p / sum)
    }

    proptest! {
        #[test]
        fn they_add_to_zero_and_keep_to_the_need(
            mean in prop::array::uniform4(0.01f64..1.0),
            target in prop::array::uniform4(0.01f64..1.0),
            pieces in 0.0f64..120.0,
            spoken in prop::array::uniform4(any::<bool>()),
        ) {
            let (mean, target) = (mix(mean), mix(target));
            let told = swaps(target, mean, pieces, spoken);
            prop_assert_eq!(told.iter().sum::<i32>(), 0);
            for k in 0..4 {
                let need = (target[k] - mean[k]) * pieces;
                let amount = f64::from(told[k]);
                prop_assert!(amount * need >= 0.0, "never the wrong way: {need} told as {amount}");
                if spoken[k] {
                    prop_assert!((amount - need).abs() < 1.0 + 1e-9, "{need} told as {amount}");
                } else {
                    // rounded twice: all of them with the spoken ages, and then one against the other
                    prop_assert!(amount.abs() < need.abs() + 2.0 + 1e-9, "{need} told as {amount}");
                }
            }
        }
    }
}
