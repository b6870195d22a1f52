//! Reading columns into domain types.

use chrono::NaiveDate;
use rusqlite::{Row, RowIndex};
use uuid::Uuid;

use super::StoreError;
use crate::orchard::{Faults, parse_day, readable};

/// A stored value that the domain refuses.
pub(super) fn damaged<E: Into<Faults>>(what: &'static str) -> impl Fn(E) -> StoreError {
    move |faults| StoreError::Damaged {
        what,
        source: faults.into(),
    }
}

/// A day column.
pub(super) fn day(row: &Row<'_>, column: impl RowIndex) -> Result<NaiveDate, StoreError> {
    let text = row
        .get_ref(column)?
        .as_str()
        .map_err(rusqlite::Error::from)?;
    parse_day("day", text).map_err(damaged("day"))
}

/// A day column that may be empty.
pub(super) fn optional_day(
    row: &Row<'_>,
    column: impl RowIndex,
) -> Result<Option<NaiveDate>, StoreError> {
    let text: Option<String> = row.get(column)?;
    text.map(|text| parse_day("day", &text).map_err(damaged("day")))
        .transpose()
}

/// A column of text that people typed, of at most so many characters: what earlier versions took and nobody can see is
/// written out ([`readable`]).
pub(super) fn typed(
    row: &Row<'_>,
    column: impl RowIndex,
    most: usize,
) -> Result<String, StoreError> {
    Ok(readable(row.get(column)?, most))
}

/// An id column.
pub(super) fn id(row: &Row<'_>, column: impl RowIndex) -> Result<Uuid, StoreError> {
    let bytes: [u8; 16] = row.get(column)?;
    Ok(Uuid::from_bytes(bytes))
}

/// An id column that may be empty.
pub(super) fn optional_id(
    row: &Row<'_>,
    column: impl RowIndex,
) -> Result<Option<Uuid>, StoreError> {
    let bytes: Option<[u8; 16]> = row.get(column)?;
    Ok(bytes.map(Uuid::from_bytes))
}

/// All rows of a query, each made by `make`.
pub(super) fn all<T>(
    mut rows: rusqlite::Rows<'_>,
    mut make: impl FnMut(&Row<'_>) -> Result<T, StoreError>,
) -> Result<Vec<T>, StoreError> {
    let mut found = Vec::new();
    while let Some(row) = rows.next()? {
        found.push(make(row)?);
    }
    Ok(found)
}
