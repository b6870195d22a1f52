use super::*;
use crate::judge::{ALPHA_FLAG, COMMON_SPREAD, TreeFigures, interval};
use proptest::prelude::*;

const TARGET: [f64; 4] = [1.0 / 3.0, 1.0 / 3.0, 1.0 / 3.0, 0.0];

fn bands() -> [Band; 5] {
    [
        Band::kept(1.0 / 3.0, 0.10),
        Band::kept(1.0 / 3.0, 0.10),
        Band::kept(1.0 / 3.0, 0.10),
        Band::too_old(0.05),
        Band::compliance(0.80),
    ]
}

/// `n` trees near a mix, swinging by `swing` pieces from tree to tree.
fn sample(n: u32, ages: [u32; 4], swing: u32, within: u32) -> Sample {
    let mut sample = Sample::new(TARGET);
    for i in 0..n {
        let mut ages = ages;
        let (from, to) = [(0, 1), (1, 2), (2, 0)][i as usize % 3];
        ages[from] -= swing;
        ages[to] += swing;
        sample.add(&TreeFigures {
            ages,
            units: 10,
            units_within: within,
        });
    }
    sample
}

#[test]
fn nothing_counted_is_keep_counting() {
    let found = judge(&sample(0, [0; 4], 0, 0), &bands());
    assert_eq!(
        (found.overall, found.lead, found.more),
        (Verdict::KeepCounting, None, More::Unknown)
    );
    assert!(
        found
            .metrics
            .iter()
            .all(|m| m.mean.is_none() && m.flag == Interval::whole())
    );
}

#[test]
fn even_trees_are_in_balance_in_the_end() {
    let found = judge(&sample(60, [10, 10, 10, 0], 1, 10), &bands());
    assert_eq!(found.overall, Verdict::InBalance);
    assert_eq!((found.lead, found.more), (None, More::Settled));
}

#[test]
fn one_metric_open_keeps_the_whole_open() {
    let found = judge(&sample(60, [10, 10, 10, 0], 1, 8), &bands());
    assert_eq!(found.metric(Metric::Two).verdict, Verdict::InBalance);
    assert_eq!(found.metric(Metric::Buds).verdict, Verdict::KeepCounting);
    assert_eq!(
        (found.overall, found.more),
        (Verdict::NothingBadlyWrong, More::TooClose)
    );
}

#[test]
fn the_most_certain_flag_leads() {
    let found = judge(&sample(40, [4, 16, 10, 0], 1, 3), &bands());
    assert_eq!(found.metric(Metric::One).verdict, Verdict::Light);
    assert_eq!(found.metric(Metric::Two).verdict, Verdict::Heavy);
    assert_eq!(found.metric(Metric::Buds).verdict, Verdict::Light);
    assert_eq!(
        (found.overall, found.lead),
        (Verdict::Light, Some(Metric::Buds))
    );
    let mut spoken = found.spoken(&bands());
    assert_eq!(spoken.remove(0), Metric::Buds);
    spoken.sort();
    assert_eq!(spoken, [Metric::One, Metric::Two]);
    assert_eq!(found.more, More::Settled);
}

#[test]
fn a_forecast_of_the_whole_waits_for_the_slowest_metric() {
    let found = judge(&sample(12, [10, 10, 10, 0], 1, 10), &bands());
    // what is next once nothing is badly wrong
    assert_eq!(found.overall, Verdict::NothingBadlyWrong);
    let slowest = found.metrics.iter().map(|m| match m.more {
        More::About(k) => k,
        More::Settled => 0,
        other => panic!("{other:?}"),
    });
    assert_eq!(found.more, More::About(slowest.max().unwrap()));
}

#[test]
fn one_metric_alone_is_judged_as_in_the_whole_where_trees_are_alike() {
    let sample = sample(25, [6, 12, 12, 1], 2, 7);
    let whole = judge(&sample, &bands());
    for metric in Metric::ALL {
        let alone = judge_metric(metric, sample.metric(metric), &bands()[metric.index()]);
        assert_eq!(&alone, whole.metric(metric));
    }
    assert!(whole.metric(Metric::One).flag.width() > whole.metric(Metric::One).balance.width());
    assert!((ALPHA_FLAG - 0.02).abs() < f64::EPSILON);
}

/// One-year wood that happens to be the same on all trees, while the other ages differ from tree to tree.
#[test]
fn an_age_that_seems_steady_is_not_believed_where_the_others_are_not() {
    let mut sample = Sample::new(TARGET);
    for swing in [13, 0, 11, 2, 13, 0, 12, 1, 13, 0, 13, 0, 9, 4] {
        sample.add(&TreeFigures {
            ages: [2, swing, 13 - swing, 0],
            units: 0,
            units_within: 0,
        });
    }
    let [one, two, three] = [Metric::One, Metric::Two, Metric::Three].map(|k| sample.metric(k));
    let possible = |sums: &Sums| sums.mean().unwrap() * (1.0 - sums.mean().unwrap());
    let squares = one.sd_floored().powi(2) + two.variance() + three.variance();
    let four = sample.metric(Metric::FourPlus).sd_floored().powi(2);
    let common = (squares + four) / [one, two, three].map(possible).iter().sum::<f64>();
    let by_hand = interval(
        2.0 / 15.0,
        one.sd_floored(),
        14.0,
        13.0,
        COMMON_SPREAD * common,
        ALPHA_FLAG,
        0.0,
    );
    let judged = *judge(&sample, &bands()).metric(Metric::One);
    assert!(
        (judged.flag.lo - by_hand.lo).abs() < 1e-12 && (judged.flag.hi - by_hand.hi).abs() < 1e-12
    );
    let alone = judge_metric(Metric::One, one, &bands()[0]);
    assert_eq!(alone.verdict, Verdict::LeaningLight, "{alone:?}");
    assert_eq!(judged.verdict, Verdict::KeepCounting, "{judged:?}");
}

proptest! {
    /// So no error that was measured without it can become more frequent.
    #[test]
    fn what_the_ages_have_in_common_only_widens(trees in prop::collection::vec(prop::array::uniform4(0u32..15), 1..30)) {
        let mut sample = Sample::new(TARGET);
        for ages in trees {
            sample.add(&TreeFigures { ages, units: 4, units_within: 3 });
        }
        let whole = judge(&sample, &bands());
        for metric in Metric::ALL {
            let alone = judge_metric(metric, sample.metric(metric), &bands()[metric.index()]);
            let judged = whole.metric(metric);
            prop_assert!(judged.flag.lo <= alone.flag.lo && alone.flag.hi <= judged.flag.hi);
            prop_assert!(judged.balance.lo <= alone.balance.lo && alone.balance.hi <= judged.balance.hi);
        }
    }
}
