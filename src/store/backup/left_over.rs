//! What a program that was killed leaves beside the file: half-made backups, and copies of a backup that was being put
//! back. They may hold names that were taken away since.

use std::path::{Path, PathBuf};

use super::super::StoreError;
use super::{folder, parse};

/// What the database keeps beside a file of its own.
const BESIDE: [&str; 4] = ["-journal", "-wal", "-shm", ""];

/// The copy from which names are taken before it is put back. One program at a time makes it: it holds the lock.
pub(super) fn copy_to_clear(file: &Path) -> PathBuf {
    folder(file).join(format!(".{}.restoring", name_of(file)))
}

/// The copy that takes the file's name where the file is beyond the database.
pub(super) fn copy_to_name(file: &Path) -> PathBuf {
    file.with_file_name(format!("{}.restoring", name_of(file)))
}

/// All that was left over, in order of name. While a backup is made or put back, its own files are among them.
pub fn left_over(file: &Path) -> Result<Vec<PathBuf>, StoreError> {
    // a store in memory has none
    if file.file_name().is_none() {
        return Ok(Vec::new());
    }
    let folder = folder(file);
    let name = name_of(file);
    // earlier versions named their copies by a number alone, so it may be another file's: nobody can tell
    let begin = [
        format!("{name}.part"),
        format!(".{name}.restoring"),
        ".restoring-".to_owned(),
    ];
    let mut found = Vec::new();
    for (path, name) in entries(&folder)? {
        let of_copy = begin.iter().any(|begin| name.starts_with(begin));
        if of_copy || is_orphan(file, &folder, &name) {
            found.push(path);
        }
    }
    let begin = format!("{name}.restoring");
    let parent = file
        .parent()
        .filter(|parent| !parent.as_os_str().is_empty());
    for (path, name) in entries(parent.unwrap_or(Path::new(".")))? {
        if name
            .strip_prefix(&begin)
            .is_some_and(|end| BESIDE.contains(&end))
        {
            found.push(path);
        }
    }
    found.sort();
    Ok(found)
}

/// Removes all that was left over. Only for whoever holds the lock: nobody makes or puts back a backup then.
pub(super) fn clear(file: &Path) -> Result<usize, StoreError> {
    let found = left_over(file)?;
    for path in &found {
        match std::fs::remove_file(path) {
            Err(e) if e.kind() != std::io::ErrorKind::NotFound => {
                return Err(StoreError::at(path)(e));
            }
            _ => {}
        }
    }
    Ok(found.len())
}

/// The log of a backup that is not there any more.
fn is_orphan(file: &Path, folder: &Path, name: &str) -> bool {
    let of_backup = |end: &&&str| {
        name.strip_suffix(**end)
            .is_some_and(|name| parse(file, name).is_some())
    };
    let ends = BESIDE[..3].iter();
    ends.filter(of_backup)
        .any(|end| !folder.join(&name[..name.len() - end.len()]).exists())
}

fn name_of(file: &Path) -> String {
    file.file_name()
        .unwrap_or_default()
        .to_string_lossy()
        .into_owned()
}

/// Files with their names; none where the folder is not there.
fn entries(folder: &Path) -> Result<Vec<(PathBuf, String)>, StoreError> {
    let read = match std::fs::read_dir(folder) {
        Err(e) if e.kind() == std::io::ErrorKind::NotFound => return Ok(Vec::new()),
        other => other.map_err(StoreError::at(folder))?,
    };
    let mut found = Vec::new();
    for entry in read {
        let entry = entry.map_err(StoreError::at(folder))?;
        let name = entry.file_name().to_string_lossy().into_owned();
        found.push((entry.path(), name));
    }
    Ok(found)
}
