//! Where pruners' names are wanted, and where not: numbers only, names in what people typed, and taking a name away
//! for good.

use std::collections::BTreeSet;

use super::bundle::Forgetting;
use super::settings::NUMBERS_ONLY;
use super::{Setting, Store, StoreError};
use crate::orchard::{MAX_NAME, MAX_NOTE, Names, PrunerId};

/// What came of taking a name away.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Forgotten {
    /// Reasons, notes and other texts in which the number stands for the name from now on.
    pub texts: usize,
    /// Versions of records in conflicts that hold the name still: it goes from each when it is settled.
    pub unsettled: usize,
    /// Why the bytes of the name may be in the file still, in short; none where they are not. To take it away again
    /// tries again.
    pub unswept: Option<String>,
}

/// Texts that people type and that may name a pruner: table, column, which of them, its longest value in characters.
const TYPED: [(&str, &str, &str, usize); 6] = [
    ("tree_count", "note", "", MAX_NOTE),
    ("tree_count", "counter", "", MAX_NAME),
    ("go_back", "reason", "", MAX_NOTE),
    ("tree_mark", "note", "", MAX_NOTE),
    ("drawn_tree", "skipped", "", MAX_NOTE),
    ("setting", "value", " AND key = 'counter'", MAX_NAME),
];

/// Every name that some record gives a pruner, with the number that is shown for it and the key of the entry, which may
/// have been joined to another.
const NAMED: &str = "
    WITH RECURSIVE told (key, name, label) AS (
        SELECT lower(hex(pruner)), name, label FROM pruner_name
        UNION SELECT key, coalesce(json_extract(body, '$.name'), ''), coalesce(json_extract(body, '$.label'), '')
        FROM version WHERE kind = 'name'
    ), stands (key, id) AS (
        SELECT lower(hex(id)), id FROM pruner
        UNION SELECT lower(hex(gone)), stands.id FROM joined JOIN stands ON lower(hex(kept)) = stands.key
        WHERE kind = 'pruner'
    )
    SELECT number, name, label, key FROM told JOIN stands USING (key) JOIN pruner USING (id)
    WHERE ?1 OR number_only = 1 ORDER BY number, name, label";

impl Store {
    /// Shows numbers only from now on, whatever the orchard's setting says.
    #[must_use]
    pub fn with_numbers_only(mut self, only: bool) -> Self {
        self.numbers_only |= only;
        self
    }

    /// Whether pruners are shown by number only: asked for, or the orchard's setting.
    pub fn numbers_only(&self) -> Result<bool, StoreError> {
        Ok(self.numbers_only || self.setting(Setting::Names)?.as_deref() == Some(NUMBERS_ONLY))
    }

    /// The names that are not to be shown: everybody's, or those of pruners who go by number.
    pub(super) fn hidden_names(&self) -> Result<Names, StoreError> {
        let all = self.numbers_only()?;
        let mut some = self
            .conn
            .prepare_cached("SELECT 1 FROM pruner WHERE number_only = 1")?;
        if !all && !some.exists([])? {
            return Ok(Names::default());
        }
        self.names_of(all, |_| true)
    }

    /// The names of all pruners.
    pub(super) fn all_names(&self) -> Result<Names, StoreError> {
        self.names_of(true, |_| true)
    }

    /// The names that entries of these keys were given.
    pub(super) fn names_under(&self, keys: &[String]) -> Result<Names, StoreError> {
        self.names_of(true, |key| keys.iter().any(|known| known == key))
    }

    /// With the names of entries that were joined to others, and those that a conflict leaves open.
    fn names_of(&self, all: bool, wanted: impl Fn(&str) -> bool) -> Result<Names, StoreError> {
        // two entries that were joined may bear one name
        let mut found: BTreeSet<(u16, String, String)> = BTreeSet::new();
        let mut find = self.conn.prepare_cached(NAMED)?;
        let mut rows = find.query([all])?;
        while let Some(row) = rows.next()? {
            if wanted(&row.get::<_, String>(3)?) {
                found.insert((row.get(0)?, row.get(1)?, row.get(2)?));
            }
        }
        let mut names = Names::default();
        for (number, name, label) in found {
            names.add(number, &name, &label);
        }
        Ok(names)
    }

    /// What is to be kept of a text that comes back from somebody who saw it without names: the text as it was, where
    /// nothing else of it was changed. `sql` finds that.
    pub(super) fn as_typed(
        &self,
        given: &str,
        sql: &str,
        key: impl rusqlite::Params,
    ) -> Result<String, StoreError> {
        let names = self.hidden_names()?;
        if names.is_empty() {
            return Ok(given.to_owned());
        }
        let mut find = self.conn.prepare_cached(sql)?;
        let mut rows = find.query(key)?;
        let stored: Option<String> = match rows.next()? {
            Some(row) => row.get(0)?,
            None => None,
        };
        Ok(stored
            .filter(|stored| names.hide(stored) == given)
            .unwrap_or_else(|| given.to_owned()))
    }

    /// Puts the number for each of these names in all that people typed. Gives how many texts were changed.
    pub(super) fn number_in_texts(&self, names: &Names) -> Result<usize, StoreError> {
        let mut changed = 0;
        for (table, column, which, longest) in TYPED {
            let sql = format!("SELECT DISTINCT {column} FROM {table} WHERE {column} <> ''{which}");
            let mut find = self.conn.prepare(&sql)?;
            let typed = super::rows::all(find.query([])?, |row| Ok(row.get::<_, String>(0)?))?;
            let sql = format!("UPDATE {table} SET {column} = ?2 WHERE {column} = ?1{which}");
            let mut put = self.conn.prepare(&sql)?;
            for text in typed {
                let hidden = names.hide(&text);
                if hidden != text.as_str() {
                    let fits: String = hidden.chars().take(longest).collect();
                    changed += put.execute([&text, &fits])?;
                }
            }
        }
        Ok(changed)
    }

    /// Puts the number for each pruner's name in all reasons and notes that people typed, so that a bundle without
    /// names can be written. Gives how many texts were changed.
    pub fn number_all_texts(&self) -> Result<usize, StoreError> {
        self.atomically(|store| store.number_in_texts(&store.all_names()?))
    }

    /// Takes a pruner's name and label away for good, here and, by the next bundle, everywhere: what was counted stays
    /// under the number. In texts that people typed, as far as this file has them, the number stands for the name
    /// from now on. The bytes go from the file and its log as well. Backups, copies of earlier versions and papers hold
    /// it still: see [`super::backup::holding_name`].
    pub fn forget_name(&self, pruner: PrunerId) -> Result<Forgotten, StoreError> {
        let Forgetting { texts, unsettled } = self.forget(pruner)?;
        Ok(Forgotten {
            texts,
            unsettled,
            unswept: self.sweep_names(),
        })
    }

    /// [`Store::sweep`] once names are gone: no error may say then that nothing was kept. Gives what stood in the way.
    pub fn sweep_names(&self) -> Option<String> {
        match self.sweep() {
            Ok(true) => None,
            Ok(false) => Some("another program has the file open, or the disk is full".to_owned()),
            Err(e) => Some(e.in_short()),
        }
    }

    /// Writes the file afresh, so that nothing is left of what was removed, and empties its log. `false` where another
    /// program has the file open and stands in the way, or the disk has no room for that.
    pub fn sweep(&self) -> Result<bool, StoreError> {
        let swept = self.conn.execute_batch("VACUUM").map_err(StoreError::from);
        let busy = swept.and_then(|()| {
            let sql = "PRAGMA wal_checkpoint(TRUNCATE)";
            Ok(self.conn.query_row(sql, [], |row| row.get::<_, i64>(0))?)
        });
        match busy {
            Ok(busy) => Ok(busy == 0),
            // what was asked for is done and kept: only this is not
            Err(StoreError::Locked | StoreError::Full) => Ok(false),
            Err(other) => Err(other),
        }
    }
}
