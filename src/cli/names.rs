//! Taking a pruner's name away for good.

use std::fmt::Write as _;

use super::args::{Cli, ForgetNameArgs};
use super::{CliError, named, open, say};
use crate::orchard::{Naming, PrunerId};
use crate::report::fit::safe;
use crate::report::words::{self, OTHER_LETTERS};
use crate::store::Store;
use crate::store::backup::{Searched, holding_name, renew_without_name};

/// Tells what would be done, or does it. No name is printed.
pub fn forget(cli: &Cli, wanted: &ForgetNameArgs) -> Result<(), CliError> {
    let number = wanted.number;
    let store = open::store(cli)?;
    let all = store.pruners()?;
    let found = all.iter().find(|pruner| pruner.number == number);
    let pruner = found.ok_or_else(|| {
        CliError::Refused(format!(
            "there is no pruner number {number}; `thirdwood crew` lists them"
        ))
    })?;
    let words = match wanted.sure {
        None => before(&store, number, pruner.id, pruner.naming())?,
        Some(sure) if sure != number => {
            return Err(CliError::Usage(format!(
                "--sure {sure} is not the number {number}: nothing was changed"
            )));
        }
        Some(_) => return done(&store, number, pruner.id, wanted.and_backups),
    };
    say::say(&words)
}

fn before(
    store: &Store,
    number: u16,
    pruner: PrunerId,
    naming: Naming,
) -> Result<String, CliError> {
    let mut words = String::new();
    if naming == Naming::Removed {
        let _ = writeln!(words, "the name of Nr {number} was taken away already");
    } else {
        let _ = write!(
            words,
            "Nr {number}: name and label would go from this file for good, and from the other tablets by the next \
             bundle. What was counted\nstays under the number, and in notes and reasons the number stands for the \
             name. It cannot be undone. Only notes that are in this\nfile are looked through: take the bundles of the \
             other tablets in first. {OTHER_LETTERS}\n"
        );
    }
    words += &held(&holding_name(store, pruner)?);
    let _ = write!(
        words,
        "nothing was changed. To do it: thirdwood forget-name {number} --sure {number}\n\
         and with a fresh backup in place of the old ones: thirdwood forget-name {number} --sure {number} \
         --and-backups\n"
    );
    Ok(words)
}

/// Takes the name away. From there on it is gone, whatever else fails, and what is said begins with that.
fn done(store: &Store, number: u16, pruner: PrunerId, backups: bool) -> Result<(), CliError> {
    let came = store.forget_name(pruner)?;
    let mut words =
        format!("Nr {number} goes by number from now on; the name is gone from the file\n");
    if came.texts > 0 {
        let _ = writeln!(
            words,
            "the number stands for it in {} notes and reasons",
            came.texts
        );
    }
    let _ = writeln!(words, "{OTHER_LETTERS}");
    if came.unsettled > 0 {
        let _ = writeln!(
            words,
            "{} records in conflict hold it in a note still: settle them (`thirdwood conflicts`), and run this again",
            came.unsettled
        );
    }
    if let Some(fault) = &came.unswept {
        let _ = writeln!(
            words,
            "{fault}: see to it and run this again, so that the last bytes of the name go"
        );
    }
    let failed = backups && !renew(store, pruner, &mut words);
    let searched = searched(store, pruner);
    words += &held(&searched);
    words.push_str(
        "papers, tables and bundles that were written before, whole or half, hold it wherever they are: this program \
         does not know\n",
    );
    say::say_done(&words, "the name is gone from the file")?;
    let stays = failed || (backups && !searched.holding.is_empty());
    if came.unswept.is_none() && !stays && searched.unread.is_empty() {
        return Ok(());
    }
    Err(CliError::Refused(format!(
        "the name of Nr {number} is gone from the file, but not all that may hold it: see what is said above, and run \
         this again"
    )))
}

/// Puts a fresh backup in the place of all that holds the name. Gives whether nothing stood in the way.
fn renew(store: &Store, pruner: PrunerId, words: &mut String) -> bool {
    let renewed = match renew_without_name(store, pruner, say::today()) {
        Ok(renewed) => renewed,
        Err(e) => {
            let why = safe(&e.in_short()).into_owned();
            let _ = writeln!(
                words,
                "the old backups stay, for want of a fresh one: {why}"
            );
            return false;
        }
    };
    let _ = writeln!(
        words,
        "a fresh backup was made, and {} backups and copies that held the name were removed",
        renewed.removed
    );
    for stays in &renewed.stay {
        let _ = writeln!(words, "cannot be removed: {}", safe(stays));
    }
    renewed.stay.is_empty()
}

/// As [`holding_name`]: where the file itself cannot be read any more, nothing was looked through.
fn searched(store: &Store, pruner: PrunerId) -> Searched {
    holding_name(store, pruner).unwrap_or_else(|e| Searched {
        unread: vec![e.in_short()],
        ..Searched::default()
    })
}

/// Where the name was looked for, and which files hold it still.
fn held(searched: &Searched) -> String {
    let mut words = format!(
        "looked through: {}, {}; {} left over by killed programs\n",
        words::plural(searched.backups as u32, "backup", "backups"),
        words::plural(
            searched.copies as u32,
            "copy of an earlier version",
            "copies of earlier versions"
        ),
        words::plural(searched.left_over as u32, "file", "files"),
    );
    for unread in &searched.unread {
        let _ = writeln!(
            words,
            "not looked through, and may hold the name: {}",
            safe(unread)
        );
    }
    if searched.holding.is_empty() {
        words.push_str("none of them holds the name\n");
        return words;
    }
    words.push_str("these hold the name, or may:\n");
    for path in &searched.holding {
        let _ = writeln!(words, "  {}", named(path));
    }
    words
}
