//! What the screens do with other tablets: bundles out and in, on a thread and a connection of their own.

use std::path::{Path, PathBuf};

use chrono::NaiveDate;

use super::task::{Outside, Task, failed, note};
use crate::exchange::bundle::{self, BundleError};
use crate::report::words;
use crate::store::bundle::{Progress, Since, TakeIn, Taken};
use crate::store::kept::Kept;
use crate::store::{Astray, Opened, Store, StoreError, backup};
use crate::tui::app::{Effect, Event, Message, Question, Tablets};

/// The orchard file for a thread with a connection of its own, and how it is looked at.
pub(super) struct Apart {
    file: PathBuf,
    opened: Option<Opened>,
    numbers_only: bool,
}

impl Apart {
    pub fn from(store: &Store) -> Result<Self, StoreError> {
        let file = store.path().to_owned();
        if file.as_os_str().is_empty() {
            return Err(StoreError::Gone("file"));
        }
        store.in_place()?;
        Ok(Self {
            file,
            opened: store.opened().cloned(),
            numbers_only: store.numbers_only()?,
        })
    }

    pub fn open(&self) -> Result<Store, StoreError> {
        let store = Store::open_again(&self.file)?;
        if store.opened() != self.opened.as_ref() {
            // another file has taken its place
            let path = self.file.clone();
            let how = Astray::Replaced;
            return Err(StoreError::Astray { path, how });
        }
        Ok(store.with_numbers_only(self.numbers_only))
    }
}

/// What there is of other tablets.
pub(super) fn read(store: &Store) -> Result<Tablets, StoreError> {
    let folders = bundle::folders(store.path());
    let own = store.known_tablet()?.unwrap_or_default();
    Ok(Tablets {
        found: bundle::found(&folders, &own),
        own,
        folders,
        conflicts: store.conflicts()?,
        twins: store.twins()?,
        joined: store.joined()?,
    })
}

/// Writes a bundle into a folder, under a name that tells day and tablet.
pub(super) fn write(
    apart: Apart,
    (since, with_names): (Since, bool),
    folder: PathBuf,
    day: NaiveDate,
) -> Task {
    Task::begin(move |_| {
        let written = written(&apart, (&since, with_names), &folder, day);
        Event::WorkEnded(written.unwrap_or_else(|e| failed(e.to_string())))
    })
}

fn written(
    apart: &Apart,
    (since, with_names): (&Since, bool),
    folder: &Path,
    day: NaiveDate,
) -> Result<Message, BundleError> {
    let store = apart.open()?;
    let made = Kept::of(store.path()).make_folder(folder);
    made.map_err(|source| BundleError::Write {
        what: folder.display().to_string(),
        source,
    })?;
    let path = bundle::place_in(folder, &store.tablet()?, day, since);
    let with_names = with_names || !store.numbers_only()?;
    let written = bundle::write_as(&store, since, with_names, &path)?;
    Ok(note(format!(
        "{} is written: {}{}, {} KiB",
        path.display(),
        words::plural(written.records as u32, "record", "records"),
        if with_names { "" } else { ", without names" },
        written.bytes.div_ceil(1024)
    )))
}

/// Looks what a bundle, or all of a folder, would bring. Where they are of an orchard that began by itself, that is told
/// too.
pub(super) fn look_into(apart: Apart, place: PathBuf) -> Task {
    Task::begin(move |outside| {
        let files = if place.is_dir() {
            bundle::bundles_in(&place)
        } else {
            vec![place.clone()]
        };
        if files.is_empty() {
            let words = format!("there is no bundle in the folder {}", place.display());
            return Event::WorkEnded(failed(words));
        }
        let look = |join_orchards| {
            let how = TakeIn {
                dry_run: true,
                join_orchards,
            };
            merge(&apart.open()?, &files, how, outside)
        };
        let (join, taken) = match look(false) {
            Err(BundleError::Refused {
                source: StoreError::OtherOrchard,
                ..
            }) => (true, look(true)),
            other => (false, other),
        };
        match taken {
            Ok(taken) => Event::Asked(Question {
                words: question(&taken, join),
                yes: vec![Effect::TakeIn(files, join)],
            }),
            Err(e) => Event::WorkEnded(failed(e.to_string())),
        }
    })
}

/// Takes bundles in, after a backup.
pub(super) fn take_in(
    apart: Apart,
    files: Vec<PathBuf>,
    join_orchards: bool,
    day: NaiveDate,
) -> Task {
    Task::begin(move |outside| {
        let how = TakeIn {
            dry_run: false,
            join_orchards,
        };
        let taken = taken_in(&apart, &files, how, day, outside);
        Event::WorkEnded(taken.unwrap_or_else(|e| failed(e.to_string())))
    })
}

fn taken_in(
    apart: &Apart,
    files: &[PathBuf],
    how: TakeIn,
    day: NaiveDate,
    outside: &Outside,
) -> Result<Message, BundleError> {
    let store = apart.open()?;
    let unkept = backup::before_much(&store, day)?;
    let taken = merge(&store, files, how, outside)?;
    Ok(note(told(&taken) + &without_backup(unkept.as_ref())))
}

pub(super) fn without_backup(why: Option<&StoreError>) -> String {
    why.map_or_else(String::new, |e| {
        format!("; no backup was made before: {}", e.in_short())
    })
}

fn merge(
    store: &Store,
    files: &[PathBuf],
    how: TakeIn,
    outside: &Outside,
) -> Result<Vec<(PathBuf, Taken)>, BundleError> {
    bundle::merge(store, files, how, &mut |Progress { done, of }| {
        outside.so_far(done, of, String::new());
        !outside.is_stopped()
    })
}

/// What would come in, as a question.
fn question(taken: &[(PathBuf, Taken)], join: bool) -> String {
    let each = taken.iter().map(|(path, of)| {
        let name = path
            .file_name()
            .map_or_else(String::new, |name| name.display().to_string());
        format!("{name}, {}", words::taken(of).join("; "))
    });
    let what = each.collect::<Vec<_>>().join(". ");
    let first = if join {
        "This is of an orchard that was begun on another tablet by itself: if it is the same orchard, both \
         become one from now on. "
    } else {
        ""
    };
    format!(
        "{first}{what}. Take it in? It comes in whole or not at all; what was changed on both is kept twice until you settle it."
    )
}

/// What came in, in a line.
fn told(taken: &[(PathBuf, Taken)]) -> String {
    let came: usize = (taken.iter())
        .flat_map(|(_, of)| &of.kinds)
        .map(|(_, came)| came.new + came.changed + came.removed)
        .sum();
    let forgotten: usize = taken.iter().map(|(_, of)| of.names_removed).sum();
    let (settle, twins) = taken
        .last()
        .map_or((0, 0), |(_, of)| (of.conflicts, of.twins));
    let mut told = format!(
        "taken in: {}",
        words::plural(came as u32, "record", "records")
    );
    let waits = match (settle, twins) {
        (0, 0) => String::new(),
        (settle, 0) => format!("; {settle} to settle: first in the list"),
        (0, twins) => format!("; {twins} entered twice: first in the list"),
        (settle, twins) => {
            format!("; {settle} to settle and {twins} entered twice: first in the list")
        }
    };
    told.push_str(&waits);
    if forgotten > 0 {
        told.push_str("; names were taken away, and backups hold them still (Crew, t)");
    }
    if let Some(fault) = taken.last().and_then(|(_, of)| of.unswept.as_ref()) {
        told.push_str("; ");
        told.push_str(fault);
        told.push_str(": their last bytes go when a name is taken away again");
    }
    told
}
