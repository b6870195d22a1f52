//! What came of reading a table, and what can go wrong.

use std::fmt;
use std::path::PathBuf;

use thiserror::Error;

use super::Table;
use crate::orchard::visible;
use crate::store::{StoreError, why};

/// Longest piece of a cell that is told again, characters.
const SHOWN: usize = 40;
/// The most problems that are named.
pub(super) const MAX_PROBLEMS: usize = 100_000;
/// Longest reason, characters.
const MAX_REASON: usize = 300;

/// What came of reading one table.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ImportReport {
    /// Which table.
    pub table: Table,
    /// Rows read, the headings not among them.
    pub read: usize,
    /// Things that are new (a draw of several rows is one thing).
    pub added: usize,
    /// Things that were in the file and now differ.
    pub changed: usize,
    /// Things that were in the file just so.
    pub unchanged: usize,
    /// All that is wrong, in order of line, the first 100,000 of it; where there is any, nothing was kept.
    pub problems: Vec<Problem>,
    /// Whether the rows are in the file now: not after a dry run, and not with any problem.
    pub kept: bool,
}

impl ImportReport {
    pub(super) fn new(table: Table) -> Self {
        Self {
            table,
            read: 0,
            added: 0,
            changed: 0,
            unchanged: 0,
            problems: Vec::new(),
            kept: false,
        }
    }
}

/// One cell, or one line, that was refused.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Problem {
    /// Line in the file, from 1.
    pub line: u64,
    /// The heading, or a word for several columns; empty where the line as a whole is wrong.
    pub field: String,
    /// What stands there, shortened, control characters made visible.
    pub value: String,
    /// What is wrong, and what would be accepted.
    pub reason: String,
}

impl Problem {
    pub(super) fn new(line: u64, field: &str, value: &str, reason: &str) -> Self {
        Self {
            line,
            field: shown(field, SHOWN),
            value: shown(value, SHOWN),
            reason: shown(reason, MAX_REASON),
        }
    }
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "line {}", self.line)?;
        if !self.field.is_empty() {
            write!(f, ", {}", self.field)?;
        }
        if !self.value.is_empty() {
            write!(f, " [{}]", self.value)?;
        }
        write!(f, ": {}", self.reason)
    }
}

/// A text cut to `most` characters; what could steer a terminal is written out.
fn shown(text: &str, most: usize) -> String {
    match text.char_indices().nth(most) {
        Some((at, _)) => visible(&text[..at]) + "…",
        None => visible(text),
    }
}

/// A failure that is not the fault of one line.
#[derive(Debug, Error)]
pub enum ExchangeError {
    /// The orchard file failed.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// A table cannot be read.
    #[error(
        "cannot read {what}: {}; check that the file is there and that you may read it",
        why(source)
    )]
    Read {
        /// The file, or what else was read.
        what: String,
        /// What the system said.
        source: std::io::Error,
    },
    /// A table cannot be written.
    #[error(
        "cannot write {what}: {}; check that there is room and that you may write there, or name another folder",
        why(source)
    )]
    Write {
        /// The file, or what else was written.
        what: String,
        /// What the system said.
        source: std::io::Error,
    },
    /// More than one table can hold.
    #[error("{what} is larger than {limit_mib} MiB: nothing was read; part it into several files")]
    TooLarge {
        /// The file, or what else was read.
        what: String,
        /// The limit.
        limit_mib: u64,
    },
    /// No table in the folder.
    #[error("no table was found in {folder}: a table is named blocks.csv, crew.csv and so on", folder = folder.display())]
    NoTables {
        /// The folder.
        folder: PathBuf,
    },
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_problem_says_where_and_cannot_steer_the_terminal() {
        let told = Problem::new(7, "tree", "3\u{1b}[2J\u{202e}", "is not a whole number");
        assert_eq!(
            told.to_string(),
            "line 7, tree [3\\u{1b}[2J\\u{202e}]: is not a whole number"
        );
        let long = Problem::new(1, "", &"x".repeat(9_000), "");
        assert_eq!(long.value.chars().count(), SHOWN + 1);
    }
}
