//! Taking a pruner's name away for good. That it was done is a record like others, which travels with or without
//! names, and which nothing undoes: wherever there is one, no version of the name is kept, whatever comes in. So it
//! does not matter in which order a name and its removal arrive.

use std::collections::BTreeSet;

use uuid::Uuid;

use super::super::{Store, StoreError};
use super::capture::{Edit, Edits};
use super::kinds::Kind;
use super::{Alias, History, body};
use crate::orchard::{Names, PrunerId};

/// What came of it.
pub(in crate::store) struct Forgetting {
    /// Texts in which the number stands for the name now.
    pub texts: usize,
    /// Versions of records in conflicts that hold the name still.
    pub unsettled: usize,
}

/// Columns in which people type.
pub(super) const TYPED: [&str; 4] = ["reason", "note", "skipped", "counter"];

impl Store {
    /// Takes a name away, in the tables and in what is kept for bundles.
    pub(in crate::store) fn forget(&self, pruner: PrunerId) -> Result<Forgetting, StoreError> {
        self.atomically(|store| {
            let history = store.gather(|_| Ok(Edits::new()))?;
            store
                .pruners()?
                .iter()
                .find(|known| known.id == pruner)
                .ok_or(StoreError::Gone("pruner"))?;
            store.forget_all(&store.entered_as(&history, pruner.0)?)
        })
    }

    /// Takes away, in a file that was put back, the names that had been taken away before.
    pub(in crate::store) fn forget_again(&self, keys: &[String]) -> Result<(), StoreError> {
        self.atomically(|store| store.forget_all(keys).map(drop))
    }

    /// Inside a change only.
    fn forget_all(&self, keys: &[String]) -> Result<Forgetting, StoreError> {
        self.gather(|_| Ok(Edits::new()))?;
        let names = self.names_under(keys)?;
        let texts = self.number_in_texts(&names)?;
        self.gather(|_| {
            let done = self.removed_names()?;
            let new = keys.iter().filter(|key| !done.contains(*key));
            Ok(new
                .map(|key| ((Kind::NameRemoved, key.clone()), removal()))
                .collect())
        })?;
        self.verify()?;
        let unsettled = self.naming(&names)?;
        Ok(Forgetting { texts, unsettled })
    }

    /// All identities under which a pruner was entered: its own, and those joined to it.
    fn entered_as(&self, history: &History, pruner: Uuid) -> Result<Vec<String>, StoreError> {
        let own = pruner.simple().to_string();
        let mut all = Alias::load(&self.conn, history)?.shown_as(Kind::Pruner, &own);
        all.push(own);
        Ok(all)
    }

    /// As [`Store::entered_as`].
    pub(in crate::store) fn identities(&self, pruner: PrunerId) -> Result<Vec<String>, StoreError> {
        self.entered_as(&History::load(&self.conn)?, pruner.0)
    }

    /// The names that go when the names of these entries (their keys) are taken away by what comes in, with the number
    /// that stands for each here. Inside a change only, before that is taken in.
    pub fn names_that_go(&self, keys: &BTreeSet<String>) -> Result<Names, StoreError> {
        if keys.is_empty() {
            return Ok(Names::default());
        }
        self.gather(|_| Ok(Edits::new()))?;
        self.names_under(&keys.iter().cloned().collect::<Vec<_>>())
    }

    /// Puts the number for such names in what was typed here, where nobody elsewhere could look. Inside a change only,
    /// after the parcels were taken in. Gives how many texts were changed.
    pub fn put_numbers_for(&self, names: &Names) -> Result<usize, StoreError> {
        if names.is_empty() {
            return Ok(0);
        }
        let texts = self.number_in_texts(names)?;
        // what is kept for bundles says it as well
        self.gather(|_| Ok(Edits::new()))?;
        Ok(texts)
    }

    /// Pruners whose name was taken away, by key.
    pub(in crate::store) fn removed_names(&self) -> Result<BTreeSet<String>, StoreError> {
        let sql = "SELECT DISTINCT key FROM version WHERE kind = ?1";
        let mut find = self.conn.prepare_cached(sql)?;
        let keys = find.query_map([Kind::NameRemoved], |row| row.get(0))?;
        Ok(keys.collect::<rusqlite::Result<_>>()?)
    }

    /// Whether a pruner's name was taken away.
    pub(in crate::store) fn name_is_gone(&self, pruner: PrunerId) -> Result<bool, StoreError> {
        let key = pruner.0.simple().to_string();
        Ok(!super::versions::of(&self.conn, Kind::NameRemoved, &key)?.is_empty())
    }

    /// Drops all that is kept of names that were taken away.
    pub(super) fn drop_removed_names(&self) -> Result<(), StoreError> {
        let gone = "(SELECT key FROM version WHERE kind = 'name_removed')";
        for sql in [
            // of what they said nothing is told by a digest but to whom knows it already
            "INSERT OR IGNORE INTO replaced SELECT kind, key, change_set, digest FROM version
             WHERE digest IS NOT NULL AND kind = 'name' AND key IN ",
            "DELETE FROM version WHERE kind = 'name' AND key IN ",
            "DELETE FROM shown WHERE kind = 'name' AND key IN ",
            "DELETE FROM pruner_name WHERE lower(hex(pruner)) IN ",
        ] {
            self.conn.execute(&format!("{sql}{gone}"), [])?;
        }
        Ok(())
    }

    /// How many versions of records hold one of these names in what people typed.
    pub(super) fn naming(&self, names: &Names) -> Result<usize, StoreError> {
        let mut find = self.conn.prepare_cached("SELECT body FROM version")?;
        let mut rows = find.query([])?;
        let mut found = 0;
        while let Some(row) = rows.next()? {
            found += usize::from(names_in(names, &row.get::<_, String>(0)?)?);
        }
        Ok(found)
    }
}

/// Whether what people typed in a record names somebody.
pub(super) fn names_in(names: &Names, text: &str) -> Result<bool, StoreError> {
    if names.is_empty() {
        return Ok(false);
    }
    let said = body::parse(text)?;
    let mut typed = TYPED
        .iter()
        .filter_map(|column| said.get(*column).and_then(|text| text.as_str()));
    Ok(typed.any(|text| names.hide(text) != text))
}

fn removal() -> Edit {
    Edit {
        removed: false,
        beside: Vec::new(),
        body: body::text(&body::Body::new()),
    }
}
