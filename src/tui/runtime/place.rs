//! Where a folder or file lies that was named in a form.

use std::path::{Path, PathBuf};

/// The whole path of what was named: a leading `~` is the home folder, and what is relative lies in the folder that the
/// program was started from. As it was named where that is not known.
pub(super) fn whole(named: PathBuf) -> PathBuf {
    let home = etcetera::home_dir().ok();
    let path = from_home(named, home.as_deref());
    std::path::absolute(&path).unwrap_or(path)
}

fn from_home(named: PathBuf, home: Option<&Path>) -> PathBuf {
    match (named.strip_prefix("~"), home) {
        (Ok(rest), Some(home)) => home.components().chain(rest.components()).collect(),
        _ => named,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_tilde_is_the_home_folder_and_nothing_else_is() {
        let home = Path::new("/home/ana");
        for (named, path) in [
            ("~", "/home/ana"),
            ("~/", "/home/ana"),
            ("~/stick/papers", "/home/ana/stick/papers"),
            ("~ben/papers", "~ben/papers"),
            ("papers~", "papers~"),
            ("/media/~/papers", "/media/~/papers"),
        ] {
            assert_eq!(from_home(named.into(), Some(home)), Path::new(path));
            assert_eq!(from_home(named.into(), None), Path::new(named));
        }
    }

    #[test]
    fn a_relative_folder_lies_where_the_program_was_started() {
        let here = std::env::current_dir().unwrap();
        for (named, path) in [
            ("papers", here.join("papers")),
            ("./papers", here.join("papers")),
            (".", here.clone()),
            ("/media/stick", PathBuf::from("/media/stick")),
        ] {
            assert_eq!(whole(named.into()), path, "{named}");
        }
    }
}
