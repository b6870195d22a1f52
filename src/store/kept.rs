//! What this program keeps, so that no output lands on it: orchard files with what goes with them, their backups, and
//! the note that a fault leaves. By whatever path, link or hard link it is named.

use std::io;
use std::path::{Path, PathBuf};

use etcetera::BaseStrategy;

use super::header::is_ours;
use super::paths::{
    BACKUPS, COMPANIONS, backups_of, default_path, make_private_folder, real, with_end,
};

/// What follows a file's name in the names of copies that are kept beside it.
const COPIES: [&str; 2] = [".before-", ".restoring"];
/// The most files that are looked at beside a folder of backups.
const LOOKED_AT: usize = 1_000;
const THE_FILE: &str = "over the orchard file";
const ANOTHER_FILE: &str = "over an orchard file or a copy of one";
const A_COMPANION: &str = "over what is kept beside the orchard file";
const A_BACKUP: &str = "into the folder of backups";
const THE_NOTE: &str = "over the note of a fault";

/// What is kept for the orchard file that is worked on, and for the usual one.
#[derive(Debug, Clone)]
pub struct Kept {
    files: Vec<PathBuf>,
}

impl Kept {
    /// `file` is the orchard file; it need not be there, and a store in memory has none.
    pub fn of(file: &Path) -> Self {
        let all = [Some(file.to_owned()), default_path().ok()];
        let named = all.into_iter().flatten();
        let named = named.filter(|path| !path.as_os_str().is_empty());
        Self {
            files: named.map(|path| real(&path)).collect(),
        }
    }

    /// Refuses a place where something lies, or is to lie, that this program keeps.
    ///
    /// # Errors
    /// In words that go behind the name of the place.
    pub fn refuse(&self, to: &Path) -> io::Result<()> {
        match self.found(to) {
            None => Ok(()),
            Some(what) => Err(io::Error::new(
                io::ErrorKind::InvalidInput,
                format!("nothing is written {what}: name another place"),
            )),
        }
    }

    /// Makes a folder for output, for its owner only, where it is not there yet.
    ///
    /// # Errors
    /// As [`Kept::refuse`], and what the system said.
    pub fn make_folder(&self, folder: &Path) -> io::Result<()> {
        self.refuse(folder)?;
        make_private_folder(folder)
    }

    fn found(&self, to: &Path) -> Option<&'static str> {
        let to = real(to);
        // by the files that are known first: to open and close one of these would drop the locks held on it
        if let Some(what) = self.files.iter().find_map(|file| goes_with(file, &to)) {
            return Some(what);
        }
        if is_ours(&to) {
            return Some(ANOTHER_FILE);
        }
        let note = note_folder().map(|folder| real(&folder.join(NOTE)));
        if note.is_some_and(|note| same(&note, &to)) {
            return Some(THE_NOTE);
        }
        let known = |file: &PathBuf| self.files.iter().any(|known| same(known, file));
        let others = owners(&to).into_iter().filter(|file| !known(file));
        let mut ours = others.filter(|file| is_ours(file));
        ours.find_map(|file| goes_with(&file, &to))
    }
}

/// What a place is to an orchard file; both are real paths.
fn goes_with(file: &Path, to: &Path) -> Option<&'static str> {
    if same(file, to) {
        return Some(THE_FILE);
    }
    let beside = COMPANIONS.map(|end| with_end(file, end));
    let name = |path: &Path| path.file_name().unwrap_or_default().to_owned();
    let (own, given) = (name(file), name(to));
    let rest = (given.as_encoded_bytes()).strip_prefix(own.as_encoded_bytes());
    let is_copy = to.parent() == file.parent()
        && rest.is_some_and(|rest| {
            COPIES
                .iter()
                .any(|begin| rest.starts_with(begin.as_bytes()))
        });
    if is_copy || beside.iter().any(|companion| same(companion, to)) {
        return Some(A_COMPANION);
    }
    let backups = backups_of(file);
    let backups = backups.canonicalize().unwrap_or(backups);
    if to.starts_with(&backups) {
        return Some(A_BACKUP);
    }
    // another name of one of them
    let mut entries = std::fs::read_dir(&backups).ok()?.flatten();
    (entries.any(|entry| same(&entry.path(), to))).then_some(A_BACKUP)
}

/// Files that a place would belong to by its name, were they orchard files.
fn owners(to: &Path) -> Vec<PathBuf> {
    let name = to.file_name().unwrap_or_default().to_string_lossy();
    let cut = |at: &&str| Some(to.with_file_name(&name[..name.rfind(*at)?]));
    let mut owners: Vec<PathBuf> = (COMPANIONS.iter().chain(&COPIES).filter_map(cut)).collect();
    let is_backups = |folder: &&Path| folder.file_name().is_some_and(|name| name == BACKUPS);
    for folder in to.ancestors().filter(is_backups) {
        let beside = folder
            .parent()
            .and_then(|above| std::fs::read_dir(above).ok());
        let beside = beside.into_iter().flatten().flatten().take(LOOKED_AT);
        owners.extend(beside.map(|entry| entry.path()));
    }
    owners
}

/// Whether two paths lead to one file: by name where they are not there.
fn same(one: &Path, other: &Path) -> bool {
    if one == other {
        return true;
    }
    let (Ok(one), Ok(other)) = (one.metadata(), other.metadata()) else {
        return false;
    };
    is_one(&one, &other)
}

#[cfg(unix)]
fn is_one(one: &std::fs::Metadata, other: &std::fs::Metadata) -> bool {
    use std::os::unix::fs::MetadataExt;
    (one.dev(), one.ino()) == (other.dev(), other.ino())
}

#[cfg(not(unix))]
fn is_one(_: &std::fs::Metadata, _: &std::fs::Metadata) -> bool {
    // paths are compared without their links
    false
}

/// The file name of the note that a fault of the program leaves.
pub const NOTE: &str = "crash.txt";

/// Where that note lies: `thirdwood` in the XDG folder for state.
pub fn note_folder() -> Option<PathBuf> {
    let base = etcetera::choose_base_strategy().ok()?;
    let state = base.state_dir().unwrap_or_else(|| base.data_dir());
    Some(state.join("thirdwood"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::store::Store;

    #[test]
    fn what_goes_with_an_orchard_file_is_known_though_another_is_worked_on() {
        let folder = tempfile::tempdir().unwrap();
        let at = |name: &str| folder.path().join(name);
        drop(Store::open(&at("other.db")).unwrap());
        std::fs::write(at("list.csv"), "a,b\n").unwrap();
        let kept = Kept::of(&at("mine.db"));
        for name in [
            "mine.db",
            "mine.db-wal",
            "backups/mine-0001-2027-01-12.db",
            "backups",
            "other.db",
            "other.db-journal",
            "other.db.before-4",
        ] {
            assert!(kept.refuse(&at(name)).is_err(), "{name}");
        }
        for name in [
            "list.csv",
            "list.csv-wal",
            "mine.db.html",
            "papers",
            "backup.html",
        ] {
            assert!(kept.refuse(&at(name)).is_ok(), "{name}");
        }
    }

    #[cfg(unix)]
    #[test]
    fn a_link_that_leads_to_nothing_yet_is_followed() {
        let folder = tempfile::tempdir().unwrap();
        let at = |name: &str| real(folder.path()).join(name);
        std::os::unix::fs::symlink("deep/../there", at("two")).unwrap();
        std::os::unix::fs::symlink("two", at("one")).unwrap();
        std::os::unix::fs::symlink("round", at("round")).unwrap();
        std::fs::create_dir(at("deep")).unwrap();
        assert_eq!(real(&at("one")), at("there"));
        assert_eq!(real(&at("round")), at("round"));
    }
}
