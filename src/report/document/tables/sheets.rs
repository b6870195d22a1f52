//! Day sheets as tables.

use super::columns::Columns;
use super::standings::{all_of, number, trees, without_trees};
use super::{DataTable, Kind};
use crate::judge::Metric;
use crate::report::{Change, DaySheet, GoBackLine, MarkLine, Standing, words};
use crate::report::{NotThere, Swap, WeekChange};

/// The tables of day sheets: a line for each sheet; what is asked, in pieces and in buds; wood that was not there; weeks
/// that differ; rows to go back to; and the figures that it all rests on.
pub fn day_sheets(sheets: &[DaySheet]) -> Vec<DataTable> {
    let standings: Vec<&Standing> = sheets.iter().map(|sheet| &sheet.standing).collect();
    let mut tables = vec![
        lines(sheets),
        asked(sheets),
        not_there(sheets),
        weeks(sheets),
        super::supervisor::go_backs(&go_backs(sheets)),
    ];
    let together: Vec<MarkLine> = (sheets.iter())
        .flat_map(|sheet| sheet.together.iter().cloned())
        .collect();
    if !together.is_empty() {
        tables.push(super::supervisor::marks("look_together", &together));
    }
    tables.extend(all_of("crew", &standings));
    tables.extend(trees("crew", &standings));
    tables.extend(sheets.first().map(|sheet| {
        let about = super::winter::about(&sheet.orchard, &sheet.winter, None, sheet.day);
        super::winter::without(about, without_trees(&standings))
    }));
    tables
}

/// The rows to go back to, each once: a pruner under two rules has two sheets with the same rows.
fn go_backs(sheets: &[DaySheet]) -> Vec<GoBackLine> {
    let mut lines: Vec<GoBackLine> = Vec::new();
    for line in sheets.iter().flat_map(|sheet| &sheet.go_backs) {
        if !lines.iter().any(|known| known.id == line.id) {
            lines.push(line.clone());
        }
    }
    lines
}

fn lines(sheets: &[DaySheet]) -> DataTable {
    let change = |sheet: &DaySheet, at: usize| {
        let mut said = sheet.changes.iter();
        said.nth(at)
            .map(|change| words::change(change, &sheet.standing).join(" "))
    };
    Columns::<DaySheet>::new()
        .day("day", |s| s.day)
        .text("name", |s| s.shown().to_owned())
        .whole("number", |s| number(&s.standing.subject))
        .text("blocks", |s| s.standing.blocks.join("; "))
        .whole("trees", |s| s.standing.trees)
        .whole("trees_today", |s| Some(s.today.as_ref()?.trees))
        .ages("today_", Kind::Share, |s| s.today.as_ref()?.mix)
        .share("today_buds_within", |s| s.today.as_ref()?.buds_within)
        .text("mostly_by_eye", |s| s.mostly_by_eye)
        .verdict("", |s| {
            (s.standing.judgement.overall, s.standing.judgement.lead)
        })
        .more(|s| s.standing.judgement.more)
        .text("right", |s| metrics(&s.right))
        .text("open", |s| metrics(&s.open))
        .text("change_1", move |s| change(s, 0))
        .text("change_2", move |s| change(s, 1))
        .table("day_sheets", sheets)
}

/// Names of metrics in a row.
fn metrics(of: &[Metric]) -> String {
    let names: Vec<_> = of.iter().map(|metric| words::metric(*metric)).collect();
    words::list(&names)
}

/// One thing asked of a pruner, or the wood that balances it.
enum Thing<'a> {
    Wood(&'a Swap, &'static str),
    Buds(&'a crate::report::BudChange, (f64, f64)),
}

fn things(change: &Change) -> Vec<Thing<'_>> {
    match change {
        Change::Wood { asked, balance } => {
            let asked = asked.iter().map(|swap| Thing::Wood(swap, "asked"));
            let balance = balance.iter().map(|swap| Thing::Wood(swap, "balance"));
            asked.chain(balance).collect()
        }
        Change::Buds {
            within,
            wanted,
            sizes,
        } => (sizes.iter())
            .map(|size| Thing::Buds(size, (*within, *wanted)))
            .collect(),
    }
}

fn asked(sheets: &[DaySheet]) -> DataTable {
    type Line<'a> = (&'a DaySheet, Thing<'a>);
    let lines: Vec<Line<'_>> = (sheets.iter())
        .flat_map(|sheet| sheet.changes.iter().map(move |change| (sheet, change)))
        .flat_map(|(sheet, change)| {
            let things = things(change).into_iter();
            things.map(move |thing| (sheet, thing))
        })
        .collect();
    let buds = |thing: &Thing<'_>| match thing {
        Thing::Buds(size, shares) => Some((**size, *shares)),
        Thing::Wood(..) => None,
    };
    Columns::<Line<'_>>::new()
        .text("name", |(sheet, _)| sheet.shown().to_owned())
        .text("blocks", |(sheet, _)| sheet.standing.blocks.join("; "))
        .text("of", |(_, thing)| match thing {
            Thing::Wood(swap, _) => words::metric(swap.age),
            Thing::Buds(..) => "buds",
        })
        .text("as", |(_, thing)| match thing {
            Thing::Wood(_, part) => part,
            Thing::Buds(..) => "asked",
        })
        .whole("leave_more", |(_, thing)| match thing {
            Thing::Wood(swap, _) => Some(swap.pieces),
            Thing::Buds(..) => None,
        })
        .text("verdict", |(_, thing)| match thing {
            Thing::Wood(swap, _) => Some(words::verdict(swap.age, swap.verdict)),
            Thing::Buds(..) => None,
        })
        .text("size", move |(_, thing)| {
            buds(thing).map(|(size, _)| size.size.word())
        })
        .share("within", move |(_, thing)| buds(thing).map(|(_, of)| of.0))
        .share("wanted", move |(_, thing)| buds(thing).map(|(_, of)| of.1))
        .number("mean_left", move |(_, thing)| {
            buds(thing).map(|(size, _)| size.mean_left)
        })
        .whole("least", move |(_, thing)| {
            buds(thing).map(|(size, _)| size.least)
        })
        .whole("most", move |(_, thing)| {
            buds(thing).map(|(size, _)| size.most)
        })
        .whole("units", move |(_, thing)| {
            buds(thing).map(|(size, _)| size.units)
        })
        .whole("over", move |(_, thing)| {
            buds(thing).map(|(size, _)| size.over)
        })
        .whole("under", move |(_, thing)| {
            buds(thing).map(|(size, _)| size.under)
        })
        .table("asked", &lines)
}

fn not_there(sheets: &[DaySheet]) -> DataTable {
    type Line<'a> = (&'a DaySheet, &'a NotThere);
    let lines: Vec<Line<'_>> = (sheets.iter())
        .flat_map(|sheet| sheet.not_there.iter().map(move |line| (sheet, line)))
        .collect();
    Columns::<Line<'_>>::new()
        .text("name", |(sheet, _)| sheet.shown().to_owned())
        .text("blocks", |(sheet, _)| sheet.standing.blocks.join("; "))
        .text("age", |(_, line)| words::metric(line.age))
        .number("offered", |(_, line)| line.offered)
        .number("left", |(_, line)| line.left)
        .table("not_there", &lines)
}

fn weeks(sheets: &[DaySheet]) -> DataTable {
    type Line<'a> = (&'a DaySheet, &'a WeekChange);
    let lines: Vec<Line<'_>> = (sheets.iter())
        .flat_map(|sheet| sheet.weeks.iter().map(move |week| (sheet, week)))
        .collect();
    Columns::<Line<'_>>::new()
        .text("name", |(sheet, _)| sheet.shown().to_owned())
        .text("blocks", |(sheet, _)| sheet.standing.blocks.join("; "))
        .text("metric", |(_, week)| words::metric(week.metric))
        .share("week_before", |(_, week)| week.before)
        .share("this_week", |(_, week)| week.now)
        .whole("trees_before", |(_, week)| week.trees_before)
        .whole("trees_now", |(_, week)| week.trees_now)
        .text("better", |(_, week)| week.better)
        .table("weeks", &lines)
}
