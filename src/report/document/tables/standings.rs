//! How the crew or the blocks stand, as tables.

use super::columns::{AGES, Columns};
use super::{ChartForm, DataTable, Kind, Title, left_out};
use crate::judge::{Metric, MetricVerdict};
use crate::report::{BudFigures, DayFigures};
use crate::report::{MetricLine, Standing, Standings, StandingsOf, Subject, changes, words};

/// Names of the metrics in headings, in the order of [`Metric::ALL`].
pub(super) const METRICS: [&str; 5] = ["one", "two", "three", "four_plus", "buds"];
/// Units by buds left, in headings.
const BUDS: [&str; 8] = [
    "buds_0",
    "buds_1",
    "buds_2",
    "buds_3",
    "buds_4",
    "buds_5",
    "buds_6",
    "buds_7plus",
];

/// The tables of a report on the crew or on the blocks: a line for each pruner or block, its metrics, its days, its
/// units by size, and its trees.
pub fn standings(report: &Standings) -> Vec<DataTable> {
    let name = match report.of {
        StandingsOf::Crew => "crew",
        StandingsOf::Blocks => "blocks",
    };
    let all: Vec<&Standing> = report.standings.iter().collect();
    let mut tables = all_of(name, &all);
    tables.extend(trees(name, &all));
    let about = super::winter::about(&report.orchard, &report.winter, report.since, report.day);
    tables.push(super::winter::without(about, without_trees(&all)));
    tables
}

/// All but the single trees.
pub(super) fn all_of(name: &str, standings: &[&Standing]) -> Vec<DataTable> {
    vec![
        lines(name, standings),
        metrics(name, standings),
        by_day(name, standings),
        buds(name, standings),
    ]
}

pub(super) fn number(subject: &Subject) -> Option<u16> {
    match subject {
        Subject::Pruner { number, .. } => Some(*number),
        Subject::Block { .. } => None,
    }
}

fn lines(name: &str, standings: &[&Standing]) -> DataTable {
    let mut columns = Columns::<Standing>::new()
        .text("name", |s| s.subject.shown().to_owned())
        .whole("number", |s| number(&s.subject))
        .text("blocks", |s| s.blocks.join("; "))
        .whole("pruned", |s| s.pruned)
        .whole("trees", |s| s.trees)
        .whole("drawn", |s| s.drawn)
        .whole("in_part", |s| s.in_part)
        .verdict("", |s| (s.judgement.overall, s.judgement.lead))
        .more(|s| s.judgement.more);
    for (metric, name) in Metric::ALL.into_iter().zip(METRICS) {
        let line = move |s: &Standing| {
            MetricLine::new(s.judgement.metric(metric), s.bands[metric.index()])
        };
        columns = columns
            .share(name, move |s| line(s).mean)
            .share(format!("{name}_lo"), move |s| line(s).interval.lo)
            .share(format!("{name}_hi"), move |s| line(s).interval.hi)
            .text(format!("{name}_verdict"), move |s| {
                words::verdict(metric, line(s).verdict)
            });
    }
    let table = wood(columns)
        .share("unsampled", |s| s.unsampled)
        .text("not_looked_at", |s| s.not_looked_at.join("; "))
        .table(name, standings.iter().copied());
    let rows = 0..table.rows.len();
    let title = (
        Title::Words("Wood left, share by age"),
        "share of the pieces",
    );
    table.with_chart(ChartForm::MixBars, title, rows, "name", &AGES)
}

/// What was left and offered in pieces, and what follows from it.
fn wood(columns: Columns<'_, Standing>) -> Columns<'_, Standing> {
    columns
        .ages("pieces_", Kind::Whole, |s| Some(s.pieces))
        .number("pieces_a_tree", |s| s.pieces_a_tree)
        .ages("leave_more_", Kind::Whole, leave_more)
        .share("wrong_age", |s| s.wrong_age.map(|found| found.share))
        .share("wrong_age_lo", |s| {
            s.wrong_age.map(|found| found.interval.lo)
        })
        .share("wrong_age_hi", |s| {
            s.wrong_age.map(|found| found.interval.hi)
        })
        .share("wrong_age_by_chance", |s| {
            s.wrong_age.map(|found| found.noise)
        })
        .share("wrong_age_mean_tree", |s| {
            s.wrong_age.map(|found| found.mean_tree)
        })
        .number("upright_a_tree", |s| s.upright_a_tree)
        .number("thick_top_a_tree", |s| s.thick_top_a_tree)
        .whole("offered_trees", |s| s.offered.map(|offered| offered.trees))
        .ages("offered_", Kind::Decimal(2), |s| {
            s.offered.map(|offered| offered.pieces)
        })
}

/// Pieces that are asked to be left more (above 0) or fewer of each age, as a day sheet asks for them; none where no
/// pieces were counted.
fn leave_more(standing: &Standing) -> Option<[i32; 4]> {
    standing.mix?;
    let mut asked = [0; 4];
    for change in changes(standing) {
        for (sum, pieces) in asked.iter_mut().zip(change.pieces()) {
            *sum += pieces;
        }
    }
    Some(asked)
}

fn metrics(name: &str, standings: &[&Standing]) -> DataTable {
    type Line<'a> = (&'a Standing, &'a MetricVerdict);
    let lines: Vec<Line<'_>> = standings
        .iter()
        .flat_map(|standing| {
            let metrics = standing.judgement.metrics.iter();
            metrics.map(|metric| (*standing, metric))
        })
        .collect();
    Columns::<Line<'_>>::new()
        .text("name", |(s, _)| s.subject.shown().to_owned())
        .text("blocks", |(s, _)| s.blocks.join("; "))
        .text("metric", |(_, m)| words::metric(m.metric))
        .share("target", |(s, m)| s.bands[m.metric.index()].target)
        .share("accepted_from", |(s, m)| s.bands[m.metric.index()].lo)
        .share("accepted_to", |(s, m)| s.bands[m.metric.index()].hi)
        .whole("trees", |(_, m)| m.n)
        .share("mean", |(_, m)| m.mean)
        .number("spread", |(_, m)| m.s)
        .share("flag_lo", |(_, m)| m.flag.lo)
        .share("flag_hi", |(_, m)| m.flag.hi)
        .share("balance_lo", |(_, m)| m.balance.lo)
        .share("balance_hi", |(_, m)| m.balance.hi)
        .text("verdict", |(_, m)| words::verdict(m.metric, m.verdict))
        .more(|(_, m)| m.more)
        .share("unsampled", |(_, m)| m.unsampled)
        .table(&format!("{name}_metrics"), &lines)
}

fn by_day(name: &str, standings: &[&Standing]) -> DataTable {
    type Line<'a> = (&'a Standing, &'a DayFigures);
    let lines: Vec<Line<'_>> = standings
        .iter()
        .flat_map(|standing| standing.by_day.iter().map(|day| (*standing, day)))
        .collect();
    let mut table = Columns::<Line<'_>>::new()
        .text("name", |(s, _)| s.subject.shown().to_owned())
        .text("blocks", |(s, _)| s.blocks.join("; "))
        .day("day", |(_, of)| of.day)
        .whole("trees", |(_, of)| of.trees)
        .ages("", Kind::Share, |(_, of)| of.mix)
        .share("buds_within", |(_, of)| of.buds_within)
        .table(&format!("{name}_by_day"), &lines);
    let series: Vec<&str> = AGES.into_iter().chain(["buds_within"]).collect();
    // by standing, not by name: a pruner under two rules has two of them
    let mut from = 0;
    for standing in standings {
        let rows = from..from + standing.by_day.len();
        from = rows.end;
        if rows.len() > 1 {
            let title = (Title::Cell(rows.start, 0), "mean share of the day's trees");
            table = table.with_chart(ChartForm::ShareLines, title, rows, "day", &series);
        }
    }
    table
}

fn buds(name: &str, standings: &[&Standing]) -> DataTable {
    let lines = standings.iter();
    let of = lines.map(|s| (s.subject.shown(), s.blocks.as_slice(), &s.buds));
    buds_of(&format!("{name}_buds"), of)
}

/// Units by size and buds left; of each its name, its blocks and its sizes.
pub(super) fn buds_of<'a>(
    name: &str,
    of: impl Iterator<Item = (&'a str, &'a [String], &'a [BudFigures; 3])>,
) -> DataTable {
    type Line<'a> = (&'a str, &'a [String], &'a BudFigures);
    let lines: Vec<Line<'_>> = of
        .flat_map(|(name, blocks, sizes)| sizes.iter().map(move |size| (name, blocks, size)))
        .collect();
    let mut columns = Columns::<Line<'_>>::new()
        .text("name", |(name, ..)| (*name).to_owned())
        .text("blocks", |(_, blocks, _)| blocks.join("; "))
        .text("size", |(.., of)| of.size.word())
        .whole("least", |(.., of)| of.least)
        .whole("most", |(.., of)| of.most);
    for (at, title) in BUDS.into_iter().enumerate() {
        columns = columns.whole(title, move |(.., of): &Line<'_>| of.units_by_buds[at]);
    }
    columns
        .whole("units", |(.., of)| of.units)
        .number("mean_left", |(.., of)| of.mean_left)
        .whole("over", |(.., of)| of.over)
        .whole("under", |(.., of)| of.under)
        .table(name, &lines)
}

/// What is said where the single trees are left out.
pub fn without_trees(standings: &[&Standing]) -> Option<String> {
    let trees = standings.iter();
    left_out(trees.map(|standing| standing.tree_mixes.len()).sum())
}

/// The single trees; none where there are too many.
pub(super) fn trees(name: &str, standings: &[&Standing]) -> Option<DataTable> {
    type Line<'a> = (&'a Standing, usize, &'a [f64; 4]);
    if without_trees(standings).is_some() {
        return None;
    }
    let lines: Vec<Line<'_>> = standings
        .iter()
        .flat_map(|standing| {
            let trees = (1..).zip(&standing.tree_mixes);
            trees.map(|(at, mix)| (*standing, at, mix))
        })
        .collect();
    let columns = Columns::<Line<'_>>::new()
        .text("name", |(s, ..)| s.subject.shown().to_owned())
        .text("blocks", |(s, ..)| s.blocks.join("; "))
        .whole("in_order_of_counting", |(_, at, _)| *at)
        .ages("", Kind::Share, |(.., mix)| Some(**mix));
    Some(columns.table(&format!("{name}_trees"), &lines))
}
