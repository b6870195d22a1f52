//! Reports as tables, to go on working with: each is defined once, and written as CSV and as a sheet of a workbook.
//!
//! The first table of a report is the one that CSV holds; a workbook holds them all. A cell is a number or a day
//! wherever the figure is one, in full precision; what is not known is an empty cell.

mod ahead;
mod chart;
pub(in crate::report) mod columns;
mod everything;
mod log;
mod payroll;
mod review;
mod sheets;
mod standings;
mod supervisor;
mod winter;

use chrono::{NaiveDate, NaiveDateTime};

pub use ahead::{briefs, outlooks};
pub use chart::{ChartForm, TableChart, Title};
pub use everything::everything;
pub use log::entered;
pub use payroll::payroll;
pub use review::review;
pub use sheets::day_sheets;
pub use standings::{standings, without_trees};
pub use supervisor::{draw, supervisor};
pub use winter::winter;

use crate::report::fit::safe;

/// The most counts that stand one by one in the tables of a report, which are in memory all at once; a large winter has
/// 12,000.
pub const MOST_COUNTS: usize = 20_000;

/// What is said where so many counts do not stand one by one in the tables; none where they do.
pub fn left_out(counts: usize) -> Option<String> {
    (counts > MOST_COUNTS).then(|| {
        format!(
            "single counts are left out: {counts} are more than the {MOST_COUNTS} that fit; `thirdwood export counts` writes them all"
        )
    })
}

/// A table of figures.
#[derive(Debug, Clone, PartialEq)]
pub struct DataTable {
    /// What it is, in small letters with `_` between words; together with others of a workbook, each has its own.
    pub name: String,
    /// Its columns.
    pub columns: Vec<DataColumn>,
    /// Its rows; each has as many cells as there are columns.
    pub rows: Vec<Vec<Cell>>,
    /// What a workbook draws of it.
    pub charts: Vec<TableChart>,
}

/// A column.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DataColumn {
    /// Its heading in CSV: small letters with `_` between words.
    pub title: String,
    /// What its cells hold, if they are not empty.
    pub kind: Kind,
}

/// What the cells of a column hold, and how a workbook shows it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// Words.
    Text,
    /// A whole number.
    Whole,
    /// A number, shown with so many decimals.
    Decimal(u8),
    /// A share from 0 to 1, shown in per cent.
    Share,
    /// A day.
    Day,
    /// A moment in the orchard's local time.
    Moment,
}

/// A cell.
#[derive(Debug, Clone, PartialEq)]
pub enum Cell {
    /// Not known, or nothing to say.
    Empty,
    /// Words, made safe.
    Text(String),
    /// A whole number.
    Whole(i64),
    /// A finite number.
    Number(f64),
    /// A day.
    Day(NaiveDate),
    /// A moment in local time.
    Moment(NaiveDateTime),
}

impl DataTable {
    /// The place of a column.
    pub fn column(&self, title: &str) -> Option<usize> {
        self.columns.iter().position(|column| column.title == title)
    }
}

/// `four_plus_lo` as people read it: `Four plus lo`.
pub fn heading(title: &str) -> String {
    crate::report::words::sentence(&title.replace('_', " "))
}

impl From<String> for Cell {
    /// Empty words are an empty cell.
    fn from(words: String) -> Self {
        if words.is_empty() {
            Self::Empty
        } else {
            Self::Text(safe(&words).into_owned())
        }
    }
}

impl From<&str> for Cell {
    fn from(words: &str) -> Self {
        words.to_owned().into()
    }
}

impl From<f64> for Cell {
    /// What is no number is not known.
    fn from(number: f64) -> Self {
        if number.is_finite() {
            Self::Number(number)
        } else {
            Self::Empty
        }
    }
}

impl From<NaiveDate> for Cell {
    fn from(day: NaiveDate) -> Self {
        Self::Day(day)
    }
}

impl From<NaiveDateTime> for Cell {
    fn from(moment: NaiveDateTime) -> Self {
        Self::Moment(moment)
    }
}

impl From<bool> for Cell {
    fn from(yes: bool) -> Self {
        Self::Text(if yes { "yes" } else { "no" }.to_owned())
    }
}

impl From<usize> for Cell {
    fn from(number: usize) -> Self {
        i64::try_from(number).map_or(Self::Empty, Self::Whole)
    }
}

macro_rules! whole {
    ($($number:ty),+) => {$(
        impl From<$number> for Cell {
            fn from(number: $number) -> Self {
                Self::Whole(i64::from(number))
            }
        }
    )+};
}
whole!(u8, u16, i16, u32, i32, i64);

impl<C: Into<Cell>> From<Option<C>> for Cell {
    fn from(known: Option<C>) -> Self {
        known.map_or(Self::Empty, Into::into)
    }
}
