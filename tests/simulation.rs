//! How often verdicts are wrong and how many trees they take, on simulated pruners (the model is in
//! `tests/simulation/model.rs`): a short version of `benches/simulation.rs`, of which each row has 10,000 pruners.
//!
//! Seeds are fixed. Bounds on rates leave room for the sampling error of so few pruners.

#[path = "simulation/model.rs"]
mod model;

use model::{Course, Grower, TARGET, THIRD, Truth, crew, percentile, rate, thirds_and};
use thirdwood::judge::{Metric, Sample, interval};

const SEED: u64 = 7_301;
const PRUNERS: u64 = 3_000;
/// Looks for "ever".
const EVER: u32 = 100;

/// Median and 90th percentile of the trees that it took, by at most 200.
fn times(truth: &Truth, tolerance: f64, pick: impl Fn(&Course) -> Option<u32>) -> (u32, u32) {
    let courses = crew(truth, tolerance, 200, PRUNERS / 3, SEED);
    let at = |part| percentile(courses.iter().map(&pick), part).unwrap();
    (at(0.5), at(0.9))
}

#[track_caller]
fn about(
    found: (u32, u32),
    median: std::ops::RangeInclusive<u32>,
    ninety: std::ops::RangeInclusive<u32>,
) {
    assert!(
        median.contains(&found.0) && ninety.contains(&found.1),
        "{found:?} not within {median:?}, {ninety:?}"
    );
}

#[test]
fn light_one_year_wood_is_found() {
    let truth = Truth::one_year(0.15, 0.0, 0.92);
    let light = |c: &Course| c.out[Metric::One.index()];
    about(times(&truth, 0.10, light), 19..=25, 32..=43);
    about(times(&truth, 0.08, light), 14..=19, 22..=30);
}

#[test]
fn leaning_is_found_long_before() {
    let leaning = |c: &Course| c.leaning[0].into_iter().chain(c.out[0]).min();
    about(
        times(&Truth::one_year(0.15, 0.0, 0.92), 0.10, leaning),
        8..=12,
        10..=15,
    );
    about(
        times(&Truth::one_year(0.20, 0.0, 0.92), 0.10, leaning),
        11..=16,
        17..=25,
    );
}

#[test]
fn buds_and_old_wood_are_found() {
    let buds = |c: &Course| c.out[Metric::Buds.index()];
    about(
        times(&Truth::new(TARGET, 0.50), 0.10, buds),
        10..=16,
        15..=24,
    );
    let old = |c: &Course| c.out[Metric::FourPlus.index()];
    about(
        times(&Truth::one_year(0.2933, 0.12, 0.92), 0.10, old),
        18..=26,
        28..=42,
    );
}

#[test]
fn a_pruner_on_target_is_told_so_and_hardly_ever_blamed() {
    let truth = Truth::new(TARGET, 0.92);
    about(times(&truth, 0.10, |c| c.whole_balance), 26..=35, 38..=52);
    let courses = crew(&truth, 0.10, EVER, PRUNERS, SEED);
    assert!(
        rate(&courses, Course::ever_out) < 0.003,
        "ever light or heavy"
    );
    assert!(rate(&courses, Course::ever_leaning) < 0.025, "ever leaning");
}

/// Half of the trees that "in balance" takes.
#[test]
fn nothing_badly_wrong_is_said_early_and_hardly_ever_of_who_is() {
    let on_target = Truth::new(TARGET, 0.92);
    about(times(&on_target, 0.10, |c| c.fine), 10..=14, 15..=20);
    let ever = |truth: Truth| rate(&crew(&truth, 0.10, 60, PRUNERS, SEED), |c| c.fine.is_some());
    let two_year = (1.0 - 0.4833) / 2.0;
    for (what, truth) in [
        ("one-year", Truth::one_year(THIRD - 0.15, 0.0, 0.92)),
        (
            "two-year",
            Truth::new([two_year, 0.4833, two_year, 0.0], 0.92),
        ),
        ("buds", Truth::new(TARGET, 0.65)),
        ("four-plus", Truth::new(thirds_and(0.15), 0.92)),
    ] {
        let ever = ever(truth);
        assert!(ever < 0.05, "{what}: {ever}");
    }
}

/// Of one in eight far off, a hint finds half by the fifth tree; of those on target hardly anybody gets one.
#[test]
fn hints_are_early_and_mostly_right() {
    let by = |truth: Truth, metric: Metric, trees: u32| {
        let courses = crew(&truth, 0.10, 10, PRUNERS, SEED);
        let given = |c: &Course| c.hint[metric.index()].is_some_and(|n| n <= trees);
        rate(&courses, given)
    };
    for (metric, off) in [
        (Metric::One, Truth::one_year(0.15, 0.0, 0.92)),
        (Metric::FourPlus, Truth::new(thirds_and(0.12), 0.92)),
        (Metric::Buds, Truth::new(TARGET, 0.55)),
    ] {
        let (five, ten) = (by(off, metric, 5), by(off, metric, 10));
        let innocent = by(Truth::new(TARGET, 0.92), metric, 10);
        let usual = if metric == Metric::FourPlus {
            (0.3, 0.5)
        } else {
            (0.4, 0.8)
        };
        assert!(five > usual.0 && ten > usual.1, "{metric:?}: {five} {ten}");
        assert!(innocent < 0.01, "{metric:?}: {innocent}");
        // one of eight is off
        let right = ten / (ten + 7.0 * innocent);
        assert!(right > 0.9, "{metric:?}: {right}");
    }
}

#[test]
fn a_pruner_at_an_edge_is_neither_blamed_nor_cleared() {
    let truth = Truth::one_year(THIRD - 0.10, 0.0, 0.92);
    let courses = crew(&truth, 0.10, EVER, PRUNERS, SEED);
    assert!(
        rate(&courses, Course::ever_out) < 0.012,
        "ever light or heavy"
    );
    assert!(
        rate(&courses, |c| c.balance[0].is_some()) < 0.025,
        "wrongly in balance"
    );
    let upper = Truth::one_year(THIRD + 0.10, 0.0, 0.92);
    let courses = crew(&upper, 0.10, EVER, PRUNERS, SEED);
    assert!(
        rate(&courses, Course::ever_out) < 0.012,
        "ever light or heavy"
    );
    assert!(
        rate(&courses, |c| c.balance[0].is_some()) < 0.025,
        "wrongly in balance"
    );
}

#[test]
fn a_pruner_at_four_edges_at_once_is_hardly_ever_blamed() {
    let truth = Truth::new([THIRD - 0.10, THIRD + 0.10, THIRD - 0.05, 0.05], 0.80);
    let courses = crew(&truth, 0.10, EVER, PRUNERS, SEED);
    assert!(rate(&courses, Course::ever_out) < 0.02);
}

/// Their own few trees may happen to look alike; what the four ages tell together shows that they are not.
#[test]
fn a_pruner_whose_trees_differ_much_is_hardly_ever_blamed() {
    let target = Truth::new(TARGET, 0.92);
    let edge = Truth::one_year(THIRD - 0.10, 0.0, 0.92);
    let edges = Truth::new([THIRD - 0.10, THIRD + 0.10, THIRD - 0.05, 0.05], 0.80);
    for times in [2.0, 3.0] {
        for (truth, most) in [(target, 0.004), (edge, 0.015), (edges, 0.03)] {
            let courses = crew(&truth.erratic(times), 0.10, EVER, PRUNERS / 3, SEED);
            let blamed = rate(&courses, Course::ever_out);
            assert!(blamed < most, "{times} times: {blamed}, most {most}");
        }
        let courses = crew(&target.erratic(times), 0.10, EVER, PRUNERS / 3, SEED);
        assert!(rate(&courses, Course::ever_leaning) < 0.05, "ever leaning");
    }
}

/// The known weakness: botched trees not met yet. It must not grow.
#[test]
fn botched_trees_not_met_yet_stay_the_weak_point() {
    let truth = Truth::botching(0.15, thirds_and(0.338), thirds_and(0.0));
    let wrongly = rate(&crew(&truth, 0.10, EVER, PRUNERS, SEED), |c| {
        c.whole_balance.is_some()
    });
    assert!((0.01..0.14).contains(&wrongly), "{wrongly}");
}

/// The 1 % intervals of five metrics hold the truth at every look to 100 trees.
#[test]
fn intervals_hold_the_truth_at_every_look() {
    for truth in [Truth::new(TARGET, 0.92), Truth::one_year(0.15, 0.02, 0.97)] {
        let missed = (0..PRUNERS)
            .filter(|&stream| misses(&truth, stream))
            .count();
        assert!(missed <= 24, "{missed} of {PRUNERS}");
    }
}

fn misses(truth: &Truth, stream: u64) -> bool {
    let mut grower = Grower::new(SEED, stream);
    let mut sample = Sample::new(TARGET);
    (0..EVER).any(|_| {
        sample.add(&grower.tree(truth));
        Metric::ALL
            .iter()
            .zip(truth.means())
            .any(|(&metric, mean)| {
                let sums = sample.metric(metric);
                let n = f64::from(sums.n());
                let b = sums.score_b(metric.rho());
                let found = interval(
                    sums.mean().unwrap_or(0.5),
                    sums.sd_floored(),
                    n,
                    n - 1.0,
                    b,
                    0.01,
                    0.0,
                );
                !found.contains(mean)
            })
    })
}
