//! Tables in and out: CSV files that a spreadsheet can open, and that people can make by hand.
//!
//! A file has a line of headings, then a line for each thing. The headings are the domain's field
//! names ([`Table::headings`]); their order is free, and those that are not needed may be
//! left out: what is stored stays as it is, and a new thing gets the usual value. Read are UTF-8
//! with or without a byte order mark, days as ISO writes them or in an order that the file makes certain (`days.rs`), commas, semicolons, tabs or bars, any line ends, and decimal commas
//! where cells are not parted by commas. Written is RFC 4180.
//!
//! What is read is checked by the domain's own constructors. One wrong cell, and nothing of the
//! change is kept; every wrong cell is named by line, heading and reason. Blocks are known by name,
//! pruners by number, winters by label; work, counts, draws and go-backs by an `id` column, or
//! where a line has none, by what it says (see `identity.rs`). Reading a file twice changes nothing
//! the second time. Nothing is ever removed by reading a table.

mod aims;
mod blocks;
pub mod bundle;
mod cells;
mod counts;
mod crew;
mod days;
mod days_off;
mod draws;
mod factors;
mod figures;
mod gobacks;
mod growth;
mod harvests;
mod identity;
mod import;
mod marks;
mod out;
mod outcome;
mod pay;
mod rules;
mod scan;
mod set_counts;
mod settings;
mod sheet;
mod stays;
mod table;
mod tables;
mod text;
mod weeks;
mod winters;
mod work;

use std::fs::File;
use std::io::{BufWriter, Read, Write};
use std::path::Path;

use chrono::NaiveDate;
use uuid::Uuid;

pub use figures::{FIGURES, figures_of};
pub use outcome::{ExchangeError, ImportReport, Problem};
pub use table::Table;
pub use text::safe as defused;

use crate::store::Store;
use crate::store::kept::Kept;
use crate::store::whole::{Part, place};
use out::{Labels, Out};

/// The largest table that is read, MiB: a line of a count takes some 150 bytes, so this is more than twenty large winters.
const LIMIT_MIB: u64 = 64;

/// How to read a table.
pub struct ImportOptions<'a> {
    /// Do everything, tell what came of it, keep nothing.
    pub dry_run: bool,
    /// The day, for lines that name neither a winter nor a day.
    pub today: NaiveDate,
    /// Makes the ids of new blocks, pruners and winters.
    pub new_id: &'a mut dyn FnMut() -> Uuid,
}

/// Writes a table. Gives the number of rows, the headings not among them.
pub fn export(
    store: &Store,
    table: Table,
    writer: &mut impl Write,
) -> Result<usize, ExchangeError> {
    let room = tables::of(table);
    let mut out = Out::new(writer, room.columns, store.numbers_only()?)?;
    (room.export)(store, &Labels::read(store)?, &mut out)?;
    out.finish()
}

/// Writes all tables as they stand at one moment, a file each ([`Table::file_name`]), into a
/// folder, which is made where it is not there. A file of the same name is replaced only when the
/// new one is whole. Gives each table's number of rows.
pub fn export_all(store: &Store, folder: &Path) -> Result<Vec<(Table, usize)>, ExchangeError> {
    export_into(store, &Table::ALL, folder)
}

/// The same of some tables.
pub fn export_into(
    store: &Store,
    tables: &[Table],
    folder: &Path,
) -> Result<Vec<(Table, usize)>, ExchangeError> {
    let fail = |path: &Path| {
        let what = path.display().to_string();
        move |source| ExchangeError::Write { what, source }
    };
    let kept = Kept::of(store.path());
    kept.make_folder(folder).map_err(fail(folder))?;
    let written = store.at_one_moment(|store| {
        let all = tables.iter().copied();
        all.map(|table| {
            let path = folder.join(table.file_name());
            let path = place(&kept, &path).map_err(fail(&path))?;
            let mut part = Part::beside(&path).map_err(fail(&path))?;
            let rows = write_part(store, table, &mut part).map_err(|error| match error {
                ExchangeError::Write { source, .. } => fail(&path)(source),
                other => other,
            })?;
            Ok((table, rows, part, path))
        })
        .collect::<Result<Vec<_>, ExchangeError>>()
    })?;
    let named = written.into_iter().map(|(table, rows, part, path)| {
        part.give_name(&path).map_err(fail(&path))?;
        Ok((table, rows))
    });
    named.collect()
}

fn write_part(store: &Store, table: Table, part: &mut Part) -> Result<usize, ExchangeError> {
    let mut out = BufWriter::new(part.file());
    let rows = export(store, table, &mut out)?;
    out.flush().map_err(|source| ExchangeError::Write {
        what: table.file_name(),
        source,
    })?;
    Ok(rows)
}

/// Reads a table. Where the report names any problem, nothing was kept.
pub fn import(
    store: &Store,
    table: Table,
    reader: impl Read,
    mut options: ImportOptions<'_>,
) -> Result<ImportReport, ExchangeError> {
    let bytes = bounded(reader, "the table")?;
    let mut reports = tables::read(store, &[(table, bytes)], &mut options)?;
    Ok(reports.pop().unwrap_or_else(|| ImportReport::new(table)))
}

/// Reads all tables that [`export_all`] wrote into a folder, and that are there, as one change: a
/// problem in any of them, and nothing of any is kept. After a table whose encoding or headings
/// are wrong, the later ones are not looked at.
pub fn import_folder(
    store: &Store,
    folder: &Path,
    mut options: ImportOptions<'_>,
) -> Result<Vec<ImportReport>, ExchangeError> {
    let mut files = Vec::new();
    for table in Table::ALL {
        let path = folder.join(table.file_name());
        let what = path.display().to_string();
        match File::open(&path) {
            Ok(file) => files.push((table, bounded(file, &what)?)),
            Err(source) if source.kind() == std::io::ErrorKind::NotFound => {}
            Err(source) => return Err(ExchangeError::Read { what, source }),
        }
    }
    if files.is_empty() {
        let folder = folder.to_owned();
        return Err(ExchangeError::NoTables { folder });
    }
    Ok(tables::read(store, &files, &mut options)?)
}

fn bounded(reader: impl Read, what: &str) -> Result<Vec<u8>, ExchangeError> {
    let what = || what.to_owned();
    let limit = LIMIT_MIB << 20;
    let mut bytes = Vec::new();
    let read = reader.take(limit + 1).read_to_end(&mut bytes);
    let length = read.map_err(|source| ExchangeError::Read {
        what: what(),
        source,
    })?;
    if length as u64 > limit {
        return Err(ExchangeError::TooLarge {
            what: what(),
            limit_mib: LIMIT_MIB,
        });
    }
    Ok(bytes)
}
