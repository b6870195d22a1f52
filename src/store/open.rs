//! Opening the file.

use std::path::{Path, PathBuf};

use rusqlite::{Connection, OpenFlags};

use super::connection::configure;
use super::opened::saved_beside;
use super::paths::{is_there, prepare, real, with_end};
use super::private::tighten;
use super::{Opened, Store, StoreError, backup, migrate, opened, strange_log};

impl Store {
    /// Opens the file, making it (readable by its owner only) and its folder where they are not there.
    ///
    /// Where it is named by a link, the file that this leads to is meant: its log and its backups lie beside that one,
    /// whatever the link. A file that others may read is made private.
    ///
    /// A file of a newer version, and a file that is not ours, are refused and not touched.
    /// Where it is damaged and there are backups, the error names the newest good one.
    pub fn open(path: &Path) -> Result<Self, StoreError> {
        let file = real(path);
        if let Some((of, number)) = backup::of_which(&file) {
            let path = path.to_owned();
            return Err(StoreError::IsBackup { path, number, of });
        }
        let left = backup::adopt(&link_of(path), &file);
        let mut store = Self::open_as_it_is(&file).map_err(|e| with_backup(&file, e))?;
        store.warn(tighten(&file));
        store.warn(left.map(|left| {
            format!(
                "backups made under the name of a link stay in {}: the file has its own by now",
                left.display()
            )
        }));
        Ok(store)
    }

    /// Says one thing more of how the file was opened.
    fn warn(&mut self, more: Option<String>) {
        let said = self.warning.take().into_iter().chain(more);
        self.warning = said.reduce(|said, more| format!("{said}; {more}"));
    }

    fn open_as_it_is(path: &Path) -> Result<Self, StoreError> {
        opened::one_name(path)?;
        let was_there = is_there(path)?;
        if !was_there
            && with_end(path, "-wal")
                .metadata()
                .is_ok_and(|log| log.len() > 0)
        {
            return Err(StoreError::LogAlone {
                path: path.to_owned(),
            });
        }
        match Self::open_to_write(path, was_there) {
            Err(e) if was_there => Self::open_to_read(path, e),
            outcome => outcome,
        }
    }

    fn open_to_write(path: &Path, was_there: bool) -> Result<Self, StoreError> {
        let fresh = prepare(path)?;
        if !fresh {
            migrate::refuse_foreign(path)?;
            strange_log::refuse(path)?;
        } else if was_there && backup::backups(path)?.iter().any(|known| !known.damaged) {
            // an empty file with backups is no beginning: something emptied it
            return Err(StoreError::Corrupt("it is empty".to_owned()));
        }
        let mut store = Self::connect(path)?;
        if let Some(saved) = saved_beside(path).filter(|_| !was_there) {
            store.warning = Some(format!(
                "a new file was begun; what an earlier one held is in {saved} beside it: open that with --data, or give it this file's name"
            ));
        } else if !was_there && !backup::backups(path)?.is_empty() {
            store.warning = Some(
                "a new file was begun; of an earlier one there are backups: `thirdwood restore` lists them"
                    .to_owned(),
            );
        }
        Ok(store)
    }

    /// A connection of its own to a file that this program has open already, such as for another thread.
    ///
    /// The file is touched through the database alone: opening and closing it in another way would drop the locks that
    /// this process holds on it, and the next program to leave the file would take its log away under us.
    pub fn open_again(path: &Path) -> Result<Self, StoreError> {
        Self::connect(path).map_err(|e| with_backup(path, e))
    }

    fn connect(path: &Path) -> Result<Self, StoreError> {
        let mut conn = Connection::open_with_flags(
            path,
            OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX,
        )?;
        let warning = configure(&conn)?;
        migrate::run(&conn)?;
        let opened = Opened::at(path).map_err(|source| StoreError::of_io(path, source))?;
        opened::refuse_commits(&mut conn, &opened)?;
        Ok(Self {
            warning,
            opened: Some(opened),
            ..Self::on(conn, path)
        })
    }

    /// A store on a connection that is set up already.
    pub(super) fn on(conn: Connection, path: &Path) -> Self {
        Self {
            conn,
            path: path.to_owned(),
            warning: None,
            opened: None,
            unwritable: None,
            numbers_only: false,
        }
    }

    /// A store that is gone when it is dropped.
    pub fn in_memory() -> Result<Self, StoreError> {
        let conn = Connection::open_in_memory()?;
        conn.pragma_update(None, "foreign_keys", true)?;
        migrate::run(&conn)?;
        Ok(Self::on(conn, Path::new("")))
    }
}

/// The place of the link itself, by which a file may be named.
fn link_of(named: &Path) -> PathBuf {
    let named = std::path::absolute(named).unwrap_or_else(|_| named.to_owned());
    match (named.parent(), named.file_name()) {
        (Some(folder), Some(name)) => real(folder).join(name),
        _ => named,
    }
}

/// An error of this file together with the newest good backup, where it is damaged and there is one.
pub fn with_backup(path: &Path, error: StoreError) -> StoreError {
    if !error.is_damage() || matches!(error, StoreError::HasBackup { .. }) {
        return error;
    }
    match backup::newest_good(path) {
        Some(good) => StoreError::HasBackup {
            source: Box::new(error),
            number: good.number,
            day: good.day,
        },
        None => error,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_new_file_is_private_and_opens_again() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("deep").join("orchard.db");
        drop(Store::open(&path).unwrap());
        let store = Store::open(&path).unwrap();
        assert_eq!(store.warning(), None);
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt;
            let mode = |path: &Path| std::fs::metadata(path).unwrap().permissions().mode() & 0o777;
            assert_eq!(mode(&path), 0o600);
            assert_eq!(mode(path.parent().unwrap()), 0o700);
        }
    }

    #[cfg(unix)]
    #[test]
    fn a_file_that_others_may_read_is_made_private_and_that_is_told_once() {
        use std::os::unix::fs::PermissionsExt;
        let folder = tempfile::tempdir().unwrap();
        let (path, backups) = (
            folder.path().join("orchard.db"),
            folder.path().join("backups"),
        );
        drop(Store::open(&path).unwrap());
        std::fs::create_dir(&backups).unwrap();
        std::fs::set_permissions(&backups, PermissionsExt::from_mode(0o755)).unwrap();
        assert_eq!(
            Store::open(&path).unwrap().warning(),
            None,
            "a folder without backups is not ours"
        );
        std::fs::write(backups.join("orchard-0001-2027-01-12.db"), "").unwrap();
        for (path, mode) in [(&path, 0o640), (&backups, 0o755)] {
            std::fs::set_permissions(path, PermissionsExt::from_mode(mode)).unwrap();
        }
        let store = Store::open(&path).unwrap();
        let told = store.warning().unwrap_or_default().to_owned();
        assert!(
            told.contains("orchard.db and ") && told.contains("only you can"),
            "{told}"
        );
        let mode = |path: &Path| std::fs::metadata(path).unwrap().permissions().mode() & 0o777;
        assert_eq!((mode(&path), mode(&backups)), (0o600, 0o700));
        drop(store);
        assert_eq!(Store::open(&path).unwrap().warning(), None);
    }

    #[cfg(unix)]
    #[test]
    fn by_a_link_the_file_and_its_backups_are_those_that_it_leads_to() {
        use backup::{Keep, Made, Stop};
        let folder = tempfile::tempdir().unwrap();
        let at = |name: &str| real(folder.path()).join(name);
        std::fs::create_dir(at("deep")).unwrap();
        let (link, file) = (at("link.db"), at("deep/orchard.db"));
        std::os::unix::fs::symlink("deep/orchard.db", &link).unwrap();
        let store = Store::open(&link).unwrap();
        assert_eq!(store.path(), file);
        let day = "2027-01-12".parse().unwrap();
        let made = backup::make(store.path(), day, Keep::Sound, None, &Stop::default());
        let Ok(Made::Kept(made)) = made else {
            panic!("{made:?}");
        };
        drop(store);
        assert_eq!(made.path, at("deep/backups/orchard-0001-2027-01-12.db"));
        // as an earlier version left it: beside the link, under its name
        std::fs::create_dir(at("backups")).unwrap();
        std::fs::rename(&made.path, at("backups/link-0004-2027-01-12.db")).unwrap();
        assert_eq!(Store::open(&link).unwrap().warning(), None);
        let known = backup::backups(&file).unwrap();
        assert_eq!(known.len(), 1);
        assert_eq!(known[0].path, at("deep/backups/orchard-0004-2027-01-12.db"));
        // where the file has its own by now, both stay
        std::fs::copy(&known[0].path, at("backups/link-0005-2027-01-13.db")).unwrap();
        let told = Store::open(&link)
            .unwrap()
            .warning()
            .unwrap_or_default()
            .to_owned();
        assert!(
            told.contains("a link stay in ") && told.contains("backups"),
            "{told}"
        );
    }

    #[test]
    fn foreign_files_are_refused_and_not_touched() {
        let folder = tempfile::tempdir().unwrap();
        let text = folder.path().join("list.txt");
        std::fs::write(&text, "row,tree\n1,2\n").unwrap();
        assert!(matches!(
            Store::open(&text),
            Err(StoreError::NotOurs { .. })
        ));
        assert_eq!(std::fs::read(&text).unwrap(), b"row,tree\n1,2\n");

        let other = folder.path().join("other.db");
        let conn = Connection::open(&other).unwrap();
        conn.execute_batch("PRAGMA application_id = 7; CREATE TABLE t (a)")
            .unwrap();
        drop(conn);
        let before = std::fs::read(&other).unwrap();
        assert!(matches!(
            Store::open(&other),
            Err(StoreError::NotOurs { .. })
        ));
        assert_eq!(std::fs::read(&other).unwrap(), before);
    }

    #[test]
    fn a_database_without_our_mark_is_refused() {
        let folder = tempfile::tempdir().unwrap();
        let other = folder.path().join("other.db");
        Connection::open(&other)
            .unwrap()
            .execute_batch("CREATE TABLE block (a)")
            .unwrap();
        assert!(matches!(
            Store::open(&other),
            Err(StoreError::NotOurs { .. })
        ));
    }

    #[test]
    fn a_newer_file_is_refused_and_not_touched() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("orchard.db");
        drop(Store::open(&path).unwrap());
        let conn = Connection::open(&path).unwrap();
        conn.execute_batch("PRAGMA journal_mode = DELETE; PRAGMA user_version = 99")
            .unwrap();
        drop(conn);
        let before = std::fs::read(&path).unwrap();
        let refused = Store::open(&path).unwrap_err();
        assert!(
            matches!(refused, StoreError::Newer { found: 99, .. }),
            "{refused}"
        );
        assert_eq!(std::fs::read(&path).unwrap(), before);
    }
}
