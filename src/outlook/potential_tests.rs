use super::*;
use crate::orchard::{Buds, Tap};
use crate::outlook::{Factor, Source};
use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;
use rand_distr::{Beta, Distribution, Gamma, Normal, StudentT};

const DRAWS: usize = 400_000;

/// Buds a tree that are not in doubt.
fn exact(mean: f64) -> Counted {
    Counted::Buds(Mean {
        mean,
        se: Some(0.0),
        n: u32::MAX,
    })
}

/// Draws of one factor from a distribution that its kind would have.
fn draws(factor: &Factor, rng: &mut ChaCha8Rng) -> Vec<f64> {
    let (m, variance) = (factor.value(), factor.sd().powi(2));
    match factor.kind() {
        FactorKind::FruitWeight | FactorKind::FruitPerCluster => {
            let gamma = Gamma::new(m * m / variance, variance / m).unwrap();
            (0..DRAWS).map(|_| gamma.sample(rng)).collect()
        }
        _ => {
            let weight = m * (1.0 - m) / variance - 1.0;
            let beta = Beta::new(m * weight, (1.0 - m) * weight).unwrap();
            (0..DRAWS).map(|_| beta.sample(rng)).collect()
        }
    }
}

/// Mean, standard deviation, 10 and 90 % points of kg a tree by simulation: t-distributed units and buds a unit,
/// beta-distributed shares, gamma-distributed weight and fruit per cluster.
fn simulated(units: &Mean, buds: &Mean, factors: &Factors) -> [f64; 4] {
    let mut rng = ChaCha8Rng::seed_from_u64(20_250_114);
    let student = StudentT::new(f64::from(units.n - 1)).unwrap();
    let normal = Normal::new(buds.mean, buds.se.unwrap()).unwrap();
    let mut product: Vec<f64> = (0..DRAWS)
        .map(|_| {
            (units.mean + units.se.unwrap() * student.sample(&mut rng)) * normal.sample(&mut rng)
        })
        .collect();
    for factor in factors.all() {
        let loss = factor.kind() == FactorKind::Loss;
        for (whole, part) in product.iter_mut().zip(draws(&factor, &mut rng)) {
            *whole *= if loss { 1.0 - part } else { part };
        }
    }
    for kg in &mut product {
        *kg /= 1_000.0;
    }
    product.sort_by(f64::total_cmp);
    let n = product.len() as f64;
    let mean = product.iter().sum::<f64>() / n;
    let sd = (product.iter().map(|kg| (kg - mean).powi(2)).sum::<f64>() / n).sqrt();
    let at = |share: f64| product[(share * n) as usize];
    [mean, sd, at(0.1), at(0.9)]
}

#[test]
fn the_range_agrees_with_an_independent_monte_carlo() {
    let units = Mean {
        mean: 60.0,
        se: Some(4.0),
        n: 12,
    };
    let buds = Mean {
        mean: 3.1,
        se: Some(0.05),
        n: 400,
    };
    let wood = Counted::Units {
        units,
        buds_per_unit: buds,
    };
    // a block of which nothing is known, and one that has been calibrated
    let known = [
        (FactorKind::Set, 0.7, 0.06),
        (FactorKind::FruitPerCluster, 1.3, 0.1),
    ]
    .into_iter()
    .fold(Factors::default(), |factors, (kind, value, sd)| {
        factors.with(Factor::new(kind, value, sd, Source::Entered).unwrap())
    });
    for factors in [Factors::default(), known] {
        let kg = potential(&wood, &factors, 1_667.0).unwrap().kg_per_tree;
        let [mean, sd, lo, hi] = simulated(&units, &buds, &factors);
        println!("closed form {kg:?}, simulated {mean:.3} {sd:.3} {lo:.3} {hi:.3}");
        assert!((kg.mean / mean - 1.0).abs() < 0.003, "{kg:?} {mean}");
        assert!((kg.sd / sd - 1.0).abs() < 0.01, "{kg:?} {sd}");
        assert!((kg.lo / lo - 1.0).abs() < 0.02, "{kg:?} {lo}");
        assert!((kg.hi / hi - 1.0).abs() < 0.01, "{kg:?} {hi}");
    }
}

#[test]
fn every_source_of_spread_widens_the_range() {
    let factors = Factors::default();
    let width = |se, n| {
        let kg = potential(
            &Counted::Buds(Mean {
                mean: 180.0,
                se: Some(se),
                n,
            }),
            &factors,
            1_667.0,
        )
        .unwrap();
        kg.kg_per_tree.hi - kg.kg_per_tree.lo
    };
    assert!(width(0.0, 10) < width(8.0, 10) && width(8.0, 10) < width(20.0, 10));
    assert!(
        width(20.0, 100) < width(20.0, 6),
        "fewer trees, a less certain standard error"
    );
}

#[test]
fn three_trees_say_nothing_of_the_spread_between_trees() {
    let few = Counted::Buds(Mean {
        mean: 180.0,
        se: Some(20.0),
        n: 3,
    });
    let found = potential(&few, &Factors::default(), 1_667.0).unwrap();
    assert_eq!(found.counts_cv, None);
    let exact = potential(&exact(180.0), &Factors::default(), 1_667.0).unwrap();
    assert_eq!(found.kg_per_tree, exact.kg_per_tree);
    assert_eq!(exact.counts_cv, Some(0.0));
}

#[test]
fn parts_of_trees_are_scaled_by_their_stems() {
    let mut tally = Tally::default();
    for _ in 0..10 {
        tally.add(Tap::Piece(Age::Two)).unwrap();
    }
    for buds in [2, 3, 4] {
        tally
            .add(Tap::Unit(Size::Medium, Buds::new(buds).unwrap()))
            .unwrap();
    }
    let part = TreeWood::of(&tally, 2.0 / 6.0, 0.0);
    assert_eq!((part.two_year, part.units, part.buds), (10, 3, 9));
    let whole = TreeWood {
        two_year: 24,
        units: 0,
        buds: 0,
        part: 1.0,
        part_variance: 0.0,
    };
    let Counted::Units {
        units,
        buds_per_unit,
    } = counted(&[part, whole]).unwrap()
    else {
        panic!("units and buds a unit");
    };
    // 10 on a third of a tree and 24 on a whole one: 34 over 4/3 of a tree
    assert!((units.mean - 25.5).abs() < 1e-12);
    assert!((buds_per_unit.mean - 3.0).abs() < 1e-12);
    assert_eq!((units.n, buds_per_unit.n, buds_per_unit.se), (2, 1, None));
}

/// Four whole trees of 50, 60, 70 and 80: mean 65, standard deviation 12.9099, standard error 6.4550.
#[test]
fn whole_trees_give_the_plain_mean_and_its_error() {
    let trees = [50, 60, 70, 80].map(|two_year| TreeWood {
        two_year,
        units: 10,
        buds: 30,
        part: 1.0,
        part_variance: 0.0,
    });
    let Counted::Units { units, .. } = counted(&trees).unwrap() else {
        panic!("units and buds a unit");
    };
    assert!((units.mean - 65.0).abs() < 1e-12);
    assert!((units.se.unwrap() - 6.454_972).abs() < 1e-6);
}

/// Where the parts are estimated, with one error of 10 % for all: half of the trees' parts by weight bring half of it.
#[test]
fn the_error_of_estimated_parts_is_one_for_all_trees() {
    let tree = |two_year, part_variance| TreeWood {
        two_year,
        units: 10,
        buds: 30,
        part: 0.5,
        part_variance,
    };
    let se = |trees: &[TreeWood]| match counted(trees) {
        Some(Counted::Units { units, .. }) => units.se.unwrap(),
        other => panic!("{other:?}"),
    };
    // two-year pieces alike: no error from tree to tree
    let all = [tree(30, 0.01); 6];
    assert!((se(&all) - 0.1 * 60.0).abs() < 1e-12);
    let half = [[tree(30, 0.01); 3], [tree(30, 0.0); 3]].concat();
    assert!((se(&half) - 0.05 * 60.0).abs() < 1e-12);
}

#[test]
fn without_buds_there_is_no_estimate() {
    assert_eq!(counted(&[]), None);
    assert_eq!(
        counted(&[TreeWood {
            two_year: 20,
            units: 0,
            buds: 0,
            part: 1.0,
            part_variance: 0.0,
        }]),
        None
    );
}

#[test]
fn a_tree_without_buds_bears_nothing() {
    let found = potential(&exact(0.0), &Factors::default(), 1_667.0).unwrap();
    let kg = found.kg_per_tree;
    assert_eq!((kg.mean, kg.sd, kg.lo, kg.hi), (0.0, 0.0, 0.0, 0.0));
}

/// Four trees with units on which no bud was left, and three that say too little.
#[test]
fn no_buds_on_enough_trees_is_known_well_enough() {
    let bare = |n: usize| {
        let tree = TreeWood {
            two_year: 20,
            units: 5,
            buds: 0,
            part: 1.0,
            part_variance: 0.0,
        };
        let wood = counted(&vec![tree; n]).unwrap();
        let found = potential(&wood, &Factors::default(), 1_667.0).unwrap();
        found.counts_cv
    };
    assert_eq!((bare(3), bare(4)), (None, Some(0.0)));
}
