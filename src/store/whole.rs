//! Files that are complete or not there, and readable by their owner only (mode 0600 where there are modes): the
//! orchard file, its copies, bundles, papers and tables all may hold names.
//!
//! A file is written under another name first, made afresh for that ([`Part`]), and takes its own once all of it is on
//! disk. What stood there before is replaced whole: its other hard links keep what they held. A link is followed, and
//! stays. Into what is no file, a device or a pipe, the bytes are written as they come.

use std::fs::{File, TryLockError};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use uuid::Uuid;

use super::kept::Kept;
use super::paths::real;

/// What the name of a file in the making begins and ends with.
const PART: (&str, &str) = (".thirdwood-", ".part");
/// The most names of a folder that are looked through for what was left half made.
const LOOKED_AT: usize = 10_000;

fn for_owner() -> std::fs::OpenOptions {
    let mut options = File::options();
    options.write(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    options
}

/// Opens a file for its owner only, for writing. What it holds stays.
pub(super) fn private(path: &Path) -> io::Result<File> {
    for_owner().create(true).truncate(false).open(path)
}

/// Makes a file for its owner only that is not there yet: never over another, nor through a link.
pub(crate) fn private_new(path: &Path) -> io::Result<File> {
    for_owner().create_new(true).open(path)
}

/// Gives a file that is on disk its own name, in one step.
pub(super) fn give_name(part: &Path, to: &Path) -> io::Result<()> {
    std::fs::rename(part, to)?;
    sync_folder(folder_of(to))
}

/// Sees to it that the names in a folder are on disk.
pub(super) fn sync_folder(folder: &Path) -> io::Result<()> {
    File::open(folder)?.sync_all()
}

fn folder_of(path: &Path) -> &Path {
    let folder = path
        .parent()
        .filter(|folder| !folder.as_os_str().is_empty());
    folder.unwrap_or(Path::new("."))
}

/// A file in the making, under a name that nobody else has. It goes when this is dropped before it has its own name;
/// where the program is killed, it goes when the next is made in that folder: one that is worked on is locked.
#[derive(Debug)]
pub(crate) struct Part {
    pub(crate) path: PathBuf,
    file: File,
    named: bool,
}

impl Part {
    /// Begins a file that will lie in the same folder as `to`.
    pub(crate) fn beside(to: &Path) -> io::Result<Self> {
        let folder = folder_of(to);
        clear(folder);
        loop {
            let name = format!("{}{}{}", PART.0, Uuid::now_v7().simple(), PART.1);
            let path = folder.join(name);
            let file = private_new(&path)?;
            // another program may have taken it for one that was left, until it was locked
            let taken = matches!(file.try_lock(), Err(TryLockError::WouldBlock));
            if !taken && path.exists() {
                let named = false;
                return Ok(Self { path, file, named });
            }
        }
    }

    /// What it is written by.
    pub(crate) fn file(&mut self) -> &mut File {
        &mut self.file
    }

    /// Gives it its own name once all of it is on disk.
    pub(crate) fn give_name(mut self, to: &Path) -> io::Result<()> {
        self.file.sync_all()?;
        give_name(&self.path, to)?;
        self.named = true;
        Ok(())
    }
}

impl Drop for Part {
    fn drop(&mut self) {
        if !self.named {
            // what cannot be removed now goes next time
            let _ = std::fs::remove_file(&self.path);
        }
    }
}

/// Removes what was left half made in a folder. Where files cannot be locked, all stay.
fn clear(folder: &Path) {
    let entries = std::fs::read_dir(folder).into_iter().flatten().flatten();
    for entry in entries.take(LOOKED_AT) {
        let name = entry.file_name();
        let Some(id) = (name.to_str())
            .and_then(|name| name.strip_prefix(PART.0)?.strip_suffix(PART.1))
            .filter(|id| id.len() == 32 && Uuid::try_parse(id).is_ok())
        else {
            continue;
        };
        let is_file = entry.file_type().is_ok_and(|kind| kind.is_file());
        let path = folder.join(format!("{}{id}{}", PART.0, PART.1));
        let left = is_file
            && File::options()
                .write(true)
                .open(&path)
                .is_ok_and(|file| file.try_lock().is_ok());
        if left {
            let _ = std::fs::remove_file(&path);
        }
    }
}

/// Where a file goes: links are followed.
///
/// # Errors
/// Where it may not go, in words that go behind its name.
pub(crate) fn place(kept: &Kept, to: &Path) -> io::Result<PathBuf> {
    kept.refuse(to)?;
    let wrong = |kind, words: &str| Err(io::Error::new(kind, words.to_owned()));
    match to.metadata() {
        Ok(about) if about.is_dir() => wrong(
            io::ErrorKind::IsADirectory,
            "this is a folder: name a file in it",
        ),
        Ok(about) if !about.is_file() => wrong(
            io::ErrorKind::InvalidInput,
            "this is no file but a device or a pipe: name another",
        ),
        Ok(about) if about.permissions().readonly() => wrong(
            io::ErrorKind::PermissionDenied,
            "this file is write-protected: name another, or let it be written",
        ),
        _ => Ok(real(to)),
    }
}

/// Writes a file whole. What stood there before is replaced; where anything fails it stays, and nothing half-written is
/// left.
///
/// # Errors
/// As [`place`], and what the system or `write` said.
fn write_file_with<T>(
    kept: &Kept,
    to: &Path,
    write: impl FnOnce(&mut dyn Write) -> io::Result<T>,
) -> io::Result<T> {
    let place = place(kept, to)?;
    let mut part = Part::beside(&place)?;
    let written = write(part.file())?;
    part.give_name(&place)?;
    Ok(written)
}

/// As [`write_whole_with`], with bytes that are there already, and only into a file.
///
/// # Errors
/// As [`place`], and what the system said.
pub(crate) fn write_file(kept: &Kept, to: &Path, bytes: &[u8]) -> io::Result<()> {
    write_file_with(kept, to, |out| out.write_all(bytes))
}

/// Writes a file whole, or into the device or pipe that lies there.
///
/// # Errors
/// Where nothing may be written there, and what the system or `write` said.
pub(crate) fn write_whole_with<T>(
    kept: &Kept,
    to: &Path,
    write: impl FnOnce(&mut dyn Write) -> io::Result<T>,
) -> io::Result<T> {
    kept.refuse(to)?;
    let Some(mut out) = stream::of(to)? else {
        return write_file_with(kept, to, write);
    };
    let written = write(&mut out)?;
    out.flush()?;
    Ok(written)
}

/// What is no file.
#[cfg(unix)]
mod stream {
    use std::fs::File;
    use std::io::{self, Write};
    use std::os::unix::fs::FileTypeExt;
    use std::os::unix::net::UnixStream;
    use std::path::Path;

    /// Opens the device, pipe or socket that lies there, or what this program was started with under that name, such as
    /// `/dev/stdout`; none for a file.
    pub(super) fn of(to: &Path) -> io::Result<Option<Box<dyn Write>>> {
        match descriptor(to).as_deref() {
            Some("1") => return Ok(Some(Box::new(io::stdout()))),
            Some("2") => return Ok(Some(Box::new(io::stderr()))),
            // whoever opened it may have written there before, and may go on
            Some(_) if to.exists() => return open(to, true),
            _ => {}
        }
        let Ok(kind) = to.metadata().map(|about| about.file_type()) else {
            return Ok(None);
        };
        if kind.is_block_device() {
            let words = "this is a disk: name a file on it";
            return Err(io::Error::new(io::ErrorKind::InvalidInput, words));
        }
        if kind.is_socket() {
            return Ok(Some(Box::new(UnixStream::connect(to)?)));
        }
        if kind.is_char_device() || kind.is_fifo() {
            return open(to, false);
        }
        Ok(None)
    }

    fn open(to: &Path, append: bool) -> io::Result<Option<Box<dyn Write>>> {
        let file = File::options().write(true).append(append).open(to)?;
        Ok(Some(Box::new(file)))
    }

    /// The number under which this program has open what a path leads to, if it leads there by that number.
    fn descriptor(to: &Path) -> Option<String> {
        let own = [Path::new("/proc/self/fd"), Path::new("/dev/fd")];
        let own = own.map(|folder| folder.canonicalize().ok());
        let mut at = std::path::absolute(to).ok()?;
        for _ in 0..8 {
            let folder = at.parent()?.canonicalize().ok()?;
            if own.iter().flatten().any(|own| *own == folder) {
                return Some(at.file_name()?.to_str()?.to_owned());
            }
            at = folder.join(std::fs::read_link(&at).ok()?);
        }
        None
    }
}

/// What is no file.
#[cfg(not(unix))]
mod stream {
    /// None is known here.
    pub(super) fn of(_: &std::path::Path) -> std::io::Result<Option<Box<dyn std::io::Write>>> {
        Ok(None)
    }
}

#[cfg(test)]
#[path = "whole_tests.rs"]
mod tests;
