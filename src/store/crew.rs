//! The crew in the file. Names stand apart from the pruners who bear them.

use rusqlite::params;

use super::error::{Constraint, explain};
use super::rows::{all, damaged, id, typed};
use super::{Store, StoreError};
use crate::orchard::limits::{MAX_LABEL, MAX_NAME};
use crate::orchard::{Naming, Pruner, PrunerDraft, PrunerId};

impl Store {
    /// All pruners, by number; without their names where only numbers are shown ([`Store::numbers_only`]).
    pub fn pruners(&self) -> Result<Vec<Pruner>, StoreError> {
        let all = self.pruners_with_names()?;
        if !self.numbers_only()? {
            return Ok(all);
        }
        let withheld = |pruner: Pruner| match pruner.naming() {
            Naming::Kept => pruner.nameless(Naming::Withheld),
            Naming::Withheld | Naming::Removed => pruner,
        };
        Ok(all.into_iter().map(withheld).collect())
    }

    /// All pruners, by number, with all that the file has of their names: to compare with what comes in, never to show.
    pub(crate) fn pruners_with_names(&self) -> Result<Vec<Pruner>, StoreError> {
        let mut find = self.conn.prepare_cached(
            "SELECT pruner.*, coalesce(name, '') AS name, coalesce(label, '') AS label, EXISTS (
                 SELECT 1 FROM version WHERE kind = 'name_removed' AND key = lower(hex(id))) AS name_gone
             FROM pruner LEFT JOIN pruner_name ON pruner_name.pruner = id ORDER BY number",
        )?;
        all(find.query([])?, |row| {
            let draft = PrunerDraft {
                number: row.get("number")?,
                name: typed(row, "name", MAX_NAME)?,
                label: typed(row, "label", MAX_LABEL)?,
                active: row.get("active")?,
                number_only: row.get("number_only")?,
                language: row.get("language")?,
            };
            let pruner = Pruner::new(PrunerId(id(row, "id")?), draft).map_err(damaged("pruner"))?;
            Ok(if row.get("name_gone")? {
                pruner.nameless(Naming::Removed)
            } else {
                pruner
            })
        })
    }

    /// Adds a pruner, or changes the one with this id. A name that was withheld stays as it is; one that was removed
    /// at the pruner's wish is refused.
    pub fn save_pruner(&self, pruner: &Pruner) -> Result<(), StoreError> {
        self.atomically(|store| {
            let sql = "INSERT INTO pruner (id, number, active, number_only, language) VALUES (?1, ?2, ?3, ?4, ?5)
                ON CONFLICT (id) DO UPDATE SET number = ?2, active = ?3, number_only = ?4, language = ?5";
            let values = params![
                pruner.id.0.as_bytes(),
                pruner.number,
                pruner.active,
                pruner.number_only,
                pruner.language
            ];
            explain(store.conn.execute(sql, values), Constraint::Taken, || {
                format!("number {} belongs to another pruner", pruner.number)
            })?;
            store.save_name(pruner)
        })
    }

    fn save_name(&self, pruner: &Pruner) -> Result<(), StoreError> {
        let id = pruner.id.0.as_bytes();
        if pruner.name.is_empty() && pruner.label.is_empty() {
            if pruner.naming() == Naming::Kept {
                // the entry stays: only with the pruner does it go, and with the pruner it may have to come back
                let sql = "UPDATE pruner_name SET name = '', label = '' WHERE pruner = ?1";
                self.conn.execute(sql, [id])?;
            }
            return Ok(());
        }
        if self.name_is_gone(pruner.id)? {
            return Err(StoreError::Taken(format!(
                "the name of Nr {} was removed at the pruner's wish and stays away: leave it empty, or give a new \
                 pruner a new number",
                pruner.number
            )));
        }
        self.conn.execute(
            "INSERT INTO pruner_name (pruner, name, label) VALUES (?1, ?2, ?3)
             ON CONFLICT (pruner) DO UPDATE SET name = ?2, label = ?3",
            params![id, pruner.name, pruner.label],
        )?;
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
