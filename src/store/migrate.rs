//! Bringing a file to the newest schema.
//!
//! Migrations are numbered files, embedded, and never edited once they have landed. The number
//! of those that a file has had stands in `user_version`. (The library that does this builds
//! with an older `rusqlite` only.)

use rusqlite::Connection;

use super::StoreError;

/// All migrations, oldest first.
const MIGRATIONS: &[&str] = &[
    include_str!("../../migrations/0001_start.sql"),
    include_str!("../../migrations/0003_crop.sql"),
];

/// The newest schema version that this program knows.
pub(super) fn known() -> i64 {
    MIGRATIONS.len() as i64
}

/// Applies what the file lacks, all or nothing.
pub(super) fn run(conn: &Connection, application_id: i64) -> Result<(), StoreError> {
    if version(conn)? == known() {
        return Ok(());
    }
    conn.execute_batch("BEGIN IMMEDIATE")?;
    let applied = apply(conn, application_id).and_then(|()| Ok(conn.execute_batch("COMMIT")?));
    if applied.is_err() {
        // the first error is the one to tell
        let _ = conn.execute_batch("ROLLBACK");
    }
    applied
}

fn version(conn: &Connection) -> Result<i64, StoreError> {
    Ok(conn.query_row("PRAGMA user_version", [], |row| row.get(0))?)
}

fn apply(conn: &Connection, application_id: i64) -> Result<(), StoreError> {
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
    for sql in &MIGRATIONS[from as usize..] {
        conn.execute_batch(sql)?;
    }
    conn.pragma_update(None, "application_id", application_id)?;
    conn.pragma_update(None, "user_version", known())?;
    Ok(())
}
