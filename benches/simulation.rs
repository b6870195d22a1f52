//! How many trees a verdict takes, and how often it is wrong: the whole table, some minutes.
//!
//!     cargo bench --bench simulation                 10,000 pruners a row
//!     cargo bench --bench simulation -- 2000         fewer
//!     cargo bench --bench simulation -- minutes      minutes of the supervisor, whole winters instead
//!     cargo bench --bench simulation -- minutes 120  of so many winters
//!
//! The model stands in `tests/simulation/model.rs`. Beside this method stand two others, for judging one metric alone:
//! a t interval looked at after each tree from the third on (same error rates, but valid at one look only), and Wald's
//! sequential test of the band's edge against the truth, which knows the variance and the truth and so cannot be beaten.

#[path = "simulation/coverage.rs"]
mod coverage;
#[path = "simulation/minutes.rs"]
mod minutes;
#[path = "../tests/simulation/model.rs"]
mod model;
#[path = "simulation/others.rs"]
mod others;
#[path = "simulation/winter.rs"]
mod winter;

use model::{Course, Grower, THIRD, Truth, percentile, rate, thirds_and};
use others::{Edge, Others};
use std::hint::black_box;
use std::thread;
use thirdwood::judge::{Metric, Sample, judge};

const SEED: u64 = 20_260_101;
/// Looks for times to a verdict, and for "ever".
const LONG: u32 = 200;
const EVER: u32 = 100;

fn main() {
    let number: Option<u64> = std::env::args().find_map(|arg| arg.parse().ok());
    let start = std::time::Instant::now();
    if std::env::args().any(|arg| arg == "minutes") {
        minutes::print(number.unwrap_or(minutes::WINTERS));
        println!("\n{:.0} s", start.elapsed().as_secs_f64());
        return;
    }
    let pruners = number.unwrap_or(10_000);
    println!(
        "{pruners} pruners a row, seed {SEED}; trees until the verdict: median / 90th percentile\n"
    );
    times(pruners);
    errors(pruners);
    coverage::print(pruners, SEED);
    speed();
    println!("\n{:.0} s", start.elapsed().as_secs_f64());
}

/// All pruners on all processors; the order of the answers does not depend on how many these are.
fn many(truth: Truth, tolerance: f64, looks: u32, pruners: u64) -> Vec<Course> {
    let bands = model::bands(tolerance);
    spread(pruners, move |stream| {
        model::follow(&truth, &bands, looks, SEED, stream)
    })
}

/// Runs `one` for each of `many` streams on all processors.
fn spread<T: Send>(many: u64, one: impl Fn(u64) -> T + Sync) -> Vec<T> {
    let threads = thread::available_parallelism().map_or(1, |n| n.get() as u64);
    let one = &one;
    thread::scope(|scope| {
        let parts: Vec<_> = (0..threads)
            .map(|t| {
                scope.spawn(move || {
                    (many * t / threads..many * (t + 1) / threads)
                        .map(one)
                        .collect::<Vec<T>>()
                })
            })
            .collect();
        parts
            .into_iter()
            .flat_map(|part| part.join().unwrap())
            .collect()
    })
}

fn shown(times: &[Option<u32>]) -> String {
    let at = |part| {
        percentile(times.iter().copied(), part).map_or("never".to_owned(), |n| n.to_string())
    };
    format!("{} / {}", at(0.5), at(0.9))
}

fn time_row(
    name: &str,
    courses: &[Course],
    pick: impl Fn(&Course) -> Option<u32>,
    others: Option<Others>,
) {
    let ours: Vec<Option<u32>> = courses.iter().map(pick).collect();
    let (t, wald) = others.map_or((String::new(), String::new()), |o| {
        (shown(&o.t), shown(&o.wald))
    });
    println!("{name:<58}{:>14}{t:>14}{wald:>14}", shown(&ours));
}

fn times(pruners: u64) {
    println!(
        "{:<58}{:>14}{:>14}{:>14}",
        "true state", "this method", "t, each tree", "Wald"
    );
    let light = |name: &str, truth: Truth, tolerance: f64, metric: Metric| {
        let courses = many(truth, tolerance, LONG, pruners);
        let others = others::run(truth, &model::bands(tolerance), metric, LONG, pruners, SEED);
        time_row(name, &courses, |c| c.out[metric.index()], Some(others));
    };
    light(
        "one-year 0.15, tolerance 0.08: light",
        Truth::one_year(0.15, 0.0, 0.92),
        0.08,
        Metric::One,
    );
    light(
        "one-year 0.15: light",
        Truth::one_year(0.15, 0.0, 0.92),
        0.10,
        Metric::One,
    );
    for one in [0.15, 0.20, 0.24] {
        let courses = many(Truth::one_year(one, 0.0, 0.92), 0.10, LONG, pruners);
        let first = |c: &Course| c.leaning[0].into_iter().chain(c.out[0]).min();
        time_row(
            &format!("one-year {one:.2}: leaning or light"),
            &courses,
            first,
            None,
        );
    }
    for buds in [0.50, 0.65] {
        let truth = Truth::one_year(THIRD, 0.0, buds);
        light(
            &format!("bud compliance {buds:.2}: light"),
            truth,
            0.10,
            Metric::Buds,
        );
    }
    light(
        "four-plus 0.12: heavy",
        Truth::one_year(0.2933, 0.12, 0.92),
        0.10,
        Metric::FourPlus,
    );
    for (four_plus, buds) in [(0.0, 0.92), (0.02, 0.90)] {
        let courses = many(
            Truth::one_year((1.0 - four_plus) / 3.0, four_plus, buds),
            0.10,
            LONG,
            pruners,
        );
        let name = format!("on target, four-plus {four_plus:.2}, buds {buds:.2}: in balance");
        time_row(&name, &courses, |c| c.whole_balance, None);
    }
}

fn error_row(name: &str, ours: f64, t: Option<f64>) {
    let t = t.map_or(String::new(), |t| format!("{:.2} %", 100.0 * t));
    println!("{name:<72}{:>11.2} %{t:>15}", 100.0 * ours);
}

fn errors(pruners: u64) {
    println!(
        "\n{:<72}{:>13}{:>15}",
        "ever within 100 trees", "this method", "t, each tree"
    );
    let target = Truth::new(model::TARGET, 0.92);
    let edge = THIRD - 0.10;
    let at_edge = Truth::one_year(edge, 0.0, 0.92);
    let at_upper = Truth::one_year(THIRD + 0.10, 0.0, 0.92);
    let edges = Truth::new([edge, THIRD + 0.10, THIRD - 0.05, 0.05], 0.80);
    let innocents = [
        ("innocent flagged: on target", target),
        ("innocent flagged: one-year at its lower edge", at_edge),
        ("innocent flagged: one-year at its upper edge", at_upper),
        (
            "innocent flagged: one-, two-year, four-plus and buds at their edges",
            edges,
        ),
    ];
    for (name, truth) in innocents {
        let courses = many(truth, 0.10, EVER, pruners);
        let t = others::ever_flagged(truth, &model::bands(0.10), EVER, pruners, SEED);
        error_row(name, rate(&courses, Course::ever_out), Some(t));
        if name.ends_with("on target") {
            error_row(
                "on target, ever leaning",
                rate(&courses, Course::ever_leaning),
                None,
            );
        }
        if name.contains("lower edge") || name.contains("upper edge") {
            let t = others::ever_in_balance(truth, Edge::age(0), EVER, pruners, SEED);
            let name = format!("{}: one-year wrongly in balance", &name[18..]);
            error_row(&name, rate(&courses, |c| c.balance[0].is_some()), Some(t));
        }
    }
    for usual in [0.0, 0.01] {
        let bad = (0.0507 - 0.85 * usual) / 0.15;
        let truth = Truth::botching(0.15, thirds_and(bad), thirds_and(usual));
        let courses = many(truth, 0.10, EVER, pruners);
        let t = others::ever_in_balance(truth, Edge::four_plus(), EVER, pruners, SEED);
        let name = format!(
            "15 % of trees with four-plus {bad:.3}, others {usual:.2} (0.0507): in balance"
        );
        error_row(&name, rate(&courses, |c| c.balance[3].is_some()), Some(t));
        error_row(
            "    the same, the whole in balance",
            rate(&courses, |c| c.whole_balance.is_some()),
            None,
        );
    }
    for (name, truth) in [
        ("on target", target),
        ("one-year at its lower edge", at_edge),
        ("four edges", edges),
    ] {
        for times in [2.0, 3.0] {
            let courses = many(truth.erratic(times), 0.10, EVER, pruners);
            let who = format!("trees differ {times} times as much, {name}");
            error_row(
                &format!("{who}: flagged"),
                rate(&courses, Course::ever_out),
                None,
            );
            if name == "on target" {
                error_row(
                    "    the same, ever leaning",
                    rate(&courses, Course::ever_leaning),
                    None,
                );
            }
            if name == "four edges" {
                let four_plus = |c: &Course| c.balance[3].is_some();
                error_row(
                    "    the same, four-plus wrongly in balance",
                    rate(&courses, four_plus),
                    None,
                );
            }
        }
    }
    let one = |one: f64| [one, (1.0 - one) / 2.0, (1.0 - one) / 2.0, 0.0];
    for (at, mean, share, bad) in [
        ("lower edge", edge, 0.15, 0.6),
        ("lower edge", edge, 0.05, 0.9),
        ("upper edge", THIRD + 0.10, 0.15, 0.1),
    ] {
        let usual = (mean - share * bad) / (1.0 - share);
        let courses = many(
            Truth::botching(share, one(bad), one(usual)),
            0.10,
            EVER,
            pruners,
        );
        let name = format!(
            "{at}, {:.0} % of trees with one-year {bad}: flagged",
            100.0 * share
        );
        error_row(&name, rate(&courses, Course::ever_out), None);
    }
}

/// Judging a whole crew, forecasts included: 40 pruners of whom most are undecided.
fn speed() {
    let bands = model::bands(0.10);
    let crew: Vec<Sample> = (0..40)
        .map(|pruner| {
            let mut grower = Grower::new(SEED, pruner);
            let truth = Truth::one_year(0.20 + 0.004 * pruner as f64, 0.02, 0.85);
            let mut sample = Sample::new(model::TARGET);
            (0..10 + pruner % 20).for_each(|_| sample.add(&grower.tree(&truth)));
            sample
        })
        .collect();
    let mut times: Vec<f64> = (0..500)
        .map(|_| {
            let start = std::time::Instant::now();
            for sample in &crew {
                black_box(judge(black_box(sample), &bands));
            }
            start.elapsed().as_secs_f64() * 1e6
        })
        .collect();
    times.sort_by(f64::total_cmp);
    println!(
        "\nall verdicts and forecasts of 40 pruners: median {:.0} us, 99 % {:.0} us",
        times[250], times[495]
    );
}
