//! One table on one sheet.

use std::borrow::Cow;

use rust_xlsxwriter::{ColNum, Format, FormatAlign, FormatBorder, RowNum, Worksheet, XlsxError};

use crate::report::document::tables::{Cell, DataTable, Kind, heading};
use crate::report::fit::width;

/// The longest text that a cell holds, UTF-16 units.
const MAX_TEXT: usize = 32_767;
/// Columns of letters: at least so many, and for long words at most.
const WIDTHS: (usize, usize) = (7, 48);

/// How cells look.
pub(super) struct Looks {
    head: Format,
    day: Format,
    moment: Format,
    share: Format,
    whole: Format,
    /// By decimals.
    decimals: [Format; 4],
}

impl Looks {
    pub fn new() -> Self {
        let number = |format: &str| Format::new().set_num_format(format);
        Self {
            head: Format::new()
                .set_bold()
                .set_text_wrap()
                .set_align(FormatAlign::Top)
                .set_border_bottom(FormatBorder::Thin),
            day: number("yyyy-mm-dd"),
            moment: number("yyyy-mm-dd hh:mm"),
            share: number("0.0%"),
            whole: number("0"),
            decimals: ["0", "0.0", "0.00", "0.000"].map(number),
        }
    }

    fn of(&self, kind: Kind) -> Option<&Format> {
        match kind {
            Kind::Text => None,
            Kind::Whole => Some(&self.whole),
            Kind::Decimal(digits) => self.decimals.get(usize::from(digits).min(3)),
            Kind::Share => Some(&self.share),
            Kind::Day => Some(&self.day),
            Kind::Moment => Some(&self.moment),
        }
    }
}

/// Writes a table from the first cell on: headings that stay in view with a filter, then the rows.
pub(super) fn write(
    sheet: &mut Worksheet,
    name: &str,
    table: &DataTable,
    looks: &Looks,
) -> Result<(), XlsxError> {
    sheet.set_name(name)?;
    let mut widths = Vec::with_capacity(table.columns.len());
    for (column, at) in table.columns.iter().zip(0..) {
        let head = heading(&column.title);
        sheet.write_string_with_format(0, at, &head, &looks.head)?;
        // a heading may stand on several lines
        widths.push(head.split(' ').map(width).max().unwrap_or(0) + 2);
        if let Some(format) = looks.of(column.kind) {
            sheet.set_column_format(at, format)?;
        }
    }
    for (row, at) in table.rows.iter().zip(1..) {
        let columns = table.columns.iter().zip(0..).zip(&mut widths);
        for (cell, ((column, place), widest)) in row.iter().zip(columns) {
            let taken = put(sheet, (at, place), cell, looks.of(column.kind))?;
            *widest = taken.max(*widest);
        }
    }
    for (widest, at) in widths.into_iter().zip(0..) {
        sheet.set_column_width(at, widest.clamp(WIDTHS.0, WIDTHS.1) as f64)?;
    }
    frame(sheet, table)
}

/// What stays in view, and how it is printed.
fn frame(sheet: &mut Worksheet, table: &DataTable) -> Result<(), XlsxError> {
    let last_row = RowNum::try_from(table.rows.len()).unwrap_or(RowNum::MAX);
    let last_column = ColNum::try_from(table.columns.len().saturating_sub(1)).unwrap_or(0);
    sheet.set_freeze_panes(1, 1)?;
    sheet.autofilter(0, 0, last_row, last_column)?;
    sheet.set_repeat_rows(0, 0)?;
    sheet.set_landscape().set_print_fit_to_pages(1, 0);
    Ok(())
}

/// Writes a cell; gives the columns that it takes.
fn put(
    sheet: &mut Worksheet,
    (row, column): (RowNum, ColNum),
    cell: &Cell,
    format: Option<&Format>,
) -> Result<usize, XlsxError> {
    let plain = Format::default();
    let format = format.unwrap_or(&plain);
    match cell {
        Cell::Empty => Ok(0),
        Cell::Text(words) => {
            let words = fitting(words);
            sheet.write_string(row, column, words.as_ref())?;
            Ok(width(&words) + 1)
        }
        Cell::Whole(number) => {
            sheet.write_number_with_format(row, column, *number as f64, format)?;
            Ok(number.to_string().len() + 2)
        }
        Cell::Number(number) => {
            sheet.write_number_with_format(row, column, *number, format)?;
            Ok(format!("{number:.2}").len() + 2)
        }
        Cell::Day(day) => {
            sheet.write_datetime_with_format(row, column, day, format)?;
            Ok(11)
        }
        Cell::Moment(moment) => {
            sheet.write_datetime_with_format(row, column, moment, format)?;
            Ok(17)
        }
    }
}

/// As much of a text as a cell holds.
fn fitting(words: &str) -> Cow<'_, str> {
    if words.len() <= MAX_TEXT {
        return words.into();
    }
    let mut used = 0;
    let fits = |letter: &char| {
        used += letter.len_utf16();
        used < MAX_TEXT
    };
    let mut short: String = words.chars().take_while(fits).collect();
    if short.len() < words.len() {
        short.push('…');
    }
    short.into()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_text_fits_its_cell() {
        assert_eq!(fitting("pear"), "pear");
        let long = "梨".repeat(40_000);
        assert_eq!(fitting(&long).encode_utf16().count(), MAX_TEXT);
        let just = "é".repeat(MAX_TEXT - 1);
        assert_eq!(fitting(&just), just);
    }
}
