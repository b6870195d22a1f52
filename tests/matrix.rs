//! The matrix models of `outlook` against numpy: see `tests/reference/matrix.py`, which writes
//! `tests/reference/matrix.json`.

use serde_json::Value;
use thirdwood::outlook::{Growing, Habit, Matrix, winter};

const CLOSE: f64 = 1e-9;

fn reference() -> Value {
    serde_json::from_str(include_str!("reference/matrix.json")).unwrap()
}

fn cases(data: &Value, name: &str) -> Vec<Value> {
    let cases = data[name].as_array().unwrap().clone();
    assert!(!cases.is_empty(), "{name}");
    cases
}

fn numbers<const N: usize>(value: &Value) -> [f64; N] {
    let list: Vec<f64> = value
        .as_array()
        .unwrap()
        .iter()
        .map(|x| x.as_f64().unwrap())
        .collect();
    list.try_into().unwrap()
}

#[track_caller]
fn close<const N: usize>(found: &[f64; N], wanted: &[f64; N]) {
    for (a, b) in found.iter().zip(wanted) {
        assert!(
            (a - b).abs() <= CLOSE * b.abs().max(1.0),
            "{found:?} is not {wanted:?}"
        );
    }
}

fn check<const N: usize>(case: &Value) {
    let rows = case["matrix"].as_array().unwrap();
    let matrix = Matrix::<N>(std::array::from_fn(|i| numbers(&rows[i])));
    let steps = case["steps"].as_u64().unwrap() as usize;
    let states = matrix.project(&numbers(&case["start"]), steps);
    close(&states[steps], &numbers(&case["end"]));
    let found = matrix.dominant().unwrap();
    close(&[found.lambda], &[case["lambda"].as_f64().unwrap()]);
    close(&found.structure, &numbers(&case["structure"]));
}

#[test]
fn matrices_of_three_and_four_classes() {
    let data = reference();
    cases(&data, "three").iter().for_each(check::<3>);
    cases(&data, "four").iter().for_each(check::<4>);
}

#[test]
fn wood_under_fixed_habits() {
    for case in cases(&reference(), "orchards") {
        let growing =
            Growing::new(case["grown"].as_f64().unwrap(), numbers(&case["survival"])).unwrap();
        let keep = numbers(&case["keep"]);
        let mut pieces = numbers(&case["start"]);
        for _ in 0..4 {
            pieces = winter(pieces, &growing, &Habit::Shares(keep)).end;
        }
        close(&pieces, &numbers(&case["after_four"]));
        for _ in 0..100 {
            pieces = winter(pieces, &growing, &Habit::Shares(keep)).end;
        }
        close(&pieces, &numbers(&case["steady"]));
        let found = growing.matrix(keep).dominant().unwrap();
        let steady: [f64; 4] = std::array::from_fn(|age| found.structure[age] / found.structure[4]);
        close(&[found.lambda], &[1.0]);
        close(&steady, &numbers(&case["steady"]));
    }
}
