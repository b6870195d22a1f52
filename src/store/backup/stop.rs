//! Breaking off what takes long.

use std::sync::Mutex;
use std::sync::atomic::{AtomicBool, Ordering};

use rusqlite::{Connection, InterruptHandle};

use super::super::StoreError;

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
