//! `judge` against values computed apart from it, with scipy, statsmodels and samplics: see
//! `tests/reference/reference.py`, which writes `tests/reference/judge.json` and states the versions.

use serde_json::Value;
use thirdwood::judge::{
    ALPHA_BLOCK, Band, Interval, Metric, Sample, Stratum, Sums, TreeFigures, by_batch, interval,
    judge_metric, log_bayes_factor, multiplier, stratified, trees_to_verdict, wrong_age,
};

const CLOSE: f64 = 1e-9;

fn reference() -> Value {
    serde_json::from_str(include_str!("reference/judge.json")).unwrap()
}

fn rows<'a>(data: &'a Value, name: &str) -> &'a Vec<Value> {
    let rows = data[name].as_array().unwrap();
    assert!(!rows.is_empty(), "{name}");
    rows
}

fn number(row: &Value, name: &str) -> f64 {
    row[name]
        .as_f64()
        .unwrap_or_else(|| panic!("{name} in {row}"))
}

#[track_caller]
fn close(found: f64, wanted: f64) {
    assert!((found - wanted).abs() < CLOSE, "{found} is not {wanted}");
}

#[track_caller]
fn same(found: Interval, lo: f64, hi: f64) {
    close(found.lo, lo);
    close(found.hi, hi);
}

/// The twelve invented trees of the reference.
fn trees(data: &Value) -> Vec<TreeFigures> {
    let whole = |v: &Value| u32::try_from(v.as_u64().unwrap()).unwrap();
    let trees = &data["trees"];
    (0..trees["ages"].as_array().unwrap().len())
        .map(|i| TreeFigures {
            ages: std::array::from_fn(|k| whole(&trees["ages"][i][k])),
            units: whole(&trees["units"][i]),
            units_within: whole(&trees["within"][i]),
        })
        .collect()
}

fn sample(trees: &[TreeFigures], target: [f64; 4]) -> Sample {
    let mut sample = Sample::new(target);
    for tree in trees {
        sample.add(tree);
    }
    sample
}

const THIRDS: [f64; 4] = [1.0 / 3.0, 1.0 / 3.0, 1.0 / 3.0, 0.0];

#[test]
fn bayes_factor_is_the_noncentral_t_integral() {
    let data = reference();
    for row in rows(&data, "bayes_factor") {
        let n = number(row, "n");
        let nu = row["nu"].as_f64().unwrap_or(n - 1.0);
        close(
            log_bayes_factor(n, nu, number(row, "t")),
            number(row, "log"),
        );
    }
}

#[test]
fn multiplier_is_the_root() {
    let data = reference();
    let mut unbounded = 0;
    for row in rows(&data, "multiplier") {
        let found = multiplier(
            number(row, "n_eff"),
            number(row, "nu"),
            number(row, "alpha"),
        );
        if let Some(wanted) = row["m"].as_f64() {
            assert!((found.unwrap() / wanted - 1.0).abs() < CLOSE, "{row}");
        } else {
            unbounded += 1;
            assert_eq!(found, None, "{row}");
        }
    }
    assert!(unbounded >= 5);
}

#[test]
fn limits_are_the_roots_of_the_inequality() {
    let data = reference();
    for row in rows(&data, "limits") {
        let [mean, s, n_eff, nu, b, alpha, extra] =
            ["mean", "s", "n_eff", "nu", "b", "alpha", "extra"].map(|name| number(row, name));
        let found = interval(mean, s, n_eff, nu, b, alpha, extra);
        same(found, number(row, "lo"), number(row, "hi"));
    }
}

#[test]
fn metrics_from_counted_trees() {
    let data = reference();
    let sample = sample(&trees(&data), THIRDS);
    let band = Band::kept(1.0 / 3.0, 0.1);
    for (row, metric) in rows(&data, "from_counts").iter().zip(Metric::ALL) {
        let sums = sample.metric(metric);
        let found = judge_metric(metric, sums, &band);
        assert_eq!(u64::from(found.n), row["n"].as_u64().unwrap());
        close(found.mean.unwrap(), number(row, "mean"));
        close(found.s, number(row, "s"));
        close(sums.score_b(metric.rho()), number(row, "b"));
        let ends = |name: &str| [0, 1].map(|i: usize| row[name][i].as_f64().unwrap());
        same(found.flag, ends("flag")[0], ends("flag")[1]);
        same(found.balance, ends("balance")[0], ends("balance")[1]);
    }
}

#[test]
fn trees_still_needed() {
    let data = reference();
    let sample = sample(&trees(&data), THIRDS);
    for row in rows(&data, "trees_to") {
        let metric = Metric::ALL[usize::try_from(row["metric"].as_u64().unwrap()).unwrap()];
        let band = Band::kept(1.0 / 3.0, number(row, "tolerance"));
        let (flag, balance) = trees_to_verdict(metric, sample.metric(metric), &band);
        assert_eq!(flag.map(u64::from), row["flag"].as_u64(), "{row}");
        assert_eq!(balance.map(u64::from), row["balance"].as_u64(), "{row}");
    }
}

fn age_sums(trees: &[TreeFigures], metric: Metric) -> Sums {
    sample(trees, THIRDS).metric(metric).clone()
}

#[track_caller]
fn block(row: &Value, strata: &[(u32, Sums)]) {
    let strata: Vec<Stratum> = strata
        .iter()
        .map(|(pruned, sums)| Stratum {
            pruned: *pruned,
            sums,
        })
        .collect();
    let found = stratified(&strata, Metric::One, ALPHA_BLOCK);
    close(found.mean.unwrap(), number(row, "mean"));
    close(found.nu, number(row, "nu"));
    close(found.n_eff, number(row, "n_eff"));
    close(found.s, number(row, "s"));
    close(found.unsampled, number(row, "unsampled"));
    same(found.interval, number(row, "lo"), number(row, "hi"));
}

#[test]
fn blocks_with_and_without_unsampled_pruners() {
    let data = reference();
    let trees = trees(&data);
    let one = |part: &[TreeFigures]| age_sums(part, Metric::One);
    let mut strata = vec![
        (120, one(&trees[..5])),
        (80, one(&trees[5..11])),
        (40, one(&trees[11..])),
    ];
    block(&data["block"], &strata);
    strata.push((60, Sums::default()));
    block(&data["block_unsampled"], &strata);
    block(
        &data["block_one_counted"],
        &[(170, one(&trees)), (30, Sums::default())],
    );
    // nobody with four trees
    let few = [&trees[..3], &trees[3..6], &trees[6..8], &trees[8..9]];
    block(&data["block_few"], &few.map(|part| (40, one(part))));
}

/// Five days of 20, 20, 60, 60 and 25 trees, of which three, none, four, three and two are counted.
#[test]
fn days_weigh_by_their_trees() {
    let data = reference();
    let trees = trees(&data);
    let days = [
        (20, &trees[..3]),
        (20, &[][..]),
        (60, &trees[3..7]),
        (60, &trees[7..10]),
        (25, &trees[10..]),
    ];
    let days = days.map(|(pruned, counted)| (pruned, sample(counted, THIRDS)));
    let counted = by_batch(&days, THIRDS);
    let sums = counted.metric(Metric::One);
    let row = &data["days"];
    close(sums.mean().unwrap(), number(row, "mean"));
    close(sums.degrees(), number(row, "nu"));
    close(1.0 / sums.of_mean(), number(row, "n_eff"));
    let found = judge_metric(Metric::One, sums, &Band::kept(1.0 / 3.0, 0.10));
    same(found.flag, number(row, "lo"), number(row, "hi"));
}

#[test]
fn stratified_mean_is_that_of_samplics() {
    let data = reference();
    let trees = trees(&data);
    let (a, b) = (
        age_sums(&trees[..5], Metric::Two),
        age_sums(&trees[5..], Metric::Two),
    );
    let strata = [
        Stratum {
            pruned: 120,
            sums: &a,
        },
        Stratum {
            pruned: 80,
            sums: &b,
        },
    ];
    let found = stratified(&strata, Metric::Two, ALPHA_BLOCK);
    close(found.mean.unwrap(), number(&data["samplics"], "mean"));
    // samplics keeps the strata's variances apart: from our sums, that is sqrt(Σ W² s² / n)
    let parts = [(0.6, &a), (0.4, &b)];
    let variance: f64 = parts
        .iter()
        .map(|(w, h)| w * w * h.variance() / f64::from(h.n()))
        .sum();
    close(variance.sqrt(), number(&data["samplics"], "stderror"));
}

#[test]
fn wrong_age_share() {
    let data = reference();
    for (name, target) in [("distance", THIRDS), ("distance_even", [0.25; 4])] {
        let row = &data[name];
        let found = wrong_age(&sample(&trees(&data), target)).unwrap();
        close(found.share, number(row, "share"));
        close(found.noise, number(row, "noise"));
        close(found.mean_tree, number(row, "mean_tree"));
        same(found.interval, number(row, "lo"), number(row, "hi"));
    }
}

/// Without spread between trees only the score part is left; with A = z²/n it is Wilson's interval, here that of
/// statsmodels.
#[test]
fn score_part_is_wilson() {
    let data = reference();
    let (n_eff, nu, alpha) = (30.0, 29.0, 0.05);
    let w = multiplier(n_eff, nu, alpha).unwrap() / f64::sqrt(n_eff);
    for row in rows(&data, "wilson") {
        let [count, n, z] = ["count", "n", "z"].map(|name| number(row, name));
        let b = z * z / n / (w * w);
        let found = interval(count / n, 0.0, n_eff, nu, b, alpha, 0.0);
        same(found, number(row, "lo"), number(row, "hi"));
    }
}
