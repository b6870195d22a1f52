//! Files that are complete or not there.

use std::io;
use std::path::Path;

/// Writes a file under another name first, and gives it its own once all of it is on disk. What stood there before is
/// replaced; where anything fails it stays, and nothing half-written is left.
pub fn write_whole(to: &Path, bytes: &[u8]) -> io::Result<()> {
    let mut name = to.file_name().unwrap_or_default().to_owned();
    name.push(".part");
    let part = to.with_file_name(name);
    let written = std::fs::write(&part, bytes).and_then(|()| std::fs::rename(&part, to));
    if written.is_err() {
        // the first error is the one to tell
        let _ = std::fs::remove_file(&part);
    }
    written
}
