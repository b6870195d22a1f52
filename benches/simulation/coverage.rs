//! How often the intervals ever miss the truth, and how good the forecast of trees is.

use crate::model::{Grower, TARGET, THIRD, Truth, bands, follow, thirds_and};
use crate::spread;
use thirdwood::judge::{
    ALPHA_BLOCK, Metric, Sample, Stratum, Sums, interval, stratified, trees_to_verdict, wrong_age,
};

const LOOKS: u32 = 100;

/// Prints all rows.
pub fn print(pruners: u64, seed: u64) {
    println!(
        "\n{:<72}{:>13}",
        "the truth ever missed within 100 trees", "this method"
    );
    let botched = Truth::botching(0.15, thirds_and(0.338), thirds_and(0.0));
    let rows = [
        (
            "any of five metrics, 1 % each: on target",
            Truth::new(TARGET, 0.92),
        ),
        (
            "any of five metrics, 1 % each: one-year 0.15, buds 0.97",
            Truth::one_year(0.15, 0.02, 0.97),
        ),
        (
            "any of five metrics, 1 % each: 15 % of trees botched",
            botched,
        ),
    ];
    for (name, truth) in rows {
        row(name, share(pruners, |stream| missed(&truth, seed, stream)));
    }
    for (name, one) in [
        ("0.00", THIRD),
        ("0.10", THIRD - 0.10),
        ("0.18", THIRD - 0.18),
    ] {
        let truth = Truth::one_year(one, 0.0, 0.92);
        row(
            &format!("wrong-age share, D = {name}, 5 %"),
            share(pruners, |stream| distance_missed(&truth, seed, stream)),
        );
    }
    blocks(pruners / 4, seed);
    println!("\nforecast at 8 trees within a factor of two of what it then took");
    for one in [0.10, 0.15, 0.20, 0.24, THIRD] {
        let truth = Truth::one_year(one, 0.0, 0.92);
        let (within, told) = forecast(&truth, pruners, seed);
        println!(
            "one-year {one:.2}: {:>5.1} % of the {:.0} % with a forecast under 200",
            100.0 * within,
            100.0 * told
        );
    }
}

fn row(name: &str, rate: f64) {
    println!("{name:<72}{:>11.2} %", 100.0 * rate);
}

fn share(pruners: u64, event: impl Fn(u64) -> bool + Sync) -> f64 {
    spread(pruners, event).iter().filter(|&&e| e).count() as f64 / pruners as f64
}

/// Whether the 1 % interval of any metric ever leaves its truth out.
fn missed(truth: &Truth, seed: u64, stream: u64) -> bool {
    let mut grower = Grower::new(seed, stream);
    let mut sample = Sample::new(TARGET);
    let means = truth.means();
    (0..LOOKS).any(|_| {
        sample.add(&grower.tree(truth));
        Metric::ALL.iter().any(|&metric| {
            let sums = sample.metric(metric);
            let n = f64::from(sums.n());
            let mean = sums.mean().unwrap_or(0.5);
            let b = sums.score_b(metric.rho());
            !interval(mean, sums.sd_floored(), n, n - 1.0, b, 0.01, 0.0)
                .contains(means[metric.index()])
        })
    })
}

fn distance_missed(truth: &Truth, seed: u64, stream: u64) -> bool {
    let mut grower = Grower::new(seed, stream);
    let mut sample = Sample::new(TARGET);
    let means = truth.means();
    let share = 0.5 * (0..4).map(|k| (means[k] - TARGET[k]).abs()).sum::<f64>();
    (0..LOOKS).any(|_| {
        sample.add(&grower.tree(truth));
        wrong_age(&sample).is_some_and(|found| !found.interval.contains(share))
    })
}

/// (name, true one-year share and trees pruned by pruner, which pruner is never counted)
type Setting = (&'static str, Vec<(f64, u32)>, Option<usize>);

fn blocks(times: u64, seed: u64) {
    let settings: [Setting; 4] = [
        (
            "block of 3 pruners, 12 trees each, 5 %",
            vec![(0.33, 120), (0.25, 80), (0.40, 40)],
            None,
        ),
        (
            "block of 8 pruners, 6 trees each, 5 %",
            (0..8).map(|h| (0.22 + 0.03 * f64::from(h), 50)).collect(),
            None,
        ),
        (
            "block of 8 alike, 4 trees each, 5 %",
            vec![(0.30, 60); 8],
            None,
        ),
        (
            "block of 6 pruners, 8 trees each, one of them unsampled (14 %), 5 %",
            vec![
                (0.33, 60),
                (0.28, 60),
                (0.36, 60),
                (0.31, 60),
                (0.40, 60),
                (0.27, 50),
            ],
            Some(5),
        ),
    ];
    let each = [12, 6, 4, 8];
    for ((name, strata, unseen), each) in settings.into_iter().zip(each) {
        row(
            name,
            share(times, |stream| {
                block_missed(&strata, unseen, each, seed, stream)
            }),
        );
    }
}

/// Pruners take turns, a tree each; a look after every tree.
fn block_missed(
    strata: &[(f64, u32)],
    unseen: Option<usize>,
    each: u32,
    seed: u64,
    stream: u64,
) -> bool {
    let mut grower = Grower::new(seed, stream);
    let all: f64 = strata.iter().map(|h| f64::from(h.1)).sum();
    let truth: f64 = strata.iter().map(|h| h.0 * f64::from(h.1)).sum::<f64>() / all;
    let mut sums = vec![Sums::default(); strata.len()];
    for _ in 0..each {
        for h in (0..strata.len()).filter(|&h| Some(h) != unseen) {
            let (c, m) = grower
                .tree(&Truth::one_year(strata[h].0, 0.0, 0.92))
                .metric(Metric::One);
            sums[h].add(c, m);
            if sums
                .iter()
                .enumerate()
                .any(|(h, s)| s.n() == 0 && Some(h) != unseen)
            {
                continue; // the first round is not over
            }
            let now: Vec<Stratum> = strata
                .iter()
                .zip(&sums)
                .map(|(h, sums)| Stratum { pruned: h.1, sums })
                .collect();
            if !stratified(&now, Metric::One, ALPHA_BLOCK)
                .interval
                .contains(truth)
            {
                return true;
            }
        }
    }
    false
}

/// Share of the forecasts for one-year wood that are within a factor of two, and share that there is a forecast for.
fn forecast(truth: &Truth, pruners: u64, seed: u64) -> (f64, f64) {
    let bands = bands(0.10);
    let pairs = spread(pruners, |stream| {
        let mut grower = Grower::new(seed, stream);
        let mut sums = Sums::default();
        for _ in 0..8 {
            let (c, m) = grower.tree(truth).metric(Metric::One);
            sums.add(c, m);
        }
        let (flag, balance) = trees_to_verdict(Metric::One, &sums, &bands[0]);
        let told = flag.into_iter().chain(balance).min()?;
        let course = follow(truth, &bands, 200, seed, stream);
        let took = course.out[0]
            .into_iter()
            .chain(course.balance[0])
            .min()
            .unwrap_or(u32::MAX);
        (took > 8).then_some((f64::from(told) - 8.0, f64::from(took) - 8.0))
    });
    let told: Vec<(f64, f64)> = pairs.into_iter().flatten().collect();
    let good = told
        .iter()
        .filter(|(told, took)| told / took <= 2.0 && took / told <= 2.0)
        .count();
    (
        good as f64 / told.len().max(1) as f64,
        told.len() as f64 / pruners as f64,
    )
}
