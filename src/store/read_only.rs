//! A file that cannot be written, or a disk that is full: what is in it can be read all the same.
//!
//! A database with a log wants to write beside the file before it reads. Where it cannot, the file is read as it stands.

use std::fmt::Write as _;
use std::path::{Path, PathBuf};

use rusqlite::{Connection, OpenFlags};

use super::connection::{Stop, copy_pages, open_existing};
use super::migrate::refuse_foreign;
use super::paths::{make_private_folder, with_end};
use super::{Store, StoreError, Unwritable, migrate};

/// Ends of the names of what may hold changes that are not in the file yet.
const LOGS: [&str; 2] = ["-wal", "-journal"];

impl Store {
    /// What keeps it from being written does not keep it from being read.
    pub(super) fn open_to_read(path: &Path, why: StoreError) -> Result<Self, StoreError> {
        let (unwritable, words) = match &why {
            StoreError::Full => (Unwritable::Full, "the disk is full"),
            StoreError::Disk(_) => (
                Unwritable::Full,
                "the disk cannot be written, and may be full",
            ),
            StoreError::MayNotGrow => (
                Unwritable::Forbidden,
                "the file may not grow (`ulimit -f` sets a limit)",
            ),
            StoreError::ReadOnly | StoreError::CannotOpen => (
                Unwritable::Forbidden,
                "the file or its folder may not be written",
            ),
            StoreError::Open { source, .. } if is_about_writing(source.kind()) => (
                Unwritable::Forbidden,
                "the file or its folder may not be written",
            ),
            _ => return Err(why),
        };
        let opened = refuse_foreign(path).and_then(|()| open(path));
        let Ok(conn) = opened else { return Err(why) };
        Ok(Self {
            warning: Some(format!(
                "{words}: all can be read, and nothing can be entered"
            )),
            unwritable: Some(unwritable),
            ..Self::on(conn, path)
        })
    }
}

fn is_about_writing(kind: std::io::ErrorKind) -> bool {
    use std::io::ErrorKind as Kind;
    matches!(
        kind,
        Kind::PermissionDenied | Kind::ReadOnlyFilesystem | Kind::StorageFull
    )
}

/// Opens a file to be read alone: as another program has it open, or else as it stands.
fn open(path: &Path) -> Result<Connection, StoreError> {
    let conn = shared(path).or_else(|e| {
        let alone = untouched(path).and_then(|conn| read_a_little(&conn).map(|_| conn));
        alone.map_err(|_| e)
    })?;
    let conn = brought_up(conn)?;
    conn.pragma_update(None, "temp_store", "MEMORY")?;
    conn.pragma_update(None, "query_only", true)?;
    Ok(conn)
}

fn shared(path: &Path) -> Result<Connection, StoreError> {
    let conn = Connection::open_with_flags(path, flags())?;
    read_a_little(&conn)?;
    Ok(conn)
}

fn flags() -> OpenFlags {
    OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_NO_MUTEX
}

fn read_a_little(conn: &Connection) -> Result<i64, StoreError> {
    Ok(conn.query_row("SELECT count(*) FROM sqlite_schema", [], |row| row.get(0))?)
}

/// Opens a file that nobody writes to, such as a backup, and puts nothing beside it.
pub(super) fn untouched(path: &Path) -> Result<Connection, StoreError> {
    let waits = |end| {
        with_end(path, end)
            .metadata()
            .is_ok_and(|log| log.len() > 0)
    };
    if LOGS.into_iter().any(waits) {
        copied(path)
    } else {
        as_it_stands(path)
    }
}

/// Nobody has it open and nothing waits in its log: it can be read without a lock.
pub(super) fn as_it_stands(path: &Path) -> Result<Connection, StoreError> {
    let mut name = String::from("file:");
    for byte in std::path::absolute(path)
        .map_err(|source| StoreError::of_io(path, source))?
        .as_os_str()
        .as_encoded_bytes()
    {
        match byte {
            b'/' | b'.' | b'-' | b'_' | b'0'..=b'9' | b'a'..=b'z' | b'A'..=b'Z' => {
                name.push(char::from(*byte));
            }
            other => {
                let _ = write!(name, "%{other:02X}");
            }
        }
    }
    name += "?immutable=1";
    let flags = flags() | OpenFlags::SQLITE_OPEN_URI;
    Ok(Connection::open_with_flags(name, flags)?)
}

/// A copy with what waits in the log, in a folder for scratch files. It is gone from there as soon as it is open.
fn copied(path: &Path) -> Result<Connection, StoreError> {
    let scratch = Scratch::make(path)?;
    let copy = scratch.0.join("orchard.db");
    for ending in [""].into_iter().chain(LOGS) {
        let (from, to) = (with_end(path, ending), with_end(&copy, ending));
        if !ending.is_empty() && !from.exists() {
            continue;
        }
        std::fs::copy(&from, &to).map_err(|source| StoreError::of_io(&to, source))?;
    }
    let conn = open_existing(&copy)?;
    read_a_little(&conn)?;
    Ok(conn)
}

/// A folder for its owner only; gone when this is dropped.
struct Scratch(PathBuf);

impl Scratch {
    fn make(path: &Path) -> Result<Self, StoreError> {
        let folder = std::env::temp_dir().join(format!("thirdwood-read-{}", uuid::Uuid::now_v7()));
        make_private_folder(&folder).map_err(|source| StoreError::of_io(path, source))?;
        Ok(Self(folder))
    }
}

impl Drop for Scratch {
    fn drop(&mut self) {
        // one that stays is for its owner only
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

/// A file of an earlier version is brought up in memory: it stays as it is.
fn brought_up(conn: Connection) -> Result<Connection, StoreError> {
    if migrate::version(&conn)? == migrate::known() {
        return Ok(conn);
    }
    let mut newer = Connection::open_in_memory()?;
    copy_pages(&conn, &mut newer, &Stop::default())?;
    migrate::bring_up(&newer)?;
    Ok(newer)
}
