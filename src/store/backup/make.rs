//! Making a backup: copied page by page while the file is in use, looked over, and only then named.

use std::fs::File;
use std::io::Read;
use std::path::{Path, PathBuf};

use chrono::NaiveDate;
use rusqlite::{Connection, OpenFlags};

use super::super::connection::{Stop, WAIT, copy_pages, open_existing};
use super::super::inspect::inspect_values;
use super::super::paths::{COMPANIONS, make_private_folder, with_end};
use super::super::read_only::untouched;
use super::super::whole::{give_name, private, private_new};
use super::super::{Store, StoreError};
use super::{Backup, DAMAGED, REPLACED, backups, file_name, folder, left_over, surplus, time_of};

/// What a backup is made for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Keep {
    /// In the course of things: of a file that is found damaged, no copy is kept among the backups.
    Sound,
    /// Before the file is replaced: it is kept whatever it is like, under a name that says so.
    Anything,
}

/// What came of making a backup.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Made {
    /// It was made, verified and kept.
    Kept(Backup),
    /// The file is as in this backup: none was made.
    Unchanged(Backup),
    /// The file is damaged in these ways, a line each. The copy was kept if that was asked for.
    Damaged(Vec<String>, Option<Backup>),
    /// Another program is making one.
    Busy,
}

/// Makes a backup before much is read in at once, so that it can be undone as a whole. That none can be made keeps
/// nobody from it, and is given back to be told.
///
/// # Errors
/// Where the file is damaged: into such a one nothing is to be read.
pub fn before_much(store: &Store, day: NaiveDate) -> Result<Option<StoreError>, StoreError> {
    match make(store.path(), day, Keep::Sound, None, &Stop::default()) {
        Ok(Made::Kept(_) | Made::Unchanged(_) | Made::Busy) => Ok(None),
        Ok(Made::Damaged(problems, _)) => {
            let problem = problems.first().map_or("", String::as_str);
            Err(store.damage(problem))
        }
        Err(e) => Ok(Some(e)),
    }
}

/// Makes a backup of a file that may be in use, verifies it, and thins out the old ones.
///
/// `spare` is the number of a backup that is not to be thinned out. Where `stop` says so, it gives up with
/// [`StoreError::Stopped`].
///
/// The live file is touched through the database alone: opening and closing it in another way would drop the
/// locks that this process holds on it.
pub fn make(
    file: &Path,
    day: NaiveDate,
    keep: Keep,
    spare: Option<u32>,
    stop: &Stop,
) -> Result<Made, StoreError> {
    let folder = folder(file);
    make_private_folder(&folder).map_err(StoreError::at(&folder))?;
    let Some(_lock) = lock(file, keep == Keep::Anything)? else {
        return Ok(Made::Busy);
    };
    // what cannot be removed is listed where a name is looked for
    let _ = left_over::clear(file);
    let part = Part::new(file, &folder)?;
    let counted = copy(file, &part.0, stop)?;
    let known = backups(file)?;
    let sound = known.iter().rev().filter(|backup| !backup.damaged);
    // the newest must be of the file as it is; what only has to be kept may be in an earlier one
    let compared = if keep == Keep::Sound { 1 } else { known.len() };
    if let Some(twin) = sound.take(compared).find(|one| same(&one.path, &part.0)) {
        return Ok(Made::Unchanged(match keep {
            Keep::Sound => twin.clone(),
            Keep::Anything => marked(file, twin),
        }));
    }
    let problems = verify(&part.0, &counted, stop)?;
    let damaged = !problems.is_empty();
    if damaged && keep == Keep::Sound {
        return Ok(Made::Damaged(problems, None));
    }
    let number = known.last().map_or(0, |last| last.number) + 1;
    let mark = match (damaged, keep) {
        (true, _) => DAMAGED,
        (false, Keep::Anything) => REPLACED,
        (false, Keep::Sound) => "",
    };
    let path = folder.join(file_name(file, number, day, mark));
    give_name(&part.0, &path).map_err(StoreError::at(&path))?;
    thin_out(file, spare)?;
    let about = std::fs::metadata(&path).map_err(StoreError::at(&path))?;
    let made = Backup {
        number,
        day,
        time: time_of(&about, day),
        damaged,
        replaced: mark == REPLACED,
        bytes: about.len(),
        path,
    };
    Ok(if damaged {
        Made::Damaged(problems, Some(made))
    } else {
        Made::Kept(made)
    })
}

/// Keeps other programs from making backups and from putting them back, as long as it lives; none where another does so
/// now, and it is not to be waited for.
pub(super) fn lock(file: &Path, wait: bool) -> Result<Option<File>, StoreError> {
    let path = folder(file).join(".lock");
    let lock = private(&path).map_err(StoreError::at(&path))?;
    if wait {
        lock.lock().map_err(StoreError::at(&path))?;
    } else if lock.try_lock().is_err() {
        return Ok(None);
    }
    Ok(Some(lock))
}

/// A backup under a name that says that it is the file before it was replaced; as it is where it cannot be renamed.
fn marked(file: &Path, backup: &Backup) -> Backup {
    let name = file_name(file, backup.number, backup.day, REPLACED);
    let path = folder(file).join(name);
    if std::fs::rename(&backup.path, &path).is_err() {
        return backup.clone();
    }
    Backup {
        path,
        replaced: true,
        ..backup.clone()
    }
}

/// A backup in the making; what is left of it goes when this is dropped.
pub(super) struct Part(pub PathBuf);

impl Part {
    fn new(file: &Path, folder: &Path) -> Result<Self, StoreError> {
        let name = Path::new(file.file_name().unwrap_or_default());
        Self::at(with_end(&folder.join(name), ".part"))
    }

    pub fn at(path: PathBuf) -> Result<Self, StoreError> {
        let part = Self(path);
        part.clear();
        private_new(&part.0).map_err(StoreError::at(&part.0))?;
        Ok(part)
    }

    fn clear(&self) {
        for ending in [""].into_iter().chain(COMPANIONS) {
            let _ = std::fs::remove_file(with_end(&self.0, ending));
        }
    }
}

impl Drop for Part {
    fn drop(&mut self) {
        self.clear();
    }
}

/// Copies the file as it stands at one moment; gives the rows of its tables then.
fn copy(file: &Path, to: &Path, stop: &Stop) -> Result<Vec<(String, i64)>, StoreError> {
    let from = Connection::open_with_flags(
        file,
        OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX,
    )?;
    from.busy_timeout(WAIT.0 * WAIT.1)?;
    from.execute_batch("BEGIN")?;
    // from here on the transaction sees one moment, whatever is tapped meanwhile
    let counted = rows(&from);
    let mut copy = open_existing(to)?;
    copy_pages(&from, &mut copy, stop)?;
    // a backup is one file: no companion may be lost
    let _: String = copy.query_row("PRAGMA journal_mode = DELETE", [], |row| row.get(0))?;
    copy.close().map_err(|(_, e)| e)?;
    // a damaged file may not tell its rows: the look over the copy says in which way
    Ok(counted.unwrap_or_default())
}

/// Rows of each table.
fn rows(conn: &Connection) -> Result<Vec<(String, i64)>, StoreError> {
    let mut find =
        conn.prepare("SELECT name FROM sqlite_schema WHERE type = 'table' ORDER BY name")?;
    let names = find.query_map([], |row| row.get(0))?;
    let names: Vec<String> = names.collect::<rusqlite::Result<_>>()?;
    let count = |name: String| {
        let sql = format!("SELECT count(*) FROM \"{}\"", name.replace('"', "\"\""));
        Ok((name, conn.query_row(&sql, [], |row| row.get(0))?))
    };
    names.into_iter().map(count).collect()
}

/// Looks a copy over, and compares its rows with those of the file at that moment.
fn verify(part: &Path, counted: &[(String, i64)], stop: &Stop) -> Result<Vec<String>, StoreError> {
    let conn = untouched(part)?;
    stop.may_interrupt(&conn);
    let inspected = inspect_values(conn);
    stop.check()?;
    let (conn, mut problems) = inspected?;
    if problems.is_empty() && rows(&conn)? != counted {
        problems.push("the copy has not as many rows as the file".to_owned());
    }
    Ok(problems)
}

/// Whether two copies hold the same, but for the counters of changes in the header (offsets 24, 40 and 92: the
/// `SQLite` file format, "The Database Header").
fn same(one: &Path, other: &Path) -> bool {
    const COUNTERS: [usize; 3] = [24, 40, 92];
    let open = |path: &Path| {
        let file = File::open(path).ok()?;
        Some((
            file.metadata().ok()?.len(),
            std::io::BufReader::with_capacity(1 << 16, file),
        ))
    };
    let (Some((length, mut one)), Some((other_length, mut other))) = (open(one), open(other))
    else {
        return false;
    };
    if length != other_length {
        return false;
    }
    let mut left = length;
    let (mut a, mut b) = (vec![0; 1 << 16], vec![0; 1 << 16]);
    while left > 0 {
        let now = left.min(a.len() as u64) as usize;
        if one.read_exact(&mut a[..now]).is_err() || other.read_exact(&mut b[..now]).is_err() {
            return false;
        }
        if left == length && now >= 100 {
            for at in COUNTERS {
                a[at..at + 4].fill(0);
                b[at..at + 4].fill(0);
            }
        }
        if a[..now] != b[..now] {
            return false;
        }
        left -= now as u64;
    }
    true
}

pub(super) fn thin_out(file: &Path, spare: Option<u32>) -> Result<(), StoreError> {
    for gone in surplus(&backups(file)?) {
        if Some(gone.number) != spare {
            // one that cannot be removed now goes next time
            let _ = std::fs::remove_file(&gone.path);
            let _ = std::fs::remove_file(with_end(&gone.path, "-wal"));
        }
    }
    Ok(())
}
