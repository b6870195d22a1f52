//! Repeat counts against published examples and against values computed apart from the program: see
//! `tests/reference/repeat.py`, which writes `tests/reference/repeat.json` and states the versions.

use serde_json::Value;
use thirdwood::judge::{LIMITS_SD, MeanSquares, Pairing, Ranged, Repeat, f_quantile, t_half_width};

fn reference() -> Value {
    serde_json::from_str(include_str!("reference/repeat.json")).unwrap()
}

fn case(name: &str) -> Value {
    let data = reference();
    let mut cases = data["cases"].as_array().unwrap().iter();
    cases.find(|case| case["name"] == name).unwrap().clone()
}

fn table<const K: usize>(case: &Value) -> Option<Vec<[f64; K]>> {
    let rows = case["table"].as_array().unwrap().iter();
    rows.map(|row| {
        let row = row.as_array().unwrap();
        let values = row.iter().map(|value| value.as_f64().unwrap());
        values.collect::<Vec<_>>().try_into().ok()
    })
    .collect()
}

#[track_caller]
fn close(found: f64, wanted: &Value, what: &str) {
    let wanted = wanted.as_f64().unwrap();
    let off = (found - wanted).abs() / wanted.abs().max(1.0);
    assert!(off < 1e-9, "{what}: {found} is not {wanted}");
}

#[track_caller]
fn ranged(found: Ranged, wanted: &Value, what: &str) {
    for (found, at) in [(found.value, 0), (found.lo, 1), (found.hi, 2)] {
        close(found, &wanted[at], what);
    }
}

#[track_caller]
fn printed(found: f64, wanted: f64, within: f64) {
    assert!((found - wanted).abs() <= within, "{found} is not {wanted}");
}

/// Shrout and Fleiss, Psychological Bulletin 86 (1979) 420-428: the ratings of table 2 (seen as quoted in several
/// packages that use them), the mean squares of table 3 and the correlations of table 4 (from memory).
#[test]
fn six_targets_and_four_judges_of_shrout_and_fleiss() {
    let ratings: Vec<[f64; 4]> = table(&case("shrout_fleiss")).unwrap();
    let squares = MeanSquares::of(&ratings).unwrap();
    println!(
        "{squares:?}, {:?}, {:?}",
        squares.one_way(),
        squares.two_way()
    );
    printed(squares.between, 11.24, 0.005);
    printed(squares.within, 6.26, 0.005);
    printed(squares.columns, 32.49, 0.005);
    printed(squares.error, 1.02, 0.005);
    printed(squares.one_way().unwrap().value, 0.17, 0.005);
    printed(squares.two_way().unwrap().value, 0.29, 0.005);
    let consistency = (squares.between - squares.error) / (squares.between + 3.0 * squares.error);
    printed(consistency, 0.71, 0.005);
}

/// Bland and Altman, Lancet 327 (1986) 307-310: first readings of peak flow, l/min, of 17 people by a large and a
/// mini meter (table 1, seen as quoted alike in several packages). Mean difference, standard deviation and limits of
/// agreement, and their intervals, from memory; they take 2 for 1.96, and the limits' error as √(3 s²/n).
#[test]
fn peak_flow_by_two_meters_of_bland_and_altman() {
    let readings: Vec<[f64; 2]> = table(&case("bland_altman")).unwrap();
    let found = Repeat::of(&readings, Pairing::TwoCounters).unwrap();
    println!("{found:?}");
    let (bias, sd) = (found.bias, found.sd_difference);
    printed(bias.value, -2.1, 0.05);
    printed(sd, 38.8, 0.05);
    printed(bias.lo, -22.0, 0.1);
    printed(bias.hi, 17.8, 0.1);
    // printed: -79.7 and 75.5, worked out from the rounded figures
    printed(bias.value - 2.0 * sd, -79.7, 0.1);
    printed(bias.value + 2.0 * sd, 75.5, 0.1);
    let half = (found.limit_lo.hi - found.limit_lo.lo) / 2.0;
    // 1.71 s/√n for 1.96, 1.73 s/√n for 2: within 2.5 % of the printed 34.6
    printed(half / 34.6, 1.0, 0.025);
    assert!((found.limit_hi.value - bias.value - LIMITS_SD * sd).abs() < 1e-9);
}

#[test]
fn mean_squares_and_correlations_as_statsmodels_and_pingouin_have_them() {
    fn check<const K: usize>(case: &Value, rows: &[[f64; K]]) {
        let name = case["name"].as_str().unwrap();
        let squares = MeanSquares::of(rows).unwrap();
        let wanted = &case["mean_squares"];
        close(squares.between, &wanted["between"], name);
        close(squares.within, &wanted["within"], name);
        close(squares.columns, &wanted["columns"], name);
        close(squares.error, &wanted["error"], name);
        let forms = [
            ("one_way", squares.one_way()),
            ("two_way", squares.two_way()),
        ];
        for (form, found) in forms {
            let found = found.unwrap();
            close(found.value, &case["icc"][form], name);
            close(found.lo, &case["intervals"][form][0], name);
            close(found.hi, &case["intervals"][form][1], name);
        }
    }
    let data = reference();
    let cases = data["cases"].as_array().unwrap();
    assert_eq!(cases.len(), 7);
    for case in cases {
        match table::<2>(case) {
            Some(rows) => check(case, &rows),
            None => check(case, &table::<4>(case).unwrap()),
        }
    }
}

#[test]
fn agreement_as_numpy_and_scipy_have_it() {
    let data = reference();
    let with_pairs = data["cases"].as_array().unwrap().iter();
    let mut seen = 0;
    for case in with_pairs.filter(|case| case.get("pairs").is_some()) {
        let found = Repeat::of(&table::<2>(case).unwrap(), Pairing::Unordered).unwrap();
        let (wanted, name) = (&case["pairs"], case["name"].as_str().unwrap());
        close(found.mean, &wanted["mean"], name);
        close(found.sd_difference, &wanted["sd_difference"], name);
        close(found.within_sd, &wanted["within_sd"], name);
        close(found.repeatability, &wanted["repeatability"], name);
        ranged(found.bias, &wanted["bias"], name);
        ranged(found.limit_lo, &wanted["limit_lo"], name);
        ranged(found.limit_hi, &wanted["limit_hi"], name);
        seen += 1;
    }
    assert_eq!(seen, 6);
}

#[test]
fn points_of_f_and_t_as_scipy_has_them() {
    let data = reference();
    let points = data["points"].as_array().unwrap();
    assert_eq!(points.len(), 80);
    for point in points {
        let of = |name: &str| point[name].as_f64().unwrap();
        let (p, d1, d2) = (of("p"), of("d1"), of("d2"));
        for (found, wanted) in [
            (f_quantile(p, d1, d2), of("f")),
            (t_half_width(p, d2), of("t")),
        ] {
            assert!(
                (found / wanted - 1.0).abs() < 1e-9,
                "{found} is not {wanted}: {point}"
            );
        }
    }
}
