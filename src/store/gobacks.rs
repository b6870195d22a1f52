//! The go-back list in the file.

use rusqlite::params;

use super::rows::{all, damaged, day, id, optional_day, typed};
use super::{Store, StoreError};
use crate::orchard::limits::MAX_NOTE;
use crate::orchard::{BlockId, GoBack, GoBackId, Outcome, PrunerId, Settled, WinterId};

impl Store {
    /// The go-back list of a winter, in order of day, then as entered.
    pub fn go_backs(&self, winter: WinterId) -> Result<Vec<GoBack>, StoreError> {
        let names = self.hidden_names()?;
        let mut find = self.conn.prepare_cached(
            "SELECT * FROM go_back WHERE winter = ?1 AND removed = 0 ORDER BY day, id",
        )?;
        all(find.query([winter.0.as_bytes()])?, |row| {
            let outcome: Option<String> = row.get("outcome")?;
            let settled = match (outcome, optional_day(row, "settled_day")?) {
                (Some(word), Some(day)) => Some(Settled {
                    outcome: Outcome::parse(&word).map_err(damaged("go-back row"))?,
                    day,
                }),
                _ => None,
            };
            Ok(GoBack {
                id: GoBackId(id(row, "id")?),
                winter,
                block: BlockId(id(row, "block")?),
                row: row.get("row")?,
                pruner: PrunerId(id(row, "pruner")?),
                day: day(row, "day")?,
                reason: names.hide(&typed(row, "reason", MAX_NOTE)?).into_owned(),
                settled,
            })
        })
    }

    /// Adds an entry, or changes the one with this id.
    pub fn save_go_back(&self, entry: &GoBack) -> Result<(), StoreError> {
        let reason = self.as_typed(
            &entry.reason,
            "SELECT reason FROM go_back WHERE id = ?1",
            [entry.id.0.as_bytes()],
        )?;
        self.conn.execute(
            "INSERT INTO go_back (id, winter, block, row, pruner, day, reason, outcome, settled_day)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9)
             ON CONFLICT (id) DO UPDATE SET winter = ?2, block = ?3, row = ?4, pruner = ?5, day = ?6, reason = ?7,
             outcome = ?8, settled_day = ?9, removed = 0",
            params![
                entry.id.0.as_bytes(),
                entry.winter.0.as_bytes(),
                entry.block.0.as_bytes(),
                entry.row,
                entry.pruner.0.as_bytes(),
                entry.day.to_string(),
                reason,
                entry.settled.map(|settled| settled.outcome.word()),
                entry.settled.map(|settled| settled.day.to_string())
            ],
        )?;
        Ok(())
    }

    /// Takes an entry off the list. [`Store::save_go_back`] brings it back.
    pub fn remove_go_back(&self, entry: GoBackId) -> Result<(), StoreError> {
        let sql = "UPDATE go_back SET removed = 1 WHERE id = ?1";
        self.change("go-back row", sql, [entry.0.as_bytes()])
    }
}
