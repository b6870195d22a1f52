use super::*;
use crate::outlook::{Factor, Source};
use proptest::prelude::*;

fn season(season: i32, units: &[(u32, u32, u32)]) -> SetCount {
    let units = units
        .iter()
        .map(|&(buds, clusters, fruit)| TaggedUnit {
            buds,
            fruit_buds: Some(buds),
            clusters,
            fruit,
        })
        .collect();
    SetCount { season, units }
}

fn own_weight(factor: &Factor) -> f64 {
    match factor.source() {
        Source::Own { own_weight, .. } => own_weight,
        other => panic!("{other:?} is not the block's own"),
    }
}

#[test]
fn nothing_counted_moves_nothing() {
    let before = Factors::default();
    assert_eq!(calibrate(&before, &[], &[]).unwrap(), before);
    let none = Weighed {
        mean_g: 180.0,
        fruit: 0,
    };
    assert_eq!(calibrate(&before, &[], &[none]).unwrap(), before);
}

#[test]
fn an_exact_factor_stays() {
    let exact = Factor::new(FactorKind::Set, 1.0, 0.0, Source::Entered).unwrap();
    let found = calibrate(
        &Factors::default().with(exact),
        &[season(2024, &[(50, 10, 12)])],
        &[],
    )
    .unwrap();
    assert_eq!(*found.get(FactorKind::Set), exact);
}

/// Worked by hand: set 0.6 ± 0.15, so b² = τ² = 0.01125 and V = 0.24. Prior weight 0.24 / 0.01125 − 1 = 20.3333 buds.
/// 100 fruit buds, 80 clusters: v = 0.0024, n' = 0.24 / 0.01365 = 17.5824. Mean (20.3333 × 0.6 + 17.5824 × 0.8) /
/// 37.9158 = 0.692744; variance 0.692744 × 0.307256 / 38.9158 + 0.01125 = 0.0167196, sd 0.129304.
#[test]
fn set_after_one_season_by_hand() {
    let found = calibrate(&Factors::default(), &[season(2024, &[(100, 80, 100)])], &[]).unwrap();
    let set = found.get(FactorKind::Set);
    assert!((set.value() - 0.692_744).abs() < 1e-6, "{set:?}");
    assert!((set.sd() - 0.129_304).abs() < 1e-6, "{set:?}");
    assert!((own_weight(set) - 17.5824 / 37.9158).abs() < 1e-5);
    let Source::Own {
        n,
        seasons,
        own_weight,
    } = set.source()
    else {
        panic!("{set:?}");
    };
    assert_eq!((n, seasons), (100, 1));
    assert!((own_weight - 0.46).abs() < 0.005, "{own_weight}");
}

/// By hand: weight 200 ± 22 g, b² = τ² = 242. 100 fruit of 180 g: v = 12.96. Own weight (1 / 254.96) / (1 / 242 +
/// 1 / 254.96) = 0.486961; mean 200 − 20 × 0.486961 = 190.2608.
#[test]
fn weight_after_one_harvest_by_hand() {
    let weighed = Weighed {
        mean_g: 180.0,
        fruit: 100,
    };
    let found = calibrate(&Factors::default(), &[], &[weighed]).unwrap();
    let weight = found.get(FactorKind::FruitWeight);
    assert!((weight.value() - 190.2608).abs() < 1e-4, "{weight:?}");
    assert!((own_weight(weight) - 0.486_961).abs() < 1e-6);
}

#[test]
fn more_evidence_weighs_more_and_narrows() {
    let few = [season(2023, &[(20, 16, 20)])];
    let more = [season(2023, &[(400, 320, 400)])];
    let seasons: Vec<_> = (2015..2025)
        .map(|year| season(year, &[(400, 320, 400)]))
        .collect();
    let factors = [&few[..], &more[..], &seasons[..]].map(|counts| {
        *calibrate(&Factors::default(), counts, &[])
            .unwrap()
            .get(FactorKind::Set)
    });
    for pair in factors.windows(2) {
        assert!(own_weight(&pair[0]) < own_weight(&pair[1]));
        assert!(pair[0].value() < pair[1].value() && pair[1].value() < 0.8);
        assert!(pair[0].sd() > pair[1].sd());
    }
    // the spread between seasons stays however much was counted
    assert!(factors[2].sd() > (0.5_f64 * 0.15 * 0.15).sqrt());
}

#[test]
fn a_season_in_two_sheets_counts_once() {
    let split = [season(2024, &[(50, 30, 40)]), season(2024, &[(50, 40, 50)])];
    let whole = [season(2024, &[(50, 30, 40), (50, 40, 50)])];
    let default = Factors::default();
    assert_eq!(
        calibrate(&default, &split, &[]).unwrap(),
        calibrate(&default, &whole, &[]).unwrap()
    );
}

#[test]
fn units_that_differ_much_count_for_less() {
    let alike = season(2024, &[(10, 6, 6); 10]);
    let mut differing = [(10, 10, 10); 10];
    for unit in differing.iter_mut().take(4) {
        *unit = (10, 0, 0);
    }
    let [alike, differing] = [alike, season(2024, &differing)].map(|count| {
        *calibrate(&Factors::default(), &[count], &[])
            .unwrap()
            .get(FactorKind::Set)
    });
    assert!((alike.value() - differing.value()).abs() < 1e-9);
    assert!(own_weight(&differing) < own_weight(&alike) && differing.sd() > alike.sd());
}

#[test]
fn without_fruit_buds_told_apart_the_product_agrees_with_what_was_seen() {
    let units = vec![
        TaggedUnit {
            buds: 1_000,
            fruit_buds: None,
            clusters: 420,
            fruit: 420
        };
        4
    ];
    let counts: Vec<_> = (1900..2000)
        .map(|season| SetCount {
            season,
            units: units.clone(),
        })
        .collect();
    let found = calibrate(&Factors::default(), &counts, &[]).unwrap();
    let product = found.value(FactorKind::FruitBuds) * found.value(FactorKind::Set);
    assert!((product - 0.42).abs() < 0.002, "{product}");
    assert!((found.value(FactorKind::FruitPerCluster) - 1.0).abs() < 0.01);
}

#[test]
fn slips_of_the_pen_name_the_field() {
    let unit = |buds, fruit_buds, clusters, fruit| SetCount {
        season: 2024,
        units: vec![TaggedUnit {
            buds,
            fruit_buds,
            clusters,
            fruit,
        }],
    };
    for (field, wrong) in [
        ("fruit_buds", unit(4, Some(5), 1, 1)),
        ("clusters", unit(4, Some(2), 3, 3)),
        ("clusters", unit(4, None, 5, 5)),
        ("fruit", unit(4, None, 0, 1)),
    ] {
        assert_eq!(
            calibrate(&Factors::default(), &[wrong], &[])
                .unwrap_err()
                .field,
            field
        );
    }
    let tiny = Weighed {
        mean_g: 2.0,
        fruit: 5,
    };
    assert_eq!(
        calibrate(&Factors::default(), &[], &[tiny])
            .unwrap_err()
            .field,
        "mean_g"
    );
}

proptest! {
    #[test]
    fn more_clusters_never_lower_the_set(buds in 1_u32..300, a in 0_u32..300, b in 0_u32..300) {
        let (low, high) = (a.min(b).min(buds), a.max(b).min(buds));
        let set = |clusters| {
            let found = calibrate(&Factors::default(), &[season(2024, &[(buds, clusters, clusters)])], &[]).unwrap();
            found.value(FactorKind::Set)
        };
        prop_assert!(set(low) <= set(high) + 1e-12);
        // between what stood before and what was seen
        let seen = f64::from(high) / f64::from(buds);
        prop_assert!((seen.min(0.6) - 1e-12..=seen.max(0.6) + 1e-12).contains(&set(high)));
    }
}
