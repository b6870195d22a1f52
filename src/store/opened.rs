//! Whether the orchard file is still the one that was opened: asked at every commit, since a database that was moved,
//! deleted or replaced takes commits as if nothing had happened, and they are gone at the next start.

use std::fs::Metadata;
use std::path::{Path, PathBuf};

use rusqlite::Connection;

use super::astray::{Astray, refuse};
use super::inspect::inspect;
use super::paths::with_end;
use super::whole::Part;
use super::{Store, StoreError};

/// What the names of copies that are saved so hold behind that of the file.
pub(super) const SAVED: &str = "-saved-";

/// What tells a file from all others on the machine: its disk, and its number there.
type Identity = (u64, u64);

/// An open file and what the database keeps beside it, as they were found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Opened {
    path: PathBuf,
    own: Identity,
    beside: Vec<(PathBuf, Identity)>,
}

impl Opened {
    /// A file that is open in the database. Its log has the file's own name, not that of a link to it.
    pub(super) fn at(path: &Path) -> std::io::Result<Self> {
        let real = path.canonicalize()?;
        let mut beside = Vec::new();
        for ending in ["-wal", "-shm"] {
            let name = with_end(&real, ending);
            // on some disks the database keeps no log
            if let Ok(about) = std::fs::metadata(&name) {
                beside.push((name, identity(&about)));
            }
        }
        Ok(Self {
            path: std::path::absolute(path)?,
            own: identity(&std::fs::metadata(&real)?),
            beside,
        })
    }

    /// Asks by name alone: to open and close the file here would drop the database's locks on it.
    fn look(&self) -> Result<(), Astray> {
        let about = std::fs::metadata(&self.path).map_err(|e| Astray::lost(&e))?;
        if identity(&about) != self.own {
            return Err(Astray::Replaced);
        }
        if links(&about) > 1 {
            return Err(Astray::Linked);
        }
        let is_there = |(name, known): &(PathBuf, Identity)| {
            std::fs::metadata(name).is_ok_and(|about| identity(&about) == *known)
        };
        if self.beside.iter().all(is_there) {
            Ok(())
        } else {
            Err(Astray::LogGone)
        }
    }

    fn refusal(&self, how: Astray) -> StoreError {
        StoreError::Astray {
            path: self.path.clone(),
            how,
        }
    }
}

/// From now on this connection commits nothing once the file is astray.
pub(super) fn refuse_commits(conn: &mut Connection, opened: &Opened) -> rusqlite::Result<()> {
    let opened = opened.clone();
    conn.commit_hook(Some(move || match opened.look() {
        Ok(()) => false,
        Err(how) => {
            refuse(opened.path.clone(), how);
            true
        }
    }))
}

/// Refuses a file that has another name too: the database's log goes by name, so that each would keep what the other does
/// not know of.
pub(super) fn one_name(path: &Path) -> Result<(), StoreError> {
    plain_file(path)?;
    let Ok(real) = path.canonicalize() else {
        return Ok(());
    };
    let how = match std::fs::metadata(&real) {
        Ok(about) if links(&about) > 1 => StoreError::Astray {
            path: path.to_owned(),
            how: Astray::Linked,
        },
        Ok(_) if is_mounted(&real) => StoreError::MountedFile {
            path: path.to_owned(),
        },
        _ => return Ok(()),
    };
    Err(how)
}

/// Refuses what lies there and is no file, before it is opened: a pipe would wait for whoever writes into it.
pub(super) fn plain_file(path: &Path) -> Result<(), StoreError> {
    let what = match std::fs::metadata(path) {
        Ok(about) if about.is_dir() => "is a folder: name the file in it",
        Ok(about) if !about.is_file() => {
            "is a pipe or a device, and no orchard file: name another with --data"
        }
        _ => return Ok(()),
    };
    Err(StoreError::NoFile {
        path: path.to_owned(),
        what,
    })
}

/// Whether a file is mounted by itself, under a name that is not its own.
fn is_mounted(real: &Path) -> bool {
    let Ok(mounts) = std::fs::read_to_string("/proc/self/mountinfo") else {
        return false;
    };
    // number, parent, device, root, mount point; a space in a name is written \040
    let escaped = real.to_string_lossy().replace('\\', "\\134");
    let escaped = escaped.replace(' ', "\\040").replace('\t', "\\011");
    mounts
        .lines()
        .any(|line| line.split(' ').nth(4) == Some(&escaped))
}

/// The newest copy that was saved when the file was taken away under open screens; see [`Store::save_aside`].
pub(super) fn saved_beside(path: &Path) -> Option<String> {
    let folder = path
        .parent()
        .filter(|folder| !folder.as_os_str().is_empty());
    let begin = format!("{}{SAVED}", path.file_stem()?.to_string_lossy());
    let names = std::fs::read_dir(folder.unwrap_or(Path::new("."))).ok()?;
    names
        .filter_map(|entry| entry.ok()?.file_name().into_string().ok())
        .filter(|name| name.starts_with(&begin))
        .max()
}

#[cfg(unix)]
fn identity(about: &Metadata) -> Identity {
    use std::os::unix::fs::MetadataExt;
    (about.dev(), about.ino())
}

#[cfg(unix)]
fn links(about: &Metadata) -> u64 {
    std::os::unix::fs::MetadataExt::nlink(about)
}

/// Elsewhere an open file cannot be taken away.
#[cfg(not(unix))]
fn identity(_: &Metadata) -> Identity {
    (0, 0)
}

#[cfg(not(unix))]
fn links(_: &Metadata) -> u64 {
    1
}

impl Store {
    /// The file as it was opened, so that another connection can be seen to have the same one; none in memory.
    pub fn opened(&self) -> Option<&Opened> {
        self.opened.as_ref()
    }

    /// An error where the open file is no longer in its place: nothing more can be kept.
    pub fn in_place(&self) -> Result<(), StoreError> {
        match &self.opened {
            Some(opened) => opened.look().map_err(|how| opened.refusal(how)),
            None => Ok(()),
        }
    }

    /// Writes all that is in the open file, though it has no name any more, to a new one: beside the old place, or where
    /// that is not to be had in the home folder or the folder for scratch files. What waits in the log goes into the old
    /// file too, so that one that was moved is whole where it lies now, and one that takes its place meets no log of another.
    pub fn save_aside(&self, day: chrono::NaiveDate) -> Result<PathBuf, StoreError> {
        let folders = [
            self.path.parent().map(Path::to_owned),
            etcetera::home_dir().ok(),
            Some(std::env::temp_dir()),
        ];
        let mut failed = None;
        for folder in folders.into_iter().flatten() {
            match self.save_in(&folder, day) {
                Ok(saved) => {
                    // another program may be at it: then it does this
                    let _ = self.run("PRAGMA wal_checkpoint(TRUNCATE)");
                    return Ok(saved);
                }
                Err(e) => failed = failed.or(Some(e)),
            }
        }
        Err(failed.unwrap_or(StoreError::NoHome))
    }

    fn save_in(&self, folder: &Path, day: chrono::NaiveDate) -> Result<PathBuf, StoreError> {
        let stem = self.path.file_stem().unwrap_or_default().to_string_lossy();
        let name = |nr: u32| folder.join(format!("{stem}{SAVED}{day}-{nr}.db"));
        let mut nr = 1;
        while name(nr).exists() {
            nr += 1;
        }
        let to = name(nr);
        let fail = |source| StoreError::of_io(&to, source);
        let part = Part::beside(&to).map_err(fail)?;
        self.conn
            .execute("VACUUM INTO ?1", [part.path.to_string_lossy()])?;
        let problems = inspect(&Connection::open(&part.path)?)?;
        if let Some(problem) = problems.into_iter().next() {
            return Err(StoreError::Corrupt(problem));
        }
        part.give_name(&to).map_err(fail)?;
        Ok(to)
    }
}
