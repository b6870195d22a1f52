//! What can go wrong with the file, in words that say what to do.

use std::path::PathBuf;

use rusqlite::ErrorCode;
use thiserror::Error;

use super::astray::{self, Astray};
use super::growth::limit_was_met;
use super::why::{database, why};
use crate::orchard::Faults;

/// A failure of the orchard file.
#[derive(Debug, Error)]
pub enum StoreError {
    /// The file was written by a later version.
    #[error("{path} was written by a newer thirdwood (file version {found}, this program knows {known}): install the newer program; the file was not touched", path = path.display())]
    Newer {
        /// The file.
        path: PathBuf,
        /// Its version.
        found: i64,
        /// The newest version this program knows.
        known: i64,
    },
    /// The file is something else.
    #[error("{path} is not a thirdwood file: name another with --data; the file was not touched", path = path.display())]
    NotOurs {
        /// The file.
        path: PathBuf,
    },
    /// What lies there is no file.
    #[error("{path} {what}", path = path.display())]
    NoFile {
        /// Where.
        path: PathBuf,
        /// What it is, and what to do.
        what: &'static str,
    },
    /// A folder or file cannot be made or opened.
    #[error("cannot open {path}: {}; check that the folder exists and that you may write there, or name another file with --data", why(source), path = path.display())]
    Open {
        /// The file or folder.
        path: PathBuf,
        /// What the system said.
        source: std::io::Error,
    },
    /// The database cannot open the file, or what it keeps beside it.
    #[error(
        "the orchard file cannot be opened: check that it is there, and that you may read and write it and its folder, or name another with --data"
    )]
    CannotOpen,
    /// No folder for data is known.
    #[error("no home folder is known to keep the orchard file in: name a file with --data")]
    NoHome,
    /// What was read breaks the rules of the domain.
    #[error(
        "the file holds a {what} that cannot be: {source}; run `thirdwood check`, and `thirdwood restore` if it finds more"
    )]
    Damaged {
        /// Which kind of thing.
        what: &'static str,
        /// What is wrong with it.
        source: Faults,
    },
    /// The thing to change is not there.
    #[error("this {0} is no longer in the file; another program may have removed it")]
    Gone(&'static str),
    /// The change would break what others rely on.
    #[error("{0}")]
    InUse(String),
    /// A name or number is taken.
    #[error("{0}")]
    Taken(String),
    /// The disk is full.
    #[error(
        "the disk is full: nothing of this change was kept, all before it is safe; make room and try again"
    )]
    Full,
    /// No file may become larger.
    #[error(
        "the file may not grow: a limit on the size of files is set here (`ulimit -f`); nothing of this change was kept, all before it is safe; lift the limit, start the program again and try again"
    )]
    MayNotGrow,
    /// The file may not be written.
    #[error(
        "the file cannot be written (it or its folder is read-only): nothing of this change was kept; have it made writable, or work on a copy"
    )]
    ReadOnly,
    /// The file is not where it was when it was opened, or not alone.
    #[error("{path}{}", gone_astray(*how), path = path.display())]
    Astray {
        /// The file.
        path: PathBuf,
        /// What became of it.
        how: Astray,
    },
    /// The file is a backup of another.
    #[error(
        "{path} is a backup: `thirdwood restore {number}`, with --data {of}, puts it back; to look into it, copy it to another folder; nothing was changed",
        path = path.display(), of = of.display()
    )]
    IsBackup {
        /// The backup.
        path: PathBuf,
        /// Its number.
        number: u32,
        /// The file of which it is one.
        of: PathBuf,
    },
    /// The file is not there, and its log is.
    #[error(
        "{path} is not there, but its log is ({path}-wal), with changes in it: put the file back beside it, or `thirdwood restore` a backup; to begin afresh, move the log away; nothing was changed",
        path = path.display()
    )]
    LogAlone {
        /// The file.
        path: PathBuf,
    },
    /// The log beside the file is of another one that stood there.
    #[error(
        "{path} is sound, but the log beside it ({path}-wal) is of another file that stood there and would damage it: put that file back, or move the log away to use this one; nothing was changed",
        path = path.display()
    )]
    StrangeLog {
        /// The file.
        path: PathBuf,
    },
    /// The file is mounted by itself.
    #[error(
        "{path} is mounted there by itself, and its log lies beside its own name: what is counted under the one is lost under the other; mount its folder, or name the file by its own place with --data; nothing was changed",
        path = path.display()
    )]
    MountedFile {
        /// The file.
        path: PathBuf,
    },
    /// Another program holds the file.
    #[error(
        "another program is writing to the file and did not finish in time: nothing of this change was kept; close it and try again"
    )]
    Locked,
    /// A backup is being made just now.
    #[error("a backup is being made just now: try again in a moment")]
    BackupUnderWay,
    /// The file is damaged.
    #[error(
        "the file is damaged ({0}): copy it aside before anything else, and run `thirdwood restore`, which lists the backups"
    )]
    Corrupt(String),
    /// The disk does not do as it should.
    #[error(
        "the disk could not be read or written ({0}): nothing of this change was kept; copy the file and its backups to another disk"
    )]
    Disk(String),
    /// It was asked to stop.
    #[error("it was broken off, and changed nothing")]
    Stopped,
    /// There is no such backup.
    #[error("there is no backup {0} of this file: `thirdwood restore` lists them")]
    NoBackup(String),
    /// A backup that must not be put back.
    #[error("the backup {name} is not sound ({problem}): restore another; nothing was changed")]
    BadBackup {
        /// Its name.
        name: String,
        /// What is wrong with it.
        problem: String,
    },
    /// The file is damaged, and there is a backup to put back.
    #[error(
        "{source}; the newest good backup is number {number}, of {day}: `thirdwood restore {number}` puts it back, and keeps the file as it is now beside it"
    )]
    HasBackup {
        /// What is wrong.
        source: Box<StoreError>,
        /// The backup's number.
        number: u32,
        /// The day that it was made.
        day: chrono::NaiveDate,
    },
    /// A bundle holds something invalid.
    #[error(
        "the bundle is damaged or was not made by thirdwood: {0}; nothing was changed, ask for it once more"
    )]
    Bundle(String),
    /// A change set of an earlier version that is known here comes with another content.
    #[error(
        "{0} is not here as the bundle says, in a change that both know: one of them was altered on its way; put the backup back that was made before it came in (`thirdwood restore`), on the tablet where it is wrong; nothing was changed"
    )]
    Altered(String),
    /// A bundle that would take more work than any orchard's.
    #[error("the bundle is refused: {0}, which no orchard needs; nothing was changed")]
    TooMuch(String),
    /// A bundle rests on changes that this file does not have.
    #[error(
        "the bundle begins after changes that this file does not have yet: merge the earlier bundles first, or ask for one with everything (`thirdwood bundle --all`); nothing was changed"
    )]
    Gap,
    /// What people typed would tell names in a bundle without names.
    #[error(
        "{0} reasons or notes name a pruner, and would tell the name: `thirdwood bundle --numbers-in-notes` puts the number there for good, in this file too; where that is not enough, settle the conflicts first (`thirdwood conflicts`); nothing was written"
    )]
    NamesTyped(usize),
    /// More orchards were made one than a bundle carries.
    #[error(
        "this file says that {0} orchards were made one, more than a bundle carries: put a backup from before that back (`thirdwood restore`); nothing was written"
    )]
    ManyOrchards(usize),
    /// A bundle of another orchard.
    #[error(
        "the bundle is of an orchard that began on another tablet by itself: if it is the same orchard, make both one with --join-orchards; nothing was changed"
    )]
    OtherOrchard,
    /// Anything else that the database said.
    #[error("the file did not take this ({}): nothing of it was kept; run `thirdwood check`", database(.0))]
    Sqlite(rusqlite::Error),
    /// The clock is beyond what a file can keep.
    #[error(
        "the clock of this machine says {0}: set it to today (1970 to 2298 can be kept), and start again"
    )]
    Clock(String),
    /// The time zone is beyond what there is on earth.
    #[error(
        "the time zone of this machine is more than 14 hours from UTC: set it right (TZ, or the zone of the system), and start again"
    )]
    Zone,
}

impl From<rusqlite::Error> for StoreError {
    fn from(error: rusqlite::Error) -> Self {
        if is_refused_commit(&error)
            && let Some((path, how)) = astray::refusal()
        {
            return Self::Astray { path, how };
        }
        match error.sqlite_error_code() {
            Some(ErrorCode::DiskFull) => Self::Full,
            Some(ErrorCode::SystemIoFailure) if is_without_room(&error) => Self::Full,
            Some(ErrorCode::ReadOnly | ErrorCode::PermissionDenied) => Self::ReadOnly,
            Some(ErrorCode::CannotOpen) => Self::CannotOpen,
            Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked) => Self::Locked,
            Some(ErrorCode::DatabaseCorrupt | ErrorCode::NotADatabase) => {
                Self::Corrupt(database(&error))
            }
            Some(ErrorCode::SystemIoFailure) if limit_was_met() => Self::MayNotGrow,
            Some(ErrorCode::SystemIoFailure) => Self::Disk(database(&error)),
            Some(ErrorCode::OperationInterrupted) => Self::Stopped,
            _ if is_unreadable(&error) => Self::Corrupt(error.to_string()),
            _ => Self::Sqlite(error),
        }
    }
}

/// What became of the file, and what to do; its name goes before.
fn gone_astray(how: Astray) -> &'static str {
    match how {
        Astray::Gone => {
            " is gone: it was moved or deleted, or its disk was taken out; nothing more is kept; put it back to go on"
        }
        Astray::Hidden => {
            " may not be read any more: rights of it or its folder were taken; nothing more is kept; give them back to go on"
        }
        Astray::Replaced => {
            " is another file now than the one that was opened; nothing more is kept; start the program again to use the new one"
        }
        Astray::LogGone => {
            " has lost its log (the files ending in -wal and -shm, which must stay beside it while it is open); nothing more is kept; start the program again"
        }
        Astray::Linked => {
            " has a second name (a hard link), and what is counted under one name is lost under the other; nothing was changed; remove the other name, or open a copy of the file"
        }
    }
}

fn is_refused_commit(error: &rusqlite::Error) -> bool {
    let code = error.sqlite_error().map(|e| e.extended_code);
    code == Some(rusqlite::ffi::SQLITE_CONSTRAINT_COMMITHOOK)
}

/// The index of the log could not be made as large as it must be: the disk has no room for it.
fn is_without_room(error: &rusqlite::Error) -> bool {
    let code = error.sqlite_error().map(|e| e.extended_code);
    code == Some(rusqlite::ffi::SQLITE_IOERR_SHMSIZE)
}

/// A value that no version of this program wrote: of another type, out of its range, or no text.
fn is_unreadable(error: &rusqlite::Error) -> bool {
    use rusqlite::Error as E;
    matches!(
        error,
        E::FromSqlConversionFailure(..)
            | E::IntegralValueOutOfRange(..)
            | E::InvalidColumnType(..)
            | E::Utf8Error(..)
    )
}

impl StoreError {
    /// A bundle holds something invalid: words of whoever made it may stand in what is said.
    pub(super) fn bundle(words: &str) -> Self {
        Self::Bundle(crate::orchard::visible(words))
    }

    /// What the system said of a file or folder.
    pub(super) fn of_io(path: &std::path::Path, source: std::io::Error) -> Self {
        match source.kind() {
            std::io::ErrorKind::StorageFull => Self::Full,
            std::io::ErrorKind::FileTooLarge => Self::MayNotGrow,
            _ => Self::Open {
                path: path.to_owned(),
                source,
            },
        }
    }

    /// As [`StoreError::of_io`], where the path is known before.
    pub(super) fn at(path: &std::path::Path) -> impl Fn(std::io::Error) -> Self {
        let path = path.to_owned();
        move |source| Self::of_io(&path, source)
    }

    /// What stood in the way, where something else was done all the same: without what it says of that.
    pub fn in_short(&self) -> String {
        let words = match self {
            Self::Full => "the disk is full",
            Self::MayNotGrow => "no file may become so large here",
            Self::ReadOnly => "the file or its folder is read-only",
            Self::Locked => "another program is writing to the file",
            Self::Disk(_) => "the disk could not be read or written",
            Self::Open { path, source } => {
                return format!("cannot open {}: {}", path.display(), why(source));
            }
            Self::Sqlite(said) => {
                return format!("the file did not take this ({})", database(said));
            }
            other => return other.to_string(),
        };
        words.to_owned()
    }

    /// Whether the file itself is at fault, so that a backup would help.
    pub fn is_damage(&self) -> bool {
        matches!(
            self,
            Self::NotOurs { .. } | Self::Damaged { .. } | Self::Corrupt(_) | Self::HasBackup { .. }
        )
    }
}

/// Tells a broken constraint in the user's words.
pub(super) fn explain(
    outcome: rusqlite::Result<usize>,
    broken: Constraint,
    words: impl FnOnce() -> String,
) -> Result<usize, StoreError> {
    outcome.map_err(|error| match (constraint(&error), broken) {
        (Some(Constraint::Taken), Constraint::Taken) => StoreError::Taken(words()),
        (Some(Constraint::InUse), Constraint::InUse) => StoreError::InUse(words()),
        _ => error.into(),
    })
}

fn constraint(error: &rusqlite::Error) -> Option<Constraint> {
    use rusqlite::ffi;
    match error.sqlite_error()?.extended_code {
        ffi::SQLITE_CONSTRAINT_UNIQUE | ffi::SQLITE_CONSTRAINT_PRIMARYKEY => {
            Some(Constraint::Taken)
        }
        ffi::SQLITE_CONSTRAINT_FOREIGNKEY | ffi::SQLITE_CONSTRAINT_TRIGGER => {
            Some(Constraint::InUse)
        }
        _ => None,
    }
}

/// The constraints that users meet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Constraint {
    /// A name or number is taken.
    Taken,
    /// Others refer to it.
    InUse,
}
