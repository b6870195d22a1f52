//! The file that everything lives in: `SQLite`, one file per aggregate here.
//!
//! This part takes and gives [`crate::orchard`] types and knows no statistics. Every change is
//! committed, and synced to disk, before its method returns. Several changes become one by
//! [`Store::atomically`].

mod astray;
pub mod backup;
mod blocks;
pub mod bundle;
mod change;
mod check;
pub mod clock;
mod connection;
mod counts;
mod crew;
mod crop;
mod draws;
mod error;
mod gobacks;
mod growth;
mod header;
mod inspect;
pub mod kept;
mod labour;
mod marks;
mod migrate;
mod names;
mod open;
mod opened;
pub mod paths;
mod private;
mod read_only;
mod rows;
mod rules;
mod settings;
mod strange_log;
mod tap_row;
mod timed;
pub(crate) mod whole;
mod why;
mod winters;
mod work;

use rusqlite::Connection;
use std::path::PathBuf;

pub use astray::Astray;
pub use change::{Change, Counted, Outcome, Thing, ThingId};
pub use check::CheckReport;
pub use counts::{CountFilter, Tapped};
pub use error::StoreError;
pub use growth::bear_limit;
pub use labour::Labour;
pub use names::Forgotten;
pub use open::with_backup;
pub use opened::Opened;
pub use paths::{default_path, is_there};
pub use rules::Rules;
pub use settings::{IN_PART, NAMES_SHOWN, NUMBERS_ONLY, Setting, WHOLE_TREES};
pub use timed::TimedCount;
pub use why::why;

/// The version of the schema that this program writes.
pub fn schema() -> u64 {
    migrate::known() as u64
}

/// Why a file that can be read cannot be written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Unwritable {
    /// The disk is full.
    Full,
    /// It or its folder may not be written.
    Forbidden,
}

/// An open orchard file.
#[derive(Debug)]
pub struct Store {
    conn: Connection,
    path: PathBuf,
    warning: Option<String>,
    /// The file as it was opened; none in memory.
    opened: Option<Opened>,
    /// Why nothing can be written, where that is so.
    unwritable: Option<Unwritable>,
    /// Numbers stand for names, whatever the setting says.
    numbers_only: bool,
}

impl Store {
    /// Where the file is; empty for a store in memory.
    pub fn path(&self) -> &std::path::Path {
        &self.path
    }

    /// What the user should know about how the file was opened, if anything.
    pub fn warning(&self) -> Option<&str> {
        self.warning.as_deref()
    }

    /// Whether the file can be read alone.
    pub fn is_read_only(&self) -> bool {
        self.unwritable.is_some()
    }

    /// Whether there is no block, pruner or winter in it yet.
    pub fn is_empty(&self) -> Result<bool, StoreError> {
        Ok(self.blocks()?.is_empty() && self.pruners()?.is_empty() && self.winters()?.is_empty())
    }

    /// A number that changes when another program has changed the file.
    pub fn changes_by_others(&self) -> Result<i64, StoreError> {
        Ok(self
            .conn
            .query_row("PRAGMA data_version", [], |row| row.get(0))?)
    }

    fn run(&self, sql: &str) -> Result<(), StoreError> {
        Ok(self.conn.execute_batch(sql)?)
    }

    /// Changes or removes what must be there.
    fn change(
        &self,
        what: &'static str,
        sql: &str,
        values: impl rusqlite::Params,
    ) -> Result<(), StoreError> {
        match self.conn.prepare_cached(sql)?.execute(values)? {
            0 => Err(StoreError::Gone(what)),
            _ => Ok(()),
        }
    }

    /// Reads as of one moment, whatever others write meanwhile, and keeps nobody from writing.
    pub fn at_one_moment<T, E: From<StoreError>>(
        &self,
        work: impl FnOnce(&Self) -> Result<T, E>,
    ) -> Result<T, E> {
        if !self.conn.is_autocommit() {
            return work(self);
        }
        self.run("BEGIN")?;
        let outcome = work(self);
        let ended = self.run("COMMIT");
        outcome.and_then(|value| Ok(ended.map(|()| value)?))
    }

    /// Runs `work` as one change: all of it is kept, or none of it where it fails.
    pub fn atomically<T, E: From<StoreError>>(
        &self,
        work: impl FnOnce(&Self) -> Result<T, E>,
    ) -> Result<T, E> {
        let nested = !self.conn.is_autocommit();
        let (begin, keep, drop) = if nested {
            (
                "SAVEPOINT part",
                "RELEASE part",
                "ROLLBACK TO part; RELEASE part",
            )
        } else {
            ("BEGIN IMMEDIATE", "COMMIT", "ROLLBACK")
        };
        match self.unwritable {
            Some(Unwritable::Full) => return Err(StoreError::Full.into()),
            Some(Unwritable::Forbidden) => return Err(StoreError::ReadOnly.into()),
            None => self.run(begin)?,
        }
        let outcome = work(self).and_then(|value| Ok(self.run(keep).map(|()| value)?));
        if outcome.is_err() && (nested || !self.conn.is_autocommit()) {
            // the first error is the one to tell; a rollback that fails leaves nothing committed either
            let _ = self.conn.execute_batch(drop);
        }
        outcome
    }
}
