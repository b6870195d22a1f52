//! Bringing a file to the newest schema.
//!
//! Migrations are numbered files, embedded, and never edited once they have landed. The number
//! of those that a file has had stands in `user_version`. (The library that does this builds
//! with an older `rusqlite` only.)

use std::path::Path;

use rusqlite::Connection;

use super::StoreError;

/// All migrations, oldest first.
const MIGRATIONS: &[&str] = &[
    include_str!("../../migrations/0001_start.sql"),
    include_str!("../../migrations/0002_pace.sql"),
    include_str!("../../migrations/0003_crop.sql"),
    include_str!("../../migrations/0004_paper.sql"),
    include_str!("../../migrations/0005_bundle.sql"),
];

/// The newest schema version that this program knows.
pub(super) fn known() -> i64 {
    MIGRATIONS.len() as i64
}

/// Applies what the file lacks, all or nothing. A file of an earlier version is copied before: `orchard.db` of
/// version 1 to `orchard.db.before-2`.
pub(super) fn run(conn: &Connection, application_id: i64) -> Result<(), StoreError> {
    let from = version(conn)?;
    if from == known() {
        return Ok(());
    }
    if let Some(path) = conn
        .path()
        .filter(|path| from > 0 && from < known() && !path.is_empty())
    {
        let mut copy = std::ffi::OsString::from(path);
        copy.push(format!(".before-{}", from + 1));
        // no tap is worth more than the file as it was: it stays, whatever comes of bringing it up
        copy_aside(conn, Path::new(&copy))?;
    }
    conn.execute_batch("BEGIN IMMEDIATE")?;
    let applied = apply(conn, application_id).and_then(|()| Ok(conn.execute_batch("COMMIT")?));
    if applied.is_err() {
        // the first error is the one to tell
        let _ = conn.execute_batch("ROLLBACK");
    }
    applied
}

/// A whole copy beside the file, readable by its owner only. It has its name only once it is complete.
fn copy_aside(conn: &Connection, to: &Path) -> Result<(), StoreError> {
    let fail = |source| StoreError::Open {
        path: to.to_owned(),
        source,
    };
    let mut part = to.as_os_str().to_owned();
    part.push(".part");
    let part = Path::new(&part);
    let mut options = std::fs::OpenOptions::new();
    options.write(true).create(true).truncate(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    options.open(part).map_err(fail)?;
    conn.execute("VACUUM INTO ?1", [part.to_string_lossy()])?;
    std::fs::rename(part, to).map_err(fail)
}

pub(super) fn version(conn: &Connection) -> Result<i64, StoreError> {
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
