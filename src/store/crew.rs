//! The crew in the file.

use rusqlite::params;

use super::error::{Constraint, explain};
use super::rows::{all, damaged, id};
use super::{Store, StoreError};
use crate::orchard::{Pruner, PrunerDraft, PrunerId};

impl Store {
    /// All pruners, by number.
    pub fn pruners(&self) -> Result<Vec<Pruner>, StoreError> {
        let mut find = self
            .conn
            .prepare_cached("SELECT * FROM pruner ORDER BY number")?;
        all(find.query([])?, |row| {
            let draft = PrunerDraft {
                number: row.get("number")?,
                name: row.get("name")?,
                label: row.get("label")?,
                active: row.get("active")?,
                number_only: row.get("number_only")?,
                language: row.get("language")?,
            };
            Pruner::new(PrunerId(id(row, "id")?), draft).map_err(damaged("pruner"))
        })
    }

    /// Adds a pruner, or changes the one with this id.
    pub fn save_pruner(&self, pruner: &Pruner) -> Result<(), StoreError> {
        let sql = "INSERT INTO pruner (id, number, name, label, active, number_only, language)
            VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)
            ON CONFLICT (id) DO UPDATE SET number = ?2, name = ?3, label = ?4, active = ?5, number_only = ?6,
                language = ?7";
        let values = params![
            pruner.id.0.as_bytes(),
            pruner.number,
            pruner.name,
            pruner.label,
            pruner.active,
            pruner.number_only,
            pruner.language
        ];
        explain(self.conn.execute(sql, values), Constraint::Taken, || {
            format!("number {} belongs to another pruner", pruner.number)
        })?;
        Ok(())
    }

    /// Removes a pruner whom no work, count, draw or go-back row names.
    pub fn remove_pruner(&self, pruner: PrunerId) -> Result<(), StoreError> {
        explain(
            self.conn
                .execute("DELETE FROM pruner WHERE id = ?1", [pruner.0.as_bytes()]),
            Constraint::InUse,
            || "work or counts name this pruner: mark as not active instead of removing".to_owned(),
        )?;
        Ok(())
    }
}
