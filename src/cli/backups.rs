//! Looking the file over, and putting backups back.

use std::fmt::Write as _;
use std::path::Path;
use std::process::ExitCode;

use super::args::{Cli, RestoreArgs};
use super::{CliError, named, open, say};
use crate::report::words;
use crate::store::backup::{self, Shelved};
use crate::store::{CheckReport, StoreError, is_there};

/// Looks the file over: 0 where all is well, 1 where it is not.
pub fn check(cli: &Cli) -> Result<ExitCode, CliError> {
    let store = open::unchecked(cli)?;
    let found = store.check()?;
    let mut words = format!(
        "{}: {}, {}\n",
        named(store.path()),
        words::plural(found.counts as u32, "count", "counts"),
        words::plural(found.taps as u32, "tap", "taps")
    );
    for problem in &found.problems {
        let _ = writeln!(words, "problem: {problem}");
    }
    words.push_str(&advice(&found));
    say::say(&words)?;
    Ok(if found.problems.is_empty() {
        ExitCode::SUCCESS
    } else {
        ExitCode::FAILURE
    })
}

/// What to do about what was found.
fn advice(found: &CheckReport) -> String {
    let mut words = String::new();
    match (&found.backup, found.problems.is_empty()) {
        (_, true) => words.push_str("all is well\n"),
        (Some(good), false) => {
            let (number, when) = (good.number, good.when());
            let _ = writeln!(
                words,
                "the newest good backup is number {number}, of {when}: `thirdwood restore {number}` puts it back, and \
                 keeps the file as it is now beside it"
            );
        }
        (None, false) => words.push_str(
            "there is no good backup: copy the file aside before anything else, and restore a good copy\n",
        ),
    }
    if let (Some(good), false) = (&found.backup, found.fewer.is_empty()) {
        let _ = writeln!(
            words,
            "less than in backup {} of {}: {}; if nobody removed that, `thirdwood restore {}` brings it back",
            good.number,
            good.when(),
            found.fewer.join(", "),
            good.number
        );
    }
    words
}

/// Lists the backups, or puts one back.
pub fn restore(cli: &Cli, wanted: &RestoreArgs) -> Result<(), CliError> {
    let file = open::path(cli)?;
    match &wanted.backup {
        None => say::say(&list(&file)?),
        Some(word) => say::say_done(&put_back(&file, word)?, "the backup is put back"),
    }
}

fn list(file: &Path) -> Result<String, CliError> {
    let shelf = backup::shelf(file)?;
    if shelf.is_empty() && !is_there(file)? {
        return Err(CliError::Refused(format!(
            "there is no orchard file {}, and no backups of it: name another with --data",
            file.display()
        )));
    }
    if shelf.is_empty() {
        return Ok(format!(
            "no backups of {} yet: the screens make one at each start and each new day\n",
            named(file)
        ));
    }
    let mut words = format!(
        "backups in {}, oldest first\n",
        named(&backup::folder(file))
    );
    for Shelved { backup, contents } in shelf {
        let mut held = match contents {
            _ if backup.damaged => "a copy of a damaged file; not to be put back".to_owned(),
            Some(held) => held.words(),
            None => "cannot be read".to_owned(),
        };
        if backup.replaced {
            held.push_str(" (the file before a backup was put back)");
        }
        let _ = writeln!(words, "{:>6}  {}  {held}", backup.number, backup.when());
    }
    Ok(words)
}

fn put_back(file: &Path, word: &str) -> Result<String, CliError> {
    let known = backup::backups(file)?;
    let by_name = known.iter().find(|known| known.name() == word);
    let number = by_name
        .map(|known| known.number)
        .or_else(|| word.parse().ok())
        .ok_or_else(|| StoreError::NoBackup(word.to_owned()))?;
    let done = backup::restore(file, number, say::today())?;
    let mut words = format!("backup {number}, of {}, is put back\n", done.from.when());
    match &done.before {
        Some(before) if before.damaged => {
            let _ = writeln!(words, "the damaged file is kept as {}", named(&before.path));
        }
        Some(before) => {
            let _ = writeln!(
                words,
                "the file as it was is backup {}: `thirdwood restore {}` undoes this",
                before.number, before.number
            );
        }
        None => {}
    }
    if done.replaced {
        words.push_str("where thirdwood has the file open, leave it and start it afresh\n");
    }
    Ok(words)
}
