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
    folders.extend(std::env::current_dir());
    folders.extend(file.parent().map(Path::to_owned));
    folders.extend(home);
    folders.retain(|folder| folder.is_dir());
    folders.truncate(MOST);
    folders
}

/// The bundles of folders that other tablets than `own` wrote, newest first; each once, though a folder may be named
/// twice. A folder that cannot be read is passed over, and so is a file with nothing in it.
pub fn found(folders: &[PathBuf], own: &str) -> Vec<PathBuf> {
    let mut found: Vec<(SystemTime, PathBuf, PathBuf)> = Vec::new();
    let all = folders.iter().flat_map(|folder| bundles_in(folder));
    for path in all.filter(|path| !is_by(own, path)) {
        let whole = path.canonicalize().unwrap_or_else(|_| path.clone());
        let known = found.iter().any(|(_, _, known)| *known == whole);
        let about = path.metadata().ok().filter(|about| about.len() > 0);
        let changed = about.and_then(|about| about.modified().ok());
        if let (false, Some(changed)) = (known, changed) {
            found.push((changed, path, whole));
        }
    }
    found.sort_by(|a, b| b.0.cmp(&a.0).then_with(|| a.1.cmp(&b.1)));
    found.truncate(MOST);
    found.into_iter().map(|(_, path, _)| path).collect()
}

/// Whether a file has a name that this tablet gives to its bundles ([`super::place_in`]).
fn is_by(own: &str, path: &Path) -> bool {
    let name = path.file_stem().and_then(|stem| stem.to_str());
    let Some(rest) = name.and_then(|name| name.strip_prefix("thirdwood-")) else {
        return false;
    };
    // the day, then the tablet, then a number where there are several of a day
    let mut parts = rest.splitn(5, '-').skip(3);
    !own.is_empty()
        && parts.next() == Some(own)
        && parts.all(|number| number.bytes().all(|byte| byte.is_ascii_digit()))
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
mod tests {
    use super::*;

    #[test]
    fn bundles_are_found_once_newest_first_and_nothing_else() {
        let folder = tempfile::tempdir().unwrap();
        let at = |name: &str| folder.path().join(name);
        for (name, age) in [("old.bundle", 60), ("new.bundle", 1), ("other.txt", 0)] {
            std::fs::write(at(name), "a bundle").unwrap();
            let file = std::fs::File::options().write(true).open(at(name));
            let file = file.unwrap();
            let ago = std::time::Duration::from_secs(age);
            file.set_modified(SystemTime::now() - ago).unwrap();
        }
        std::fs::create_dir(at("folder.bundle")).unwrap();
        let folders = [
            folder.path().to_owned(),
            folder.path().join("."),
            at("not there"),
        ];
        assert_eq!(found(&folders, ""), [at("new.bundle"), at("old.bundle")]);
    }

    #[test]
    fn what_this_tablet_wrote_and_what_is_empty_are_left_out() {
        let folder = tempfile::tempdir().unwrap();
        let at = |name: &str| folder.path().join(name);
        let own = [
            "thirdwood-2027-01-12-3F7A.bundle",
            "thirdwood-2027-01-12-3F7A-2.bundle",
        ];
        let others = [
            "thirdwood-2027-01-12-0B1C.bundle",
            "thirdwood-2027-01-12-0B1C-2.bundle",
            "thirdwood-3F7A.bundle",
            "from 3F7A.bundle",
        ];
        for name in own.iter().chain(&others) {
            std::fs::write(at(name), "a bundle").unwrap();
        }
        std::fs::write(at("nothing.bundle"), "").unwrap();
        let listed = |own: &str| {
            let mut found = found(&[folder.path().to_owned()], own);
            found.sort();
            found
        };
        let mut theirs = others.map(at).to_vec();
        theirs.sort();
        assert_eq!(listed("3F7A"), theirs);
        assert_eq!(listed("").len(), own.len() + others.len());
    }
}
