//! The winter review as tables.

use super::columns::Columns;
use super::standings::number;
use super::{DataTable, supervisor, winter};
use crate::judge::{Ranged, Repeat};
use crate::report::{
    CropReview, FirstAndLast, MetricChange, MetricLine, RepeatFigure, RepeatGroup, StandingLine,
    Subject, WinterReview, WorkDone, words,
};

/// The tables of the review: each metric of each block and pruner; first week and last; rows sent back; work; trees
/// counted twice; crops; quality of the counts.
pub fn review(review: &WinterReview) -> Vec<DataTable> {
    vec![
        left(review),
        changed(&review.changed),
        supervisor::go_backs(&review.go_backs),
        work(review),
        repeats(&review.repeats.groups),
        crops(&review.crops),
        supervisor::quality(&review.quality.counts),
        winter::about(&review.orchard, &review.winter, None, review.day),
    ]
}

fn kind(subject: &Subject) -> &'static str {
    match subject {
        Subject::Pruner { .. } => "pruner",
        Subject::Block { .. } => "block",
    }
}

fn left(review: &WinterReview) -> DataTable {
    let all = review.blocks.iter().chain(&review.pruners);
    let rows: Vec<(&StandingLine, MetricLine)> = all
        .flat_map(|one| one.metrics.iter().map(|metric| (&one.line, *metric)))
        .collect();
    Columns::<(&StandingLine, MetricLine)>::new()
        .text("of", |(line, _)| kind(&line.subject))
        .text("name", |(line, _)| line.subject.shown().to_owned())
        .whole("number", |(line, _)| number(&line.subject))
        .text("blocks", |(line, _)| line.blocks.join("; "))
        .whole("pruned", |(line, _)| line.pruned)
        .whole("drawn", |(line, _)| line.drawn)
        .text("metric", |(_, metric)| words::metric_short(metric.metric))
        .whole("trees", |(_, metric)| metric.trees)
        .share("left", |(_, metric)| metric.mean)
        .share("left_lo", |(_, metric)| metric.interval.lo)
        .share("left_hi", |(_, metric)| metric.interval.hi)
        .share("wanted", |(_, metric)| metric.band.target)
        .text("verdict", |(_, metric)| {
            words::verdict(metric.metric, metric.verdict)
        })
        .table("review", &rows)
}

fn changed(all: &[FirstAndLast]) -> DataTable {
    let rows: Vec<(&FirstAndLast, MetricChange)> = (all.iter())
        .flat_map(|one| one.metrics.iter().map(move |metric| (one, *metric)))
        .collect();
    Columns::<(&FirstAndLast, MetricChange)>::new()
        .text("pruner", |(one, _)| one.subject.shown().to_owned())
        .day("first_since", |(one, _)| one.first.since)
        .day("first_until", |(one, _)| one.first.until)
        .whole("first_trees", |(one, _)| one.first.trees)
        .day("last_since", |(one, _)| one.last.since)
        .day("last_until", |(one, _)| one.last.until)
        .whole("last_trees", |(one, _)| one.last.trees)
        .text("metric", |(_, change)| words::metric_short(change.metric))
        .share("first", |(_, change)| change.first)
        .share("last", |(_, change)| change.last)
        .share("difference_lo", |(_, change)| change.difference.lo)
        .share("difference_hi", |(_, change)| change.difference.hi)
        .text("better", |(_, change)| change.better)
        .table("first_and_last", &rows)
}

fn work(review: &WinterReview) -> DataTable {
    let labour = &review.labour;
    Columns::<WorkDone>::new()
        .text("name", |work| work.shown.clone())
        .whole("done", |work| work.done)
        .whole("left", |work| work.left)
        .number("trees_an_hour", |work| {
            work.speed.and_then(|speed| Some(speed.per_hour?.mean))
        })
        .number("trees_a_day", |work| {
            work.speed.and_then(|speed| Some(speed.per_day?.mean))
        })
        .table("work_done", labour.blocks.iter().chain(&labour.pruners))
}

type RepeatRow<'r> = (&'r RepeatGroup, RepeatFigure, Repeat);

/// Columns of a figure with its interval: `name`, `name_lo`, `name_hi`.
fn ranged<'a, 'r: 'a>(
    columns: Columns<'a, RepeatRow<'r>>,
    name: &str,
    of: impl Fn(&Repeat) -> Option<Ranged> + Copy + 'a,
) -> Columns<'a, RepeatRow<'r>> {
    columns
        .number(name, move |(_, _, found)| of(found).map(|of| of.value))
        .number(format!("{name}_lo"), move |(_, _, found)| {
            of(found).map(|of| of.lo)
        })
        .number(format!("{name}_hi"), move |(_, _, found)| {
            of(found).map(|of| of.hi)
        })
}

fn repeats(groups: &[RepeatGroup]) -> DataTable {
    let rows: Vec<RepeatRow<'_>> = (groups.iter())
        .flat_map(|group| {
            (group.figures.iter()).map(move |line| (group, line.figure, line.agreement))
        })
        .collect();
    let columns = Columns::<RepeatRow<'_>>::new()
        .text("counters", |(group, _, _)| words::counters(&group.counters))
        .text("figure", |(_, figure, _)| words::repeat_figure(*figure))
        .whole("pairs", |(_, _, found)| found.pairs)
        .number("mean", |(_, _, found)| found.mean)
        .number("sd_difference", |(_, _, found)| found.sd_difference)
        .number("within_sd", |(_, _, found)| found.within_sd)
        .number("repeatability", |(_, _, found)| found.repeatability);
    let columns = ranged(columns, "difference", |found| Some(found.bias));
    let columns = ranged(columns, "limit_lower", |found| Some(found.limit_lo));
    let columns = ranged(columns, "limit_upper", |found| Some(found.limit_hi));
    let columns = ranged(columns, "icc", |found| found.icc);
    ranged(columns, "counter_share", |found| found.counter_share).table("counted_twice", &rows)
}

fn crops(crops: &[CropReview]) -> DataTable {
    let tonnes = |crop: &CropReview| crop.crop.map(|line| line.potential.tonnes_per_ha);
    Columns::<CropReview>::new()
        .text("block", |crop| crop.name.clone())
        .text("aim", |crop| crop.aim.map(words::aim))
        .number("tonnes_per_ha", move |crop| {
            tonnes(crop).map(|range| range.mean)
        })
        .number("tonnes_per_ha_10", move |crop| {
            tonnes(crop).map(|range| range.lo)
        })
        .number("tonnes_per_ha_90", move |crop| {
            tonnes(crop).map(|range| range.hi)
        })
        .whole("balanced_in", |crop| crop.balanced_in)
        .text("problem", |crop| crop.problem.clone())
        .table("crops", crops)
}
