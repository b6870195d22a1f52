//! The winter's work as tables.

use chrono::NaiveDate;

use super::columns::Columns;
use super::{ChartForm, DataTable, Kind, Title};
use crate::outlook::pace::{Finish, MeanRate, Money, Span, Speed};
use crate::report::{DayDone, Found};
use crate::report::{WinterProgress, words};

/// One line of the first table: the orchard, a block or a pruner.
struct Line<'a> {
    kind: &'static str,
    name: &'a str,
    number: Option<u16>,
    done: u32,
    left: Option<u32>,
    deadline: Option<NaiveDate>,
    finish: Option<&'a Finish>,
    speed: Option<&'a Speed>,
    found: Option<&'a [Found]>,
}

/// The tables of the winter's work: a line for the orchard, for each block and for each pruner; trees by day; days,
/// hours and cost.
pub fn winter(progress: &WinterProgress) -> Vec<DataTable> {
    vec![
        finish(progress),
        done_by_day(&progress.by_day),
        sums(progress),
        about(
            &progress.orchard,
            &progress.winter,
            Some(progress.start),
            progress.day,
        ),
    ]
}

fn lines(progress: &WinterProgress) -> Vec<Line<'_>> {
    let orchard = Line {
        kind: "orchard",
        name: &progress.orchard,
        number: None,
        done: progress.done,
        left: Some(progress.left),
        deadline: Some(progress.budburst),
        finish: Some(&progress.finish),
        speed: progress.speed.as_ref(),
        found: None,
    };
    let blocks = progress.blocks.iter().map(|block| Line {
        kind: "block",
        name: &block.name,
        number: None,
        done: block.done,
        left: Some(block.left),
        deadline: Some(block.deadline),
        finish: Some(&block.finish),
        speed: block.speed.as_ref(),
        found: Some(&block.found),
    });
    let pruners = progress.pruners.iter().map(|pruner| Line {
        kind: "pruner",
        name: &pruner.shown,
        number: Some(pruner.number),
        done: pruner.speed.trees.rounded(),
        left: None,
        deadline: None,
        finish: None,
        speed: Some(&pruner.speed),
        found: Some(&pruner.found),
    });
    std::iter::once(orchard)
        .chain(blocks)
        .chain(pruners)
        .collect()
}

fn finish(progress: &WinterProgress) -> DataTable {
    let columns = Columns::<Line<'_>>::new()
        .text("kind", |line| line.kind)
        .text("name", |line| line.name.to_owned())
        .whole("done", |line| line.done)
        .whole("left", |line| line.left)
        .day("deadline", |line| line.deadline)
        .day("finish_10", |line| days(line.finish)?.low)
        .day("finish_50", |line| days(line.finish)?.mid)
        .day("finish_90", |line| days(line.finish)?.high)
        .share("in_time", |line| match line.finish? {
            Finish::Expected { in_time, .. } => Some(*in_time),
            _ => None,
        })
        .whole("crew_needed", |line| match line.finish? {
            Finish::Expected { needed, .. } => needed.crew,
            _ => None,
        })
        .whole("extra_needed", |line| match line.finish? {
            Finish::Expected { needed, .. } => needed.extra,
            _ => None,
        })
        .number("trees_per_hour", |line| Some(line.speed?.per_hour?.mean))
        .number("trees_per_day", |line| Some(line.speed?.per_day?.mean))
        .whole("person_days", |line| Some(line.speed?.person_days))
        .share("hours_known", |line| Some(line.speed?.hours_known))
        .whole("minutes", |line| i64::try_from(line.speed?.minutes).ok())
        .text("verdict", |line| line.found.map(words::found))
        .whole("number", |line| line.number)
        .text("finish", |line| line.finish.map(words::finish));
    rates(columns).table("winter", &lines(progress))
}

/// The ranges of the speeds.
fn rates<'a>(columns: Columns<'a, Line<'a>>) -> Columns<'a, Line<'a>> {
    rates_of(columns, |line| line.speed)
}

/// As [`rates`], of whatever has a speed.
pub(super) fn rates_of<'a, T: 'a>(
    columns: Columns<'a, T>,
    speed: impl Fn(&T) -> Option<&Speed> + Copy + 'a,
) -> Columns<'a, T> {
    let per_hour = move |line: &T| speed(line)?.per_hour;
    let per_day = move |line: &T| speed(line)?.per_day;
    let lo = |rate: Option<MeanRate>| Some(rate?.range?.0);
    let hi = |rate: Option<MeanRate>| Some(rate?.range?.1);
    columns
        .number("trees_per_hour_lo", move |line| lo(per_hour(line)))
        .number("trees_per_hour_hi", move |line| hi(per_hour(line)))
        .whole("trees_per_hour_days", move |line| {
            Some(per_hour(line)?.person_days)
        })
        .number("trees_per_day_lo", move |line| lo(per_day(line)))
        .number("trees_per_day_hi", move |line| hi(per_day(line)))
        .whole("trees_per_day_days", move |line| {
            Some(per_day(line)?.person_days)
        })
}

fn days(finish: Option<&Finish>) -> Option<Span<NaiveDate>> {
    match finish? {
        Finish::Expected { day, .. } => Some(*day),
        _ => None,
    }
}

fn done_by_day(by_day: &[DayDone]) -> DataTable {
    let rows = 0..by_day.len();
    let title = (Title::Words("Trees pruned by day"), "trees");
    Columns::<DayDone>::new()
        .day("day", |of| of.day)
        .whole("trees", |of| of.trees)
        .whole("done", |of| of.done)
        .table("done_by_day", by_day)
        .with_chart(ChartForm::DoneByDay, title, rows, "day", &["trees", "done"])
}

/// Days, hours and cost: one line.
fn sums(progress: &WinterProgress) -> DataTable {
    let digits = progress.currency.digits();
    let money = Kind::Decimal(digits);
    let columns = Columns::<WinterProgress>::new()
        .whole("crew", |of| of.crew)
        .number("usual_hours", |of| of.usual_hours)
        .whole("days_worked", |of| of.days.worked)
        .whole("days_of_rain", |of| of.days.rain)
        .whole("days_idle", |of| of.days.idle)
        .share("chance_of_rain", |of| of.days.rain_chance)
        .text("currency", |of| of.currency.code().to_owned())
        .add("cost_known", money, move |of| units(of.cost.known, digits))
        .add("cost_guessed", money, move |of| {
            units(of.cost.guessed, digits)
        })
        .whole("guessed_days", |of| of.cost.guessed_days)
        .whole("unpriced_days", |of| of.cost.unpriced_days);
    let columns = points(columns, "hours_to_come", Kind::Decimal(2), move |of| {
        of.to_come.as_ref()?.hours
    });
    let columns = points(columns, "pay_to_come", money, move |of| {
        Some(in_units(of.to_come.as_ref()?.pay?, digits))
    });
    points(columns, "pay_in_all", money, move |of| {
        Some(in_units(of.to_come.as_ref()?.total?, digits))
    })
    .text("without_pay", |of| of.without_pay.join("; "))
    .table("days_and_cost", [progress])
}

/// The 10, 50 and 90 % points of what is to come.
fn points<'a>(
    columns: Columns<'a, WinterProgress>,
    name: &str,
    kind: Kind,
    of: impl Fn(&WinterProgress) -> Option<Span<f64>> + Copy + 'a,
) -> Columns<'a, WinterProgress> {
    columns
        .add(format!("{name}_10"), kind, move |p| of(p)?.low)
        .add(format!("{name}_50"), kind, move |p| of(p)?.mid)
        .add(format!("{name}_90"), kind, move |p| of(p)?.high)
}

/// Money in whole units of the currency.
pub(super) fn units(money: Money, digits: u8) -> f64 {
    money.0 as f64 / 10_f64.powi(i32::from(digits))
}

fn in_units(span: Span<Money>, digits: u8) -> Span<f64> {
    Span {
        low: span.low.map(|money| units(money, digits)),
        mid: span.mid.map(|money| units(money, digits)),
        high: span.high.map(|money| units(money, digits)),
    }
}

/// What a workbook is about: orchard, winter, days, and how its figures are to be read.
pub(super) fn about(
    orchard: &str,
    winter: &str,
    since: Option<NaiveDate>,
    day: NaiveDate,
) -> DataTable {
    let first = since.map_or_else(
        || "the start of the winter".to_owned(),
        |day| day.to_string(),
    );
    let lines = [
        ("orchard", orchard.to_owned()),
        ("winter", winter.to_owned()),
        ("from", first),
        ("to", day.to_string()),
        (
            "shares",
            "means over trees, so that each tree weighs the same".to_owned(),
        ),
        (
            "lo and hi of shares",
            "the interval of the true share, valid however often one looks".to_owned(),
        ),
        (
            "10, 50 and 90; lo and hi of crop, factors and pace",
            "the 10 %, 50 % and 90 % points".to_owned(),
        ),
        ("an empty cell", "not known".to_owned()),
    ];
    Columns::<(&str, String)>::new()
        .text("about", |(about, _)| *about)
        .text("is", |(_, is)| is.clone())
        .table("about", &lines)
}

/// The same, which says as well what is left out.
pub(super) fn without(mut about: DataTable, left_out: Option<String>) -> DataTable {
    about
        .rows
        .extend(left_out.map(|words| vec!["left out".into(), words.into()]));
    about
}
