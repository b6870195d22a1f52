//! The cells of one line: read into values, and every wrong one noted.

use chrono::NaiveDate;

use super::Problem;
use super::days::Order;
use super::sheet::{Sheet, SheetLine};
use super::text::plain;
use crate::orchard::{Faults, Invalid};

/// Why a cell was refused.
pub(super) struct Reason(String);

impl From<Invalid> for Reason {
    fn from(invalid: Invalid) -> Self {
        Self(invalid.problem)
    }
}

impl From<&str> for Reason {
    fn from(text: &str) -> Self {
        Self(text.to_owned())
    }
}

impl From<String> for Reason {
    fn from(text: String) -> Self {
        Self(text)
    }
}

/// The cells of one line, and what is wrong with them.
pub(super) struct Cells<'s> {
    sheet: &'s Sheet,
    line: &'s SheetLine,
    pub(super) problems: Vec<Problem>,
    /// Refused for the sake of another line that is already named.
    pub(super) mute: bool,
}

impl<'s> Cells<'s> {
    pub(super) fn new(sheet: &'s Sheet, line: &'s SheetLine) -> Self {
        Self {
            sheet,
            line,
            problems: Vec::new(),
            mute: false,
        }
    }

    /// The line's number.
    pub(super) fn line(&self) -> u64 {
        self.line.number
    }

    /// Whether nothing was wrong so far.
    pub(super) fn good(&self) -> bool {
        self.problems.is_empty() && !self.mute
    }

    /// Whether the file has this column.
    pub(super) fn has(&self, column: &str) -> bool {
        self.sheet.has(column)
    }

    /// The cell as it stands, trimmed.
    pub(super) fn raw(&self, column: &str) -> &'s str {
        self.sheet.cell(self.line, column)
    }

    /// A cell of text.
    pub(super) fn text(&self, column: &str) -> String {
        plain(self.raw(column))
    }

    /// A cell of text, or `absent` where the file has no such column.
    pub(super) fn text_or(&self, column: &str, absent: &str) -> String {
        if self.has(column) {
            self.text(column)
        } else {
            absent.to_owned()
        }
    }

    /// Notes that a field is wrong; only the first reason for each field is kept.
    pub(super) fn wrong(&mut self, field: &str, reason: &str) {
        if self.problems.iter().all(|known| known.field != field) {
            let value = self.raw(field);
            self.problems
                .push(Problem::new(self.line(), field, value, reason));
        }
    }

    /// Notes what the domain refused, where it says more than is known to be wrong.
    pub(super) fn refused(&mut self, fault: &Invalid) {
        if fault.is_news(|field| self.problems.iter().any(|known| known.field == field)) {
            self.wrong(fault.field, &fault.problem);
        }
    }

    /// A cell's value: `absent` where the file has no such column, `blank` where the cell is empty.
    /// Where the cell is wrong, that is noted, and `absent` stands in.
    pub(super) fn get<T, R: Into<Reason>>(
        &mut self,
        column: &str,
        absent: T,
        blank: T,
        read: impl FnOnce(&str) -> Result<T, R>,
    ) -> T {
        if !self.has(column) {
            return absent;
        }
        let raw = self.raw(column);
        if raw.is_empty() {
            return blank;
        }
        read(raw).unwrap_or_else(|reason| {
            self.wrong(column, &reason.into().0);
            absent
        })
    }

    /// A cell that may be empty.
    pub(super) fn maybe<T, R: Into<Reason>>(
        &mut self,
        column: &str,
        read: impl FnOnce(&str) -> Result<T, R>,
    ) -> Option<T> {
        self.get(column, None, None, |raw| read(raw).map(Some))
    }

    /// A cell that must be filled.
    pub(super) fn must<T, R: Into<Reason>>(
        &mut self,
        column: &str,
        read: impl FnOnce(&str) -> Result<T, R>,
    ) -> Option<T> {
        if self.raw(column).is_empty() {
            self.wrong(column, "is empty");
            return None;
        }
        self.maybe(column, read)
    }

    /// A number with or without decimals; absent and blank are both `or`, and so is a wrong one.
    pub(super) fn number(&mut self, column: &str, or: f64) -> f64 {
        let decimal_comma = self.sheet.decimal_comma;
        self.get(column, or, or, |raw| read_number(raw, decimal_comma))
    }

    /// A number with or without decimals, in a cell that may be empty.
    pub(super) fn maybe_number(&mut self, column: &str) -> Option<f64> {
        let decimal_comma = self.sheet.decimal_comma;
        self.maybe(column, |raw| read_number(raw, decimal_comma))
    }

    /// A day; `absent` and `blank` as in [`Cells::get`].
    pub(super) fn day(
        &mut self,
        column: &str,
        absent: Option<NaiveDate>,
        blank: Option<NaiveDate>,
    ) -> Option<NaiveDate> {
        let days = self.sheet.days;
        self.get(column, absent, blank, |raw| days.read(raw).map(Some))
    }

    /// A day that must be filled in.
    pub(super) fn must_day(&mut self, column: &str) -> Option<NaiveDate> {
        let days = self.sheet.days;
        self.must(column, |raw| days.read(raw))
    }

    /// How the file writes days.
    pub(super) fn days(&self) -> Order {
        self.sheet.days
    }

    /// The same, in a cell that must be filled.
    pub(super) fn must_number(&mut self, column: &str) -> Option<f64> {
        let decimal_comma = self.sheet.decimal_comma;
        self.must(column, |raw| read_number(raw, decimal_comma))
    }

    /// What the domain made of the line: each of its faults is noted. The value counts only where the whole line is
    /// [`Cells::good`].
    pub(super) fn judge<T>(&mut self, made: Result<T, Faults>) -> Option<T> {
        match made {
            Ok(value) => Some(value).filter(|_| self.good()),
            Err(faults) => {
                faults.iter().for_each(|fault| self.refused(fault));
                None
            }
        }
    }
}

/// A number; a comma is a decimal comma only where it parts no cells.
fn read_number(raw: &str, decimal_comma: bool) -> Result<f64, Reason> {
    let text = if decimal_comma {
        raw.replace(',', ".")
    } else {
        raw.to_owned()
    };
    let number = text.parse::<f64>().ok().filter(|number| number.is_finite());
    number.ok_or_else(|| {
        let hint = if raw.contains(',') && !decimal_comma {
            " (a decimal comma is read only in files parted by semicolons or tabs)"
        } else {
            ""
        };
        Reason(format!("is not a number such as 4.5{hint}"))
    })
}

/// A whole number that fits its type.
pub(super) fn whole<T: TryFrom<i64>>(raw: &str) -> Result<T, Reason> {
    let digits = raw.strip_prefix('-').unwrap_or(raw);
    if digits.is_empty() || !digits.bytes().all(|byte| byte.is_ascii_digit()) {
        return Err("is not a whole number".into());
    }
    let number = raw.parse::<i64>().ok();
    number
        .and_then(|number| T::try_from(number).ok())
        .ok_or_else(|| {
            let wrong = if raw.starts_with('-') {
                "is negative"
            } else {
                "is far too large"
            };
            wrong.into()
        })
}

/// Yes or no.
pub(super) fn yes_no(raw: &str) -> Result<bool, Reason> {
    match raw.to_lowercase().as_str() {
        "yes" | "y" | "true" | "1" => Ok(true),
        "no" | "n" | "false" | "0" => Ok(false),
        _ => Err("is neither yes nor no".into()),
    }
}

/// An identity.
pub(super) fn identity(raw: &str) -> Result<uuid::Uuid, Reason> {
    uuid::Uuid::try_parse(raw)
        .map_err(|_| "is not an id as this program writes it; leave it empty for a new row".into())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_read_as_the_file_writes_them() {
        let read = |raw, comma| read_number(raw, comma).ok();
        assert_eq!(read("4.5", false), Some(4.5));
        assert_eq!(read("4,5", true), Some(4.5));
        assert_eq!(read("4,5", false), None);
        for wrong in ["", "NaN", "inf", "1e999", "4.5 m", "0x10"] {
            assert_eq!(read(wrong, false), None, "{wrong}");
        }
    }

    #[test]
    fn whole_numbers_fit_their_type() {
        assert_eq!(whole::<u16>("65535").ok(), Some(65_535));
        for (raw, word) in [
            ("65536", "large"),
            ("-1", "negative"),
            ("99999999999999999999999", "large"),
            ("1.5", "whole"),
            ("", "whole"),
            ("--1", "whole"),
            ("12 ", "whole"),
        ] {
            let reason = whole::<u16>(raw).err().unwrap().0;
            assert!(reason.contains(word), "{raw}: {reason}");
        }
    }
}
