//! What stands in the lines of the parts.

use super::CHANGES;
use crate::report::fit::percent;
use crate::report::{BlockPace, WinterProgress, words};
use crate::tui::widgets::{Cell, Column, Width};

/// Cells of a bar.
const BAR: usize = 12;

pub(super) fn block_columns() -> Vec<Column<'static>> {
    use Width::{Fixed, Share};
    vec![
        Column::new("Block", Share(1)),
        Column::right("Done", Fixed(5)),
        Column::right("Left", Fixed(5)),
        Column::new("", Fixed(BAR as u16)).goes(2),
        Column::right("Trees/h", Fixed(7)),
        Column::new("Through", Fixed(14)),
        Column::right("Due", Fixed(6)).goes(1),
        Column::right("In time", Fixed(7)),
    ]
}

/// The blocks, and the orchard below them.
pub(super) fn blocks(progress: &WinterProgress) -> Vec<Vec<Cell>> {
    let mut rows: Vec<Vec<Cell>> = progress.blocks.iter().map(block).collect();
    let hour = progress.speed.as_ref().and_then(|speed| speed.per_hour);
    rows.push(cells([
        "All".to_owned(),
        progress.done.to_string(),
        progress.left.to_string(),
        bar(progress.done, progress.left),
        hour.map_or_else(|| "-".to_owned(), |rate| format!("{:.1}", rate.mean)),
        words::finish_short(&progress.finish),
        String::new(),
        words::in_time(&progress.finish),
    ]));
    rows
}

fn block(block: &BlockPace) -> Vec<Cell> {
    let hour = block.speed.as_ref().and_then(|speed| speed.per_hour);
    cells([
        block.name.clone(),
        block.done.to_string(),
        block.left.to_string(),
        bar(block.done, block.left),
        hour.map_or_else(|| "-".to_owned(), |rate| format!("{:.1}", rate.mean)),
        words::finish_short(&block.finish),
        block.deadline.format("%-d %b").to_string(),
        words::in_time(&block.finish),
    ])
}

fn cells<const N: usize>(texts: [String; N]) -> Vec<Cell> {
    texts.into_iter().map(Cell::new).collect()
}

/// Done `█` and left `░`; all done only where nothing is left.
fn bar(done: u32, left: u32) -> String {
    let all = (done + left).max(1) as usize;
    let full = done as usize * BAR / all;
    format!("{}{}", "█".repeat(full), "░".repeat(BAR - full))
}

pub(super) fn crew_columns() -> Vec<Column<'static>> {
    use Width::{Fixed, Share};
    vec![
        Column::new("Pruner", Share(1)),
        Column::right("Trees", Fixed(5)).goes(1),
        Column::right("Days", Fixed(4)).goes(3),
        Column::right("Trees an hour", Fixed(15)),
        Column::right("Trees a day", Fixed(18)).goes(2),
        Column::new("Quality", Fixed(19)),
    ]
}

pub(super) fn crew(progress: &WinterProgress) -> Vec<Vec<Cell>> {
    let of = |pruner: &crate::report::PrunerPace| {
        cells([
            pruner.shown.clone(),
            pruner.speed.trees.to_string(),
            pruner.speed.person_days.to_string(),
            words::rate(pruner.speed.per_hour),
            words::rate(pruner.speed.per_day),
            words::found(&pruner.found),
        ])
    };
    progress.pruners.iter().map(of).collect()
}

pub(super) fn change_columns() -> Vec<Column<'static>> {
    use Width::{Fixed, Share};
    vec![
        Column::new("What if", Share(1)),
        Column::right("Now", Fixed(8)),
        Column::right("Changed by", Fixed(10)),
        Column::right("Then", Fixed(8)),
    ]
}

/// The lines that can be changed.
pub(super) fn changes(now: &WinterProgress, what_if: crate::report::WhatIf) -> Vec<Vec<Cell>> {
    let hours = f64::from(what_if.quarters) / 4.0;
    let rows: [[String; 4]; CHANGES] = [
        [
            "Pruners (fewer: the last on the crew list go)".to_owned(),
            now.crew.to_string(),
            format!("{:+}", what_if.pruners),
            (i64::from(now.crew) + i64::from(what_if.pruners)).to_string(),
        ],
        [
            "Hours a day".to_owned(),
            format!("{:.2}", now.usual_hours),
            format!("{hours:+.2}"),
            format!("{:.2}", now.usual_hours * what_if.length(now.usual_hours)),
        ],
        [
            "Days off more, from tomorrow on".to_owned(),
            "-".to_owned(),
            format!("{:+}", what_if.days_off),
            "-".to_owned(),
        ],
    ];
    rows.into_iter().map(cells).collect()
}

/// Finish, chance, hours and cost in four lines.
pub(super) fn outcome(progress: &WinterProgress) -> Vec<String> {
    let mut lines = vec![words::through(&progress.finish)];
    if !words::in_time(&progress.finish).is_empty() {
        lines.push(format!(
            "in time with {} chance; rain takes {} of days",
            words::in_time(&progress.finish),
            percent(progress.days.rain_chance)
        ));
    }
    if let Some(to_come) = &progress.to_come {
        lines.push(format!("to come {}", words::hours(to_come)));
        if let Some(total) = &to_come.total {
            lines.push(format!(
                "in all {}",
                words::amount(total, &progress.currency)
            ));
        }
    }
    lines
}
