//! Looking the orchard file over, beside the newest backup of it.

use super::backup::{self, Contents, fewer};
use super::inspect::{PAGES, inspect};
use super::open::with_backup;
use super::{Store, StoreError};

/// What a check of the file found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CheckReport {
    /// Counts in the file, removed ones included.
    pub counts: u64,
    /// Taps in the file.
    pub taps: u64,
    /// What is wrong, a line each; empty where all is well.
    pub problems: Vec<String>,
    /// The newest sound backup.
    pub backup: Option<backup::Backup>,
    /// What is fewer now than in that backup, a phrase each: the person knows whether it was removed.
    pub fewer: Vec<String>,
}

impl Store {
    /// Looks the whole file over: pages and indexes, references, sums against taps, that every stored value is
    /// one that the domain allows, and what there is less of than in the newest backup.
    pub fn check(&self) -> Result<CheckReport, StoreError> {
        let mut problems = inspect(&self.conn)?;
        if let Err(e) = self.read_everything() {
            problems.push(e.to_string());
        }
        let contents = Contents::read(&self.conn);
        if let Err(e) = &contents {
            problems.push(e.to_string());
        }
        let backup = backup::newest_good(&self.path);
        let then = backup
            .as_ref()
            .and_then(|good| backup::contents_of(&good.path).ok());
        let fewer = match (&contents, then) {
            (Ok(now), Some(then)) => fewer(now, &then),
            _ => Vec::new(),
        };
        let (counts, taps) = contents.map_or((0, 0), |held| (held.counts(), held.taps()));
        Ok(CheckReport {
            counts,
            taps,
            problems,
            backup,
            fewer,
        })
    }

    /// Refuses a file whose pages, references or sums do not fit, before its figures are used: a damaged file
    /// gives no wrong ones.
    pub fn vouch(&self) -> Result<(), StoreError> {
        match inspect(&self.conn)?.into_iter().next() {
            Some(problem) => Err(self.damage(&problem)),
            None => Ok(()),
        }
    }

    /// The error that tells of this damage, and of the backup that mends it.
    pub fn damage(&self, problem: &str) -> StoreError {
        // which page it is tells nobody what to do; `thirdwood check` does
        let problem = if problem.starts_with(PAGES) {
            "its pages do not fit together"
        } else {
            problem
        };
        with_backup(&self.path, StoreError::Corrupt(problem.to_owned()))
    }
}
