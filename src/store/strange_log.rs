//! A log that a killed program left, and another file put in the place of its own: the database would write the one into
//! the other, and damage a file that is sound.

use std::path::Path;

use rusqlite::config::DbConfig;
use rusqlite::{Connection, OpenFlags};

use super::StoreError;
use super::paths::with_end;
use super::read_only::as_it_stands;

/// Refuses a sound file together with a log that does not fit it. Neither is changed by looking.
///
/// A log fits where the pages of the file and of the log together make a sound database: one of an earlier state of the
/// same file may fit, and is not noticed.
pub(super) fn refuse(path: &Path) -> Result<(), StoreError> {
    let waits = with_end(path, "-wal").metadata();
    if waits.is_ok_and(|log| log.len() > 0)
        && with_its_log(path).is_ok_and(|conn| !is_sound(&conn))
        && as_it_stands(path).is_ok_and(|conn| is_sound(&conn))
    {
        return Err(StoreError::StrangeLog {
            path: path.to_owned(),
        });
    }
    Ok(())
}

/// The file with its log, which is not written into the file when this is closed.
fn with_its_log(path: &Path) -> Result<Connection, StoreError> {
    let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    let conn = Connection::open_with_flags(path, flags)?;
    conn.set_db_config(DbConfig::SQLITE_DBCONFIG_NO_CKPT_ON_CLOSE, true)?;
    Ok(conn)
}

fn is_sound(conn: &Connection) -> bool {
    let told = conn.query_row("PRAGMA quick_check(1)", [], |row| row.get::<_, String>(0));
    told.is_ok_and(|told| told == "ok")
}
