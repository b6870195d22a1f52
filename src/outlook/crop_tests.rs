use super::*;
use crate::outlook::{Counted, Factor, FactorKind, Mean, Source, potential};
use proptest::prelude::*;

/// One fruit a cluster, every bud a cluster, nothing lost.
fn plain(weight: f64) -> Factors {
    [
        (FactorKind::FruitWeight, weight),
        (FactorKind::FruitPerCluster, 1.0),
        (FactorKind::Set, 1.0),
        (FactorKind::Loss, 0.0),
        (FactorKind::FruitBuds, 1.0),
    ]
    .into_iter()
    .fold(Factors::default(), |factors, (kind, value)| {
        factors.with(Factor::new(kind, value, 0.0, Source::Entered).unwrap())
    })
}

fn input(target: Target) -> BriefInput {
    BriefInput {
        target,
        trees_per_ha: 1_667.0,
        stems: 6,
        buds_per_unit: 3.0,
        survival: [1.0; 4],
    }
}

/// An invented example to be checked by hand.
#[test]
fn sixty_five_tonnes_are_195_buds_a_tree() {
    let found = brief(
        &input(Target::TonnesPerHa(65.0)),
        &plain(200.0),
        &Rule::default(),
    )
    .unwrap();
    assert_eq!(found.tree.fruit.round() as u32, 195);
    assert_eq!(found.tree.buds.round() as u32, 195);
    assert!((found.tree.units - 65.0).abs() < 0.02);
    assert!((found.stem.buds - 32.5).abs() < 0.01);
    for age in 0..3 {
        assert!((found.tree.pieces[age] - found.tree.units).abs() < 1e-9);
    }
    assert!(found.tree.pieces[3].abs() < 1e-12 && found.tree.extra_one_year.abs() < 1e-12);
    assert!((found.kg_per_tree - 38.99).abs() < 0.01);
    let units: Vec<u32> = found
        .by_buds
        .iter()
        .map(|row| row.units_per_tree.round() as u32)
        .collect();
    assert_eq!(units, [195, 97, 65, 49]);
    assert!((found.by_buds[0].tonnes_with_same_units - 65.0 / 3.0).abs() < 1e-9);
}

#[test]
fn losses_of_one_year_wood_ask_for_more_of_it() {
    let wanted = BriefInput {
        survival: [0.8, 1.0, 1.0, 1.0],
        ..input(Target::FruitPerTree(240.0))
    };
    let found = brief(&wanted, &plain(200.0), &Rule::default()).unwrap();
    assert!((found.tree.units - 80.0).abs() < 1e-9);
    assert!(
        (found.tree.extra_one_year - 20.0).abs() < 1e-9,
        "80 / 0.8 is 100: 20 on top of 80"
    );
    assert!((found.stem.extra_one_year - 20.0 / 6.0).abs() < 1e-9);
}

#[test]
fn buds_a_unit_follow_the_rule_and_the_sizes() {
    let rule = Rule::default();
    assert!((buds_per_unit(&rule, None) - 3.0).abs() < 1e-12);
    assert!((buds_per_unit(&rule, Some([1.0, 0.0, 1.0])) - 3.0).abs() < 1e-12);
    assert!((buds_per_unit(&rule, Some([0.0, 1.0, 3.0])) - 3.75).abs() < 1e-12);
    assert!((buds_per_unit(&rule, Some([0.0; 3])) - 3.0).abs() < 1e-12);
}

#[test]
fn impossible_briefs_name_the_field() {
    let good = input(Target::TonnesPerHa(40.0));
    for (field, wrong) in [
        (
            "tonnes_per_ha",
            BriefInput {
                target: Target::TonnesPerHa(0.0),
                ..good
            },
        ),
        (
            "girth_cm",
            BriefInput {
                target: Target::FruitPerTcsa {
                    fruit_per_cm2: 5.0,
                    girth_cm: 0.0,
                },
                ..good
            },
        ),
        (
            "trees_per_ha",
            BriefInput {
                trees_per_ha: f64::NAN,
                ..good
            },
        ),
        ("stems", BriefInput { stems: 0, ..good }),
        (
            "buds_per_unit",
            BriefInput {
                buds_per_unit: 0.0,
                ..good
            },
        ),
        (
            "survival",
            BriefInput {
                survival: [0.0, 1.0, 1.0, 1.0],
                ..good
            },
        ),
    ] {
        assert_eq!(
            brief(&wrong, &Factors::default(), &Rule::default())
                .unwrap_err()
                .field,
            field
        );
    }
}

proptest! {
    #[test]
    fn the_brief_read_backwards_is_its_target(tonnes in 5.0..120.0_f64, trees in 200.0..5_000.0_f64) {
        let wanted = BriefInput { trees_per_ha: trees, ..input(Target::TonnesPerHa(tonnes)) };
        let factors = Factors::default();
        let found = brief(&wanted, &factors, &Rule::default()).unwrap();
        let wood = Counted::Buds(Mean { mean: found.tree.buds, se: Some(0.0), n: u32::MAX });
        let back = potential(&wood, &factors, trees).unwrap();
        prop_assert!((back.tonnes_per_ha.mean / tonnes - 1.0).abs() < 1e-9);
        prop_assert!((back.fruit_per_tree.mean / found.tree.fruit - 1.0).abs() < 1e-9);
    }
}
