//! Bundles: one file that carries an orchard, or what was changed since, from tablet to tablet.
//!
//! The format is described in `assets/bundle.md`. A bundle is read within limits and checked whole, before anything of
//! it is looked at by the store; the store then takes it in as one change.

mod error;
mod read;
mod write;

use std::path::{Path, PathBuf};

use chrono::NaiveDate;
use uuid::Uuid;

pub use error::BundleError;
pub use read::{Limits, read, read_from};
pub use write::{Written, write, write_to};

use crate::store::bundle::{Parcel, Since, TakeIn, Taken, Watch};
use crate::store::{Store, StoreError};

/// The version of the format that is written, and the newest that is read.
pub const FORMAT: u64 = 1;

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

/// What the tablet that wrote a bundle does not know yet.
pub fn unknown_to(parcel: &Parcel) -> Since {
    let sets = parcel.sets.iter().map(|set| set.id);
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
    let parcels = paths.iter().map(|path| Ok((path.clone(), read(path)?)));
    let parcels: Vec<(PathBuf, Parcel)> = parcels.collect::<Result<_, BundleError>>()?;
    let kept = TakeIn {
        dry_run: false,
        ..how
    };
    let outcome = store.atomically(|store| {
        let taken = in_turn(store, parcels, kept, watch)?;
        if how.dry_run {
            Err(Stop::Dry(taken))
        } else {
            Ok(taken)
        }
    });
    match outcome {
        Ok(taken) | Err(Stop::Dry(taken)) => Ok(taken),
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
    mut open: Vec<(PathBuf, Parcel)>,
    how: TakeIn,
    watch: &'a mut Watch<'a>,
) -> Result<Vec<(PathBuf, Taken)>, Stop> {
    let mut done = Vec::new();
    while !open.is_empty() {
        let before = open.len();
        let mut waiting = Vec::new();
        for (path, parcel) in open {
            match store.take_in(&parcel, how, &mut |progress| watch(progress)) {
                Ok(taken) => done.push((path, taken)),
                Err(StoreError::Gap) => waiting.push((path, parcel)),
                Err(source) => return Err(Stop::Failed(refused(&path, source))),
            }
        }
        if let Some((path, _)) = waiting.first().filter(|_| waiting.len() == before) {
            return Err(Stop::Failed(refused(path, StoreError::Gap)));
        }
        open = waiting;
    }
    Ok(done)
}

fn refused(path: &Path, source: StoreError) -> BundleError {
    BundleError::Refused {
        path: path.to_owned(),
        source,
    }
}
