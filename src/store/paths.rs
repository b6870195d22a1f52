//! Where the orchard file and what goes with it lie.

use std::path::{Path, PathBuf};

use etcetera::BaseStrategy;

use super::StoreError;

/// Ends of the names of what the database keeps beside a file.
pub const COMPANIONS: [&str; 3] = ["-wal", "-shm", "-journal"];
/// The most links that are followed one after the other, as Linux has it.
const LINKS: usize = 40;

/// Where the orchard file is kept when none is named: `thirdwood/orchard.db` in the XDG data folder.
pub fn default_path() -> Result<PathBuf, StoreError> {
    let base = etcetera::choose_base_strategy().map_err(|_| StoreError::NoHome)?;
    Ok(base.data_dir().join("thirdwood").join("orchard.db"))
}

/// The name of the folder of backups.
pub(super) const BACKUPS: &str = "backups";

/// The folder of a file's backups; it may not be there yet.
pub fn backups_of(file: &Path) -> PathBuf {
    file.with_file_name(BACKUPS)
}

/// Whether there is such a file. One that may not be looked for is not taken for one that is not there.
pub fn is_there(path: &Path) -> Result<bool, StoreError> {
    match path.try_exists() {
        // a file in the place of a folder
        Err(e) if e.kind() == std::io::ErrorKind::NotADirectory => Ok(false),
        there => there.map_err(|source| StoreError::of_io(path, source)),
    }
}

/// Where a path leads: without links, also where the last of them leads to nothing yet.
pub fn real(path: &Path) -> PathBuf {
    let mut at = std::path::absolute(path).unwrap_or_else(|_| path.to_owned());
    for _ in 0..LINKS {
        if let Ok(whole) = at.canonicalize() {
            return whole;
        }
        let Ok(next) = std::fs::read_link(&at) else {
            break;
        };
        at = at.parent().unwrap_or(Path::new("/")).join(next);
    }
    match (at.parent(), at.file_name()) {
        (Some(folder), Some(name)) => real(folder).join(name),
        _ => at,
    }
}

/// A path with something behind its name.
pub fn with_end(path: &Path, end: &str) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(end);
    PathBuf::from(name)
}

/// Makes the folder and the file where they are not there. Says whether the file is new or empty.
pub(super) fn prepare(path: &Path) -> Result<bool, StoreError> {
    let fail = |at: &Path| {
        let path = at.to_owned();
        move |source| StoreError::Open { path, source }
    };
    if let Some(folder) = path
        .parent()
        .filter(|folder| !folder.as_os_str().is_empty() && !folder.exists())
    {
        make_private_folder(folder).map_err(fail(folder))?;
    }
    let mut options = std::fs::OpenOptions::new();
    options.read(true).append(true).create(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    let file = options.open(path).map_err(fail(path))?;
    let length = file.metadata().map_err(fail(path))?.len();
    Ok(length == 0)
}

pub(super) fn make_private_folder(folder: &Path) -> std::io::Result<()> {
    let mut builder = std::fs::DirBuilder::new();
    builder.recursive(true);
    #[cfg(unix)]
    std::os::unix::fs::DirBuilderExt::mode(&mut builder, 0o700);
    builder.create(folder)
}
