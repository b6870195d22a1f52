//! Conflicts: records that were changed on two tablets without knowing of each other.

use sha2::{Digest as _, Sha256};
use uuid::Uuid;

use super::super::{Store, StoreError};
use super::body;
use super::capture::{Edit, Edits};
use super::history::History;
use super::kinds::Kind;
use super::versions::{self, Version};
use super::words;

/// One of the things that a record could be.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Saying {
    /// The change set that left it so.
    pub set: Uuid,
    /// The label of the tablet where that was done.
    pub tablet: String,
    /// What it says, in words; text that people typed is in it as typed.
    pub words: String,
    /// Whether it is the one that is shown until a person settles it.
    pub shown: bool,
}

/// Names the record of a conflict, in whatever order conflicts are listed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Unsettled([u8; 32]);

/// A record that a person has to settle.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Conflict {
    /// The kind of record.
    pub kind: Kind,
    /// Which of that kind.
    pub key: String,
    /// What it is, in words; text that people typed is in it as typed.
    pub what: String,
    /// What it could be, the one that is shown first.
    pub sayings: Vec<Saying>,
}

impl Conflict {
    /// The name of its record.
    pub fn record(&self) -> Unsettled {
        Unsettled(Sha256::digest(format!("{} {}", self.kind.word(), self.key)).into())
    }
}

impl Store {
    /// How many records and groups of twins wait for a person.
    pub fn number_to_settle(&self) -> Result<usize, StoreError> {
        Ok(self.number_of_conflicts()? + self.twins()?.len())
    }

    /// All conflicts, by kind and key.
    pub fn conflicts(&self) -> Result<Vec<Conflict>, StoreError> {
        let history = History::load(&self.conn)?;
        let mut find = self.conn.prepare_cached(
            "SELECT kind, key FROM version GROUP BY kind, key HAVING count(*) > 1 ORDER BY kind, key",
        )?;
        let mut rows = find.query([])?;
        let mut conflicts = Vec::new();
        while let Some(row) = rows.next()? {
            let (kind, key): (Kind, String) = (row.get(0)?, row.get(1)?);
            conflicts.extend(self.conflict(&history, kind, key)?);
        }
        Ok(conflicts)
    }

    /// How many conflicts there are.
    pub(super) fn number_of_conflicts(&self) -> Result<usize, StoreError> {
        let mut find = self.conn.prepare_cached(
            // few records have several versions: only those are compared
            "WITH several AS (SELECT kind, key FROM version GROUP BY kind, key HAVING count(*) > 1)
             SELECT count(*) FROM (SELECT 1 FROM several JOIN version USING (kind, key) GROUP BY kind, key
             HAVING max(removed) <> min(removed) OR (max(removed) = 0 AND count(DISTINCT body) > 1))",
        )?;
        Ok(find.query_row([], |row| row.get::<_, i64>(0))? as usize)
    }

    fn conflict(
        &self,
        history: &History,
        kind: Kind,
        key: String,
    ) -> Result<Option<Conflict>, StoreError> {
        let all = versions::of(&self.conn, kind, &key)?;
        let distinct = versions::distinct(history, &all);
        if distinct.len() < 2 {
            return Ok(None);
        }
        let shown = distinct[0];
        let sayings = distinct.iter().filter_map(|version| {
            let set = history.at(version.set)?;
            Some(
                self.saying((kind, &key), version, &distinct)
                    .map(|words| Saying {
                        set: set.id,
                        tablet: set.tablet.clone(),
                        words,
                        shown: version.set == shown.set,
                    }),
            )
        });
        Ok(Some(Conflict {
            what: self.what(kind, &key, &body::parse(&shown.body)?)?,
            sayings: sayings.collect::<Result<_, StoreError>>()?,
            kind,
            key,
        }))
    }

    /// Settles a conflict: the record is from now on what the change set `set` left it, here and, by the next bundle,
    /// everywhere. A later change of the same record made elsewhere without knowing of this is a conflict again.
    pub fn settle(&self, kind: Kind, key: &str, set: Uuid) -> Result<(), StoreError> {
        self.atomically(|store| {
            store.gather(|history| {
                let all = versions::of(&store.conn, kind, key)?;
                let of_set = |version: &&Version| {
                    history.at(version.set).is_some_and(|known| known.id == set)
                };
                let chosen = all
                    .iter()
                    .find(of_set)
                    .ok_or(StoreError::Gone("conflict"))?;
                let edit = Edit {
                    removed: chosen.removed,
                    beside: Vec::new(),
                    body: chosen.body.clone(),
                };
                Ok(Edits::from([((kind, key.to_owned()), edit)]))
            })?;
            store.verify()
        })
    }

    fn saying(
        &self,
        name: (Kind, &str),
        version: &Version,
        distinct: &[&Version],
    ) -> Result<String, StoreError> {
        if version.removed {
            // rules, rows and the like go with it, and nobody changed those elsewhere
            let whole = matches!(name.0, Kind::Block | Kind::Pruner | Kind::Winter);
            return Ok(if whole {
                "removed, with all that was set for it"
            } else {
                "removed"
            }
            .to_owned());
        }
        let others = distinct.iter().filter(|other| !other.removed);
        let others: Vec<&str> = others.map(|other| other.body.as_str()).collect();
        let shown = distinct
            .first()
            .is_some_and(|shown| shown.set == version.set);
        words::saying(self, name, &version.body, (&others, shown))
    }
}
