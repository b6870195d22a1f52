use super::*;

const ROWS_AHEAD: usize = WINTERS_AHEAD;

fn close(a: ByAge, b: ByAge) -> bool {
    a.iter().zip(b).all(|(a, b)| (a - b).abs() < 1e-9)
}

/// Too little one-year wood left, though there was more of it. Nothing is lost, to be followed by hand.
fn outset<'a>(rule: &'a Rule, factors: &'a Factors) -> Outset<'a> {
    Outset {
        left: [12.0, 30.0, 30.0, 0.0],
        offered: Some([48.0, 30.0, 30.0, 30.0]),
        growing: Growing {
            grown: 48.0,
            survival: [1.0; 4],
        },
        rule,
        units: 30.0,
        carries: Carries {
            buds_per_piece: [0.0, 3.0, 0.0, 0.0],
            trees_per_ha: 1_667.0,
            counts_cv: Some(0.05),
        },
        factors,
    }
}

#[test]
fn three_ways_on_from_a_one_year_gap() {
    let (rule, factors) = (Rule::default(), Factors::default());
    let outset = outset(&rule, &factors);
    let [as_pruned, mended, on_the_rule] =
        Scenario::ALL.map(|scenario| outlook(&outset, scenario).unwrap());
    for years in [&as_pruned, &mended, &on_the_rule] {
        assert_eq!(years.len(), ROWS_AHEAD + 1);
        assert!(years[0].account.is_none() && years[1..].iter().all(|year| year.account.is_some()));
    }
    // a quarter of the one-year wood kept, all of the two- and three-year, nothing older
    assert!(close(as_pruned[1].pieces, [12.0, 12.0, 30.0, 0.0]));
    assert!(close(as_pruned[4].pieces, [12.0, 12.0, 12.0, 0.0]));
    assert!(close(mended[0].pieces, [30.0, 30.0, 30.0, 0.0]));
    assert!(close(mended[4].pieces, on_the_rule[4].pieces));
    // the crop falls with the units, to two fifths
    let kg = |year: &Year| year.crop.kg_per_tree.mean;
    assert!((kg(&as_pruned[1]) / kg(&on_the_rule[1]) - 0.4).abs() < 1e-9);
    assert!((as_pruned[1].buds - 36.0).abs() < 1e-9 && (as_pruned[1].units - 12.0).abs() < 1e-9);
    assert!(on_the_rule.iter().all(|year| year.wrong_age < 1e-9));
}

#[test]
fn without_before_counts_nothing_more_is_taken_to_have_been_there() {
    let (rule, factors) = (Rule::default(), Factors::default());
    let outset = Outset {
        offered: None,
        ..outset(&rule, &factors)
    };
    assert_eq!(outset.kept(), None);
    let mended = outlook(&outset, Scenario::MendedNow).unwrap();
    assert!(
        close(mended[0].pieces, [12.0, 30.0, 30.0, 0.0]),
        "{:?}",
        mended[0]
    );
    // the gap shows at two and three years, and has then grown out
    assert!(close(mended[1].pieces, [30.0, 12.0, 30.0, 0.0]));
    assert!(close(mended[2].pieces, [30.0, 30.0, 12.0, 0.0]));
    assert!(close(mended[3].pieces, [30.0, 30.0, 30.0, 0.0]));
    // the same habits: the same numbers, as far as they are offered
    let as_pruned = outlook(&outset, Scenario::AsPruned).unwrap();
    assert!(close(as_pruned[1].pieces, [12.0, 12.0, 30.0, 0.0]));
}

#[test]
fn losses_are_met_with_more_one_year_wood_on_the_rule() {
    let (rule, factors) = (Rule::default(), Factors::default());
    let outset = Outset {
        growing: Growing {
            grown: 48.0,
            survival: [0.75, 0.9, 0.9, 0.9],
        },
        ..outset(&rule, &factors)
    };
    let years = outlook(&outset, Scenario::OnTheRule).unwrap();
    for year in &years {
        assert!(
            (year.units - 30.0).abs() < 1e-9,
            "the units are there every winter: {year:?}"
        );
    }
    assert!(close(years[4].pieces, [40.0, 30.0, 27.0, 0.0]));
}

#[test]
fn wrong_outsets_name_the_field() {
    let (rule, factors) = (Rule::default(), Factors::default());
    let good = outset(&rule, &factors);
    let carries = |buds_per_piece| Carries {
        buds_per_piece,
        ..good.carries
    };
    for (field, wrong) in [
        (
            "pieces",
            Outset {
                left: [-1.0, 0.0, 0.0, 0.0],
                ..good
            },
        ),
        ("units", Outset { units: 0.0, ..good }),
        (
            "buds_per_piece",
            Outset {
                carries: carries([0.0, 99.0, 0.0, 0.0]),
                ..good
            },
        ),
        (
            "survival",
            Outset {
                growing: Growing {
                    survival: [2.0; 4],
                    ..good.growing
                },
                ..good
            },
        ),
    ] {
        assert_eq!(
            outlook(&wrong, Scenario::AsPruned).unwrap_err().field,
            field
        );
    }
}

#[test]
fn no_wood_at_all_is_wholly_wrong_and_bears_nothing() {
    assert!((wrong_age_share([0.0; 4], [0.25; 4]) - 1.0).abs() < 1e-12);
    assert!((wrong_age_share([1.0, 1.0, 0.0, 0.0], [0.5, 0.25, 0.25, 0.0]) - 0.25).abs() < 1e-12);
    assert!(close(mix([0.0; 4]), [0.0; 4]));
}
