//! Pace, finish and cost in words.

use crate::outlook::pace::{
    CostSoFar, Currency, DaysSeen, Finish, MIN_DAYS_SEEN, MeanRate, Money, Needed, Never, Span,
    ToCome,
};
use crate::report::Found;
use crate::report::fit::percent;

/// A finish: `2027-02-03 (likely 2027-01-30 to 2027-02-09)`, `through`, or why no day can be named. Days before today
/// alone are looked at, since today is not over.
pub fn finish(finish: &Finish) -> String {
    match finish {
        Finish::Done => "through".to_owned(),
        Finish::NoBlock => "no block is entered yet".to_owned(),
        Finish::TooFewDays { seen } => {
            format!("no date yet: {seen} of the {MIN_DAYS_SEEN} past days of work that it takes")
        }
        Finish::Never(why) => never(*why).to_owned(),
        Finish::Expected { day, .. } => format!(
            "{} (likely {} to {})",
            or_later(day.mid),
            or_later(day.low),
            or_later(day.high)
        ),
    }
}

/// The same as part of a sentence: `through 2027-02-10 (likely …)`.
pub fn through(of: &Finish) -> String {
    let words = finish(of);
    if matches!(of, Finish::Expected { .. }) {
        format!("through {words}")
    } else {
        words
    }
}

fn or_later<T: ToString>(day: Option<T>) -> String {
    day.map_or_else(|| "beyond a year".to_owned(), |day| day.to_string())
}

fn never(why: Never) -> &'static str {
    match why {
        Never::NoWorkingDay => "never: no working day is left in the week",
        Never::NoCrew => "never: nobody of the crew is there on a working day",
        Never::BeyondHorizon => "not within a year as things are",
    }
}

/// A finish where a column is narrow: `30 Jan-9 Feb`, `through`, `-`.
pub fn finish_short(finish: &Finish) -> String {
    match finish {
        Finish::Done => "through".to_owned(),
        Finish::NoBlock => "no block".to_owned(),
        Finish::TooFewDays { .. } => "too early".to_owned(),
        Finish::Never(_) => "never".to_owned(),
        Finish::Expected { day, .. } => {
            let short = |day: Option<chrono::NaiveDate>| {
                day.map_or_else(|| "late".to_owned(), |day| day.format("%-d %b").to_string())
            };
            format!("{}-{}", short(day.low), short(day.high))
        }
    }
}

/// The chance to be in time: `96 %`; empty where there is none to tell.
pub fn in_time(finish: &Finish) -> String {
    match finish {
        Finish::Expected { in_time, .. } => percent(*in_time),
        _ => String::new(),
    }
}

/// The crew that it takes: `6 pruners (2 more)`; empty where there is nothing to tell.
pub fn needed(finish: &Finish) -> String {
    let Finish::Expected { needed, .. } = finish else {
        return String::new();
    };
    let Needed { crew, extra } = *needed;
    let crew = crew.map_or_else(
        || "no number of pruners is enough".to_owned(),
        |crew| format!("{} in all", super::plural(crew, "pruner", "pruners")),
    );
    match extra {
        Some(0) => format!("{crew}: enough are there"),
        Some(extra) => format!("{crew}, {extra} more than there are"),
        None => crew,
    }
}

/// A rate with its range: `9.4 (8.1-10.7)`; `-` where it is not known.
pub fn rate(rate: Option<MeanRate>) -> String {
    let Some(rate) = rate else {
        return "-".to_owned();
    };
    match rate.range {
        Some((lo, hi)) => format!("{:.1} ({lo:.1}-{hi:.1})", rate.mean),
        None => format!("{:.1}", rate.mean),
    }
}

/// Verdicts beside a speed: `in balance`, `light (one-year wood)`; `not counted` where there is none.
pub fn found(found: &[Found]) -> String {
    if found.is_empty() {
        return "not counted".to_owned();
    }
    let words: Vec<String> = found
        .iter()
        .map(|found| super::whole(found.overall, found.lead))
        .collect();
    words.join("; ")
}

/// The days behind it all: `12 days with work, 2 taken by rain; rain takes 17 % of days`.
pub fn days_seen(days: &DaysSeen) -> String {
    let mut text = format!(
        "{} with work, {} taken by rain (from now on taken to be {} of days)",
        super::plural(days.worked, "day", "days"),
        days.rain,
        percent(days.rain_chance)
    );
    if days.idle > 0 {
        let idle = super::plural(days.idle, "working day", "working days");
        text = format!("{text}; {idle} without work or rain entered");
    }
    text
}

/// The cost so far.
pub fn cost(cost: &CostSoFar, currency: &Currency) -> String {
    let mut text = currency.show(cost.total());
    if cost.guessed_days > 0 {
        let days = super::plural(cost.guessed_days, "day", "days");
        let guessed = currency.show(cost.guessed);
        text =
            format!("{text}, of it {guessed} for {days} without noted hours, at the usual length");
    }
    if cost.unpriced_days > 0 {
        let days = super::plural(
            cost.unpriced_days,
            "day worked by a pruner",
            "days worked by a pruner",
        );
        text = format!("{text}; {days}, without pay or hours entered, not in it");
    }
    text
}

/// An amount with its range: `5200.00 EUR (4810.00 EUR to 5720.00 EUR)`.
pub fn amount(span: &Span<Money>, currency: &Currency) -> String {
    let show = |money: Option<Money>| {
        money.map_or_else(|| "not known".to_owned(), |money| currency.show(money))
    };
    if span.low == span.high {
        return show(span.mid);
    }
    format!(
        "{} (likely {} to {})",
        show(span.mid),
        show(span.low),
        show(span.high)
    )
}

/// Hours to come with their range: `412 h (likely 388 to 440)`; why not where they are not known.
pub fn hours(to_come: &ToCome) -> String {
    let Some(hours) = &to_come.hours else {
        return "not known: no hours are noted".to_owned();
    };
    let show =
        |hours: Option<f64>| hours.map_or_else(|| "?".to_owned(), |hours| format!("{hours:.0}"));
    format!(
        "{} h (likely {} to {})",
        show(hours.mid),
        show(hours.low),
        show(hours.high)
    )
}
