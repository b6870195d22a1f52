use super::*;
use crate::judge::{More, TreeFigures, judge};
use proptest::prelude::*;

fn sums(trees: &[(u32, u32)]) -> Sums {
    let mut sums = Sums::default();
    for &(c, m) in trees {
        sums.add(c, m);
    }
    sums
}

fn sample(n: u32, one: u32) -> Sample {
    let mut sample = Sample::new([1.0 / 3.0, 1.0 / 3.0, 1.0 / 3.0, 0.0]);
    for i in 0..n {
        let ages = [one + i % 2, 11, 10, 0];
        sample.add(&TreeFigures {
            ages,
            units: 10,
            units_within: 10,
        });
    }
    sample
}

fn bands() -> [Band; 5] {
    [
        Band::kept(1.0 / 3.0, 0.10),
        Band::kept(1.0 / 3.0, 0.10),
        Band::kept(1.0 / 3.0, 0.10),
        Band::too_old(0.05),
        Band::compliance(0.80),
    ]
}

#[test]
fn no_counts_at_all() {
    let empty = Sums::default();
    let found = stratified(
        &[Stratum {
            pruned: 50,
            sums: &empty,
        }],
        Metric::One,
        ALPHA_BLOCK,
    );
    assert_eq!((found.mean, found.interval), (None, Interval::whole()));
    assert!((found.unsampled - 1.0).abs() < f64::EPSILON);
    assert_eq!(stratified(&[], Metric::One, ALPHA_BLOCK).mean, None);
}

#[test]
fn one_tree_each_is_the_whole_range() {
    let (a, b) = (sums(&[(3, 10)]), sums(&[(5, 10)]));
    let strata = [
        Stratum {
            pruned: 30,
            sums: &a,
        },
        Stratum {
            pruned: 10,
            sums: &b,
        },
    ];
    let found = stratified(&strata, Metric::One, ALPHA_BLOCK);
    assert!((found.mean.unwrap() - (0.75 * 0.3 + 0.25 * 0.5)).abs() < 1e-12);
    assert_eq!(found.interval, Interval::whole());
}

#[test]
fn more_counted_than_logged_is_no_fault() {
    let (a, b) = (sums(&[(3, 10), (4, 10)]), sums(&[(5, 10), (5, 10)]));
    let strata = [
        Stratum {
            pruned: 0,
            sums: &a,
        },
        Stratum {
            pruned: 2,
            sums: &b,
        },
    ];
    let found = stratified(&strata, Metric::One, ALPHA_BLOCK);
    assert!((found.mean.unwrap() - 0.425).abs() < 1e-12);
}

#[test]
fn one_block_alone_is_judged_like_a_pruner() {
    let counted = sample(30, 10);
    let alone = judge(&counted, &bands());
    assert_eq!(judge_strata(&[(200, &counted)], &bands()), alone);
    let nowhere = sample(0, 10);
    assert_eq!(
        judge_strata(&[(200, &counted), (0, &nowhere)], &bands()),
        alone
    );
}

#[test]
fn too_many_unsampled_trees_leave_no_verdict() {
    let (counted, none) = (sample(60, 10), sample(0, 10));
    let enough = judge_block(&[(160, &counted), (40, &none)], &bands());
    assert!((enough.metric(Metric::One).unsampled - 0.2).abs() < 1e-12);
    let light = judge_block(&[(160, &sample(60, 1)), (160, &sample(60, 1))], &bands());
    assert_eq!(light.metric(Metric::One).verdict, Verdict::Light);
    let too_many = judge_block(&[(150, &sample(60, 1)), (50, &none)], &bands());
    assert_eq!(
        (too_many.overall, too_many.more),
        (Verdict::KeepCounting, More::NotLookedAt),
        "sixty counted trees are not too few"
    );
    assert!(
        too_many
            .metrics
            .iter()
            .all(|m| (m.verdict, m.more) == (Verdict::KeepCounting, More::NotLookedAt))
    );
    let nobody = judge_block(&[(150, &none), (50, &none)], &bands());
    assert_eq!(
        (nobody.overall, nobody.more),
        (Verdict::KeepCounting, More::Unknown)
    );
}

/// Trees that each hold `c` of `m`, and the trees' own sample for days.
fn day(pruned: u32, counted: u32) -> (u32, Sample) {
    (pruned, sample(counted, 10))
}

/// By hand: the weight of each counted tree is the trees of its batch for each counted one; of five days with 25, 60, .. trees
/// the second has no count and goes with the third.
#[test]
fn a_day_without_a_count_goes_with_the_next_that_has_one() {
    let target = sample(0, 10).target();
    let weights = |days: &[(u32, u32)]| {
        let days: Vec<_> = days.iter().map(|(n, c)| day(*n, *c)).collect();
        let sums = by_batch(&days, target).metric(Metric::One).clone();
        (sums.n(), 1.0 / sums.of_mean())
    };
    let near = |found: (u32, f64), wanted: (u32, f64)| {
        assert!(
            found.0 == wanted.0 && (found.1 - wanted.1).abs() < 1e-9,
            "{found:?}, not {wanted:?}"
        );
    };
    // n_eff = (sum of weights)² / sum of their squares
    near(
        weights(&[(20, 4), (60, 4), (20, 4), (60, 4)]),
        (16, 160.0 * 160.0 / 2_000.0),
    );
    near(
        weights(&[(20, 2), (60, 0), (20, 2), (60, 0)]),
        (4, 160.0 * 160.0 / 10_000.0),
    );
    near(weights(&[(20, 0), (60, 0), (30, 5)]), (5, 5.0));
    assert_eq!(by_batch(&[day(3, 0), day(3, 0)], target).trees(), 0);
    // weights alike change nothing
    let even = judge(&by_batch(&[day(40, 4), day(40, 4)], target), &bands());
    let plain = judge(&sample(8, 10), &bands());
    for metric in Metric::ALL {
        let (even, plain) = (even.metric(metric), plain.metric(metric));
        assert_eq!((even.n, even.verdict), (plain.n, plain.verdict));
        assert!((even.flag.lo - plain.flag.lo).abs() < 1e-9);
        assert!((even.flag.hi - plain.flag.hi).abs() < 1e-9);
    }
}

proptest! {
    #[test]
    fn an_unsampled_stratum_only_widens(
        a in prop::collection::vec((0u32..30, 1u32..30), 1..20),
        b in prop::collection::vec((0u32..30, 1u32..30), 1..20),
        pruned in 1u32..200, unseen in 1u32..100,
    ) {
        let (a, b, none) = (sums(&a), sums(&b), Sums::default());
        let mut strata = vec![Stratum { pruned, sums: &a }, Stratum { pruned: 100, sums: &b }];
        let without = stratified(&strata, Metric::Two, ALPHA_BLOCK);
        strata.push(Stratum { pruned: unseen, sums: &none });
        let with = stratified(&strata, Metric::Two, ALPHA_BLOCK);
        prop_assert!(with.interval.lo <= without.interval.lo && without.interval.hi <= with.interval.hi);
        prop_assert!(with.interval.contains(with.mean.unwrap()));
        prop_assert!((with.mean.unwrap() - without.mean.unwrap()).abs() < 1e-12);
    }
}
