//! Taking in what another tablet made.

use std::collections::BTreeSet;

use uuid::Uuid;

use super::super::why::database;
use super::super::{Store, StoreError};
use super::kinds::Kind;
use super::uniting::{TakenKind, United, Uniting};
use super::{Edits, Entry, MOST_ORCHARDS, Parcel, Progress, Watch};

/// How to take a parcel in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct TakeIn {
    /// Do everything, tell what came of it, keep nothing.
    pub dry_run: bool,
    /// Take it in though it is of an orchard that began by itself; from then on both are one.
    pub join_orchards: bool,
}

/// What came in.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Taken {
    /// By kind, in words, those with anything to tell.
    pub kinds: Vec<(&'static str, TakenKind)>,
    /// Records that were known already.
    pub known: usize,
    /// Conflicts in the file now, those from before among them.
    pub conflicts: usize,
    /// Groups of pruners, blocks or winters in the file with one number or name.
    pub twins: usize,
    /// Pruners whose name was taken away elsewhere, and is gone from this file now.
    pub names_removed: usize,
    /// Texts here in which the number stands for such a name now. Told of the last of several parcels.
    pub texts: usize,
    /// Why the bytes of such names may be in this file still, in short. Told of the last of several parcels.
    pub unswept: Option<String>,
    /// Orchards that began by themselves and are one with this from now on.
    pub joined: usize,
    /// Orchards that are one with the parcel's there, and not here: nobody asked for that.
    pub apart: usize,
    /// The label of the tablet that wrote the parcel.
    pub tablet: String,
}

/// A parcel that comes record by record.
#[derive(Debug, Clone, Copy)]
pub struct Coming<'p> {
    /// What goes before its records.
    pub head: &'p Parcel,
    /// How many records it has.
    pub records: usize,
    /// Pruners whose name it takes away, by key.
    pub names_gone: &'p BTreeSet<String>,
}

/// Gives the next record of a parcel, in their order; none at its end.
pub type Next<'a> = dyn FnMut() -> Result<Option<Entry>, StoreError> + 'a;

/// Ends a change without keeping it.
enum Stop {
    Failed(StoreError),
    Dry(Box<Taken>),
}

impl From<StoreError> for Stop {
    fn from(error: StoreError) -> Self {
        Self::Failed(error)
    }
}

impl Store {
    /// Takes a parcel in, all or nothing. What was known already changes nothing.
    ///
    /// Refused are parcels of another orchard, those that rest on change sets that are not known here, and those that
    /// hold something invalid.
    pub fn take_in<'a>(
        &self,
        parcel: &Parcel,
        how: TakeIn,
        watch: &'a mut Watch<'a>,
    ) -> Result<Taken, StoreError> {
        let names_gone = (parcel.changes.iter())
            .filter(|change| change.kind == Kind::NameRemoved)
            .map(|change| change.key.clone())
            .collect();
        let coming = Coming {
            head: parcel,
            records: parcel.changes.len() + parcel.replaced.len(),
            names_gone: &names_gone,
        };
        let mut entries = parcel.entries();
        self.take_in_from(coming, &mut || Ok(entries.next()), how, watch)
    }

    /// As [`Store::take_in`], of a parcel that comes record by record.
    pub fn take_in_from<'a>(
        &self,
        coming: Coming<'_>,
        next: &mut Next<'_>,
        how: TakeIn,
        watch: &'a mut Watch<'a>,
    ) -> Result<Taken, StoreError> {
        let outcome = self.atomically(|store| {
            let taken = store.unite(coming, next, how, watch)?;
            if how.dry_run {
                Err(Stop::Dry(Box::new(taken)))
            } else {
                Ok(taken)
            }
        });
        match outcome {
            Ok(taken) => Ok(taken),
            Err(Stop::Dry(taken)) => Ok(*taken),
            Err(Stop::Failed(error)) => Err(refusal(error)),
        }
    }

    fn unite<'a>(
        &self,
        Coming {
            head,
            records: of,
            names_gone,
        }: Coming<'_>,
        next: &mut Next<'_>,
        how: TakeIn,
        watch: &'a mut Watch<'a>,
    ) -> Result<Taken, StoreError> {
        let (joined, apart) = self.same_orchard(head, how.join_orchards)?;
        let history = self.gather(|_| Ok(Edits::new()))?;
        if head.base.iter().any(|set| history.place(*set).is_none()) {
            return Err(StoreError::Gap);
        }
        let mut uniting = Uniting::begin(self, history, head, names_gone)?;
        let mut done = 0;
        while let Some(entry) = next()? {
            uniting.entry(entry)?;
            if done % 64 == 0 && !watch(Progress { done: done / 2, of }) {
                return Err(StoreError::Stopped);
            }
            done += 1;
        }
        let United {
            history,
            kinds,
            known,
            touched,
        } = uniting.end(head)?;
        if !touched.is_empty() {
            let counted = touched.len();
            let mut second = |progress: Progress| {
                watch(Progress {
                    done: of / 2 + progress.done * (of - of / 2) / counted.max(1),
                    of,
                })
            };
            self.project(&history, &touched, &mut second)?;
            self.verify()?;
        }
        let removed = kinds.get(&Kind::NameRemoved);
        Ok(Taken {
            names_removed: removed.map_or(0, |removed| removed.new),
            texts: 0,
            unswept: None,
            kinds: kinds
                .into_iter()
                .map(|(kind, taken)| (kind.about().named[1], taken))
                .collect(),
            known,
            conflicts: self.number_of_conflicts()?,
            twins: self.twins()?.len(),
            joined,
            apart,
            tablet: head.tablet.clone(),
        })
    }

    /// A file without a block, pruner or winter becomes one of the parcel's orchard. Any other takes further identities
    /// in only where that was asked for: anybody can write them into a bundle. Gives how many orchards were made one
    /// with this, and how many the parcel named that were not.
    fn same_orchard(&self, parcel: &Parcel, join: bool) -> Result<(usize, usize), StoreError> {
        let empty = self.is_empty()?;
        let own = self.orchard_ids(!empty)?;
        let theirs: BTreeSet<Uuid> = parcel.orchards.iter().copied().collect();
        let new: Vec<Uuid> = (theirs.iter().copied())
            .filter(|id| !own.contains(id))
            .collect();
        if !empty && !join {
            return if new.len() < theirs.len() {
                Ok((0, new.len()))
            } else {
                Err(StoreError::OtherOrchard)
            };
        }
        if own.len() + new.len() > MOST_ORCHARDS {
            return Err(StoreError::TooMuch(format!(
                "with it, more than {MOST_ORCHARDS} orchards would be made one"
            )));
        }
        new.iter().try_for_each(|id| self.add_orchard(*id))?;
        Ok((if empty { 0 } else { new.len() }, 0))
    }
}

/// A value that the tables refuse is the bundle's fault.
fn refusal(error: StoreError) -> StoreError {
    match error {
        StoreError::Sqlite(e)
            if e.sqlite_error_code() == Some(rusqlite::ErrorCode::ConstraintViolation) =>
        {
            StoreError::bundle(&format!(
                "it holds a value that cannot be ({})",
                database(&e)
            ))
        }
        other => other,
    }
}
