//! Which backups, and copies of earlier versions, hold a name still that was taken away.

use std::path::{Path, PathBuf};

use chrono::NaiveDate;
use rusqlite::Connection;

use super::super::opened::SAVED;
use super::super::{Store, StoreError};
use super::make::{failed, lock, open_backup};
use super::{Keep, Made, Stop, backups, left_over, make};
use crate::orchard::PrunerId;

/// Where a name was looked for, and what holds it.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Searched {
    /// Backups that were opened.
    pub backups: usize,
    /// Copies of earlier versions that were opened.
    pub copies: usize,
    /// What killed programs left, in which nothing is looked for: it may hold anything.
    pub left_over: usize,
    /// Those of them that have the pruner with the name not taken away, those that cannot be read, and all that was left
    /// over. Oldest backup first.
    pub holding: Vec<PathBuf>,
}

/// Looks for a pruner's name in the backups, and in copies of earlier versions beside the file. It is found by whose it
/// is, however it is written; what was typed in notes there goes with it.
///
/// # Errors
/// Where a folder or the file cannot be read.
pub fn holding_name(store: &Store, pruner: PrunerId) -> Result<Searched, StoreError> {
    let ids = store.identities(pruner)?;
    let backups: Vec<PathBuf> = backups(store.path())?
        .into_iter()
        .map(|backup| backup.path)
        .collect();
    let copies = earlier_versions(store.path())?;
    let left = left_over::left_over(store.path())?;
    let (of_backups, of_copies, of_left) = (backups.len(), copies.len(), left.len());
    let mut holding: Vec<PathBuf> = backups.into_iter().chain(copies).collect();
    holding.retain(|path| holds(path, &ids).unwrap_or(true));
    holding.extend(left);
    Ok(Searched {
        backups: of_backups,
        copies: of_copies,
        left_over: of_left,
        holding,
    })
}

/// Makes a fresh backup, and then removes those files that hold the name still. Gives how many were removed; what was left
/// over went before, with the fresh backup.
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
    // what another program makes just now must not be taken from it
    let Some(_lock) = lock(store.path(), false)? else {
        return Err(StoreError::BackupUnderWay);
    };
    let old = holding_name(store, pruner)?.holding;
    for path in &old {
        std::fs::remove_file(path).map_err(failed(path))?;
        let mut log = path.as_os_str().to_owned();
        log.push("-wal");
        // most have none
        let _ = std::fs::remove_file(log);
    }
    Ok(old.len())
}

/// Copies that were kept before the file was brought up to a newer version, and those saved when it was taken away.
fn earlier_versions(file: &Path) -> Result<Vec<PathBuf>, StoreError> {
    let Some(name) = file.file_name() else {
        return Ok(Vec::new());
    };
    let begin = format!("{}.before-", name.to_string_lossy());
    let stem = file.file_stem().unwrap_or_default().to_string_lossy();
    let saved = format!("{stem}{SAVED}");
    let folder = match file.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    };
    let mut found = Vec::new();
    for entry in std::fs::read_dir(folder).map_err(failed(folder))? {
        let path = entry.map_err(failed(folder))?.path();
        let name = path.file_name().unwrap_or_default().to_string_lossy();
        if name.starts_with(&begin) || name.starts_with(&saved) {
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
