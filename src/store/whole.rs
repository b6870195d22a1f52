//! Files that are complete or not there, and readable by their owner only (mode 0600 where there are modes): the
//! orchard file, its copies, bundles, papers and tables all may hold names.

use std::fs::File;
use std::io;
use std::path::{Path, PathBuf};

/// Opens a file for its owner only, for writing. What it holds stays.
pub(super) fn private(path: &Path) -> io::Result<File> {
    let mut options = std::fs::OpenOptions::new();
    options.write(true).create(true).truncate(false);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    options.open(path)
}

/// The name that a file has while it is written.
pub(super) fn part_of(to: &Path) -> PathBuf {
    let mut name = to.file_name().unwrap_or_default().to_owned();
    name.push(".part");
    to.with_file_name(name)
}

/// Begins a file afresh under another name, for its owner only.
pub(crate) fn begin(part: &Path) -> io::Result<File> {
    // what was left half-written may be readable by others
    match std::fs::remove_file(part) {
        Err(e) if e.kind() != io::ErrorKind::NotFound => Err(e),
        _ => private(part),
    }
}

/// Gives a file that is on disk its own name, in one step.
pub(crate) fn give_name(part: &Path, to: &Path) -> io::Result<()> {
    std::fs::rename(part, to)?;
    sync_folder(to.parent().unwrap_or(Path::new(".")))
}

/// Sees to it that the names in a folder are on disk.
pub(super) fn sync_folder(folder: &Path) -> io::Result<()> {
    let folder = if folder.as_os_str().is_empty() {
        Path::new(".")
    } else {
        folder
    };
    File::open(folder)?.sync_all()
}

/// Writes a file under another name first, and gives it its own once all of it is on disk. What stood there before is
/// replaced; where anything fails it stays, and nothing half-written is left.
///
/// # Errors
/// What the system said, or `write`.
pub(crate) fn write_whole_with<T>(
    to: &Path,
    write: impl FnOnce(&mut File) -> io::Result<T>,
) -> io::Result<T> {
    let part = part_of(to);
    let whole = begin(&part).and_then(|mut file| {
        let written = write(&mut file)?;
        file.sync_all()?;
        Ok(written)
    });
    let written = whole.and_then(|written| give_name(&part, to).map(|()| written));
    if written.is_err() {
        // the first error is the one to tell
        let _ = std::fs::remove_file(&part);
    }
    written
}

/// As [`write_whole_with`], with bytes that are there already.
///
/// # Errors
/// What the system said.
pub(crate) fn write_whole(to: &Path, bytes: &[u8]) -> io::Result<()> {
    write_whole_with(to, |file| io::Write::write_all(file, bytes))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[cfg(unix)]
    #[test]
    fn only_the_owner_reads_it_whatever_was_there() {
        use std::os::unix::fs::PermissionsExt;
        let folder = tempfile::tempdir().unwrap();
        let to = folder.path().join("sheet.txt");
        for open in [to.clone(), part_of(&to)] {
            std::fs::write(&open, "of before").unwrap();
            std::fs::set_permissions(&open, PermissionsExt::from_mode(0o644)).unwrap();
        }
        write_whole(&to, b"new").unwrap();
        assert_eq!(std::fs::read(&to).unwrap(), b"new");
        let mode = std::fs::metadata(&to).unwrap().permissions().mode();
        assert_eq!(mode & 0o777, 0o600);
    }

    #[test]
    fn what_fails_leaves_what_was_there() {
        let folder = tempfile::tempdir().unwrap();
        let to = folder.path().join("sheet.txt");
        write_whole(&to, b"old").unwrap();
        let failed = write_whole_with(&to, |file| {
            io::Write::write_all(file, b"half")?;
            Err::<(), _>(io::Error::other("the disk is gone"))
        });
        assert!(failed.is_err());
        assert_eq!(std::fs::read(&to).unwrap(), b"old");
        assert!(!part_of(&to).exists());
    }
}
