//! The winter review as tables.

use super::ahead::potential;
use super::columns::{AGES, Columns};
use super::standings::{METRICS, buds_of, number};
use super::supervisor::{go_backs, quality};
use super::winter::{about, rates_of, units};
use super::{ChartForm, DataTable, Kind, Title};
use crate::judge::Ranged;
use crate::outlook::pace::Speed;
use crate::report::{
    Asked, Counters, CropReview, FirstAndLast, MetricLine, RepeatGroup, RepeatLine, ReviewLine,
    WinterReview, WorkDone, words,
};
use crate::report::{DataQuality, LabourReview, MetricChange, WinterAhead};

/// The tables of the winter review: where blocks and pruners stand, their metrics, what was asked, first week and last,
/// rows sent back, labour, crop and the winters ahead, trees counted twice, and how good the counts are.
pub fn review(review: &WinterReview) -> Vec<DataTable> {
    vec![
        standing(review),
        metrics(review),
        buds_of(
            "review_buds",
            lines(review).map(|(_, of)| {
                let line = &of.line;
                (line.subject.shown(), line.blocks.as_slice(), &of.buds)
            }),
        ),
        asked(&review.asked),
        changed(&review.changed),
        go_backs(&review.go_backs),
        labour(&review.labour),
        cost(&review.labour),
        crops(&review.crops),
        ahead(&review.crops),
        repeats(&review.repeats.groups),
        quality(&review.quality.counts),
        shares(&review.quality),
        about(
            &review.orchard,
            &review.winter,
            Some(review.start),
            review.day,
        ),
    ]
}

fn lines(review: &WinterReview) -> impl Iterator<Item = (&'static str, &ReviewLine)> {
    let blocks = review.blocks.iter().map(|line| ("block", line));
    blocks.chain(review.pruners.iter().map(|line| ("pruner", line)))
}

fn standing(review: &WinterReview) -> DataTable {
    let lines: Vec<_> = lines(review).collect();
    let table = Columns::<(&str, &ReviewLine)>::new()
        .text("kind", |(kind, _)| *kind)
        .text("name", |(_, of)| of.line.subject.shown().to_owned())
        .whole("number", |(_, of)| number(&of.line.subject))
        .text("blocks", |(_, of)| of.line.blocks.join("; "))
        .whole("pruned", |(_, of)| of.line.pruned)
        .whole("trees", |(_, of)| of.line.trees)
        .whole("drawn", |(_, of)| of.line.drawn)
        .ages("", Kind::Share, |(_, of)| of.line.mix)
        .share("buds_within", |(_, of)| of.line.buds_within)
        .verdict("", |(_, of)| (of.line.overall, of.line.lead))
        .more(|(_, of)| of.line.more)
        .table("review", &lines);
    let rows = 0..table.rows.len();
    let title = (Title::Words("Wood left"), "share of the pieces");
    table.with_chart(ChartForm::MixBars, title, rows, "name", &AGES)
}

fn metrics(review: &WinterReview) -> DataTable {
    type Line<'a> = (&'a ReviewLine, &'a MetricLine);
    let lines: Vec<Line<'_>> = lines(review)
        .flat_map(|(_, line)| line.metrics.iter().map(move |metric| (line, metric)))
        .collect();
    Columns::<Line<'_>>::new()
        .text("name", |(of, _)| of.line.subject.shown().to_owned())
        .text("blocks", |(of, _)| of.line.blocks.join("; "))
        .text("metric", |(_, m)| words::metric(m.metric))
        .share("accepted_from", |(_, m)| m.band.lo)
        .share("accepted_to", |(_, m)| m.band.hi)
        .whole("trees", |(_, m)| m.trees)
        .share("mean", |(_, m)| m.mean)
        .share("lo", |(_, m)| m.interval.lo)
        .share("hi", |(_, m)| m.interval.hi)
        .text("verdict", |(_, m)| words::verdict(m.metric, m.verdict))
        .more(|(_, m)| m.more)
        .table("review_metrics", &lines)
}

fn asked(asked: &[Asked]) -> DataTable {
    let mut columns = Columns::<Asked>::new()
        .text("block", |of| of.name.clone())
        .ages("target_", Kind::Share, |of| Some(of.target));
    for (at, name) in METRICS.into_iter().enumerate() {
        columns = columns
            .share(format!("{name}_from"), move |of| of.bands[at].lo)
            .share(format!("{name}_to"), move |of| of.bands[at].hi);
    }
    for (at, size) in crate::orchard::Size::ALL.into_iter().enumerate() {
        columns = columns.text(format!("buds_{}", size.word()), move |of| {
            of.buds[at].text()
        });
    }
    columns
        .text("aim", |of| of.aim.map(words::aim))
        .table("asked", asked)
}

fn changed(changed: &[FirstAndLast]) -> DataTable {
    type Line<'a> = (&'a FirstAndLast, &'a MetricChange);
    let lines: Vec<Line<'_>> = (changed.iter())
        .flat_map(|of| of.metrics.iter().map(move |metric| (of, metric)))
        .collect();
    Columns::<Line<'_>>::new()
        .text("name", |(of, _)| of.subject.shown().to_owned())
        .text("blocks", |(of, _)| of.blocks.join("; "))
        .text("metric", |(_, m)| words::metric(m.metric))
        .day("first_since", |(of, _)| of.first.since)
        .day("first_until", |(of, _)| of.first.until)
        .whole("first_trees", |(of, _)| of.first.trees)
        .share("first", |(_, m)| m.first)
        .day("last_since", |(of, _)| of.last.since)
        .day("last_until", |(of, _)| of.last.until)
        .whole("last_trees", |(of, _)| of.last.trees)
        .share("last", |(_, m)| m.last)
        .share("difference_lo", |(_, m)| m.difference.lo)
        .share("difference_hi", |(_, m)| m.difference.hi)
        .text("nearer_the_rule", |(_, m)| {
            m.better.map(|better| if better { "yes" } else { "no" })
        })
        .table("first_and_last_week", &lines)
}

/// A line of labour: all, a block or a pruner.
struct Work<'a> {
    kind: &'a str,
    name: &'a str,
    done: u32,
    left: Option<u32>,
    speed: Option<&'a Speed>,
}

impl<'a> Work<'a> {
    fn of(kind: &'a str, work: &'a WorkDone) -> Self {
        Self {
            kind,
            name: &work.shown,
            done: work.done,
            left: work.left,
            speed: work.speed.as_ref(),
        }
    }
}

fn labour(labour: &LabourReview) -> DataTable {
    let all = Work {
        kind: "all",
        name: "",
        done: labour.done,
        left: Some(labour.left),
        speed: labour.speed.as_ref(),
    };
    let blocks = labour.blocks.iter().map(|work| Work::of("block", work));
    let pruners = labour.pruners.iter().map(|work| Work::of("pruner", work));
    let lines: Vec<Work<'_>> = std::iter::once(all).chain(blocks).chain(pruners).collect();
    let columns = Columns::<Work<'_>>::new()
        .text("kind", |work| work.kind.to_owned())
        .text("name", |work| work.name.to_owned())
        .whole("done", |work| work.done)
        .whole("left", |work| work.left)
        .whole("minutes", |work| i64::try_from(work.speed?.minutes).ok())
        .whole("person_days", |work| Some(work.speed?.person_days))
        .share("hours_known", |work| Some(work.speed?.hours_known))
        .number("trees_per_hour", |work| Some(work.speed?.per_hour?.mean))
        .number("trees_per_day", |work| Some(work.speed?.per_day?.mean));
    rates_of(columns, |work| work.speed).table("labour", &lines)
}

fn cost(labour: &LabourReview) -> DataTable {
    let digits = labour.currency.digits();
    let money = Kind::Decimal(digits);
    Columns::<LabourReview>::new()
        .whole("done", |of| of.done)
        .whole("left", |of| of.left)
        .whole("days", |of| of.days)
        .text("finish", |of| words::finish(&of.finish))
        .text("currency", |of| of.currency.code().to_owned())
        .add("cost_known", money, move |of| units(of.cost.known, digits))
        .add("cost_guessed", money, move |of| {
            units(of.cost.guessed, digits)
        })
        .whole("guessed_days", |of| of.cost.guessed_days)
        .whole("unpriced_days", |of| of.cost.unpriced_days)
        .text("without_pay", |of| of.without_pay.join("; "))
        .table("labour_and_cost", [labour])
}

fn crops(crops: &[CropReview]) -> DataTable {
    let columns = Columns::<CropReview>::new()
        .text("block", |of| of.name.clone())
        .text("aim", |of| of.aim.map(words::aim))
        .whole("balanced_in", |of| of.balanced_in)
        .text("problem", |of| of.problem.as_ref().map(ToString::to_string))
        .number("units", |of| Some(of.crop.as_ref()?.units.mean))
        .number("units_se", |of| of.crop.as_ref()?.units.se)
        .whole("units_trees", |of| Some(of.crop.as_ref()?.units.n))
        .whole("buds_per_unit_trees", |of| {
            Some(of.crop.as_ref()?.buds_per_unit.n)
        })
        .number("buds_per_unit", |of| {
            Some(of.crop.as_ref()?.buds_per_unit.mean)
        })
        .number("buds_per_unit_se", |of| of.crop.as_ref()?.buds_per_unit.se);
    potential(columns, |of| Some(of.crop.as_ref()?.potential)).table("crop", crops)
}

fn ahead(crops: &[CropReview]) -> DataTable {
    type Line<'a> = (&'a CropReview, &'a WinterAhead);
    let lines: Vec<Line<'_>> = (crops.iter())
        .flat_map(|crop| crop.ahead.iter().map(move |year| (crop, year)))
        .collect();
    Columns::<Line<'_>>::new()
        .text("block", |(of, _)| of.name.clone())
        .whole("winters_from_now", |(_, year)| year.ahead)
        .ages("", Kind::Share, |(_, year)| Some(year.mix))
        .number("tonnes_per_ha", |(_, year)| year.tonnes_per_ha)
        .table("winters_ahead", &lines)
}

fn repeats(groups: &[RepeatGroup]) -> DataTable {
    type Line<'a> = (&'a RepeatGroup, &'a RepeatLine);
    let lines: Vec<Line<'_>> = (groups.iter())
        .flat_map(|group| group.figures.iter().map(move |line| (group, line)))
        .collect();
    let pair = |group: &RepeatGroup| match &group.counters {
        Counters::All => (None, None),
        Counters::One { name } => (Some(name.clone()), None),
        Counters::Two { one, other } => (Some(one.clone()), Some(other.clone())),
    };
    let columns = Columns::<Line<'_>>::new()
        .text("counter", move |(group, _)| pair(group).0)
        .text("other_counter", move |(group, _)| pair(group).1)
        .text("figure", |(_, line)| words::repeat_figure(line.figure))
        .text("stage", |(group, _)| group.stage.word())
        .whole("pairs", |(_, line)| line.agreement.pairs)
        .number("mean", |(_, line)| line.agreement.mean)
        .number("sd_of_differences", |(_, line)| {
            line.agreement.sd_difference
        })
        .number("sd_within_trees", |(_, line)| line.agreement.within_sd)
        .number("repeatability", |(_, line)| line.agreement.repeatability);
    let columns = ranged(columns, "bias", |(_, line)| Some(line.agreement.bias));
    let columns = ranged(columns, "limit_lo", |(_, line)| {
        Some(line.agreement.limit_lo)
    });
    let columns = ranged(columns, "limit_hi", |(_, line)| {
        Some(line.agreement.limit_hi)
    });
    let columns = ranged(columns, "icc", |(_, line)| line.agreement.icc);
    ranged(columns, "counter_share", |(_, line)| {
        line.agreement.counter_share
    })
    .table("counted_twice", &lines)
}

/// A figure and the ends of its interval.
fn ranged<'a, T>(
    columns: Columns<'a, T>,
    name: &str,
    of: impl Fn(&T) -> Option<Ranged> + Copy + 'a,
) -> Columns<'a, T> {
    columns
        .number(name, move |line| Some(of(line)?.value))
        .number(format!("{name}_from"), move |line| Some(of(line)?.lo))
        .number(format!("{name}_to"), move |line| Some(of(line)?.hi))
}

fn shares(quality: &DataQuality) -> DataTable {
    Columns::<DataQuality>::new()
        .share("drawn_share", |of| of.drawn_share)
        .share("counted_share", |of| of.counted_share)
        .text("days_without_counts", |of| {
            let days = of.days_without_counts.iter().map(ToString::to_string);
            days.collect::<Vec<_>>().join("; ")
        })
        .table("how_much_is_known", [quality])
}
