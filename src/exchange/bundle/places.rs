//! Where bundles lie on this machine: a tablet without a keyboard is not the place to type paths.

use std::path::{Path, PathBuf};
use std::time::SystemTime;

use super::ENDING;

/// The most that are listed.
const MOST: usize = 40;

/// Folders where files come in from elsewhere and go out to: what is plugged in (common practice, no source: `/media`
/// and `/run/media`, at most two folders deep), the home folder's downloads, the one the program was started in, that of
/// `file`, and the home folder. Each is there.
pub fn folders(file: &Path) -> Vec<PathBuf> {
    let mut folders = Vec::new();
    for plugged in ["/media", "/run/media"] {
        for first in folders_in(Path::new(plugged)) {
            folders.extend(folders_in(&first));
            folders.push(first);
        }
    }
    let home = std::env::var_os("HOME").map(PathBuf::from);
    folders.extend(home.iter().map(|home| home.join("Downloads")));
    folders.push(PathBuf::from("."));
    folders.extend(file.parent().map(Path::to_owned));
    folders.extend(home);
    folders.retain(|folder| folder.is_dir());
    folders.truncate(MOST);
    folders
}

/// The bundles of folders, newest first; each once, though a folder may be named twice. A folder that cannot be read is
/// passed over.
pub fn found(folders: &[PathBuf]) -> Vec<PathBuf> {
    let mut found: Vec<(SystemTime, PathBuf, PathBuf)> = Vec::new();
    for path in folders.iter().flat_map(|folder| bundles_in(folder)) {
        let whole = path.canonicalize().unwrap_or_else(|_| path.clone());
        let known = found.iter().any(|(_, _, known)| *known == whole);
        let changed = path.metadata().and_then(|about| about.modified());
        if let (false, Ok(changed)) = (known, changed) {
            found.push((changed, path, whole));
        }
    }
    found.sort_by(|a, b| b.0.cmp(&a.0).then_with(|| a.1.cmp(&b.1)));
    found.truncate(MOST);
    found.into_iter().map(|(_, path, _)| path).collect()
}

/// The bundles of one folder, by name.
pub fn bundles_in(folder: &Path) -> Vec<PathBuf> {
    let mut all = entries(folder);
    all.retain(|path| path.extension().is_some_and(|end| end == ENDING) && path.is_file());
    all.sort();
    all
}

fn folders_in(folder: &Path) -> Vec<PathBuf> {
    let mut all = entries(folder);
    all.retain(|path| path.is_dir());
    all
}

/// Not more than can be looked through at once.
fn entries(folder: &Path) -> Vec<PathBuf> {
    let Ok(read) = std::fs::read_dir(folder) else {
        return Vec::new();
    };
    read.take(10_000)
        .filter_map(|entry| Some(entry.ok()?.path()))
        .collect()
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn bundles_are_found_once_newest_first_and_nothing_else() {
        let folder = tempfile::tempdir().unwrap();
        let at = |name: &str| folder.path().join(name);
        for (name, age) in [("old.bundle", 60), ("new.bundle", 1), ("other.txt", 0)] {
            let file = std::fs::File::create(at(name)).unwrap();
            let ago = std::time::Duration::from_secs(age);
            file.set_modified(SystemTime::now() - ago).unwrap();
        }
        std::fs::create_dir(at("folder.bundle")).unwrap();
        let folders = [
            folder.path().to_owned(),
            folder.path().join("."),
            at("not there"),
        ];
        assert_eq!(found(&folders), [at("new.bundle"), at("old.bundle")]);
    }
}
