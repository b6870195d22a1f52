//! What the screens do with tables for a spreadsheet, on a thread and a connection of their own.

use std::fs::File;
use std::path::{Path, PathBuf};

use chrono::NaiveDate;
use uuid::Uuid;

use super::tablets::{Apart, without_backup};
use super::task::{Task, failed, note};
use crate::exchange::{self, ExchangeError, ImportOptions, ImportReport, Table};
use crate::report::words;
use crate::store::{Store, backup};
use crate::tui::app::{Effect, Event, Message, Question};

/// Which table, or all of them, and its file or their folder.
pub(super) type Wanted = (Option<Table>, PathBuf);

/// Wrong cells that are told one by one.
const TOLD: usize = 3;

/// Writes tables into a folder.
pub(super) fn write(apart: Apart, wanted: Wanted) -> Task {
    Task::begin(move |_| {
        let written = written(&apart, &wanted);
        Event::WorkEnded(written.unwrap_or_else(|e| failed(e.to_string())))
    })
}

fn written(apart: &Apart, (table, folder): &Wanted) -> Result<Message, ExchangeError> {
    let store = apart.open()?;
    let tables = match table {
        Some(table) => exchange::export_into(&store, &[*table], folder)?,
        None => exchange::export_into(&store, &Table::ALL, folder)?,
    };
    let rows: usize = tables.iter().map(|(_, rows)| rows).sum();
    Ok(note(format!(
        "{} with {} in {}",
        words::plural(
            tables.len() as u32,
            "table is written",
            "tables are written"
        ),
        words::plural(rows as u32, "row", "rows"),
        folder.display()
    )))
}

/// Looks what would come of reading tables in, and asks whether they are to be.
pub(super) fn look_at(apart: Apart, wanted: Wanted, day: NaiveDate) -> Task {
    Task::begin(move |_| {
        let looked = apart
            .open()
            .map_err(ExchangeError::from)
            .and_then(|store| read(&store, &wanted, day, true));
        match looked {
            Ok(reports) if is_good(&reports) => Event::Asked(question(&reports, wanted)),
            Ok(reports) => Event::WorkEnded(failed(wrong(&reports))),
            Err(e) => Event::WorkEnded(failed(e.to_string())),
        }
    })
}

/// Reads tables in, after a backup.
pub(super) fn take_in(apart: Apart, wanted: Wanted, day: NaiveDate) -> Task {
    Task::begin(move |_| {
        let taken = taken_in(&apart, &wanted, day);
        Event::WorkEnded(taken.unwrap_or_else(|e| failed(e.to_string())))
    })
}

fn taken_in(apart: &Apart, wanted: &Wanted, day: NaiveDate) -> Result<Message, ExchangeError> {
    let store = apart.open()?;
    let unkept = backup::before_much(&store, day)?;
    let reports = read(&store, wanted, day, false)?;
    if !is_good(&reports) {
        return Ok(failed(wrong(&reports)));
    }
    let backup = without_backup(unkept.as_ref());
    Ok(note(format!("read in: {}{backup}", sums(&reports))))
}

fn read(
    store: &Store,
    (table, place): &Wanted,
    today: NaiveDate,
    dry_run: bool,
) -> Result<Vec<ImportReport>, ExchangeError> {
    let options = ImportOptions {
        dry_run,
        today,
        new_id: &mut Uuid::now_v7,
    };
    let Some(table) = table else {
        return exchange::import_folder(store, place, options);
    };
    let file = open(place)?;
    Ok(vec![exchange::import(store, *table, file, options)?])
}

fn open(place: &Path) -> Result<File, ExchangeError> {
    File::open(place).map_err(|source| ExchangeError::Read {
        what: place.display().to_string(),
        source,
    })
}

fn is_good(reports: &[ImportReport]) -> bool {
    reports.iter().all(|report| report.problems.is_empty())
}

/// What came of each table that has anything in it.
fn sums(reports: &[ImportReport]) -> String {
    let full = reports.iter().filter(|report| report.read > 0);
    let each: Vec<String> = full
        .map(|report| {
            format!(
                "{}: {} new, {} changed, {} as they were",
                report.table.word(),
                report.added,
                report.changed,
                report.unchanged
            )
        })
        .collect();
    if each.is_empty() {
        return "no lines at all".to_owned();
    }
    each.join("; ")
}

fn question(reports: &[ImportReport], (table, place): Wanted) -> Question {
    Question {
        words: format!(
            "This would come of it: {}. Read it in? It is read whole or not at all, and a backup is made first.",
            sums(reports)
        ),
        yes: vec![Effect::ReadTables(table, place)],
    }
}

/// What is wrong, the first of it in full.
fn wrong(reports: &[ImportReport]) -> String {
    let all = reports.iter().flat_map(|report| {
        let table = report.table.word();
        report
            .problems
            .iter()
            .map(move |problem| format!("{table}: {problem}"))
    });
    let all: Vec<String> = all.collect();
    let told = all.iter().take(TOLD).map(String::as_str);
    let told = told.collect::<Vec<_>>().join("; ");
    let more = match all.len().saturating_sub(TOLD) {
        0 => String::new(),
        more => format!("; and {more} more"),
    };
    format!("nothing was kept: {told}{more}")
}
