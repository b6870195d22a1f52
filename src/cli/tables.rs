//! Tables in and out.

use std::fs::File;
use std::io::{self, Write};
use std::path::Path;
use std::process::ExitCode;

use chrono::Local;
use uuid::Uuid;

use super::args::{Cli, ExportArgs, ImportArgs, Tables};
use super::{CliError, named, open, out, say};
use crate::exchange::{self, ImportOptions, ImportReport};
use crate::report::words;
use crate::store::Store;

/// The most wrong cells that are told; the rest is counted.
const TOLD: usize = 200;

/// Reads a table, or all tables of a folder: 0 where all was kept, 1 where anything was wrong.
pub fn import(cli: &Cli, wanted: &ImportArgs) -> Result<ExitCode, CliError> {
    let reports = open::taking_in(cli, wanted.dry_run, |store| {
        let reports = read_in(store, wanted)?;
        let good = reports.iter().all(|report| report.problems.is_empty());
        Ok((reports, good))
    })?;
    let wrong = reports.iter().any(|report| !report.problems.is_empty());
    for report in &reports {
        tell(report, wanted.dry_run, wrong).map_err(|e| {
            if wrong || wanted.dry_run {
                e
            } else {
                e.midway("all of it was read in and is kept")
            }
        })?;
    }
    Ok(if wrong {
        ExitCode::FAILURE
    } else {
        ExitCode::SUCCESS
    })
}

fn read_in(store: &Store, wanted: &ImportArgs) -> Result<Vec<ImportReport>, CliError> {
    let options = ImportOptions {
        dry_run: wanted.dry_run,
        today: Local::now().date_naive(),
        new_id: &mut Uuid::now_v7,
    };
    Ok(match wanted.table {
        Tables::All => exchange::import_folder(store, &wanted.file, options)?,
        Tables::One(table) if wanted.file == Path::new("-") => {
            vec![exchange::import(store, table, io::stdin().lock(), options)?]
        }
        Tables::One(table) => {
            let file = File::open(&wanted.file).map_err(|source| CliError::File {
                path: wanted.file.display().to_string(),
                source,
            })?;
            vec![exchange::import(store, table, file, options)?]
        }
    })
}

/// What came of a table: the sum on standard output, what is wrong on standard error.
fn tell(report: &ImportReport, dry_run: bool, failed: bool) -> Result<(), CliError> {
    let mut err = io::stderr().lock();
    let table = report.table.word();
    for problem in report.problems.iter().take(TOLD) {
        writeln!(err, "{table}: {problem}")?;
    }
    if let Some(more) = report.problems.len().checked_sub(TOLD + 1) {
        writeln!(err, "{table}: and {} more", more + 1)?;
    }
    let end = match (failed, dry_run) {
        (true, _) => "; nothing was kept",
        (false, true) => "; a dry run, nothing was kept",
        (false, false) => "",
    };
    let line = format!(
        "{table}: {} read, {} new, {} changed, {} as they were{end}\n",
        report.read, report.added, report.changed, report.unchanged
    );
    say::say(&line)
}

/// Writes a table, or all tables into a folder; without an orchard file yet, the columns.
pub fn export(cli: &Cli, wanted: &ExportArgs) -> Result<(), CliError> {
    let to_stdout = say::is_stdout(&wanted.output);
    out::refuse_kept(cli, &wanted.output)?;
    if let Tables::One(table) = wanted.table {
        csv_ending(table, &wanted.output)?;
    }
    // a mistyped name of the file must not put bare columns in the place of a table
    let store = if replaces(wanted) {
        open::store(cli)?
    } else {
        open::or_columns(cli)?
    };
    match wanted.table {
        Tables::All if to_stdout => Err(CliError::Usage(
            "name a folder for all tables: thirdwood export all -o FOLDER".to_owned(),
        )),
        Tables::All => {
            for (table, rows) in exchange::export_all(&store, &wanted.output)? {
                writeln!(
                    io::stderr(),
                    "{}: {}",
                    named(&wanted.output.join(table.file_name())),
                    words::plural(rows as u32, "row", "rows")
                )?;
            }
            Ok(())
        }
        Tables::One(table) => one(cli, &store, table, &wanted.output),
    }
}

/// Whether a table lies already where this one goes.
fn replaces(wanted: &ExportArgs) -> bool {
    match wanted.table {
        Tables::All => exchange::Table::ALL
            .iter()
            .any(|table| wanted.output.join(table.file_name()).is_file()),
        Tables::One(_) => wanted.output.is_file(),
    }
}

/// Refuses a file whose ending promises something else than a table as text.
fn csv_ending(table: exchange::Table, file: &Path) -> Result<(), CliError> {
    let ending = file.extension().unwrap_or_default().to_ascii_lowercase();
    if ending.is_empty() || ending == "csv" || ending == "txt" {
        return Ok(());
    }
    Err(CliError::Usage(format!(
        "{}: a table is written as CSV: end the name with .csv, such as -o {}",
        named(file),
        table.file_name()
    )))
}

fn one(cli: &Cli, store: &Store, table: exchange::Table, to: &Path) -> Result<(), CliError> {
    let mut bytes = Vec::new();
    exchange::export(store, table, &mut bytes)?;
    out::write_to(cli, to, &bytes)
}
