//! Connections to databases: how they are set up, and copying one over another, which can be broken off.

use std::path::Path;
use std::sync::Mutex;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Duration;

use rusqlite::backup::{Backup, StepResult};
use rusqlite::{Connection, InterruptHandle, OpenFlags};

use super::StoreError;

/// How long to wait for another program's write.
const BUSY: Duration = Duration::from_secs(3);

/// Pages copied at a time: a megabyte.
const PAGES: i32 = 256;
/// How long to rest between, so that a tap's own write is not held up.
const REST: Duration = Duration::from_millis(1);
/// How long to wait for a lock of another program, and how often to look.
pub(super) const WAIT: (u32, Duration) = (150, Duration::from_millis(20));

/// Sets how the file is written. Gives a warning where the wanted way is not to be had.
pub(super) fn configure(conn: &Connection) -> Result<Option<String>, StoreError> {
    conn.busy_timeout(BUSY)?;
    conn.set_prepared_statement_cache_capacity(64);
    conn.pragma_update(None, "foreign_keys", true)?;
    let mode: String = conn.query_row("PRAGMA journal_mode = WAL", [], |row| row.get(0))?;
    conn.pragma_update(None, "synchronous", "FULL")?;
    conn.pragma_update(None, "fullfsync", true)?;
    conn.pragma_update(None, "checkpoint_fullfsync", true)?;
    Ok((mode != "wal").then(|| {
        format!("the file is on a disk that allows only the slower journal ({mode}): move it to a local folder")
    }))
}

/// Copies all pages of one database over another, all or nothing.
pub(super) fn copy_pages(
    from: &Connection,
    to: &mut Connection,
    stop: &Stop,
) -> Result<(), StoreError> {
    let copying = Backup::new(from, to)?;
    let mut waits = 0;
    loop {
        stop.check()?;
        match copying.step(PAGES)? {
            StepResult::Done => return Ok(()),
            StepResult::Busy | StepResult::Locked if waits == WAIT.0 => {
                return Err(StoreError::Locked);
            }
            StepResult::Busy | StepResult::Locked => {
                waits += 1;
                std::thread::sleep(WAIT.1);
            }
            _ => std::thread::sleep(REST),
        }
    }
}

/// A database that must be there, for writing.
pub(super) fn open_existing(path: &Path) -> Result<Connection, StoreError> {
    let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    Ok(Connection::open_with_flags(path, flags)?)
}

/// Breaks off a backup in the making: at its next step, or within a long look over the copy.
#[derive(Default)]
pub struct Stop {
    asked: AtomicBool,
    long: Mutex<Option<InterruptHandle>>,
}

impl std::fmt::Debug for Stop {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Stop")
            .field("asked", &self.asked)
            .finish_non_exhaustive()
    }
}

impl Stop {
    /// Asks to stop.
    pub fn ask(&self) {
        self.asked.store(true, Ordering::SeqCst);
        if let Ok(long) = self.long.lock()
            && let Some(handle) = &*long
        {
            handle.interrupt();
        }
    }

    /// An error once it is to stop.
    pub(super) fn check(&self) -> Result<(), StoreError> {
        if self.asked.load(Ordering::SeqCst) {
            Err(StoreError::Stopped)
        } else {
            Ok(())
        }
    }

    /// From now on a statement of this connection is interrupted too.
    pub(super) fn may_interrupt(&self, conn: &Connection) {
        if let Ok(mut long) = self.long.lock() {
            *long = Some(conn.get_interrupt_handle());
        }
    }
}
