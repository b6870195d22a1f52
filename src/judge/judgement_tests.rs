#![allow(clippy::unwrap_used)]
use super::*;
use crate::judge::{ALPHA_FLAG, TreeFigures};

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
    let mut sample = Sample::new([1.0 / 3.0, 1.0 / 3.0, 1.0 / 3.0, 0.0]);
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
        (Verdict::KeepCounting, More::TooClose)
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
    assert_eq!(found.spoken_ages(), [true, true, false, false]);
    assert_eq!(found.more, More::Settled);
}

#[test]
fn a_forecast_of_the_whole_waits_for_the_slowest_metric() {
    let found = judge(&sample(12, [10, 10, 10, 0], 1, 10), &bands());
    assert_eq!(found.overall, Verdict::KeepCounting);
    let slowest = found.metrics.iter().map(|m| match m.more {
        More::About(k) => k,
        More::Settled => 0,
        other => panic!("{other:?}"),
    });
    assert_eq!(found.more, More::About(slowest.max().unwrap()));
}

#[test]
fn one_metric_alone_is_judged_as_in_the_whole() {
    let sample = sample(25, [6, 12, 12, 1], 2, 7);
    let whole = judge(&sample, &bands());
    for metric in Metric::ALL {
        let alone = judge_metric(metric, sample.metric(metric), &bands()[metric.index()]);
        assert_eq!(&alone, whole.metric(metric));
    }
    assert!(whole.metric(Metric::One).flag.width() > whole.metric(Metric::One).balance.width());
    assert!((ALPHA_FLAG - 0.02).abs() < f64::EPSILON);
}
