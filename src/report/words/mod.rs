//! Metrics, verdicts and forecasts in plain English: the one place where figures become words.

mod crop;
mod pace;
mod sheet;
mod standings;
mod winter;

pub use crop::{
    NO_AIM, NO_BRIEF, NO_OUTLOOK, aim, aim_yields, bearing, brief_for, buds_by_rule, counted,
    crop_of, crop_rests_on, crop_short, figure, growth, held, mend, pieces, range, to_leave,
    units_wanted, what_if, winter_name, yields,
};
pub use pace::{
    amount, cost, days_seen, finish, finish_short, found, hours, in_time, needed, rate,
};
pub use sheet::{
    NO_DAY_SHEET, basis, buds_of, change, for_information, mean_buds, not_there,
    only_where_offered, open, pieces_a_tree, right, status, swap, week,
};
pub use standings::{
    against_rules, drawn_from, left_out, next_walk, not_looked_at, only_in, quality, tick,
};
pub use winter::{HOW_DATES_COME, mean_rates, winter_lines};

use chrono::NaiveDate;

use super::GoBackLine;
use crate::judge::{Band, BandKind, Interval, Judgement, Metric, More, Verdict};

/// A metric's name within a sentence: `one-year wood`, `buds`.
pub fn metric(metric: Metric) -> &'static str {
    match metric {
        Metric::One => "one-year wood",
        Metric::Two => "two-year wood",
        Metric::Three => "three-year wood",
        Metric::FourPlus => "four-plus wood",
        Metric::Buds => "buds",
    }
}

/// A metric's name where a column is narrow: `one-year`, `buds`.
pub fn metric_short(metric: Metric) -> &'static str {
    match metric {
        Metric::One => "one-year",
        Metric::Two => "two-year",
        Metric::Three => "three-year",
        Metric::FourPlus => "four-plus",
        Metric::Buds => "buds",
    }
}

/// The verdict on one metric. Of buds, too low a compliance is `off the rule`: `light` would be read as too few buds.
pub fn verdict(metric: Metric, verdict: Verdict) -> &'static str {
    match (metric, verdict) {
        (Metric::Buds, Verdict::Light) => "off the rule",
        (Metric::Buds, Verdict::InBalance) => "within the rule",
        (_, verdict) => verdict.word(),
    }
}

/// A metric and its verdict: `one-year wood light`, `buds off the rule`.
pub fn finding(of: Metric, found: Verdict) -> String {
    format!("{} {}", metric(of), verdict(of, found))
}

/// A whole verdict with what it rests on: `light (one-year wood)`, `off the rule (buds)`, `in balance`.
pub fn whole(overall: Verdict, lead: Option<Metric>) -> String {
    lead.map_or_else(
        || overall.word().to_owned(),
        |lead| format!("{} ({})", verdict(lead, overall), metric(lead)),
    )
}

/// The whole verdict of a judgement, as [`whole`].
pub fn overall(judgement: &Judgement) -> String {
    whole(judgement.overall, judgement.lead)
}

/// What a rule accepts: `23-43 %`, `to 5 %`, `from 80 %`.
pub fn band(band: Band) -> String {
    let whole = |share: f64| format!("{:.0}", share * 100.0);
    match band.kind {
        BandKind::Kept => format!("{}-{} %", whole(band.lo), whole(band.hi)),
        BandKind::TooOld => format!("to {} %", whole(band.hi)),
        BandKind::Compliance => format!("from {} %", whole(band.lo)),
    }
}

/// An interval of shares: `10-22 %`; `open` where nothing is known.
pub fn interval(interval: Interval) -> String {
    if interval.width() >= 1.0 {
        return "open".to_owned();
    }
    let (lo, hi) = (interval.lo * 100.0, interval.hi * 100.0);
    format!("{lo:.0}-{hi:.0} %")
}

/// How many more trees: `about 10 more trees`, `too close to call yet`; empty where there is a verdict.
pub fn more(more: More) -> String {
    match more {
        More::Settled => String::new(),
        More::About(trees) => format!("about {trees} more trees"),
        More::TooClose => "too close to call yet".to_owned(),
        More::Unknown => "too few trees for a forecast".to_owned(),
    }
}

/// A share in whole percent; `-` where there is none.
pub fn share(share: Option<f64>) -> String {
    share.map_or_else(|| "-".to_owned(), super::fit::percent)
}

/// `1 tree`, `5 trees`.
pub fn trees(n: u32) -> String {
    plural(n, "tree", "trees")
}

/// A number with its noun.
pub fn plural(n: u32, one: &str, many: &str) -> String {
    format!("{n} {}", if n == 1 { one } else { many })
}

/// A tree's place: `River, row 3, tree 12`.
pub fn place(block: &str, row: u16, tree: u16) -> String {
    format!("{block}, row {row}, tree {tree}")
}

/// A row that was sent back, with what came of it; with its pruner where that is not clear from around it.
pub fn go_back(line: &GoBackLine, with_pruner: bool) -> String {
    let mut parts = vec![format!("{}, row {}", line.block_name, line.row)];
    if with_pruner {
        parts.push(line.pruner_shown.clone());
    }
    parts.push(format!("sent back {}", line.day));
    let reason = match line.reason.as_str() {
        "" => String::new(),
        reason => format!(": {reason}"),
    };
    let outcome = match (line.outcome, line.settled_on) {
        (Some(outcome), Some(day)) => format!(" -> {outcome} {day}"),
        _ => " -> open".to_owned(),
    };
    format!("{}{reason}{outcome}", parts.join(", "))
}

/// A day with its name: `Tuesday 2027-01-12`.
pub fn day(day: NaiveDate) -> String {
    day.format("%A %Y-%m-%d").to_string()
}

/// The days of a report: `2027-01-05 to 2027-01-12`; the last one with its name where it goes back to the start.
pub fn days(since: Option<NaiveDate>, until: NaiveDate) -> String {
    since.map_or_else(|| day(until), |since| format!("{since} to {until}"))
}

/// Names in a row: `a`, `a and b`, `a, b and c`; empty for none.
pub fn list<S: AsRef<str>>(names: &[S]) -> String {
    match names {
        [] => String::new(),
        [one] => one.as_ref().to_owned(),
        [first @ .., last] => {
            let first: Vec<_> = first.iter().map(AsRef::as_ref).collect();
            format!("{} and {}", first.join(", "), last.as_ref())
        }
    }
}

/// Metric names in a row.
pub fn metrics(metrics: &[Metric]) -> String {
    list(&metrics.iter().map(|m| metric(*m)).collect::<Vec<_>>())
}

/// A sentence's first letter made large.
pub fn sentence(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn verdicts_in_words() {
        assert_eq!(
            whole(Verdict::Light, Some(Metric::One)),
            "light (one-year wood)"
        );
        assert_eq!(
            whole(Verdict::Light, Some(Metric::Buds)),
            "off the rule (buds)"
        );
        assert_eq!(whole(Verdict::InBalance, None), "in balance");
        assert_eq!(more(More::About(10)), "about 10 more trees");
        assert_eq!(more(More::TooClose), "too close to call yet");
        assert_eq!(more(More::Settled), "");
    }

    #[test]
    fn lists_and_sentences() {
        assert_eq!(list::<&str>(&[]), "");
        assert_eq!(list(&["a"]), "a");
        assert_eq!(list(&["a", "b", "c"]), "a, b and c");
        assert_eq!(sentence("élan"), "Élan");
        assert_eq!(sentence(""), "");
        assert_eq!(trees(1), "1 tree");
    }
}
