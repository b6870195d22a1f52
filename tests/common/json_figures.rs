//! The figures of a report's JSON.

use serde_json::Value;

/// All numbers of a report, and where they stand.
fn numbers(value: &Value, path: &str, found: &mut Vec<(String, f64)>) {
    match value {
        Value::Number(number) => found.push((path.to_owned(), number.as_f64().unwrap())),
        Value::Array(items) => {
            for (at, item) in items.iter().enumerate() {
                numbers(item, &format!("{path}/{at}"), found);
            }
        }
        Value::Object(fields) => {
            for (name, item) in fields {
                numbers(item, &format!("{path}/{name}"), found);
            }
        }
        _ => {}
    }
}

/// Set apart: how many decimals money has, and an aim, which stands in words.
fn is_no_figure(path: &str) -> bool {
    path.ends_with("/currency/digits") || path.contains("/aim/") || path.contains("/what_if/")
}

/// Money: cents in JSON, whole units of the currency in a workbook.
fn is_money(path: &str) -> bool {
    ["/cost/known", "/cost/guessed"]
        .iter()
        .any(|end| path.ends_with(end))
        || is_payroll(path) && path.ends_with("/amount")
        || path.contains("/to_come/pay/")
        || path.contains("/to_come/total/")
}

fn is_payroll(path: &str) -> bool {
    path.starts_with("/lines/") || path.starts_with("/sums/")
}

/// Time of work: minutes in JSON, hours for people.
fn is_time(path: &str) -> bool {
    is_payroll(path) && path.ends_with("/minutes")
}

/// Every figure of a report's data, in whole units of the currency and in hours, and where it stands.
pub fn figures(data: &Value) -> Vec<(String, f64)> {
    let mut found = Vec::new();
    numbers(data, "", &mut found);
    found.retain(|(path, _)| !is_no_figure(path));
    for (path, figure) in &mut found {
        if is_money(path) {
            *figure /= 100.0;
        }
        if is_time(path) {
            *figure /= 60.0;
        }
    }
    found
}
