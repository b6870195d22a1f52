//! Taking in what another tablet made.

use std::collections::{BTreeMap, BTreeSet};

use uuid::Uuid;

use super::super::{Setting, Store, StoreError};
use super::body;
use super::history::History;
use super::kinds::{KINDS, NAME, NAME_REMOVED, place};
use super::layout::Layout;
use super::versions::{self, Version};
use super::{Change, Edits, Parcel, Progress, Touched, Watch};

/// How to take a parcel in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct TakeIn {
    /// Do everything, tell what came of it, keep nothing.
    pub dry_run: bool,
    /// Take it in though it is of an orchard that began by itself; from then on both are one.
    pub join_orchards: bool,
}

/// What came in of one kind of record.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct TakenKind {
    /// Not known before.
    pub new: usize,
    /// Known, and now otherwise.
    pub changed: usize,
    /// Removed now.
    pub removed: usize,
    /// Changed here as well, so that a person has to settle it.
    pub conflicts: usize,
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
    /// The label of the tablet that wrote the parcel.
    pub tablet: String,
}

/// Ends a change without keeping it.
enum Stop {
    Failed(StoreError),
    Dry(Taken),
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
        let outcome = self.atomically(|store| {
            let taken = store.unite(parcel, how, watch)?;
            if how.dry_run {
                Err(Stop::Dry(taken))
            } else {
                Ok(taken)
            }
        });
        match outcome {
            Ok(taken) | Err(Stop::Dry(taken)) => Ok(taken),
            Err(Stop::Failed(error)) => Err(refusal(error)),
        }
    }

    fn unite<'a>(
        &self,
        parcel: &Parcel,
        how: TakeIn,
        watch: &'a mut Watch<'a>,
    ) -> Result<Taken, StoreError> {
        self.same_orchard(parcel, how.join_orchards)?;
        let mut history = self.gather(|_| Ok(Edits::new()))?;
        if parcel.base.iter().any(|set| history.place(*set).is_none()) {
            return Err(StoreError::Gap);
        }
        let first_new = history.len();
        let mut places = Vec::with_capacity(parcel.sets.len());
        for set in &parcel.sets {
            places.push(match history.place(set.id) {
                Some(place) => place,
                None => history.add(&self.conn, set)?,
            });
        }
        let mut uniting = Uniting {
            store: self,
            layouts: self.layouts()?,
            history,
            places,
            first_new,
            no_names: names_removed(parcel, self.removed_names()?),
            kinds: BTreeMap::new(),
            known: 0,
            touched: Touched::new(),
        };
        let of = parcel.changes.len();
        for (done, change) in parcel.changes.iter().enumerate() {
            uniting.change(change)?;
            if done % 64 == 0 && !watch(Progress { done: done / 2, of }) {
                return Err(StoreError::Stopped);
            }
        }
        let Uniting {
            history,
            kinds,
            known,
            touched,
            ..
        } = uniting;
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
        let removed = place(NAME_REMOVED).and_then(|kind| kinds.get(&kind));
        Ok(Taken {
            names_removed: removed.map_or(0, |removed| removed.new),
            texts: 0,
            kinds: kinds
                .into_iter()
                .map(|(kind, taken)| (KINDS[kind].named[1], taken))
                .collect(),
            known,
            conflicts: self.conflicts()?.len(),
            twins: self.twins()?.len(),
            tablet: parcel.tablet.clone(),
        })
    }

    /// A file without a block, pruner or winter becomes one of the parcel's orchard.
    fn same_orchard(&self, parcel: &Parcel, join: bool) -> Result<(), StoreError> {
        let own = self.orchard_ids(false)?;
        let empty =
            self.blocks()?.is_empty() && self.pruners()?.is_empty() && self.winters()?.is_empty();
        let known = own.iter().any(|id| parcel.orchards.contains(id));
        if !known && !empty && !join {
            return Err(StoreError::OtherOrchard);
        }
        if !empty {
            self.orchard_ids(true)?;
        }
        parcel
            .orchards
            .iter()
            .try_for_each(|id: &Uuid| self.add_orchard(*id))
    }
}

/// What is at hand while versions are united.
struct Uniting<'a> {
    store: &'a Store,
    layouts: Vec<Layout>,
    history: History,
    /// The places here of the parcel's change sets.
    places: Vec<usize>,
    first_new: usize,
    /// Pruners whose name is kept nowhere any more, by key.
    no_names: BTreeSet<String>,
    kinds: BTreeMap<usize, TakenKind>,
    known: usize,
    touched: Touched,
}

impl Uniting<'_> {
    fn change(&mut self, change: &Change) -> Result<(), StoreError> {
        let wrong = |what: &str| {
            StoreError::bundle(&format!("{:.80} {:.80} {what}", change.kind, change.key))
        };
        let set = *self
            .places
            .get(change.set)
            .ok_or_else(|| wrong("is of no change set"))?;
        let kind = place(&change.kind).ok_or_else(|| wrong("is of a kind that is not known"))?;
        if set < self.first_new {
            self.known += 1;
            return Ok(());
        }
        if change.kind == "setting" && !Setting::parse(&change.key).is_some_and(Setting::of_orchard)
        {
            return Err(wrong("is not the orchard's"));
        }
        let names = self.history.at(set).is_some_and(|set| set.names);
        if names != (change.kind == NAME) {
            return Err(wrong("is in a change set of another sort"));
        }
        if change.kind == NAME_REMOVED && change.removed {
            return Err(wrong("is taken back, which nobody can"));
        }
        let layout = &self.layouts[kind];
        layout.key_values(&change.key)?;
        if change.kind == NAME && self.no_names.contains(&change.key) {
            // it is not even written down
            self.known += 1;
            return Ok(());
        }
        let new = Version {
            set,
            removed: change.removed,
            beside: change.beside.clone(),
            body: body::text(&layout.normal(body::parse(&change.body)?)?),
        };
        let name = (layout.kind.word, change.key.as_str());
        let there = versions::of(&self.store.conn, name.0, name.1)?;
        if there.iter().any(|version| version.set == set) {
            return Err(wrong("is named twice"));
        }
        let before = versions::winner(&self.history, &there).cloned();
        let mut all = versions::add(&self.store.conn, &self.history, name, &new, there)?;
        all.push(new);
        let after = versions::winner(&self.history, &all);
        let taken = self.kinds.entry(kind).or_default();
        match (before, after) {
            (None, Some(now)) if !now.removed => taken.new += 1,
            (Some(old), Some(now)) if !old.same(now) && now.removed => taken.removed += 1,
            (Some(old), Some(now)) if !old.same(now) => taken.changed += 1,
            _ => {}
        }
        taken.conflicts += usize::from(
            all.iter()
                .any(|version| after.is_some_and(|now| !now.same(version))),
        );
        self.touched.insert((kind, change.key.clone()));
        Ok(())
    }
}

/// Pruners whose name was taken away, here or as the parcel says.
fn names_removed(parcel: &Parcel, here: BTreeSet<String>) -> BTreeSet<String> {
    let there = parcel.changes.iter().filter(|c| c.kind == NAME_REMOVED);
    here.into_iter()
        .chain(there.map(|change| change.key.clone()))
        .collect()
}

/// A value that the tables refuse is the bundle's fault.
fn refusal(error: StoreError) -> StoreError {
    match error {
        StoreError::Sqlite(e)
            if e.sqlite_error_code() == Some(rusqlite::ErrorCode::ConstraintViolation) =>
        {
            StoreError::bundle(&format!("it holds a value that cannot be ({e})"))
        }
        other => other,
    }
}
