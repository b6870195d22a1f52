//! Which backups, and copies of earlier versions, hold a name still that was taken away.

use std::path::{Path, PathBuf};

use chrono::NaiveDate;
use rusqlite::Connection;

use super::super::opened::SAVED;
use super::super::paths::{COMPANIONS, with_end};
use super::super::read_only::untouched;
use super::super::{Store, StoreError, why};
use super::make::lock;
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
    /// Folders that could not be looked through, each with what the system said: what lies there may hold it.
    pub unread: Vec<String>,
}

/// What came of removing what holds a name.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Renewed {
    /// How many backups and copies were removed, each with what lay beside it.
    pub removed: usize,
    /// Those that could not be removed, each with what the system said.
    pub stay: Vec<String>,
}

/// Looks for a pruner's name in the backups, and in copies of earlier versions beside the file. It is found by whose it
/// is, however it is written; what was typed in notes there goes with it.
///
/// # Errors
/// Where the file cannot be read.
pub fn holding_name(store: &Store, pruner: PrunerId) -> Result<Searched, StoreError> {
    let ids = store.identities(pruner)?;
    let mut unread: Vec<String> = Vec::new();
    let mut read = |found: Result<Vec<PathBuf>, StoreError>| {
        found.unwrap_or_else(|e| {
            let words = e.in_short();
            if !unread.contains(&words) {
                unread.push(words);
            }
            Vec::new()
        })
    };
    let backups = backups(store.path());
    let backups = read(backups.map(|all| all.into_iter().map(|backup| backup.path).collect()));
    let copies = read(earlier_versions(store.path()));
    let left = read(left_over::left_over(store.path()));
    let (of_backups, of_copies, of_left) = (backups.len(), copies.len(), left.len());
    let mut holding: Vec<PathBuf> = backups.into_iter().chain(copies).collect();
    holding.retain(|path| holds(path, &ids).unwrap_or(true));
    holding.extend(left);
    Ok(Searched {
        backups: of_backups,
        copies: of_copies,
        left_over: of_left,
        holding,
        unread,
    })
}

/// Makes a fresh backup, and then removes those files that hold the name still; what was left over went before, with the
/// fresh backup. One that cannot be removed keeps none of the others.
///
/// # Errors
/// Where the backup cannot be made nothing is removed.
pub fn renew_without_name(
    store: &Store,
    pruner: PrunerId,
    day: NaiveDate,
) -> Result<Renewed, StoreError> {
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
    let mut renewed = Renewed::default();
    for path in holding_name(store, pruner)?.holding {
        let stay = remove(&path);
        renewed.removed += usize::from(stay.is_empty());
        renewed.stay.extend(stay);
    }
    Ok(renewed)
}

/// Removes a copy with what the database left beside it. What is not there is gone. Says what could not be removed.
fn remove(path: &Path) -> Vec<String> {
    let all = [""].into_iter().chain(COMPANIONS);
    let refused = all.filter_map(|end| {
        let path = with_end(path, end);
        match std::fs::remove_file(&path) {
            Err(e) if e.kind() != std::io::ErrorKind::NotFound => {
                Some(format!("{}: {}", path.display(), why(&e)))
            }
            _ => None,
        }
    });
    refused.collect()
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
    for entry in std::fs::read_dir(folder).map_err(StoreError::at(folder))? {
        let path = entry.map_err(StoreError::at(folder))?.path();
        let name = path.file_name().unwrap_or_default().to_string_lossy();
        if (name.starts_with(&begin) || name.starts_with(&saved)) && !is_beside(&path, &name) {
            found.push(path);
        }
    }
    found.sort();
    Ok(found)
}

/// Whether this is what the database left beside a copy that is there: it goes with that.
fn is_beside(path: &Path, name: &str) -> bool {
    let mut copies = COMPANIONS.iter().filter_map(|end| name.strip_suffix(end));
    copies.any(|copy| path.with_file_name(copy).exists())
}

/// Whether one of these pruners is in a file with the name not taken away.
fn holds(path: &Path, ids: &[String]) -> Result<bool, StoreError> {
    let conn = untouched(path)?;
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
