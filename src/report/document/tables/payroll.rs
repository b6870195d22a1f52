//! Hours and pay as tables.

use super::columns::Columns;
use super::winter::{about, units};
use super::{DataTable, Kind};
use crate::report::{Payroll, PayrollLine, PayrollSum, words};

/// The tables of hours and pay: a line for each day, pruner, block and kind of work; a sum for each pruner.
pub fn payroll(payroll: &Payroll) -> Vec<DataTable> {
    let digits = payroll.currency.digits();
    let money = Kind::Decimal(digits);
    let code = payroll.currency.code();
    let lines = Columns::<PayrollLine>::new()
        .day("day", |line| line.day)
        .whole("number", |line| line.number)
        .text("name", |line| line.shown.clone())
        .text("block", |line| line.block_name.clone())
        .text("kind", |line| line.kind.word())
        .number("hours", |line| line.minutes.map(hours))
        .number("trees", |line| line.trees.number())
        .add("rate", Kind::Decimal(4), |line| {
            line.rate.as_ref().and_then(|rate| rate.parse::<f64>().ok())
        })
        .text("paid_for", |line| words::paid_for(line.paid_for))
        .add("amount", money, move |line| {
            line.amount.map(|amount| units(amount, digits))
        })
        .text("currency", move |_| code.to_owned())
        .text(
            "hours_guessed",
            |line| if line.guessed { "yes" } else { "no" },
        )
        .table("payroll", &payroll.lines);
    let sums = Columns::<PayrollSum>::new()
        .whole("number", |sum| sum.number)
        .text("name", |sum| sum.shown.clone())
        .whole("days", |sum| sum.days)
        .number("hours", |sum| hours(sum.minutes))
        .number("trees", |sum| sum.trees.number())
        .add("amount", money, move |sum| units(sum.amount, digits))
        .text("currency", move |_| code.to_owned())
        .whole("lines_guessed", |sum| sum.guessed)
        .whole("lines_without_price", |sum| sum.unpriced)
        .text("no_fault_found", |sum| {
            if sum.no_fault_found { "yes" } else { "" }
        })
        .table("payroll_sums", &payroll.sums);
    let about = about(
        &payroll.orchard,
        &payroll.winter,
        payroll.since,
        payroll.until,
    );
    vec![lines, sums, about]
}

fn hours(minutes: u32) -> f64 {
    f64::from(minutes) / 60.0
}
