//! What goes into a bundle.

use uuid::Uuid;

use super::super::{Store, StoreError};
use super::forget::names_in;
use super::history::{History, Members};
use super::kinds::Kind;
use super::seal::Digest;
use super::versions;
use super::{Change, ChangeSet, Edits};
use crate::orchard::Names;

/// The most orchards that are made one, this one among them. All of them go in one line of a bundle.
pub const MOST_ORCHARDS: usize = 64;

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
    /// What else was changed in them, and was replaced since; by kind and key.
    pub replaced: Vec<Replaced>,
}

/// A record as a change set left it that was replaced since: only its digest is left, by which the change set is named.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Replaced {
    /// The kind of record.
    pub kind: Kind,
    /// Which of that kind.
    pub key: String,
    /// The change set, by its place in the parcel.
    pub set: usize,
    /// What the record came down to.
    pub digest: Digest,
}

/// One of the records of a parcel, on its way.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Entry {
    /// A record.
    There(Change),
    /// What is left of one.
    Replaced(Replaced),
}

impl Entry {
    /// Its kind, key and change set.
    pub fn name(&self) -> (Kind, &str, usize) {
        match self {
            Self::There(one) => (one.kind, &one.key, one.set),
            Self::Replaced(one) => (one.kind, &one.key, one.set),
        }
    }

    /// Entries go in this order.
    fn place(&self) -> (&str, &str, usize) {
        let (kind, key, set) = self.name();
        (kind.word(), key, set)
    }
}

/// What takes a parcel record by record, so that it need not be in memory at once.
pub trait Carrier {
    /// Why it cannot.
    type Error: From<StoreError>;

    /// First comes what goes before the records, and how many of them follow.
    ///
    /// # Errors
    /// What keeps it from going on.
    fn begin(&mut self, head: &Parcel, entries: usize) -> Result<(), Self::Error>;

    /// Then each record, in order.
    ///
    /// # Errors
    /// What keeps it from going on.
    fn entry(&mut self, entry: Entry) -> Result<(), Self::Error>;
}

/// A parcel kept in memory.
impl Carrier for Parcel {
    type Error = StoreError;

    fn begin(&mut self, head: &Parcel, _: usize) -> Result<(), StoreError> {
        self.clone_from(head);
        Ok(())
    }

    fn entry(&mut self, entry: Entry) -> Result<(), StoreError> {
        match entry {
            Entry::There(change) => self.changes.push(change),
            Entry::Replaced(replaced) => self.replaced.push(replaced),
        }
        Ok(())
    }
}

impl Parcel {
    /// Its records in order.
    pub fn entries(&self) -> impl Iterator<Item = Entry> {
        let mut there = self.changes.iter().cloned().map(Entry::There).peekable();
        let mut gone = self
            .replaced
            .iter()
            .cloned()
            .map(Entry::Replaced)
            .peekable();
        std::iter::from_fn(move || match (there.peek(), gone.peek()) {
            (Some(one), Some(other)) if other.place() < one.place() => gone.next(),
            (Some(_), _) => there.next(),
            (None, _) => gone.next(),
        })
    }
}

/// Where the heads of the last bundle are kept.
const LAST: &str = "last-bundle";

impl Store {
    /// Gathers what was changed, and gives what a bundle is to carry.
    pub fn parcel(&self, since: &Since) -> Result<Parcel, StoreError> {
        let mut parcel = Parcel::default();
        self.hand_out(since, true, &mut parcel)?;
        Ok(parcel)
    }

    /// As [`Store::parcel`], without the names of pruners: what the reader knows of them stays. Refused where a reason or
    /// note would tell a name all the same.
    pub fn parcel_without_names(&self, since: &Since) -> Result<Parcel, StoreError> {
        let mut parcel = Parcel::default();
        self.hand_out(since, false, &mut parcel)?;
        Ok(parcel)
    }

    /// As [`Store::parcel`] or [`Store::parcel_without_names`], record by record. Gives what went before the records.
    pub fn hand_out<C: Carrier>(
        &self,
        since: &Since,
        with_names: bool,
        carrier: &mut C,
    ) -> Result<Parcel, C::Error> {
        self.atomically(|store| {
            store.gather(|_| Ok(Edits::new()))?;
            store.orchard_ids(true)?;
            store.tablet().map(drop)
        })?;
        self.at_one_moment(|store| {
            let (head, nrs) = store.head(since, with_names)?;
            let names = if with_names {
                Names::default()
            } else {
                store.all_names()?
            };
            carrier.begin(&head, store.entries_in(&nrs)?)?;
            match store.entries_of(&nrs, &names, carrier)? {
                0 => Ok(head),
                found => Err(StoreError::NamesTyped(found).into()),
            }
        })
    }

    /// What goes before the records; and the place of each change set in the parcel by its number in the file.
    fn head(
        &self,
        since: &Since,
        with_names: bool,
    ) -> Result<(Parcel, Vec<Option<usize>>), StoreError> {
        let history = History::load(&self.conn)?;
        let mut known: Vec<usize> = match since {
            Since::Beginning => Vec::new(),
            Since::LastBundle => places(&history, &self.last_bundle()?),
            Since::Known(sets) => places(&history, sets),
        };
        let wanted = |place: &usize| with_names || history.at(*place).is_some_and(|set| !set.names);
        known.retain(wanted);
        let base = history.with_all_before(&known);
        let (sets, nrs) = sets(&history, &base, wanted);
        let orchards = self.orchard_ids(true)?;
        if orchards.len() > MOST_ORCHARDS {
            return Err(StoreError::ManyOrchards(orchards.len()));
        }
        let head = Parcel {
            orchards,
            tablet: self.tablet()?,
            base: heads_of(&history, &known),
            heads: if with_names {
                history.heads()
            } else {
                history.heads_of(false)
            },
            sets,
            ..Parcel::default()
        };
        Ok((head, nrs))
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

    /// How many records these change sets have, those that were replaced among them.
    fn entries_in(&self, nrs: &[Option<usize>]) -> Result<usize, StoreError> {
        let mut find = self.conn.prepare_cached(
            "SELECT change_set, count(*) FROM version GROUP BY change_set
             UNION ALL SELECT change_set, count(*) FROM replaced GROUP BY change_set",
        )?;
        let mut rows = find.query([])?;
        let mut all = 0;
        while let Some(row) = rows.next()? {
            let wanted = nrs
                .get(row.get::<_, i64>(0)? as usize - 1)
                .copied()
                .flatten();
            all += wanted.map_or(0, |_| row.get::<_, i64>(1).unwrap_or(0)) as usize;
        }
        Ok(all)
    }

    /// Hands the records of some change sets out, in order: the place of each in the parcel by its number in the file.
    /// Gives how many of them name one of `names`.
    fn entries_of<C: Carrier>(
        &self,
        nrs: &[Option<usize>],
        names: &Names,
        carrier: &mut C,
    ) -> Result<usize, C::Error> {
        let named = {
            let mut find = self
                .conn
                .prepare_cached(ENTRIES)
                .map_err(StoreError::from)?;
            let mut rows = find.query([]).map_err(StoreError::from)?;
            let mut named = 0;
            while let Some(row) = rows.next().map_err(StoreError::from)? {
                let Some(entry) = entry(row, nrs)? else {
                    continue;
                };
                if let Entry::There(change) = &entry {
                    named += usize::from(names_in(names, &change.body)?);
                }
                carrier.entry(entry)?;
            }
            named
        };
        Ok(named)
    }
}

/// All versions, and what is left of those that were replaced.
const ENTRIES: &str = "
    SELECT kind, key, change_set, removed, beside, body, digest FROM version
    UNION ALL SELECT kind, key, change_set, NULL, NULL, NULL, digest FROM replaced
    ORDER BY kind, key, change_set";

/// A row of [`ENTRIES`]; none where its change set is not wanted.
fn entry(row: &rusqlite::Row<'_>, nrs: &[Option<usize>]) -> Result<Option<Entry>, StoreError> {
    let nr: i64 = row.get("change_set")?;
    let Some(set) = nrs.get(nr as usize - 1).copied().flatten() else {
        return Ok(None);
    };
    let (kind, key) = (row.get("kind")?, row.get("key")?);
    if row.get_ref("body")? == rusqlite::types::ValueRef::Null {
        let digest = row.get("digest")?;
        return Ok(Some(Entry::Replaced(Replaced {
            kind,
            key,
            set,
            digest,
        })));
    }
    let version = versions::read(row)?;
    Ok(Some(Entry::There(Change {
        kind,
        key,
        set,
        removed: version.removed,
        beside: version.beside,
        body: version.body,
    })))
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
