//! The command line: what it answers, where, and with which exit code.

mod answers;
mod faults;
mod forgotten;
mod guide;
mod kept;
mod midway;
#[path = "../common/names.rs"]
mod names;
mod papers;
mod private;
mod tables;
mod tablets;

use std::ffi::OsStr;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use chrono::NaiveDate;
use thirdwood::store::Store;

/// The day of the tests.
pub const TODAY: &str = "2027-07-14";

/// What a command answered.
#[derive(Debug)]
pub struct Answer {
    pub code: i32,
    pub out: String,
    pub err: String,
}

impl Answer {
    /// It went well, and said nothing but its answer.
    #[track_caller]
    pub fn good(self) -> String {
        assert_eq!((self.code, self.err.as_str()), (0, ""), "{}", self.out);
        self.out
    }

    /// It went well, and said that a new orchard file was begun, and nothing more.
    #[track_caller]
    pub fn begun(self) -> String {
        let told = self.err.starts_with("a new orchard was begun at ");
        let lines = self.err.lines().count();
        assert_eq!((self.code, told, lines), (0, true, 1), "{self:?}");
        self.out
    }

    /// It went well on a file that is not there: the columns alone, which is told.
    #[track_caller]
    pub fn columns(self) {
        assert!(self.err.starts_with("there is no orchard file"), "{self:?}");
        assert_eq!((self.code, self.out.lines().count()), (0, 1), "{self:?}");
    }

    /// It failed, said why, and gave no data.
    #[track_caller]
    pub fn bad(self, code: i32, words: &str) {
        assert_eq!((self.code, self.out.as_str()), (code, ""), "{}", self.err);
        assert!(
            self.err.contains(words),
            "{words:?} is not in: {}",
            self.err
        );
    }
}

/// The program with its arguments, free of the tester's own settings.
pub fn thirdwood(args: impl IntoIterator<Item = impl AsRef<OsStr>>) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_thirdwood"));
    command.args(args);
    for name in ["THIRDWOOD_DATA", "XDG_DATA_HOME", "NO_COLOR", "COLUMNS"] {
        command.env_remove(name);
    }
    command
}

/// Runs it with `input` on its standard input.
pub fn run(mut command: Command, input: &str) -> Answer {
    command.stdin(Stdio::piped());
    command.stdout(Stdio::piped()).stderr(Stdio::piped());
    // a copy of the program may still be open for writing in another test's child, for a moment
    let mut child = loop {
        match command.spawn() {
            Err(busy) if busy.kind() == std::io::ErrorKind::ExecutableFileBusy => {
                std::thread::yield_now();
            }
            child => break child.unwrap(),
        }
    };
    // a command that reads nothing may have gone by now
    let _ = child.stdin.take().unwrap().write_all(input.as_bytes());
    let output = child.wait_with_output().unwrap();
    Answer {
        code: output.status.code().unwrap(),
        out: String::from_utf8(output.stdout).unwrap(),
        err: String::from_utf8(output.stderr).unwrap(),
    }
}

/// A folder with an orchard file in it.
pub struct House {
    pub folder: tempfile::TempDir,
    pub file: PathBuf,
}

impl House {
    /// Nothing is there yet.
    pub fn empty() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("orchard.db");
        Self { folder, file }
    }

    /// The invented orchard, on the day of the tests.
    pub fn demo() -> Self {
        Self::demo_on(TODAY.parse().unwrap())
    }

    /// The invented orchard on another day.
    pub fn demo_on(today: NaiveDate) -> Self {
        let house = Self::empty();
        thirdwood::demo::fill(&house.store(), 1, today).unwrap();
        house
    }

    pub fn store(&self) -> Store {
        Store::open(&self.file).unwrap()
    }

    /// A file beside it.
    pub fn beside(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    /// Writes a file beside it.
    pub fn write(&self, name: &str, text: &str) -> PathBuf {
        let path = self.beside(name);
        std::fs::write(&path, text).unwrap();
        path
    }

    /// Asks for something about this file.
    pub fn ask(&self, args: &[&str]) -> Answer {
        self.ask_with(args, "")
    }

    /// Asks, with something on standard input.
    pub fn ask_with(&self, args: &[&str], input: &str) -> Answer {
        let mut command = thirdwood(["--data"]);
        command.arg(&self.file).args(args);
        run(command, input)
    }
}

/// A path as an argument.
pub fn word(path: &Path) -> &str {
    path.to_str().unwrap()
}
