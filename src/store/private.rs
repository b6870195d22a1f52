//! The orchard file and its backups are for their owner only, whoever made them so that others may read them.

use std::path::{Path, PathBuf};

use super::backup;
use super::paths::{COMPANIONS, with_end};

/// Takes from others what they may do with an orchard file, with what the database keeps beside it, and with the folder
/// of its backups. Says of which that was told by the system to be so before and no longer is: not where modes cannot
/// be changed, and not of what belongs to somebody else.
pub(super) fn tighten(file: &Path) -> Option<String> {
    for end in COMPANIONS {
        // no word is said of them: they have the mode that the file had
        take_from_others(&with_end(file, end));
    }
    let open = |path: &PathBuf| take_from_others(path);
    // a folder or file of that name without a backup in it is somebody's own
    let has_backups = backup::backups(file).is_ok_and(|known| !known.is_empty());
    let folder = has_backups.then(|| backup::folder(file));
    let told: Vec<String> = std::iter::once(file.to_owned())
        .chain(folder)
        .filter(open)
        .map(|path| path.display().to_string())
        .collect();
    (!told.is_empty()).then(|| {
        format!(
            "others on this machine could read {}: from now on only you can",
            told.join(" and ")
        )
    })
}

#[cfg(unix)]
fn take_from_others(path: &Path) -> bool {
    use std::os::unix::fs::PermissionsExt;
    const OTHERS: u32 = 0o077;
    let mode = || Some(path.metadata().ok()?.permissions().mode());
    let Some(before) = mode().filter(|mode| mode & OTHERS != 0) else {
        return false;
    };
    let alone = std::fs::Permissions::from_mode(before & 0o700);
    std::fs::set_permissions(path, alone).is_ok() && mode().is_some_and(|mode| mode & OTHERS == 0)
}

#[cfg(not(unix))]
fn take_from_others(_: &Path) -> bool {
    false
}
