//! What goes into a bundle.

use uuid::Uuid;

use super::super::{Store, StoreError};
use super::forget::names_in;
use super::history::{History, Members};
use super::versions;
use super::{Change, ChangeSet, Edits};

/// From where on changes are wanted.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub enum Since {
    /// From the beginning: everything.
    #[default]
    Beginning,
    /// What is new since the last bundle that was written of this file, whatever that one left out; everything where
    /// there was none.
    LastBundle,
    /// What a file does not know that knows these change sets; those that are not known here are left aside.
    Known(Vec<Uuid>),
}

/// What one bundle carries: change sets, and the versions of records that belong to them and were not replaced.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Parcel {
    /// The orchard's identities.
    pub orchards: Vec<Uuid>,
    /// The label of the tablet that wrote it.
    pub tablet: String,
    /// What a file must know to take this in: these change sets and all before them. Empty: nothing.
    pub base: Vec<Uuid>,
    /// What the writer knows: these and all before them.
    pub heads: Vec<Uuid>,
    /// The change sets, those that others follow first.
    pub sets: Vec<ChangeSet>,
    /// Their records, by kind and key.
    pub changes: Vec<Change>,
}

/// Where the heads of the last bundle are kept.
const LAST: &str = "last-bundle";

impl Store {
    /// Gathers what was changed, and gives what a bundle is to carry.
    pub fn parcel(&self, since: &Since) -> Result<Parcel, StoreError> {
        self.parcel_as(since, true)
    }

    /// As [`Store::parcel`], without the names of pruners: what the reader knows of them stays. Refused where a reason or
    /// note would tell a name all the same.
    pub fn parcel_without_names(&self, since: &Since) -> Result<Parcel, StoreError> {
        let parcel = self.parcel_as(since, false)?;
        let names = self.all_names()?;
        let mut found = 0;
        for change in &parcel.changes {
            found += usize::from(names_in(&names, &change.body)?);
        }
        match found {
            0 => Ok(parcel),
            found => Err(StoreError::NamesTyped(found)),
        }
    }

    fn parcel_as(&self, since: &Since, with_names: bool) -> Result<Parcel, StoreError> {
        self.atomically(|store| {
            let history = store.gather(|_| Ok(Edits::new()))?;
            let orchards = store.orchard_ids(true)?;
            let mut known: Vec<usize> = match since {
                Since::Beginning => Vec::new(),
                Since::LastBundle => places(&history, &store.last_bundle()?),
                Since::Known(sets) => places(&history, sets),
            };
            let wanted =
                |place: &usize| with_names || history.at(*place).is_some_and(|set| !set.names);
            known.retain(wanted);
            let base = history.with_all_before(&known);
            let (sets, nrs) = sets(&history, &base, wanted);
            Ok(Parcel {
                orchards,
                tablet: store.tablet()?,
                base: heads_of(&history, &known),
                heads: if with_names {
                    history.heads()
                } else {
                    history.heads_of(false)
                },
                changes: store.changes_of(&nrs)?,
                sets,
            })
        })
    }

    /// Remembers what a bundle carried once it is written, for [`Since::LastBundle`].
    pub fn bundle_written(&self, parcel: &Parcel) -> Result<(), StoreError> {
        let heads: Vec<String> = parcel
            .heads
            .iter()
            .map(|id| id.simple().to_string())
            .collect();
        self.set_device_value(LAST, &heads.join(","))
    }

    fn last_bundle(&self) -> Result<Vec<Uuid>, StoreError> {
        let text = self.device_value(LAST)?.unwrap_or_default();
        Ok(text.split(',').filter_map(super::body::id).collect())
    }

    /// The orchard's identities; where there is none yet, and one is wanted, it is made.
    pub(super) fn orchard_ids(&self, make: bool) -> Result<Vec<Uuid>, StoreError> {
        let read = || -> Result<Vec<Uuid>, StoreError> {
            let mut find = self
                .conn
                .prepare_cached("SELECT id FROM orchard_id ORDER BY id")?;
            super::super::rows::all(find.query([])?, |row| super::super::rows::id(row, 0))
        };
        let ids = read()?;
        if make && ids.is_empty() {
            self.add_orchard(Uuid::now_v7())?;
            return read();
        }
        Ok(ids)
    }

    pub(super) fn add_orchard(&self, id: Uuid) -> Result<(), StoreError> {
        self.conn.execute(
            "INSERT INTO orchard_id (id) VALUES (?1) ON CONFLICT DO NOTHING",
            [id.as_bytes()],
        )?;
        Ok(())
    }

    /// The versions of some change sets: the place of each in the parcel by its number in the file.
    fn changes_of(&self, nrs: &[Option<usize>]) -> Result<Vec<Change>, StoreError> {
        let mut find = self.conn.prepare_cached(
            "SELECT kind, key, change_set, removed, beside, body FROM version ORDER BY kind, key, change_set",
        )?;
        let mut rows = find.query([])?;
        let mut changes = Vec::new();
        while let Some(row) = rows.next()? {
            let nr: i64 = row.get(2)?;
            let Some(set) = nrs.get(nr as usize - 1).copied().flatten() else {
                continue;
            };
            let version = versions::read(row)?;
            changes.push(Change {
                kind: row.get(0)?,
                key: row.get(1)?,
                set,
                removed: version.removed,
                beside: version.beside,
                body: version.body,
            });
        }
        Ok(changes)
    }
}

fn places(history: &History, sets: &[Uuid]) -> Vec<usize> {
    sets.iter().filter_map(|set| history.place(*set)).collect()
}

/// The wanted change sets that the other does not know, and the place of each in the parcel.
fn sets(
    history: &History,
    known: &Members,
    wanted: impl Fn(&usize) -> bool,
) -> (Vec<ChangeSet>, Vec<Option<usize>>) {
    let mut sets = Vec::new();
    let mut nrs = vec![None; history.len()];
    for (place, nr) in nrs
        .iter_mut()
        .enumerate()
        .filter(|(place, _)| wanted(place))
    {
        if let Some(set) = history.at(place).filter(|_| !known.has(place)) {
            *nr = Some(sets.len());
            sets.push(set.clone());
        }
    }
    (sets, nrs)
}

/// Those of some change sets that none of the others follows.
fn heads_of(history: &History, places: &[usize]) -> Vec<Uuid> {
    let followed = history.all_before(places);
    let mut heads: Vec<Uuid> = places
        .iter()
        .filter(|place| !followed.has(**place))
        .filter_map(|place| history.at(*place).map(|set| set.id))
        .collect();
    heads.sort_unstable();
    heads.dedup();
    heads
}
