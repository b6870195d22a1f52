//! Bundles: one file that carries an orchard, or what was changed since, from tablet to tablet.
//!
//! The format is described in `assets/bundle.md`. A bundle is read within limits and checked whole, before anything of
//! it is looked at by the store; the store then takes it in as one change.

mod error;
mod first;
mod lines;
mod places;
mod read;
mod write;

use std::collections::HashSet;
use std::path::{Path, PathBuf};

use chrono::NaiveDate;
use uuid::Uuid;

pub use error::BundleError;
pub use lines::Limits;
pub use places::{bundles_in, folders, found};
pub use read::{Looked, look, read, read_from};
pub use write::{Written, write, write_as, write_to};

use crate::store::bundle::{ChangeSet, Coming, Parcel, Since, TakeIn, Taken, Watch};
use crate::store::{Store, StoreError};

/// The version of the format that is written. The first one, in which names stood with pruners, and the second one,
/// without digests, are read as well.
pub const FORMAT: u64 = 3;

/// From which version on names are apart from pruners.
const APART: u64 = 2;

/// The end of a bundle's file name.
pub const ENDING: &str = "bundle";

/// A checksum in hexadecimal.
fn hex(sum: &[u8]) -> String {
    use std::fmt::Write as _;
    sum.iter().fold(String::new(), |mut text, byte| {
        // writing to a text does not fail
        let _ = write!(text, "{byte:02x}");
        text
    })
}

/// A name for a bundle that names no person.
pub fn suggested_name(parcel_of: &str, day: NaiveDate) -> String {
    format!("thirdwood-{day}-{parcel_of}.{ENDING}")
}

/// Where a bundle goes in a folder. One with everything takes the place of an earlier one of its day; one of what is
/// new never does, for the others may still need that.
pub fn place_in(folder: &Path, parcel_of: &str, day: NaiveDate, since: &Since) -> PathBuf {
    let path = folder.join(suggested_name(parcel_of, day));
    let replaces = *since == Since::Beginning && path.is_file();
    if replaces || !path.exists() {
        return path;
    }
    let numbered = |n: u32| folder.join(suggested_name(&format!("{parcel_of}-{n}"), day));
    (2..=u32::MAX)
        .map(numbered)
        .find(|path| !path.exists())
        .unwrap_or(path)
}

/// What the tablet that wrote a bundle does not know yet.
pub fn unknown_to(parcel: &Parcel) -> Since {
    let follow: HashSet<Uuid> = parcel
        .sets
        .iter()
        .flat_map(|set| &set.parents)
        .copied()
        .collect();
    // names that were made apart while a bundle of the first format was read stand in no file yet
    let written =
        |set: &&ChangeSet| !set.names || follow.contains(&set.id) || parcel.heads.contains(&set.id);
    let sets = parcel.sets.iter().filter(written).map(|set| set.id);
    let all: Vec<Uuid> = parcel
        .heads
        .iter()
        .chain(&parcel.base)
        .copied()
        .chain(sets)
        .collect();
    Since::Known(all)
}

/// Takes bundles in as one change: all of them, or none. They may be given in any order: one that rests on another of
/// them waits for it.
pub fn merge<'a>(
    store: &Store,
    paths: &[PathBuf],
    how: TakeIn,
    watch: &'a mut Watch<'a>,
) -> Result<Vec<(PathBuf, Taken)>, BundleError> {
    // each is looked over whole before the orchard file is touched, and read again then, record by record
    let looked = paths.iter().map(|path| Ok((path.clone(), look(path)?)));
    let looked: Vec<(PathBuf, Looked)> = looked.collect::<Result<_, BundleError>>()?;
    let kept = TakeIn {
        dry_run: false,
        ..how
    };
    let outcome = store.atomically(|store| {
        let gone = looked
            .iter()
            .flat_map(|(_, looked)| looked.names_gone.iter().cloned());
        let gone = store.names_that_go(&gone.collect())?;
        let mut taken = in_turn(store, looked, kept, watch)?;
        let texts = store.put_numbers_for(&gone)?;
        if let Some((_, last)) = taken.last_mut() {
            last.texts = texts;
        }
        if how.dry_run {
            Err(Stop::Dry(taken))
        } else {
            Ok(taken)
        }
    });
    match outcome {
        Ok(mut taken) => {
            let names = taken.iter().any(|(_, taken)| taken.names_removed > 0);
            if let Some((_, last)) = taken.last_mut().filter(|_| names) {
                last.unswept = store.sweep_names();
            }
            Ok(taken)
        }
        Err(Stop::Dry(taken)) => Ok(taken),
        Err(Stop::Failed(error)) => Err(error),
    }
}

/// Ends a change without keeping it.
enum Stop {
    Failed(BundleError),
    Dry(Vec<(PathBuf, Taken)>),
}

impl From<StoreError> for Stop {
    fn from(error: StoreError) -> Self {
        Self::Failed(error.into())
    }
}

fn in_turn<'a>(
    store: &Store,
    mut open: Vec<(PathBuf, Looked)>,
    how: TakeIn,
    watch: &'a mut Watch<'a>,
) -> Result<Vec<(PathBuf, Taken)>, Stop> {
    let mut done = Vec::new();
    while !open.is_empty() {
        let before = open.len();
        let mut waiting = Vec::new();
        for (path, looked) in open {
            match take_in(store, &path, &looked, how, watch) {
                Ok(taken) => done.push((path, taken)),
                Err(BundleError::Store(StoreError::Gap)) => waiting.push((path, looked)),
                Err(BundleError::Store(source)) => {
                    return Err(Stop::Failed(refused(&path, source)));
                }
                Err(other) => return Err(Stop::Failed(other)),
            }
        }
        if let Some((path, _)) = waiting.first().filter(|_| waiting.len() == before) {
            return Err(Stop::Failed(refused(path, StoreError::Gap)));
        }
        open = waiting;
    }
    Ok(done)
}

/// Reads a bundle that was looked over once more, and hands its records on one by one.
fn take_in<'a>(
    store: &Store,
    path: &Path,
    looked: &Looked,
    how: TakeIn,
    watch: &'a mut Watch<'a>,
) -> Result<Taken, BundleError> {
    let coming = Coming {
        head: &looked.head,
        records: looked.records,
        names_gone: &looked.names_gone,
    };
    let mut reading = read::open(path)?;
    let mut failed = None;
    let mut next = || {
        let next = reading.next();
        let another = matches!(next, Ok(None)) && reading.sum != looked.sum;
        let next = if another {
            let what = path.display().to_string();
            Err(BundleError::Changed { what })
        } else {
            next
        };
        next.map_err(|error| {
            failed = Some(error);
            StoreError::Stopped
        })
    };
    let outcome = store.take_in_from(coming, &mut next, how, watch);
    match failed {
        Some(error) => Err(error),
        None => Ok(outcome?),
    }
}

/// Whose fault it is: the bundle's, or that of the file into which it was to come.
fn refused(path: &Path, source: StoreError) -> BundleError {
    match source {
        StoreError::Bundle(_)
        | StoreError::Altered(_)
        | StoreError::TooMuch(_)
        | StoreError::Gap
        | StoreError::OtherOrchard => BundleError::Refused {
            path: path.to_owned(),
            source,
        },
        of_the_file => of_the_file.into(),
    }
}
