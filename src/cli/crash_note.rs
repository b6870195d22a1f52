//! A fault of the program's own: what the person is told, and the note that is left for its makers.
//!
//! The words of a panic may hold anything, a name or a note among them; the note therefore holds a class of fault
//! from a fixed list, and of paths only what is the program's own.

use std::io::Write;
use std::panic::PanicHookInfo;
use std::path::{Path, PathBuf};

use crate::store::kept::{NOTE, note_folder};
use crate::store::whole::private_new;

/// From now on a panic leaves a note, and says where it is, in place of its words.
pub fn install() {
    let usual = std::panic::take_hook();
    std::panic::set_hook(Box::new(move |panic| {
        let wanted = std::env::var_os("RUST_BACKTRACE").is_some_and(|word| word != "0");
        if wanted {
            usual(panic);
        }
        let note = note(panic);
        let kept = note_folder().and_then(|folder| keep(&folder, &note));
        // on another thread the screens are still up: nothing is written over them
        if std::thread::current().name() == Some("main") {
            // nobody may be there to read it
            let _ = std::io::stderr().write_all(told(&place(panic), kept.as_deref()).as_bytes());
        }
    }));
}

fn told(place: &str, kept: Option<&Path>) -> String {
    let note = kept.map_or_else(
        || "No note could be left.".to_owned(),
        |path| {
            let path = path.display();
            format!("A note for its makers, without any name, is in {path}.")
        },
    );
    format!(
        "thirdwood: a fault of its own stopped the program ({place}). All that was tapped is in the file: start it \
         again. {note}\n"
    )
}

/// All that the note says.
fn note(panic: &PanicHookInfo<'_>) -> String {
    let payload = panic.payload();
    let words = payload.downcast_ref::<&str>().copied();
    let words = words.or_else(|| payload.downcast_ref::<String>().map(String::as_str));
    let class = words.map_or("other", class_of);
    format!(
        "thirdwood {}\nplace: {}\nfault: {class}\nsystem: {} {}\n",
        env!("CARGO_PKG_VERSION"),
        place(panic),
        std::env::consts::OS,
        std::env::consts::ARCH
    )
}

fn place(panic: &PanicHookInfo<'_>) -> String {
    panic.location().map_or_else(
        || "unknown".to_owned(),
        |at| format!("{}:{}", own_path(at.file()), at.line()),
    )
}

/// Beginnings of the standard library's own words, as far as they hold nothing of what was worked on.
const CLASSES: [&str; 12] = [
    "called `Option::unwrap()` on a `None` value",
    "called `Result::unwrap()` on an `Err` value",
    "index out of bounds",
    "attempt to ",
    "range end index",
    "range start index",
    "slice index starts",
    "assertion ",
    "already borrowed",
    "already mutably borrowed",
    "internal error: entered unreachable code",
    "not implemented",
];

fn class_of(words: &str) -> &'static str {
    let known = CLASSES.into_iter().find(|class| words.starts_with(class));
    known.map_or("other", str::trim_end)
}

/// A path in the code without the folders of whoever built it: from `src` on, and before it the library where
/// its version stands there.
fn own_path(path: &str) -> String {
    let parts: Vec<&str> = path.split(['/', '\\']).collect();
    let last = parts.len().saturating_sub(1);
    let mut from = parts
        .iter()
        .rposition(|part| *part == "src")
        .unwrap_or(last);
    // `library-1.2.3/src/lib.rs`
    let has_version =
        |part: &str| part.contains('-') && part.ends_with(|c: char| c.is_ascii_digit());
    if from > 0 && has_version(parts[from - 1]) {
        from -= 1;
    }
    parts[from..].join("/")
}

/// Leaves the note, for its owner only. The one before goes.
fn keep(folder: &Path, note: &str) -> Option<PathBuf> {
    let mut builder = std::fs::DirBuilder::new();
    builder.recursive(true);
    #[cfg(unix)]
    std::os::unix::fs::DirBuilderExt::mode(&mut builder, 0o700);
    builder.create(folder).ok()?;
    let path = folder.join(NOTE);
    // what lies there is not written through: it may be a link
    let _ = std::fs::remove_file(&path);
    let mut file = private_new(&path).ok()?;
    file.write_all(note.as_bytes()).ok()?;
    Some(path)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_class_holds_nothing_of_what_was_worked_on() {
        let words = "called `Result::unwrap()` on an `Err` value: Taken(\"Aroha\")";
        assert_eq!(
            class_of(words),
            "called `Result::unwrap()` on an `Err` value"
        );
        assert_eq!(class_of("attempt to add with overflow"), "attempt to");
        assert_eq!(
            class_of("byte index 3 is out of bounds of `Aroha`"),
            "other"
        );
        assert_eq!(class_of("Aroha"), "other");
    }

    #[test]
    fn a_place_names_no_folder_of_a_person() {
        let cases = [
            ("src/tui/run.rs", "src/tui/run.rs"),
            ("/home/aroha/thirdwood/src/tui/run.rs", "src/tui/run.rs"),
            ("/home/aroha/src/run.rs", "src/run.rs"),
            (
                "/home/aroha/.cargo/registry/src/index-1949/csv-1.4.0/src/reader.rs",
                "csv-1.4.0/src/reader.rs",
            ),
            ("/home/aroha/odd.rs", "odd.rs"),
            (
                "C:\\Users\\aroha\\csv-1.4.0\\src\\lib.rs",
                "csv-1.4.0/src/lib.rs",
            ),
        ];
        for (whole, own) in cases {
            assert_eq!(own_path(whole), own);
        }
    }

    #[test]
    fn the_note_is_for_its_owner_and_takes_the_place_of_the_last() {
        let folder = tempfile::tempdir().unwrap();
        let inner = folder.path().join("state").join("thirdwood");
        keep(&inner, "a longer note than the second").unwrap();
        let path = keep(&inner, "second").unwrap();
        assert_eq!(std::fs::read_to_string(&path).unwrap(), "second");
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt;
            let mode = |path: &Path| std::fs::metadata(path).unwrap().permissions().mode() & 0o777;
            assert_eq!((mode(&path), mode(&inner)), (0o600, 0o700));
        }
    }
}
