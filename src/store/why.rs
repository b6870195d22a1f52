//! What the system and the database say, in words of the trade: their own name codes and parts that nobody can act on.

use std::io::{self, ErrorKind};

use rusqlite::{Error, ErrorCode, ffi};

/// What the system said of a file or folder.
pub fn why(error: &io::Error) -> String {
    if error.raw_os_error().is_none() {
        return error.to_string();
    }
    let words = match error.kind() {
        ErrorKind::NotFound => "there is no such file or folder",
        ErrorKind::PermissionDenied => "you may not read or write there",
        ErrorKind::StorageFull | ErrorKind::QuotaExceeded => "the disk is full",
        ErrorKind::ReadOnlyFilesystem => "the disk can only be read",
        ErrorKind::IsADirectory => "this is a folder, not a file",
        ErrorKind::NotADirectory => "a part of this path is a file, not a folder",
        ErrorKind::AlreadyExists => "something of this name is there already",
        ErrorKind::InvalidFilename => "this name is too long, or cannot be a name",
        ErrorKind::FileTooLarge => "no file may become so large here",
        _ => return without_code(&error.to_string()),
    };
    words.to_owned()
}

/// `Broken pipe (os error 32)` without its number.
fn without_code(said: &str) -> String {
    let end = said.rfind(" (os error ").unwrap_or(said.len());
    said[..end].to_lowercase()
}

/// What the database said.
pub(super) fn database(error: &Error) -> String {
    let Some(code) = error.sqlite_error() else {
        return error.to_string();
    };
    let words = match (code.extended_code, code.code) {
        (ffi::SQLITE_CONSTRAINT_CHECK, _) => "a value is outside its limits",
        (ffi::SQLITE_CONSTRAINT_NOTNULL, _) => "a value is missing",
        (ffi::SQLITE_CONSTRAINT_UNIQUE | ffi::SQLITE_CONSTRAINT_PRIMARYKEY, _) => {
            "what may be there once would be there twice"
        }
        (ffi::SQLITE_CONSTRAINT_FOREIGNKEY | ffi::SQLITE_CONSTRAINT_TRIGGER, _) => {
            "something would refer to what is not there"
        }
        (_, ErrorCode::DatabaseCorrupt) => "its pages do not fit together",
        (_, ErrorCode::NotADatabase) => "what is in it is no database",
        (_, ErrorCode::OutOfMemory) => "there is not enough memory",
        (_, ErrorCode::TooBig) => "a text is too long",
        (code, _) => return format!("code {code} of the database"),
    };
    words.to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_code_of_the_system_is_told() {
        let codes = [1, 2, 5, 13, 17, 20, 21, 24, 27, 28, 30, 32, 36, 40];
        for code in codes {
            let words = why(&io::Error::from_raw_os_error(code));
            assert!(
                !words.contains("os error") && !words.is_empty(),
                "{code}: {words}"
            );
        }
        assert_eq!(
            why(&io::Error::from_raw_os_error(2)),
            "there is no such file or folder"
        );
        assert_eq!(
            why(&io::Error::from_raw_os_error(17)),
            "something of this name is there already"
        );
        assert_eq!(
            why(&io::Error::other("(os error) of ours")),
            "(os error) of ours"
        );
    }

    #[test]
    fn no_expression_of_the_database_is_told() {
        let store = super::super::Store::in_memory().unwrap();
        let refused = |sql: &str| {
            let error = store.conn.execute(sql, []).unwrap_err();
            super::super::StoreError::from(error).to_string()
        };
        let told =
            refused("INSERT INTO winter (id, label, start, budburst) VALUES (x'00', '', 'x', 'y')");
        assert!(told.contains("a value is outside its limits"), "{told}");
        let told = refused("INSERT INTO winter (id) VALUES (zeroblob(16))");
        assert!(told.contains("a value is missing"), "{told}");
    }
}
