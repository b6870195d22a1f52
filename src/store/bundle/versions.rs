//! Versions of records. The one that is shown follows from the versions alone: one that is not a removal before one
//! that is, then the highest change set, then the greater identity.

use rusqlite::{Connection, params};
use uuid::Uuid;

use super::super::StoreError;
use super::body;
use super::history::History;

/// A record as one change set left it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Version {
    /// The change set, by place.
    pub set: usize,
    /// Whether the record was removed; its body is then the last one.
    pub removed: bool,
    /// Change sets whose versions of this record were known and not replaced.
    pub beside: Vec<Uuid>,
    /// The body's text.
    pub body: String,
}

impl Version {
    /// Whether two versions say the same.
    pub fn same(&self, other: &Self) -> bool {
        self.removed == other.removed && (self.removed || self.body == other.body)
    }
}

/// All versions of a record.
pub(super) fn of(conn: &Connection, kind: &str, key: &str) -> Result<Vec<Version>, StoreError> {
    let mut find = conn.prepare_cached(
        "SELECT change_set, removed, beside, body FROM version WHERE kind = ?1 AND key = ?2 ORDER BY change_set",
    )?;
    let mut rows = find.query([kind, key])?;
    let mut found = Vec::new();
    while let Some(row) = rows.next()? {
        found.push(read(row)?);
    }
    Ok(found)
}

/// Reads a row of change set, removed, beside and body.
pub(super) fn read(row: &rusqlite::Row<'_>) -> Result<Version, StoreError> {
    let beside: String = row.get("beside")?;
    Ok(Version {
        set: row.get::<_, i64>("change_set")? as usize - 1,
        removed: row.get("removed")?,
        beside: beside.split(',').filter_map(body::id).collect(),
        body: row.get("body")?,
    })
}

/// The one that is shown.
pub(super) fn winner<'a>(history: &History, versions: &'a [Version]) -> Option<&'a Version> {
    versions.iter().max_by_key(|version| {
        let set = history.at(version.set);
        (!version.removed, set.map(|set| (set.height, set.id)))
    })
}

/// Adds a version, and deletes those of its record that it replaces. Gives those that stay beside it.
pub(super) fn add(
    conn: &Connection,
    history: &History,
    (kind, key): (&str, &str),
    new: &Version,
    there: Vec<Version>,
) -> Result<Vec<Version>, StoreError> {
    let kept_beside = |old: &Version| {
        history
            .at(old.set)
            .is_some_and(|set| new.beside.contains(&set.id))
    };
    let (stay, go): (Vec<_>, Vec<_>) = there
        .into_iter()
        .partition(|old| kept_beside(old) || !history.before(old.set, new.set));
    let mut delete = conn
        .prepare_cached("DELETE FROM version WHERE kind = ?1 AND key = ?2 AND change_set = ?3")?;
    for old in go {
        delete.execute(params![kind, key, old.set as i64 + 1])?;
    }
    let beside: Vec<String> = new
        .beside
        .iter()
        .map(|id| id.simple().to_string())
        .collect();
    conn.prepare_cached(
        "INSERT INTO version (kind, key, change_set, removed, beside, body) VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
    )?
    .execute(params![kind, key, new.set as i64 + 1, new.removed, beside.join(","), new.body])?;
    Ok(stay)
}
