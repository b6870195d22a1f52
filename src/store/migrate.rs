//! Bringing a file to the newest schema.
//!
//! Migrations are numbered files, embedded, and never edited once they have landed. The number
//! of those that a file has had stands in `user_version`. (The library that does this builds
//! with an older `rusqlite` only.)

use std::collections::BTreeMap;
use std::path::Path;

use rusqlite::Connection;

use super::StoreError;
use super::bundle::{ChangeSet, fill_up};
use super::header::{self, APPLICATION_ID};
use super::whole::Part;

/// All migrations, oldest first.
const MIGRATIONS: &[&str] = &[
    include_str!("../../migrations/0001_start.sql"),
    include_str!("../../migrations/0002_pace.sql"),
    include_str!("../../migrations/0003_crop.sql"),
    include_str!("../../migrations/0004_paper.sql"),
    include_str!("../../migrations/0005_bundle.sql"),
    include_str!("../../migrations/0006_names.sql"),
    include_str!("../../migrations/0007_digests.sql"),
    include_str!("../../migrations/0008_log.sql"),
    include_str!("../../migrations/0009_two_year.sql"),
    include_str!("../../migrations/0010_runs.sql"),
];

/// The one that takes names from their pruners.
const NAMES_APART: usize = 6;

/// The newest schema version that this program knows.
pub(super) fn known() -> i64 {
    MIGRATIONS.len() as i64
}

/// Applies what the file lacks, all or nothing. A file of an earlier version is copied before: `orchard.db` of
/// version 1 to `orchard.db.before-2`.
pub(super) fn run(conn: &Connection) -> Result<(), StoreError> {
    let from = version(conn)?;
    if let Some(path) = conn
        .path()
        .filter(|path| from > 0 && from < known() && !path.is_empty())
    {
        let mut copy = std::ffi::OsString::from(path);
        copy.push(format!(".before-{}", from + 1));
        // no tap is worth more than the file as it was: it stays, whatever comes of bringing it up
        copy_aside(conn, from, Path::new(&copy))?;
    }
    bring_up(conn)
}

/// Applies what the file lacks, all or nothing, and keeps no copy.
pub(super) fn bring_up(conn: &Connection) -> Result<(), StoreError> {
    if version(conn)? == known() {
        return Ok(());
    }
    conn.execute_batch("BEGIN IMMEDIATE")?;
    let applied = apply(conn).and_then(|()| Ok(conn.execute_batch("COMMIT")?));
    if applied.is_err() {
        // the first error is the one to tell
        let _ = conn.execute_batch("ROLLBACK");
    }
    applied
}

/// A whole copy beside the file, readable by its owner only. It has its name only once it is complete. Where another
/// program brought the file up in the meantime, its copy stays, and none is made here.
fn copy_aside(conn: &Connection, from: i64, to: &Path) -> Result<(), StoreError> {
    let fail = |source| StoreError::Open {
        path: to.to_owned(),
        source,
    };
    let part = Part::beside(to).map_err(fail)?;
    conn.execute("VACUUM INTO ?1", [part.path.to_string_lossy()])?;
    if version(&Connection::open(&part.path)?)? != from {
        return Ok(());
    }
    part.give_name(to).map_err(fail)
}

pub(super) fn version(conn: &Connection) -> Result<i64, StoreError> {
    Ok(conn.query_row("PRAGMA user_version", [], |row| row.get(0))?)
}

/// Looks at a file without writing, and refuses what this program must not touch.
pub(super) fn refuse_foreign(path: &Path) -> Result<(), StoreError> {
    let not_ours = || StoreError::NotOurs {
        path: path.to_owned(),
    };
    let header = header::read(path).map_err(|e| match e.kind() {
        std::io::ErrorKind::UnexpectedEof | std::io::ErrorKind::IsADirectory => not_ours(),
        _ => StoreError::of_io(path, e),
    })?;
    let header = header.ok_or_else(not_ours)?;
    let is_ours = header.application == APPLICATION_ID;
    // a first start that was cut off leaves one page without our mark
    if !is_ours && (header.application != 0 || header.pages > 1) {
        return Err(not_ours());
    }
    if is_ours && header.version > known() {
        return Err(StoreError::Newer {
            path: path.to_owned(),
            found: header.version,
            known: known(),
        });
    }
    Ok(())
}

fn apply(conn: &Connection) -> Result<(), StoreError> {
    // read again: another program may have migrated while this one waited for the lock
    let from = version(conn)?;
    let path = || conn.path().unwrap_or_default().into();
    let tables: i64 = conn.query_row("SELECT count(*) FROM sqlite_schema", [], |row| row.get(0))?;
    if from == 0 && tables > 0 {
        return Err(StoreError::NotOurs { path: path() });
    }
    if from > known() {
        return Err(StoreError::Newer {
            path: path(),
            found: from,
            known: known(),
        });
    }
    for (nr, sql) in (1..).zip(MIGRATIONS).skip(from as usize) {
        let joined = (nr == NAMES_APART)
            .then(|| joined_names(conn))
            .transpose()?;
        conn.execute_batch(sql)?;
        if let Some(joined) = joined {
            names_apart(conn, joined)?;
        }
    }
    if from > 0 {
        fill_up(conn)?;
    }
    conn.pragma_update(None, "application_id", APPLICATION_ID)?;
    conn.pragma_update(None, "user_version", known())?;
    Ok(())
}

/// Name and label by the pruner's key.
type Named = BTreeMap<String, (String, String)>;

/// Names of pruners who are in no table, since their entries were joined to others: of each the one that would be shown.
fn joined_names(conn: &Connection) -> Result<Named, StoreError> {
    named(
        conn,
        "SELECT key, coalesce(json_extract(body, '$.name'), ''), coalesce(json_extract(body, '$.label'), '')
         FROM version JOIN change_set ON nr = change_set
         WHERE kind = 'pruner' AND removed = 0 AND key NOT IN (SELECT lower(hex(id)) FROM pruner)
         ORDER BY height, id",
    )
}

fn named(conn: &Connection, sql: &str) -> Result<Named, StoreError> {
    let mut find = conn.prepare(sql)?;
    let rows = find.query_map([], |row| Ok((row.get(0)?, (row.get(1)?, row.get(2)?))))?;
    Ok(rows.collect::<rusqlite::Result<_>>()?)
}

/// Gives each name the version that a bundle of the first format gives it too: so an old bundle tells this file nothing
/// new, and what is changed here from now on follows what it says.
fn names_apart(conn: &Connection, joined: Named) -> Result<(), StoreError> {
    let shown = named(
        conn,
        "SELECT lower(hex(pruner)), name, label FROM pruner_name",
    )?;
    let told = |(name, label): &(String, String)| !(name.is_empty() && label.is_empty());
    let all = joined.into_iter().chain(shown);
    for (key, (name, label)) in all.filter(|(_, name)| told(name)) {
        let (set, body) = ChangeSet::first_name(&key, &name, &label, "");
        conn.execute(
            "INSERT INTO change_set (nr, id, height, tablet, names)
             SELECT coalesce(max(nr), 0) + 1, ?1, 1, coalesce((SELECT substr(value, 1, 8) FROM setting WHERE key = 'tablet'), ''), 1
             FROM change_set",
            [set.id.as_bytes()],
        )?;
        conn.execute(
            "INSERT INTO version (kind, key, change_set, removed, beside, body)
             SELECT 'name', ?1, max(nr), 0, '', ?2 FROM change_set",
            [key, body],
        )?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_name_of_a_joined_entry_outlives_its_parting_from_the_pruner() {
        let conn = Connection::open_in_memory().unwrap();
        for sql in &MIGRATIONS[..NAMES_APART - 1] {
            conn.execute_batch(sql).unwrap();
        }
        conn.pragma_update(None, "user_version", NAMES_APART as i64 - 1)
            .unwrap();
        let body =
            r#"{"active":1,"label":"","language":"","name":"Oto","number":12,"number_only":0}"#;
        conn.execute_batch(&format!(
            "INSERT INTO change_set (nr, id, height, tablet) VALUES (1, zeroblob(16), 1, 'A');
             INSERT INTO version (kind, key, change_set, removed, beside, body) VALUES ('pruner', 'ab', 1, 0, '', '{body}')"
        ))
        .unwrap();
        run(&conn).unwrap();
        let text = |sql: &str| {
            conn.query_row(sql, [], |row| row.get::<_, String>(0))
                .unwrap()
        };
        let name = text("SELECT body FROM version WHERE kind = 'name' AND key = 'ab'");
        assert_eq!(name, r#"{"label":"","name":"Oto"}"#);
        let pruner = text("SELECT body FROM version WHERE kind = 'pruner'");
        assert!(!pruner.contains("Oto") && pruner.contains("12"), "{pruner}");
    }
}
