//! Hours and pay in words.

use crate::outlook::pace::PaidFor;
use crate::report::Payroll;

/// What an amount is paid for, in a column.
pub fn paid_for(paid_for: Option<PaidFor>) -> &'static str {
    match paid_for {
        Some(PaidFor::Hours) => "hours",
        Some(PaidFor::Trees) => "trees",
        Some(PaidFor::LeastForHours) => "least for hours",
        None => "no price",
    }
}

/// What a rate is of: `an hour`.
pub fn paid_by(paid_for: Option<PaidFor>) -> Option<&'static str> {
    Some(match paid_for? {
        PaidFor::Hours => "an hour",
        PaidFor::Trees => "a tree",
        PaidFor::LeastForHours => "an hour, least",
    })
}

/// What whoever pays must know of the lines; empty where nothing is amiss.
pub fn payroll_cautions(payroll: &Payroll) -> Vec<String> {
    let count = |of: fn(&crate::report::PayrollSum) -> u32| payroll.sums.iter().map(of).sum();
    let (guessed, unpriced): (u32, u32) = (count(|sum| sum.guessed), count(|sum| sum.unpriced));
    let lines = |number| super::plural(number, "line", "lines");
    let mut cautions = Vec::new();
    if guessed > 0 {
        let lines = lines(guessed);
        cautions.push(format!("{lines} without hours: paid as the rest of a usual day. Note the hours in the work log."));
    }
    if unpriced > 0 {
        let lines = lines(unpriced);
        cautions.push(format!(
            "{lines} without a price: enter the pay on Winter, or the hours in the work log."
        ));
    }
    cautions
}
