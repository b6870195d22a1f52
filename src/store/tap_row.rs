//! A tap as its columns in the file.

use rusqlite::Row;

use super::StoreError;
use super::rows::damaged;
use crate::orchard::{Age, Buds, Size, Tap};

/// Piece, size, buds, and whether size and buds are a two-year piece too.
pub(super) fn encode(tap: Tap) -> (i64, Option<i64>, Option<u8>, bool) {
    match tap {
        Tap::Piece(age) => (age.index() as i64 + 1, None, None, false),
        Tap::TwoYear(size, buds) => (0, Some(size.index() as i64), Some(buds.get()), true),
        Tap::Unit(size, buds) => (0, Some(size.index() as i64), Some(buds.get()), false),
        Tap::Upright => (5, None, None, false),
        Tap::ThickTop => (6, None, None, false),
    }
}

/// Reads a row that begins with piece, size, buds, and whether these are a piece too.
pub(super) fn decode(row: &Row<'_>) -> Result<Tap, StoreError> {
    let piece: u8 = row.get(0)?;
    Ok(match piece {
        5 => Tap::Upright,
        6 => Tap::ThickTop,
        0 => {
            let size: u8 = row.get(1)?;
            let buds = Buds::new(row.get(2)?).map_err(damaged("tap"))?;
            let size = Size::ALL[usize::from(size.min(2))];
            if row.get(3)? {
                Tap::TwoYear(size, buds)
            } else {
                Tap::Unit(size, buds)
            }
        }
        age => Tap::Piece(Age::ALL[usize::from((age - 1).min(3))]),
    })
}
