//! Winters in the file.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use rusqlite::params;

use super::error::{Constraint, explain};
use super::rows::{all, damaged, day, id, typed};
use super::{Store, StoreError};
use crate::orchard::limits::MAX_NAME;
use crate::orchard::{BlockId, Winter, WinterDraft, WinterId};

impl Store {
    /// All winters, oldest first.
    pub fn winters(&self) -> Result<Vec<Winter>, StoreError> {
        let mut find = self
            .conn
            .prepare_cached("SELECT * FROM winter ORDER BY start, label")?;
        all(find.query([])?, |row| {
            let winter = WinterId(id(row, "id")?);
            let draft = WinterDraft {
                label: typed(row, "label", MAX_NAME)?,
                start: day(row, "start")?,
                budburst: day(row, "budburst")?,
                block_budburst: self.block_budburst(winter)?,
            };
            Winter::new(winter, draft).map_err(damaged("winter"))
        })
    }

    fn block_budburst(&self, winter: WinterId) -> Result<BTreeMap<BlockId, NaiveDate>, StoreError> {
        let mut find = self
            .conn
            .prepare_cached("SELECT block, day FROM block_budburst WHERE winter = ?1")?;
        let pairs = all(find.query([winter.0.as_bytes()])?, |row| {
            Ok((BlockId(id(row, "block")?), day(row, "day")?))
        })?;
        Ok(pairs.into_iter().collect())
    }

    /// The winter that a day belongs to: the last one that had begun, or else the first to come.
    pub fn winter_on(&self, today: NaiveDate) -> Result<Option<Winter>, StoreError> {
        let mut winters = self.winters()?;
        let begun = winters.iter().rposition(|winter| winter.start <= today);
        Ok(if winters.is_empty() {
            None
        } else {
            Some(winters.swap_remove(begun.unwrap_or(0)))
        })
    }

    /// Adds a winter, or changes the one with this id.
    pub fn save_winter(&self, winter: &Winter) -> Result<(), StoreError> {
        self.atomically(|store| {
            let key = winter.id.0.as_bytes();
            let sql = "INSERT INTO winter (id, label, start, budburst) VALUES (?1, ?2, ?3, ?4)
                ON CONFLICT (id) DO UPDATE SET label = ?2, start = ?3, budburst = ?4";
            let values = params![
                key,
                winter.label,
                winter.start.to_string(),
                winter.budburst.to_string()
            ];
            explain(store.conn.execute(sql, values), Constraint::Taken, || {
                format!("there is another winter called {}", winter.label)
            })?;
            store
                .conn
                .execute("DELETE FROM block_budburst WHERE winter = ?1", [key])?;
            for (block, day) in &winter.block_budburst {
                store.conn.execute(
                    "INSERT INTO block_budburst (winter, block, day) VALUES (?1, ?2, ?3)",
                    params![key, block.0.as_bytes(), day.to_string()],
                )?;
            }
            Ok(())
        })
    }

    /// Removes a winter that has no work, count, draw or go-back row; its rules go with it.
    pub fn remove_winter(&self, winter: WinterId) -> Result<(), StoreError> {
        explain(
            self.conn
                .execute("DELETE FROM winter WHERE id = ?1", [winter.0.as_bytes()]),
            Constraint::InUse,
            || "this winter has work or counts, so it cannot be removed".to_owned(),
        )?;
        Ok(())
    }
}
