use super::*;
use crate::outlook::factor::Factors;
use crate::outlook::wood::{Carries, Growing, Scenario, outlook};
use proptest::prelude::*;

fn outset<'a>(
    rule: &'a Rule,
    factors: &'a Factors,
    left: ByAge,
    offered: Option<ByAge>,
) -> Outset<'a> {
    Outset {
        left,
        offered,
        growing: Growing {
            grown: 45.0,
            survival: [0.9, 0.9, 0.9, 0.9],
        },
        rule,
        units: 30.0,
        carries: Carries {
            buds_per_piece: [0.0, 3.0, 0.0, 0.0],
            trees_per_ha: 1_667.0,
            counts_cv: None,
        },
        factors,
    }
}

#[test]
fn wood_that_is_there_is_left_and_the_block_is_in_balance_at_once() {
    let (rule, factors) = (Rule::default(), Factors::default());
    let found = mend(&outset(
        &rule,
        &factors,
        [8.0, 30.0, 30.0, 0.0],
        Some([50.0, 33.0, 30.0, 25.0]),
    ))
    .unwrap();
    assert_eq!(found.balanced_in, Some(0));
    assert!(found.leave[0] >= 30.0 / 0.9 - 1e-9, "{found:?}");
    assert!(found.not_there.iter().all(|missing| *missing < 1e-9));
    assert!((found.cut[3] - 25.0).abs() < 1e-9, "four-plus goes");
}

#[test]
fn a_gap_that_is_not_there_to_be_left_takes_its_time() {
    let (rule, factors) = (Rule::default(), Factors::default());
    let found = mend(&outset(
        &rule,
        &factors,
        [6.0, 30.0, 30.0, 0.0],
        Some([6.0, 40.0, 40.0, 0.0]),
    ))
    .unwrap();
    assert!((found.not_there[0] - (30.0 / 0.9 - 6.0)).abs() < 1e-9);
    // at one year now, at two years next winter, at three years the winter after, then grown out
    assert_eq!(found.balanced_in, Some(3), "{found:?}");
}

#[test]
fn a_small_tree_is_not_called_mended() {
    let (rule, factors) = (Rule::default(), Factors::default());
    let mut small = outset(&rule, &factors, [3.0, 3.0, 3.0, 0.0], None);
    small.growing.grown = 3.0;
    assert_eq!(mend(&small).unwrap().balanced_in, None);
}

/// How soon a way of leaving wood is in balance, worked out apart from the search.
fn soonest(years: &[crate::outlook::wood::Year], rule: &Rule) -> usize {
    let fits = |year: &crate::outlook::wood::Year| {
        let near = (0..4)
            .all(|age| (year.mix[age] - rule.target()[age]).abs() <= rule.tolerance[age] + 1e-9);
        near && year.units >= 27.0 - 1e-9
    };
    years.iter().position(fits).unwrap_or(usize::MAX)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]
    #[test]
    fn it_is_never_later_than_mending_by_the_numbers(
        offered in proptest::array::uniform4(0.0..60.0_f64), part in 0.0..1.0_f64,
    ) {
        let (rule, factors) = (Rule::default(), Factors::default());
        let outset = outset(&rule, &factors, offered.map(|n| n * part), Some(offered));
        let found = mend(&outset).unwrap();
        let plain = outlook(&outset, Scenario::MendedNow).unwrap();
        prop_assert_eq!(found.balanced_in.unwrap_or(usize::MAX), soonest(&found.years, &rule));
        prop_assert!(soonest(&found.years, &rule) <= soonest(&plain, &rule));
        for (age, offered) in offered.into_iter().enumerate() {
            prop_assert!(found.leave[age] <= offered + 1e-9, "more than there was");
            prop_assert!((found.leave[age] + found.cut[age] - offered).abs() < 1e-9);
        }
        prop_assert!(found.leave[3].abs() < 1e-12);
    }
}
