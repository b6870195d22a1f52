//! Looking a file over.

use super::{Store, StoreError};
use crate::orchard::Tally;

/// What a check of the file found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CheckReport {
    /// Counts in the file, removed ones included.
    pub counts: u64,
    /// Taps in the file.
    pub taps: u64,
    /// What is wrong, a line each; empty where all is well.
    pub problems: Vec<String>,
}

impl Store {
    /// Looks the whole file over: pages and indexes, references, sums against taps, and that every
    /// stored value is one that the domain allows.
    pub fn check(&self) -> Result<CheckReport, StoreError> {
        let mut problems = Vec::new();
        self.each_text("PRAGMA integrity_check", |line| {
            if line != "ok" {
                problems.push(format!("pages: {line}"));
            }
        })?;
        self.each_text(
            "SELECT \"table\" || ' refers to a missing ' || parent FROM pragma_foreign_key_check",
            |line| {
                problems.push(format!("references: {line}"));
            },
        )?;
        self.check_sums(&mut problems)?;
        if let Err(e) = self.read_everything() {
            problems.push(e.to_string());
        }
        let number = |sql| self.conn.query_row(sql, [], |row| row.get::<_, i64>(0));
        Ok(CheckReport {
            counts: number("SELECT count(*) FROM tree_count")? as u64,
            taps: number("SELECT count(*) FROM tap")? as u64,
            problems,
        })
    }

    fn each_text(&self, sql: &str, mut take: impl FnMut(String)) -> Result<(), StoreError> {
        let mut find = self.conn.prepare(sql)?;
        let mut rows = find.query([])?;
        while let Some(row) = rows.next()? {
            take(row.get(0)?);
        }
        Ok(())
    }

    fn check_sums(&self, problems: &mut Vec<String>) -> Result<(), StoreError> {
        for winter in self.winters()? {
            for count in self.counts(super::CountFilter::Winter(winter.id))? {
                let mut again = Tally::default();
                for tap in self.taps(count.id)? {
                    if let Err(e) = again.add(tap) {
                        problems.push(format!("count {}: {e}", count.id));
                    }
                }
                if again != count.tally {
                    problems.push(format!("count {}: its sums differ from its taps", count.id));
                }
            }
        }
        Ok(())
    }

    fn read_everything(&self) -> Result<(), StoreError> {
        self.blocks()?;
        self.pruners()?;
        for winter in self.winters()? {
            self.rules(winter.id)?;
            self.work(winter.id)?;
            self.draws(winter.id)?;
            self.go_backs(winter.id)?;
            self.labour(winter.id)?;
            self.crop_book(winter.id)?;
        }
        Ok(())
    }
}
