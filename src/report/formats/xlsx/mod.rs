//! Tables as a workbook (XLSX): a sheet for each, then a sheet with what is drawn of it.
//!
//! Numbers, days and moments are such in their cells; words are words, whatever they begin with. No person is named in
//! the document's properties.

mod charts;
mod sheet;

use std::borrow::Borrow;

use chrono::{DateTime, Utc};
use rust_xlsxwriter::{DocProperties, Workbook};
use thiserror::Error;

use crate::report::document::tables::{DataTable, heading};

/// The most letters in a sheet's name.
pub const MAX_NAME: usize = 31;

/// Why a workbook cannot be made.
#[derive(Debug, Error)]
#[error("the workbook cannot be made: {0}")]
pub struct BookError(#[from] rust_xlsxwriter::XlsxError);

/// A workbook of these tables, each let go once it is written, as the bytes of a file. `title` goes into the document's properties; `made` is the
/// moment of making, RFC 3339, and what else is left to the clock.
pub fn workbook<T: Borrow<DataTable>>(
    title: &str,
    tables: impl IntoIterator<Item = T>,
    made: &str,
) -> Result<Vec<u8>, BookError> {
    let mut properties = DocProperties::new().set_title(title);
    if let Ok(moment) = DateTime::parse_from_rfc3339(made) {
        properties = properties.set_creation_datetime(&moment.with_timezone(&Utc));
    }
    let mut book = Workbook::new();
    book.set_properties(&properties);
    let looks = sheet::Looks::new();
    for table in tables {
        let table = table.borrow();
        let name = heading(&table.name);
        sheet::write(book.add_worksheet(), &name, table, &looks)?;
        if !table.charts.is_empty() {
            charts::write(book.add_worksheet(), &name, table)?;
        }
    }
    Ok(book.save_to_buffer()?)
}
