//! Which backups, and copies of earlier versions, hold a name still that was taken away.

use std::path::{Path, PathBuf};

use chrono::NaiveDate;
use rusqlite::Connection;

use super::super::{Store, StoreError};
use super::make::{failed, open_backup};
use super::{Keep, Made, Stop, backups, make};
use crate::orchard::PrunerId;

/// The backups, and copies of earlier versions beside the file, that have a pruner whose name was not taken away there;
/// and those that cannot be read, since they may. Oldest backup first.
///
/// # Errors
/// Where the folder or the file cannot be read.
pub fn holding_name(store: &Store, pruner: PrunerId) -> Result<Vec<PathBuf>, StoreError> {
    let ids = store.identities(pruner)?;
    let mut all: Vec<PathBuf> = backups(store.path())?
        .into_iter()
        .map(|backup| backup.path)
        .collect();
    all.extend(earlier_versions(store.path())?);
    all.retain(|path| holds(path, &ids).unwrap_or(true));
    Ok(all)
}

/// Makes a fresh backup, and then removes those files that hold the name still. Gives how many were removed.
///
/// # Errors
/// Where the backup cannot be made nothing is removed; where a file cannot be removed it is named.
pub fn renew_without_name(
    store: &Store,
    pruner: PrunerId,
    day: NaiveDate,
) -> Result<usize, StoreError> {
    match make(store.path(), day, Keep::Sound, None, &Stop::default())? {
        Made::Kept(_) | Made::Unchanged(_) => {}
        Made::Busy => return Err(StoreError::BackupUnderWay),
        Made::Damaged(problems, _) => {
            return Err(StoreError::Corrupt(
                problems.into_iter().next().unwrap_or_default(),
            ));
        }
    }
    let old = holding_name(store, pruner)?;
    for path in &old {
        std::fs::remove_file(path).map_err(failed(path))?;
        let mut log = path.as_os_str().to_owned();
        log.push("-wal");
        // most have none
        let _ = std::fs::remove_file(log);
    }
    Ok(old.len())
}

/// Copies that were kept before the file was brought up to a newer version.
fn earlier_versions(file: &Path) -> Result<Vec<PathBuf>, StoreError> {
    let Some(name) = file.file_name() else {
        return Ok(Vec::new());
    };
    let begin = format!("{}.before-", name.to_string_lossy());
    let folder = match file.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    };
    let mut found = Vec::new();
    for entry in std::fs::read_dir(folder).map_err(failed(folder))? {
        let path = entry.map_err(failed(folder))?.path();
        let name = path.file_name().unwrap_or_default().to_string_lossy();
        if name.starts_with(&begin) {
            found.push(path);
        }
    }
    found.sort();
    Ok(found)
}

/// Whether one of these pruners is in a file with the name not taken away.
fn holds(path: &Path, ids: &[String]) -> Result<bool, StoreError> {
    let conn = open_backup(path)?;
    for id in ids {
        if has(&conn, "SELECT 1 FROM pruner WHERE lower(hex(id)) = ?1", id)?
            && !taken_away(&conn, id)?
        {
            return Ok(true);
        }
    }
    Ok(false)
}

fn taken_away(conn: &Connection, id: &str) -> Result<bool, StoreError> {
    let table = "SELECT 1 FROM sqlite_schema WHERE name = ?1";
    let removed = "SELECT 1 FROM version WHERE kind = 'name_removed' AND key = ?1";
    Ok(has(conn, table, "name_removed")? && has(conn, removed, id)?)
}

fn has(conn: &Connection, sql: &str, value: &str) -> Result<bool, StoreError> {
    Ok(conn.prepare(sql)?.exists([value])?)
}
