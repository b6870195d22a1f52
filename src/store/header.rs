//! The first bytes of a database: whether it says that it is an orchard file. Read without the database.

use std::fs::File;
use std::io::{self, Read};
use std::path::Path;

/// Marks the file as ours in `SQLite`'s header: "tdwd".
pub(super) const APPLICATION_ID: i64 = 0x7464_7764;

/// What the first bytes of a database tell.
pub(super) struct Header {
    /// How many pages it has.
    pub pages: i64,
    /// The version of its schema.
    pub version: i64,
    /// Whose it says that it is.
    pub application: i64,
}

/// Reads them; none where the file is no database. To open and close a file drops the locks that this process holds on it.
pub(super) fn read(path: &Path) -> io::Result<Option<Header>> {
    let mut header = [0u8; 72];
    File::open(path)?.read_exact(&mut header)?;
    let number = |at: usize| {
        let bytes = header[at..at + 4].iter();
        bytes.fold(0i64, |sum, byte| sum << 8 | i64::from(*byte))
    };
    // offsets of page count, user_version and application_id: the SQLite file format, "The Database Header"
    Ok(header.starts_with(b"SQLite format 3\0").then(|| Header {
        pages: number(28),
        version: number(60),
        application: number(68),
    }))
}

/// Whether a file says of itself that it is an orchard file. One that must not be opened here is known before.
pub(super) fn is_ours(path: &Path) -> bool {
    // to open a pipe would wait for whoever writes into it
    path.metadata().is_ok_and(|about| about.is_file())
        && read(path)
            .is_ok_and(|found| found.is_some_and(|found| found.application == APPLICATION_ID))
}
