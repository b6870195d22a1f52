//! Uniting the records of a parcel with those that are here, one by one.

use std::collections::{BTreeMap, BTreeSet};

use serde_json::Value;

use super::super::{Setting, Store, StoreError};
use super::body::{self, Body};
use super::history::History;
use super::kinds::Kind;
use super::layout::Layouts;
use super::records::{RecordName, Touched};
use super::seal::{self, Digest, Seal, is_sealed};
use super::versions::{self, Version};
use super::{Change, Entry, Parcel, Replaced};

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

/// The most versions of a record side by side, and the most that one of them may leave standing: one a tablet is usual.
const MOST_BESIDE: usize = 100;
/// The most records of blocks, crew and winters that come at once, and the most missing trees beside them: all that are
/// there are looked at together.
const MOST_OTHERS: usize = 50_000;
const MOST_MISSING: usize = 200_000;
/// The most steps from change set to change set that are gone to tell which came before which: some ten seconds. Twenty
/// winters of five tablets take a tenth of that.
const MOST_STEPS: u64 = 5_000_000_000;

/// What is at hand while versions are united.
pub(super) struct Uniting<'a> {
    store: &'a Store,
    layouts: Layouts,
    history: History,
    /// The places here of the parcel's change sets.
    places: Vec<usize>,
    /// The identity of each as far as it can be told by now; none of those that have no digests.
    seals: Vec<Option<Seal>>,
    first_new: usize,
    /// Pruners whose name is kept nowhere any more, by key.
    no_names: BTreeSet<String>,
    /// The record that comes now, and the new change sets of which the version was replaced.
    now: Option<RecordName>,
    replaced_now: Vec<usize>,
    others: usize,
    missing: usize,
    kinds: BTreeMap<Kind, TakenKind>,
    known: usize,
    touched: Touched,
}

/// What came of it.
pub(super) struct United {
    pub history: History,
    pub kinds: BTreeMap<Kind, TakenKind>,
    pub known: usize,
    pub touched: Touched,
}

fn wrong((kind, key): (Kind, &str), what: &str) -> StoreError {
    StoreError::bundle(&format!("{} {key:.80} {what}", kind.word()))
}

impl<'a> Uniting<'a> {
    /// Takes the change sets of a parcel in. `names_gone`: pruners whose name it takes away.
    pub fn begin(
        store: &'a Store,
        mut history: History,
        head: &Parcel,
        names_gone: &BTreeSet<String>,
    ) -> Result<Self, StoreError> {
        let first_new = history.len();
        let mut places = Vec::with_capacity(head.sets.len());
        for set in &head.sets {
            places.push(if let Some(place) = history.place(set.id) {
                history.label(&store.conn, place, &set.tablet)?;
                place
            } else {
                history.add(&store.conn, set)?
            });
        }
        let seal =
            |set: &super::ChangeSet| is_sealed(set.id).then(|| Seal::new(&set.parents, set.names));
        let mut no_names = store.removed_names()?;
        no_names.extend(names_gone.iter().cloned());
        Ok(Self {
            store,
            layouts: store.layouts()?,
            history,
            places,
            seals: head.sets.iter().map(seal).collect(),
            first_new,
            no_names,
            now: None,
            replaced_now: Vec::new(),
            others: 0,
            missing: 0,
            kinds: BTreeMap::new(),
            known: 0,
            touched: Touched::new(),
        })
    }

    /// Unites the next record.
    pub fn entry(&mut self, entry: Entry) -> Result<(), StoreError> {
        let (kind, key, _) = entry.name();
        let is_now = |now: &RecordName| (now.0, now.1.as_str()) == (kind, key);
        if !self.now.as_ref().is_some_and(is_now) {
            self.record_done()?;
            self.now = Some((kind, key.to_owned()));
        }
        match entry {
            Entry::There(change) => self.change(&change),
            Entry::Replaced(replaced) => self.replaced(&replaced),
        }
    }

    /// Looks whether each change set is what its identity says.
    pub fn end(mut self, head: &Parcel) -> Result<United, StoreError> {
        self.record_done()?;
        for (seal, set) in self.seals.into_iter().zip(&head.sets) {
            if seal.is_some_and(|seal| seal.id() != set.id) {
                return Err(StoreError::bundle(&format!(
                    "change set {} is not what its name says, so somebody altered it",
                    set.id.simple()
                )));
            }
        }
        Ok(United {
            history: self.history,
            kinds: self.kinds,
            known: self.known,
            touched: self.touched,
        })
    }

    /// The place here of the change set of a record of the parcel.
    fn place(&self, name: (Kind, &str), set: usize) -> Result<usize, StoreError> {
        let set = self.places.get(set);
        let set = set.ok_or_else(|| wrong(name, "is of no change set"))?;
        let names = self.history.at(*set).is_some_and(|set| set.names);
        if names != (name.0 == Kind::Name) {
            return Err(wrong(name, "is in a change set of another sort"));
        }
        self.layouts.of(name.0).key_values(name.1)?;
        Ok(*set)
    }

    /// Adds a record to what its change set is named by.
    fn seal(
        &mut self,
        name: (Kind, &str),
        set: usize,
        digest: &Digest,
    ) -> Result<Option<Digest>, StoreError> {
        let Some(Some(seal)) = self.seals.get_mut(set) else {
            return Ok(None);
        };
        if seal.add(name.0, name.1, digest) {
            Ok(Some(*digest))
        } else {
            Err(wrong(name, "is named twice, or not in its order"))
        }
    }

    fn change(&mut self, change: &Change) -> Result<(), StoreError> {
        let name = (change.kind, change.key.as_str());
        let set = self.place(name, change.set)?;
        if change.beside.len() > MOST_BESIDE {
            return Err(wrong(name, "leaves more standing than there are tablets"));
        }
        let layout = self.layouts.of(name.0);
        let body = layout.normal(body::parse(&change.body)?)?;
        let digest = seal::digest(layout, name.1, (change.removed, &change.beside), &body);
        let sealed = self.seal(name, change.set, &digest)?;
        if set < self.first_new {
            self.known += 1;
            return match sealed {
                Some(_) => Ok(()),
                None => self.as_known(name, set, &digest),
            };
        }
        allowed(name, change, &body)?;
        if change.kind == Kind::Name && self.no_names.contains(&change.key) {
            // it is not even written down
            self.known += 1;
            return match sealed {
                Some(digest) => versions::replaced(&self.store.conn, name, set, &digest),
                None => Ok(()),
            };
        }
        let new = Version {
            set,
            removed: change.removed,
            beside: change.beside.clone(),
            body: body::text(&body),
            digest: sealed,
        };
        self.add(name, new)
    }

    fn add(&mut self, name: (Kind, &str), new: Version) -> Result<(), StoreError> {
        let conn = &self.store.conn;
        let there = versions::of(conn, name.0, name.1)?;
        if there.iter().any(|version| version.set == new.set) {
            return Err(wrong(name, "is named twice"));
        }
        if there.len() >= MOST_BESIDE {
            return Err(wrong(name, "was changed on more tablets than there can be"));
        }
        self.within_bounds(name.0)?;
        let before = versions::winner(&self.history, &there).cloned();
        let mut all = versions::add(conn, &self.history, name, &new, there)?;
        all.push(new);
        let after = versions::winner(&self.history, &all);
        let taken = self.kinds.entry(name.0).or_default();
        let was_out = before.as_ref().map(Version::is_out).transpose()?;
        let is_out = after.map(Version::is_out).transpose()?;
        match (was_out, is_out) {
            (None, Some(false)) => taken.new += 1,
            (Some(false), Some(true)) => taken.removed += 1,
            // nobody here knew it: it comes out of the figures already
            (None, Some(true)) if after.is_some_and(|now| !now.removed) => taken.removed += 1,
            _ if before
                .as_ref()
                .zip(after)
                .is_some_and(|(old, now)| !old.same(now)) =>
            {
                taken.changed += 1;
            }
            _ => {}
        }
        taken.conflicts += usize::from(
            all.iter()
                .any(|version| after.is_some_and(|now| !now.same(version))),
        );
        self.touched.insert((name.0, name.1.to_owned()));
        Ok(())
    }

    /// Refuses what would take longer, or more memory, than any orchard's.
    fn within_bounds(&mut self, kind: Kind) -> Result<(), StoreError> {
        if kind == Kind::Missing {
            self.missing += 1;
        } else {
            self.others += usize::from(!kind.is_counted());
        }
        let too_much = |what: &str| Err(StoreError::TooMuch(what.to_owned()));
        if self.others > MOST_OTHERS {
            too_much("it has more than 50,000 records of blocks, crew and winters")
        } else if self.missing > MOST_MISSING {
            too_much("it has more than 200,000 missing trees")
        } else if self.history.steps() > MOST_STEPS {
            too_much("its changes follow each other in more ways than can be told")
        } else {
            Ok(())
        }
    }

    /// A change set of an earlier version has no digests: what it left here and what comes must be alike.
    fn as_known(&self, name: (Kind, &str), set: usize, coming: &Digest) -> Result<(), StoreError> {
        let all = versions::of(&self.store.conn, name.0, name.1)?;
        let Some(here) = all.iter().find(|version| version.set == set) else {
            // replaced here since
            return Ok(());
        };
        let layout = self.layouts.of(name.0);
        let body = layout.normal(body::parse(&here.body)?)?;
        let digest = seal::digest(layout, name.1, (here.removed, &here.beside), &body);
        if digest == *coming {
            Ok(())
        } else {
            Err(StoreError::Altered(format!(
                "{} {}",
                name.0.about().named[0],
                name.1
            )))
        }
    }

    fn replaced(&mut self, one: &Replaced) -> Result<(), StoreError> {
        let name = (one.kind, one.key.as_str());
        let set = self.place(name, one.set)?;
        if self.seal(name, one.set, &one.digest)?.is_none() {
            return Err(wrong(name, "has a digest, which its change set has not"));
        }
        if set < self.first_new {
            self.known += 1;
            return Ok(());
        }
        self.replaced_now.push(set);
        versions::replaced(&self.store.conn, name, set, &one.digest)
    }

    /// Of a record that was replaced, what replaced it must have come: left out, it would be missing here for ever.
    fn record_done(&mut self) -> Result<(), StoreError> {
        let replaced = std::mem::take(&mut self.replaced_now);
        let Some((kind, key)) = self.now.as_ref().filter(|_| !replaced.is_empty()) else {
            return Ok(());
        };
        let name = (*kind, key.as_str());
        if *kind == Kind::Name && self.no_names.contains(key) {
            return Ok(());
        }
        let all = versions::of(&self.store.conn, name.0, name.1)?;
        let replaces = |version: &Version, old: usize| {
            let beside = |set: &super::ChangeSet| version.beside.contains(&set.id);
            version.set != old
                && self.history.before(old, version.set)
                && !self.history.at(old).is_some_and(beside)
        };
        if replaced
            .iter()
            .all(|old| all.iter().any(|version| replaces(version, *old)))
        {
            Ok(())
        } else {
            Err(wrong(name, "is left out, and nothing replaced it"))
        }
    }
}

/// What a record may be, whatever the tables hold.
fn allowed(name: (Kind, &str), change: &Change, body: &Body) -> Result<(), StoreError> {
    if change.kind == Kind::Setting {
        let setting = Setting::parse(&change.key).filter(|setting| setting.of_orchard());
        let setting = setting.ok_or_else(|| wrong(name, "is not the orchard's"))?;
        let value = body
            .get("value")
            .and_then(Value::as_str)
            .unwrap_or_default();
        setting
            .check(value)
            .map_err(|invalid| wrong(name, &invalid.problem))?;
    }
    if change.kind == Kind::NameRemoved && change.removed {
        return Err(wrong(name, "is taken back, which nobody can"));
    }
    Ok(())
}
