//! Putting a backup back; what was there before is kept, so that this can be undone.

use std::path::Path;

use chrono::NaiveDate;
use rusqlite::Connection;

use super::super::connection::{Stop, configure, copy_pages, open_existing};
use super::super::inspect::inspect_values;
use super::super::migrate::{bring_up, refuse_foreign};
use super::super::opened::plain_file;
use super::super::paths::{prepare, with_end};
use super::super::read_only::untouched;
use super::super::whole::{give_name, private};
use super::super::{Store, StoreError};
use super::make::{Part, lock, thin_out};
use super::{Backup, DAMAGED, Keep, Made, backups, file_name, folder, left_over, make, time_of};

/// What was put back, and what undoes it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Restored {
    /// The backup that the file is now as.
    pub from: Backup,
    /// The file as it was before, among the backups; none where there was no file.
    pub before: Option<Backup>,
    /// The file was beyond the database and another took its place: a program that had it open must be started
    /// afresh.
    pub replaced: bool,
}

impl Store {
    /// Puts a backup back under the open file. Where the database cannot do that, nothing is changed: see
    /// [`restore`].
    pub fn restore(&self, number: u32, day: NaiveDate) -> Result<Restored, StoreError> {
        self.in_place()?;
        put_back(&self.path, number, day, false)
    }
}

/// Puts a backup back, all or nothing, also while screens are open on the file.
///
/// The backup is looked over first. The file as it is now is kept as a backup of its own; where it is damaged,
/// as a copy that says so. Where that cannot be kept, nothing is changed.
pub fn restore(file: &Path, number: u32, day: NaiveDate) -> Result<Restored, StoreError> {
    put_back(file, number, day, true)
}

fn put_back(
    file: &Path,
    number: u32,
    day: NaiveDate,
    may_replace: bool,
) -> Result<Restored, StoreError> {
    plain_file(file)?;
    let mut known = backups(file)?.into_iter();
    let from = known.find(|backup| backup.number == number && !backup.damaged);
    let from = from.ok_or_else(|| StoreError::NoBackup(number.to_string()))?;
    let backup = sound(&from)?;
    let there = std::fs::metadata(file).is_ok_and(|about| about.len() > 0);
    let nameless = if there { taken_away(file) } else { Vec::new() };
    let before = if there {
        keep_present(file, number, day, may_replace)?
    } else {
        None
    };
    if !there {
        prepare(file)?;
    }
    // from here on copies are made that must not be taken for left over
    let _lock = lock(file, true)?;
    let _ = left_over::clear(file);
    let cleared = if nameless.is_empty() {
        None
    } else {
        Some(without_names(&backup, file, &nameless)?)
    };
    let (backup, path) = match &cleared {
        Some((store, part)) => (&store.conn, &part.0),
        None => (&backup, &from.path),
    };
    let replaced = match overwrite(backup, file) {
        Err(e) if e.is_damage() && may_replace => replace(path, file).map(|()| true)?,
        outcome => outcome.map(|()| false)?,
    };
    drop(cleared);
    Ok(Restored {
        from,
        before,
        replaced,
    })
}

/// A copy of a backup from which names are taken away: they must not be in the file again even for a moment. The
/// connection goes before the copy does.
fn without_names(
    backup: &Connection,
    file: &Path,
    nameless: &[String],
) -> Result<(Store, Part), StoreError> {
    let part = Part::at(left_over::copy_to_clear(file))?;
    let mut conn = open_existing(&part.0)?;
    copy_pages(backup, &mut conn, &Stop::default())?;
    configure(&conn)?;
    bring_up(&conn)?;
    let store = Store::on(conn, &part.0);
    store.forget_again(nameless)?;
    // nobody else has the copy open: it is the disk that has no room to be rid of the last bytes
    if !store.sweep()? {
        return Err(StoreError::Full);
    }
    Ok((store, part))
}

/// Pruners whose name was taken away, by key: no backup is to bring it back. A file that is beyond reading tells none.
fn taken_away(file: &Path) -> Vec<String> {
    let read = || -> Result<Vec<String>, StoreError> {
        let conn = open_existing(file)?;
        conn.busy_timeout(std::time::Duration::from_secs(3))?;
        let mut find =
            conn.prepare("SELECT DISTINCT key FROM version WHERE kind = 'name_removed'")?;
        let keys = find.query_map([], |row| row.get(0))?;
        Ok(keys.collect::<rusqlite::Result<_>>()?)
    };
    read().unwrap_or_default()
}

/// The newest backup that is sound; none where there is none.
pub fn newest_good(file: &Path) -> Option<Backup> {
    let known = backups(file).ok()?;
    let whole = known.into_iter().rev().filter(|backup| !backup.damaged);
    whole.into_iter().find(|backup| sound(backup).is_ok())
}

/// Opens a backup that holds what it should.
fn sound(backup: &Backup) -> Result<Connection, StoreError> {
    let bad = |problem: String| StoreError::BadBackup {
        name: backup.name(),
        problem,
    };
    refuse_foreign(&backup.path).map_err(|e| match e {
        StoreError::Newer { .. } => e,
        other => bad(other.to_string()),
    })?;
    let conn = untouched(&backup.path)?;
    let (conn, problems) = inspect_values(conn)?;
    match problems.into_iter().next() {
        Some(problem) => Err(bad(problem)),
        None => Ok(conn),
    }
}

/// Keeps the file as it is now.
fn keep_present(
    file: &Path,
    spare: u32,
    day: NaiveDate,
    may_copy: bool,
) -> Result<Option<Backup>, StoreError> {
    match make(file, day, Keep::Anything, Some(spare), &Stop::default()) {
        Ok(Made::Kept(kept) | Made::Unchanged(kept)) => Ok(Some(kept)),
        Ok(Made::Damaged(_, kept)) => Ok(kept),
        Ok(Made::Busy) => Err(StoreError::BackupUnderWay),
        // the database does not take it for one of its files
        Err(e) if e.is_damage() && may_copy => copy_raw(file, spare, day).map(Some),
        Err(e) => Err(e),
    }
}

/// Copies a file that is beyond the database, with the changes that wait beside it.
fn copy_raw(file: &Path, spare: u32, day: NaiveDate) -> Result<Backup, StoreError> {
    let number = backups(file)?.last().map_or(0, |last| last.number) + 1;
    let path = folder(file).join(file_name(file, number, day, DAMAGED));
    for ending in ["", "-wal"] {
        let (from, to) = (with_end(file, ending), with_end(&path, ending));
        if from.exists() {
            private(&to).map_err(StoreError::at(&to))?;
            std::fs::copy(&from, &to).map_err(StoreError::at(&to))?;
        }
    }
    thin_out(file, Some(spare))?;
    let about = std::fs::metadata(&path).map_err(StoreError::at(&path))?;
    let bytes = about.len();
    Ok(Backup {
        number,
        day,
        time: time_of(&about, day),
        damaged: true,
        replaced: false,
        path,
        bytes,
    })
}

/// As one change of the database: programs that have the file open see it.
fn overwrite(backup: &Connection, file: &Path) -> Result<(), StoreError> {
    let mut conn = open_existing(file)?;
    configure(&conn)?;
    copy_pages(backup, &mut conn, &Stop::default())?;
    // an earlier version stays among the backups: it needs no copy beside the file
    bring_up(&conn)
}

/// Where the database cannot write into what is there: the new file takes its name in one step. What waits
/// beside the old one goes first, or it would be applied to the new one.
fn replace(from: &Path, file: &Path) -> Result<(), StoreError> {
    let new = left_over::copy_to_name(file);
    let fail = StoreError::at(&new);
    std::fs::copy(from, &new).map_err(&fail)?;
    std::fs::File::open(&new)
        .and_then(|copied| copied.sync_all())
        .map_err(&fail)?;
    for ending in ["-wal", "-shm", "-journal"] {
        let _ = std::fs::remove_file(with_end(file, ending));
    }
    give_name(&new, file).map_err(StoreError::at(file))?;
    let conn = open_existing(file)?;
    configure(&conn)?;
    bring_up(&conn)
}
