//! Several tablets: bundles out and in, conflicts, twins.

use std::fmt::Write as _;
use std::io::{self, IsTerminal, Write};
use std::path::{Path, PathBuf};

use super::args::{BundleArgs, Cli, ConflictsArgs, JoinArgs, JoinWord, MergeArgs};
use super::{CliError, named, open, out, say};
use crate::exchange::bundle::{self, unknown_to};
use crate::report::fit::safe;
use crate::report::words;
use crate::store::Store;
use crate::store::bundle::{Conflict, Joinable, Progress, Since, TakeIn, Taken};

/// Writes a bundle.
pub fn bundle(cli: &Cli, wanted: &BundleArgs) -> Result<(), CliError> {
    if wanted.with_names && cli.numbers_only {
        return Err(CliError::Usage(
            "--with-names and --numbers-only ask for opposite things: leave one of them out"
                .to_owned(),
        ));
    }
    let store = open::store(cli)?;
    let since = match &wanted.since {
        Some(theirs) => unknown_to(&bundle::look(theirs)?.head),
        None if wanted.since_last => Since::LastBundle,
        None => Since::Beginning,
    };
    let (tablet, today) = (store.tablet()?, say::today());
    let path = match &wanted.output {
        Some(folder) if folder.is_dir() => bundle::place_in(folder, &tablet, today, &since),
        Some(path) => path.clone(),
        None => bundle::place_in(Path::new(""), &tablet, today, &since),
    };
    if say::is_stdout(&path) {
        return Err(CliError::Usage(
            "a bundle goes into a file or a folder: name one, or /dev/stdout".to_owned(),
        ));
    }
    out::refuse_kept(cli, &path)?;
    if wanted.numbers_in_notes {
        store.number_all_texts()?;
    }
    let with_names = wanted.with_names || !store.numbers_only()?;
    let written = bundle::write_as(&store, &since, with_names, &path)?;
    let line = format!(
        "{}: {}{}, {} KiB\n",
        named(&path),
        words::plural(written.records as u32, "record", "records"),
        if with_names { "" } else { ", without names" },
        written.bytes.div_ceil(1024)
    );
    if path.is_file() && !path.starts_with("/dev") {
        return say::say_done(&line, "the bundle is written");
    }
    // standard output may be where the bundle itself went
    Ok(io::stderr().write_all(line.as_bytes())?)
}

/// Takes bundles in.
pub fn merge(cli: &Cli, wanted: &MergeArgs) -> Result<(), CliError> {
    let how = TakeIn {
        dry_run: wanted.dry_run,
        join_orchards: wanted.join_orchards,
    };
    let taken = open::taking_in(cli, wanted.dry_run, |store| {
        take_in(store, &wanted.files, how).map(|taken| (taken, true))
    })?;
    let mut text = String::new();
    for (path, taken) in taken {
        let _ = write!(text, "{}: {}", named(&path), report(&taken));
    }
    if wanted.dry_run {
        text.push_str("a dry run: nothing was kept\n");
        return say::say(&text);
    }
    say::say_done(&text, "the bundles are taken in")
}

/// Takes them in, and shows how far it is where somebody looks on.
fn take_in(
    store: &Store,
    files: &[PathBuf],
    how: TakeIn,
) -> Result<Vec<(PathBuf, Taken)>, CliError> {
    let shown = io::stderr().is_terminal();
    let mut last = usize::MAX;
    let taken = bundle::merge(store, files, how, &mut |Progress { done, of }| {
        let part = done * 100 / of.max(1);
        if shown && part != last {
            // a line that cannot be shown stops no merge
            let _ = write!(io::stderr(), "\r{part:>3} % ");
            last = part;
        }
        true
    });
    if shown && last != usize::MAX {
        let _ = write!(io::stderr(), "\r      \r");
    }
    Ok(taken?)
}

/// What came in, in lines.
fn report(taken: &Taken) -> String {
    let mut text = words::taken(taken).join("\n  ");
    text.push('\n');
    if taken.conflicts > 0 {
        let _ = writeln!(
            text,
            "  {} to settle in all: thirdwood conflicts",
            taken.conflicts
        );
    }
    if taken.names_removed > 0 {
        let _ = writeln!(
            text,
            "  names taken away for good elsewhere: {}; they are gone from this file too, but not from its backups \
             (thirdwood forget-name NUMBER lists those)",
            taken.names_removed
        );
    }
    if taken.texts > 0 {
        let _ = writeln!(
            text,
            "  the number stands for them in {} notes and reasons that were typed here",
            taken.texts
        );
    }
    if let Some(fault) = &taken.unswept {
        let _ = writeln!(
            text,
            "  {fault}: see to it and run thirdwood forget-name NUMBER, so that the last bytes of the names go"
        );
    }
    if taken.twins > 0 {
        let _ = writeln!(
            text,
            "  {} entered twice, it seems: thirdwood join",
            taken.twins
        );
    }
    text
}

/// Lists conflicts, or settles one.
pub fn conflicts(cli: &Cli, wanted: &ConflictsArgs) -> Result<(), CliError> {
    let store = open::store(cli)?;
    let all = store.conflicts()?;
    if let Some(choice) = &wanted.settle {
        let (conflict, at) = chosen(&all, choice)?;
        store.settle(conflict.kind, &conflict.key, conflict.sayings[at].set)?;
        let line = format!(
            "{}: {}\n",
            safe(&conflict.what),
            safe(&conflict.sayings[at].words)
        );
        return say::say_done(&line, "the conflict is settled");
    }
    let mut text = String::new();
    for (nr, conflict) in (1..).zip(&all) {
        let _ = writeln!(text, "{nr} {}", safe(&conflict.what));
        for (letter, saying) in ('a'..='z').zip(&conflict.sayings) {
            let mark = if saying.shown { ", shown now" } else { "" };
            let _ = writeln!(
                text,
                "  {nr}{letter} {} (tablet {}{mark})",
                safe(&saying.words),
                safe(&saying.tablet)
            );
        }
    }
    if all.is_empty() {
        text.push_str("nothing to settle\n");
    }
    say::say(&text)
}

fn chosen<'a>(all: &'a [Conflict], choice: &str) -> Result<(&'a Conflict, usize), CliError> {
    let wrong = || {
        CliError::Usage(format!(
            "{choice:?} is none of the choices that `thirdwood conflicts` lists, such as 1a"
        ))
    };
    let letter = choice.chars().next_back().ok_or_else(wrong)?;
    let nr: usize = choice[..choice.len() - letter.len_utf8()]
        .parse()
        .map_err(|_| wrong())?;
    let conflict = nr
        .checked_sub(1)
        .and_then(|at| all.get(at))
        .ok_or_else(wrong)?;
    let at = ('a'..='z').position(|known| known == letter);
    let at = at
        .filter(|at| *at < conflict.sayings.len())
        .ok_or_else(wrong)?;
    Ok((conflict, at))
}

/// Lists twins, joins two entries, or undoes a join.
pub fn join(cli: &Cli, wanted: &JoinArgs) -> Result<(), CliError> {
    let store = open::store(cli)?;
    if let Some(nr) = wanted.undo {
        let joined = store.joined()?;
        let found = nr.checked_sub(1).and_then(|at| joined.get(at));
        let found = found.ok_or_else(|| {
            CliError::Usage(format!(
                "there is no join {nr}: `thirdwood join` lists them"
            ))
        })?;
        store.part(found.kind, found.gone)?;
        return say::say_done("parted\n", "the join is undone");
    }
    let (Some(word), Some(gone), Some(kept)) = (wanted.kind, &wanted.gone, &wanted.kept) else {
        return say::say(&twins(&store)?);
    };
    let kind = match word {
        JoinWord::Pruner => Joinable::Pruner,
        JoinWord::Block => Joinable::Block,
        JoinWord::Winter => Joinable::Winter,
    };
    store.join(kind, find(&store, kind, gone)?, find(&store, kind, kept)?)?;
    let line = format!("{} {gone} is {kept} from now on\n", kind.word());
    say::say_done(&line, "they are joined")
}

fn find(store: &Store, kind: Joinable, name: &str) -> Result<uuid::Uuid, CliError> {
    let found = match kind {
        Joinable::Pruner => {
            let all = store.pruners()?;
            all.iter()
                .find(|pruner| pruner.number.to_string() == name)
                .map(|pruner| pruner.id.0)
        }
        Joinable::Block => store
            .blocks()?
            .iter()
            .find(|block| block.name == name)
            .map(|block| block.id.0),
        Joinable::Winter => store
            .winters()?
            .iter()
            .find(|winter| winter.label == name)
            .map(|winter| winter.id.0),
    };
    found.ok_or_else(|| CliError::Refused(format!("there is no {} {name:?}", kind.word())))
}

fn twins(store: &Store) -> Result<String, CliError> {
    let mut text = String::new();
    for group in store.twins()? {
        let _ = writeln!(
            text,
            "{} {} was entered more than once:",
            group.kind.word(),
            safe(&group.given)
        );
        for twin in &group.all {
            let _ = writeln!(text, "  {}  {}", safe(&twin.goes_by), safe(&twin.more));
        }
        if let [kept, gone, ..] = group.all.as_slice() {
            let _ = writeln!(
                text,
                "  one and the same? thirdwood join {} {:?} {:?}",
                group.kind.word(),
                safe(&gone.goes_by),
                safe(&kept.goes_by)
            );
        }
    }
    for (nr, joined) in (1..).zip(store.joined()?) {
        let _ = writeln!(text, "join {nr}: {}", safe(&joined.words()));
    }
    if text.is_empty() {
        text.push_str("nothing seems to be entered twice\n");
    }
    Ok(text)
}
