//! What each table is: its columns, how it is written and how it is read; and reading some of them as one change.

use super::import::{Import, Known, Refused};
use super::out::{Labels, Out};
use super::sheet::Sheet;
use super::table::Column;
use super::{
    ExchangeError, ImportOptions, ImportReport, Table, aims, blocks, counts, crew, days_off, draws,
    factors, gobacks, growth, harvests, marks, pay, rules, set_counts, settings, stays, weeks,
    winters, work,
};
use crate::store::{Store, StoreError};

/// What a table is.
pub(super) struct Room {
    /// Its columns, in the order in which they are written.
    pub(super) columns: &'static [Column],
    /// Writes it.
    pub(super) export: fn(&Store, &Labels, &mut Out<'_>) -> Result<(), ExchangeError>,
    /// Reads it.
    import: fn(&mut Import<'_>, &Sheet) -> Result<(), StoreError>,
}

/// What a table is.
pub(super) fn of(table: Table) -> Room {
    macro_rules! room {
        ($file:ident) => {
            Room {
                columns: $file::COLUMNS,
                export: $file::export,
                import: $file::import,
            }
        };
    }
    match table {
        Table::Settings => room!(settings),
        Table::Blocks => room!(blocks),
        Table::Crew => room!(crew),
        Table::Winters => room!(winters),
        Table::Rules => room!(rules),
        Table::Weeks => room!(weeks),
        Table::DaysOff => room!(days_off),
        Table::Stays => room!(stays),
        Table::Pay => room!(pay),
        Table::Aims => room!(aims),
        Table::Factors => room!(factors),
        Table::Growth => room!(growth),
        Table::SetCounts => room!(set_counts),
        Table::Work => room!(work),
        Table::Counts => room!(counts),
        Table::Draws => room!(draws),
        Table::GoBacks => room!(gobacks),
        Table::Harvests => room!(harvests),
        Table::Marks => room!(marks),
    }
}

impl Table {
    /// The headings, in the order in which they are written.
    pub fn headings(self) -> impl Iterator<Item = &'static str> {
        of(self).columns.iter().map(|column| column.name)
    }
}

/// Why nothing was kept.
enum Stop {
    Store(StoreError),
    NotKept,
}

impl From<StoreError> for Stop {
    fn from(error: StoreError) -> Self {
        Self::Store(error)
    }
}

/// Reads tables in order as one change; a report for each.
pub(super) fn read(
    store: &Store,
    files: &[(Table, Vec<u8>)],
    options: &mut ImportOptions<'_>,
) -> Result<Vec<ImportReport>, StoreError> {
    let mut reports: Vec<ImportReport> = Vec::new();
    let outcome = store.atomically(|store| {
        let mut refused = Refused::new();
        for (table, bytes) in files {
            let (report, readable) = one(store, *table, bytes, options, &mut refused)?;
            reports.push(report);
            if !readable {
                // without this table the next ones could only repeat that it is not there
                break;
            }
        }
        let good = reports.iter().all(|report| report.problems.is_empty());
        if good && !options.dry_run {
            Ok(())
        } else {
            Err(Stop::NotKept)
        }
    });
    match outcome {
        Ok(()) => reports.iter_mut().for_each(|report| report.kept = true),
        Err(Stop::NotKept) => {}
        Err(Stop::Store(error)) => return Err(error),
    }
    Ok(reports)
}

/// Reads one table. Says whether it could be read as a table at all.
fn one(
    store: &Store,
    table: Table,
    bytes: &[u8],
    options: &mut ImportOptions<'_>,
    refused: &mut Refused,
) -> Result<(ImportReport, bool), StoreError> {
    let room = of(table);
    let mut report = ImportReport::new(table);
    let mut sheet = match Sheet::read(bytes, room.columns) {
        Ok(sheet) => sheet,
        Err(problems) => {
            report.problems = problems;
            return Ok((report, false));
        }
    };
    report.read = sheet.lines.len() + sheet.problems.len();
    report.problems = std::mem::take(&mut sheet.problems);
    let mut import = Import {
        store,
        today: options.today,
        new_id: &mut *options.new_id,
        known: Known::read(store)?,
        refused,
        report,
    };
    (room.import)(&mut import, &sheet)?;
    let mut report = import.report;
    report.problems.sort_by_key(|problem| problem.line);
    Ok((report, true))
}
