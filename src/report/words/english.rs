//! What screens and the supervisor's reports say: in English, by the sentences of the sheets where they say the same.

use chrono::NaiveDate;

use super::Tongue;
use crate::judge::{Band, Hint, Interval, Metric, More, Verdict};
use crate::outlook::{Factor, FactorKind, Target};
use crate::report::{Change, GoBackLine, GrowthLine, NotThere, Standing, Taken};

/// What is not found where a name is looked for in notes.
pub const OTHER_LETTERS: &str = "A part of the name in other letters (capitals, accents) is not found in notes: read \
    those yourself.";

/// A metric's name within a sentence: `one-year wood`, `buds`.
pub fn metric(metric: Metric) -> &'static str {
    Tongue::english().metric(metric)
}

/// A metric's name where a column is narrow: `one-year`, `buds`.
pub fn metric_short(metric: Metric) -> &'static str {
    Tongue::english().metric_short(metric)
}

/// The verdict on one metric, as [`Tongue::verdict`].
pub fn verdict(metric: Metric, verdict: Verdict) -> &'static str {
    Tongue::english().verdict(metric, verdict)
}

/// A whole verdict with what it rests on: `light (one-year wood)`, `off the rule (buds)`, `in balance`.
pub fn whole(overall: Verdict, lead: Option<Metric>) -> String {
    Tongue::english().whole(overall, lead)
}

/// What a rule accepts: `23-43 %`, `to 5 %`, `from 80 %`.
pub fn band(band: Band) -> String {
    Tongue::english().band(band)
}

/// An interval of shares: `10-22 %`; `not yet` where nothing is known.
pub fn interval(interval: Interval) -> String {
    Tongue::english().interval(interval)
}

/// How many more trees: `about 10 more trees`; empty where there is a verdict.
pub fn more(more: More) -> String {
    Tongue::english().more(more)
}

/// The time that so many trees take, behind them: `, some 50 minutes`; nothing where it is not known.
pub fn taking(more: More, minutes_a_tree: Option<f64>) -> String {
    match (more, minutes_a_tree) {
        (More::About(number), Some(each)) => {
            format!(", {}", some_time(f64::from(number) * each))
        }
        _ => String::new(),
    }
}

/// `some 45 minutes`, `some 2.5 hours`: an estimate, told roughly.
fn some_time(minutes: f64) -> String {
    if minutes < 87.5 {
        format!("some {:.0} minutes", (minutes / 5.0).round().max(1.0) * 5.0)
    } else {
        let hours = (minutes / 30.0).round() / 2.0;
        format!("some {hours} hours")
    }
}

/// `1 tree`, `5 trees`.
pub fn trees(n: u32) -> String {
    Tongue::english().trees(n)
}

/// A day with its name: `Tuesday 2027-01-12`.
pub fn day(day: NaiveDate) -> String {
    Tongue::english().day(day)
}

/// The days of a report: `2027-01-05 to 2027-01-12`; the last one with its name where it goes back to the start.
pub fn days(since: Option<NaiveDate>, until: NaiveDate) -> String {
    since.map_or_else(|| day(until), |since| format!("{since} to {until}"))
}

/// A share in whole percent; `-` where there is none.
pub fn share(share: Option<f64>) -> String {
    share.map_or_else(|| "-".to_owned(), |share| Tongue::english().percent(share))
}

/// Names in a row: `a`, `a and b`, `a, b and c`; empty for none.
pub fn list<S: AsRef<str>>(names: &[S]) -> String {
    Tongue::english().list(names)
}

/// A number with as many decimals as it deserves: `195`, `32.5`, `0.60`.
pub fn figure(value: f64) -> String {
    Tongue::english().figure(value)
}

/// One sentence for each thing that a change asks for.
pub fn change(change: &Change, standing: &Standing) -> Vec<String> {
    Tongue::english().change(change, standing)
}

/// Light wood that was not there to be left.
pub fn not_there(line: &NotThere) -> String {
    Tongue::english().not_there(line)
}

/// A row that was sent back, with what came of it.
pub fn go_back(line: &GoBackLine, with_pruner: bool) -> String {
    Tongue::english().go_back(line, with_pruner)
}

/// An aim: `65 t/ha`, `195 fruit a tree`.
pub fn aim(target: Target) -> String {
    Tongue::english().aim(target)
}

/// What is taken otherwise; empty where nothing is.
pub fn what_if(what_if: &Taken) -> String {
    Tongue::english().what_if(what_if)
}

/// Growth and losses in a sentence.
pub fn growth(line: &GrowthLine) -> String {
    Tongue::english().growth(line)
}

/// A factor's name: `fruit weight, g`.
pub fn factor(kind: FactorKind) -> &'static str {
    Tongue::english().factor(kind)
}

/// Where a factor comes from.
pub fn source(factor: &Factor) -> String {
    Tongue::english().source(factor)
}

/// A metric and its verdict: `buds off the rule`, `one-year wood surely under 33 %`.
pub fn finding(of: Metric, found: Verdict, target: f64) -> String {
    let (metric, target) = (metric(of), share(Some(target)));
    // such a figure may lie within the band: why it is spoken of is told
    match found {
        Verdict::LeaningLight => format!("{metric} surely under {target}"),
        Verdict::LeaningHeavy => format!("{metric} surely over {target}"),
        found => format!("{metric} {}", verdict(of, found)),
    }
}

/// A hint with how often such hints are right; for the supervisor alone.
pub fn hint(hint: Hint) -> String {
    format!("hint: {}, right 9 times in 10", hinted(hint.metric))
}

/// What a hint is about.
fn hinted(metric: Metric) -> &'static str {
    match metric {
        Metric::One => "too little one-year wood",
        Metric::Two => "two-year wood is off",
        Metric::Three => "three-year wood is off",
        Metric::FourPlus => "too much old wood",
        Metric::Buds => "buds off the rule",
    }
}

/// A number with its noun.
pub fn plural(n: u32, one: &str, many: &str) -> String {
    format!("{n} {}", if n == 1 { one } else { many })
}

/// A tree's place: `River, row 3, tree 12`.
pub fn place(block: &str, row: u16, tree: u16) -> String {
    format!("{block}, row {row}, tree {tree}")
}
