//! What became of a file that is open, and that a commit was refused for it.

use std::cell::RefCell;
use std::path::PathBuf;

/// What became of a file that is open.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Astray {
    /// It is no longer where it was.
    Gone,
    /// It, or its folder, may not be looked at any more.
    Hidden,
    /// Another file has its name.
    Replaced,
    /// What the database keeps beside it was removed.
    LogGone,
    /// It got a second name.
    Linked,
}

thread_local! {
    /// Why the last commit of this thread was refused, and of which file: the database tells only that it was.
    static REFUSED: RefCell<Option<(PathBuf, Astray)>> = const { RefCell::new(None) };
}

impl Astray {
    /// Why a file is not found any more, as the system says it.
    pub(super) fn lost(said: &std::io::Error) -> Self {
        match said.kind() {
            std::io::ErrorKind::PermissionDenied => Self::Hidden,
            _ => Self::Gone,
        }
    }
}

/// Notes why a commit is refused.
pub(super) fn refuse(path: PathBuf, how: Astray) {
    REFUSED.set(Some((path, how)));
}

/// Why a commit was refused a moment ago, on this thread.
pub(super) fn refusal() -> Option<(PathBuf, Astray)> {
    REFUSED.take()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::store::StoreError;

    #[test]
    fn a_file_whose_folder_may_not_be_read_is_not_told_as_gone() {
        let told = |code: i32| {
            let how = Astray::lost(&std::io::Error::from_raw_os_error(code));
            let path = PathBuf::from("/orchards/orchard.db");
            (how, StoreError::Astray { path, how }.to_string())
        };
        let (how, words) = told(13);
        assert_eq!(how, Astray::Hidden);
        assert!(
            words.contains("may not be read any more") && !words.contains("gone"),
            "{words}"
        );
        assert_eq!(told(2).0, Astray::Gone);
    }
}
