//! Versions of records. The one that is shown follows from the versions alone: one that is not a removal before one
//! that is, then the highest change set, then the greater identity.

use rusqlite::{Connection, params};
use uuid::Uuid;

use super::super::StoreError;
use super::body;
use super::history::History;
use super::kinds::Kind;
use super::seal::Digest;

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
    /// Its digest, where its change set is named by digests.
    pub digest: Option<Digest>,
}

impl Version {
    /// Whether the thing is gone, or no figure has it any more: who removes a count, work or a row sent back leaves the
    /// record there.
    pub fn is_out(&self) -> Result<bool, StoreError> {
        let marked = |body: body::Body| body.get("removed").and_then(serde_json::Value::as_i64);
        Ok(self.removed || body::parse(&self.body).map(marked)? == Some(1))
    }

    /// Whether two versions say the same.
    pub fn same(&self, other: &Self) -> bool {
        self.removed == other.removed && (self.removed || self.body == other.body)
    }
}

/// All versions of a record.
pub(super) fn of(conn: &Connection, kind: Kind, key: &str) -> Result<Vec<Version>, StoreError> {
    let mut find = conn.prepare_cached(
        "SELECT change_set, removed, beside, body, digest FROM version WHERE kind = ?1 AND key = ?2 ORDER BY change_set",
    )?;
    let mut rows = find.query(params![kind, key])?;
    let mut found = Vec::new();
    while let Some(row) = rows.next()? {
        found.push(read(row)?);
    }
    Ok(found)
}

/// Reads a row of change set, removed, beside, body and digest.
pub(super) fn read(row: &rusqlite::Row<'_>) -> Result<Version, StoreError> {
    let beside: String = row.get("beside")?;
    Ok(Version {
        set: row.get::<_, i64>("change_set")? as usize - 1,
        removed: row.get("removed")?,
        beside: beside.split(',').filter_map(body::id).collect(),
        body: row.get("body")?,
        digest: row.get("digest")?,
    })
}

/// What decides which version is shown; the same in every file, whatever its own numbers are.
type Rank = (bool, Option<(u64, Uuid)>);

fn rank(history: &History, version: &Version) -> Rank {
    let set = history.at(version.set);
    (!version.removed, set.map(|set| (set.height, set.id)))
}

/// The one that is shown.
pub(super) fn winner<'a>(history: &History, versions: &'a [Version]) -> Option<&'a Version> {
    versions.iter().max_by_key(|version| rank(history, version))
}

/// Those that say different things, the one that is shown first; in the same order on every tablet.
pub(super) fn distinct<'a>(history: &History, versions: &'a [Version]) -> Vec<&'a Version> {
    let mut ranked: Vec<&Version> = versions.iter().collect();
    ranked.sort_by_key(|version| std::cmp::Reverse(rank(history, version)));
    let mut distinct: Vec<&Version> = Vec::new();
    for version in ranked {
        if !distinct.iter().any(|known| known.same(version)) {
            distinct.push(version);
        }
    }
    distinct
}

/// Adds a version, and deletes those of its record that it replaces. Gives those that stay beside it.
pub(super) fn add(
    conn: &Connection,
    history: &History,
    (kind, key): (Kind, &str),
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
        if let Some(digest) = &old.digest {
            replaced(conn, (kind, key), old.set, digest)?;
        }
        delete.execute(params![kind, key, old.set as i64 + 1])?;
    }
    let beside: Vec<String> = new
        .beside
        .iter()
        .map(|id| id.simple().to_string())
        .collect();
    conn.prepare_cached(
        "INSERT INTO version (kind, key, change_set, removed, beside, body, digest) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)",
    )?
    .execute(params![
        kind,
        key,
        new.set as i64 + 1,
        new.removed,
        beside.join(","),
        new.body,
        new.digest
    ])?;
    Ok(stay)
}

/// Keeps the digest of a version that is not there any more.
pub(super) fn replaced(
    conn: &Connection,
    (kind, key): (Kind, &str),
    set: usize,
    digest: &Digest,
) -> Result<(), StoreError> {
    conn.prepare_cached(
        "INSERT INTO replaced (kind, key, change_set, digest) VALUES (?1, ?2, ?3, ?4) ON CONFLICT DO NOTHING",
    )?
    .execute(params![kind, key, set as i64 + 1, digest])?;
    Ok(())
}
