//! Workbooks read back, by another library than the one that writes them.

use std::io::{Cursor, Read};

use calamine::{Data, Reader, Xlsx, open_workbook_from_rs};
use chrono::{Days, NaiveDate};
use flate2::read::DeflateDecoder;
use thirdwood::report::{Format, Making, Report};

use crate::formats::MADE;

/// A sheet: its name and its rows.
pub struct Sheet {
    pub name: String,
    pub rows: Vec<Vec<Data>>,
}

impl Sheet {
    /// The cell under a heading; the first row of figures is 0.
    pub fn cell(&self, row: usize, heading: &str) -> &Data {
        let column = self.rows[0]
            .iter()
            .position(|cell| *cell == Data::String(heading.to_owned()));
        let column = column.unwrap_or_else(|| panic!("no {heading} in {}", self.name));
        &self.rows[row + 1][column]
    }

    /// Rows below the headings.
    pub fn len(&self) -> usize {
        self.rows.len() - 1
    }
}

/// A report as a workbook.
pub fn written(report: &Report) -> Vec<u8> {
    let making = Making {
        made: MADE.into(),
        ..Making::default()
    };
    report.write(Format::Xlsx, &making).unwrap()
}

/// All sheets that hold a table. No cell of a workbook is a formula.
pub fn sheets(bytes: &[u8]) -> Vec<Sheet> {
    let mut book: Xlsx<_> = open_workbook_from_rs(Cursor::new(bytes)).unwrap();
    let mut sheets = Vec::new();
    for name in book.sheet_names() {
        let formulas = book.worksheet_formula(&name).unwrap();
        assert!(
            formulas
                .used_cells()
                .all(|(_, _, formula)| formula.is_empty()),
            "{name}"
        );
        let range = book.worksheet_range(&name).unwrap();
        if !range.is_empty() {
            let rows = range.rows().map(<[Data]>::to_vec).collect();
            sheets.push(Sheet { name, rows });
        }
    }
    sheets
}

/// The sheet of this name.
pub fn sheet<'s>(sheets: &'s [Sheet], name: &str) -> &'s Sheet {
    sheets.iter().find(|sheet| sheet.name == name).unwrap()
}

/// A cell's number; a day is none.
pub fn number(cell: &Data) -> Option<f64> {
    match cell {
        Data::Float(number) => Some(*number),
        Data::Int(number) => Some(*number as f64),
        _ => None,
    }
}

/// A cell's day. Spreadsheets count days from the one before 1900 began, and one too many.
pub fn day(cell: &Data) -> Option<NaiveDate> {
    match cell {
        Data::DateTime(moment) => {
            let first = NaiveDate::from_ymd_opt(1899, 12, 30).unwrap();
            Some(first + Days::new(moment.as_f64() as u64))
        }
        _ => None,
    }
}

/// A file within the workbook, which is a zip archive: found by its directory at the end.
pub fn part(bytes: &[u8], name: &str) -> Option<String> {
    let (_, from, packed) = directory(bytes)
        .into_iter()
        .find(|(found, ..)| found == name)?;
    let word = |at: usize| usize::from(bytes[at]) + 256 * usize::from(bytes[at + 1]);
    let begin = from + 30 + word(from + 26) + word(from + 28);
    let mut text = String::new();
    DeflateDecoder::new(&bytes[begin..begin + packed])
        .read_to_string(&mut text)
        .unwrap();
    Some(text)
}

/// Names of all files within the workbook.
pub fn parts(bytes: &[u8]) -> Vec<String> {
    directory(bytes)
        .into_iter()
        .map(|(name, ..)| name)
        .collect()
}

/// Name, place and packed length of each file.
fn directory(bytes: &[u8]) -> Vec<(String, usize, usize)> {
    let word = |at: usize| usize::from(bytes[at]) + 256 * usize::from(bytes[at + 1]);
    let long = |at: usize| word(at) + 65_536 * word(at + 2);
    let end = bytes
        .windows(4)
        .rposition(|four| four == b"PK\x05\x06")
        .unwrap();
    let mut at = long(end + 16);
    let mut found = Vec::new();
    while &bytes[at..at + 4] == b"PK\x01\x02" {
        let (name, extra, note) = (word(at + 28), word(at + 30), word(at + 32));
        let text = String::from_utf8(bytes[at + 46..at + 46 + name].to_vec()).unwrap();
        found.push((text, long(at + 42), long(at + 20)));
        at += 46 + name + extra + note;
    }
    found
}
