//! Gathering what was changed in the tables into a change set.

use std::collections::BTreeMap;

use rusqlite::params;
use sha2::{Digest as _, Sha256};
use uuid::Uuid;

use super::super::{Setting, Store, StoreError};
use super::ChangeSet;
use super::alias::Alias;
use super::body::{self, Body};
use super::history::History;
use super::kinds::Kind;
use super::layout::{Layouts, optional};
use super::records::{RecordName, Records, Touched};
use super::seal::{self, Digest, Seal};
use super::versions::{self, Version};

/// What one tablet did to one record.
pub(super) struct Edit {
    /// The record is gone.
    pub removed: bool,
    /// The versions that stay beside the new one.
    pub beside: Vec<Uuid>,
    /// The body's text.
    pub body: String,
}

/// What one tablet did to its records.
pub(super) type Edits = Records<Edit>;

/// The digest of each record with its kind, by the kind's word and the key: the order in which they go into files.
type Digests = BTreeMap<(&'static str, String), (Kind, Digest)>;

/// What is at hand while gathering.
pub(super) struct Gathering<'a> {
    pub store: &'a Store,
    pub layouts: &'a Layouts,
    pub history: &'a mut History,
    pub alias: &'a Alias,
}

impl Gathering<'_> {
    /// Gathers the noted changes. Gives the records that got a version.
    pub fn run(&mut self) -> Result<Touched, StoreError> {
        let mut edits = Edits::new();
        for (kind, key) in self.noted()? {
            self.look(kind, &key, &mut edits)?;
        }
        self.store.conn.execute("DELETE FROM changed", [])?;
        self.commit(edits)
    }

    fn noted(&self) -> Result<Vec<RecordName>, StoreError> {
        let mut find = self
            .store
            .conn
            .prepare_cached("SELECT kind, key FROM changed ORDER BY kind, key")?;
        let mut rows = find.query([])?;
        let mut noted = Vec::new();
        while let Some(row) = rows.next()? {
            let (kind, key): (Kind, String) = (row.get(0)?, row.get(1)?);
            if kind != Kind::Setting || Setting::parse(&key).is_some_and(Setting::of_orchard) {
                noted.push((kind, key));
            }
        }
        Ok(noted)
    }

    /// Compares a record in the tables with what was put there, and notes what somebody changed.
    fn look(&self, kind: Kind, key: &str, edits: &mut Edits) -> Result<(), StoreError> {
        let conn = &self.store.conn;
        let layout = self.layouts.of(kind);
        let there = layout.get(conn, key)?;
        let all = versions::of(conn, kind, key)?;
        let winner = versions::winner(self.history, &all);
        let own =
            winner.map(|version| body::parse(&version.body).and_then(|body| layout.normal(body)));
        let own = own.transpose()?;
        let live = winner.is_some_and(|version| !version.removed);
        let put = match shown(self.store, kind, key)? {
            Put::AsSaid => own.clone().filter(|_| live),
            Put::Other(text) => Some(layout.normal(body::parse(&text)?)?),
            Put::Nothing => None,
        };
        if there == put {
            return Ok(());
        }
        let edit = match there {
            Some(now) => Edit {
                removed: false,
                beside: others(self.history, winner, &all),
                body: body::text(&wanted(now, put.as_ref(), own.as_ref().filter(|_| live))),
            },
            // who removes a thing has settled what was open about it
            None => Edit {
                removed: true,
                beside: Vec::new(),
                body: body::text(&own.or(put).unwrap_or_default()),
            },
        };
        let removed = edit.removed;
        edits.insert((kind, key.to_owned()), edit);
        if removed {
            self.drop_aliases(kind, key, edits)
        } else {
            Ok(())
        }
    }

    /// Records that would be shown under this key because their pruner, block or winter is joined are removed with it.
    fn drop_aliases(&self, kind: Kind, key: &str, edits: &mut Edits) -> Result<(), StoreError> {
        let names = kind.about().key.iter().copied();
        if self.alias.is_empty()
            || kind.is_counted()
            || !names
                .into_iter()
                .any(|column| kind.named_by(column).is_some())
        {
            return Ok(());
        }
        let conn = &self.store.conn;
        let mut find =
            conn.prepare_cached("SELECT DISTINCT key FROM version WHERE kind = ?1 AND key <> ?2")?;
        let mut rows = find.query(params![kind, key])?;
        while let Some(row) = rows.next()? {
            let other: String = row.get(0)?;
            if self.alias.key(kind, &other) != key {
                continue;
            }
            let all = versions::of(conn, kind, &other)?;
            if let Some(version) =
                versions::winner(self.history, &all).filter(|version| !version.removed)
            {
                let edit = Edit {
                    removed: true,
                    beside: Vec::new(),
                    body: version.body.clone(),
                };
                edits.entry((kind, other)).or_insert(edit);
            }
        }
        Ok(())
    }

    /// Makes a change set of the edits, if there are any, and one of those of names.
    pub fn commit(&mut self, edits: Edits) -> Result<Touched, StoreError> {
        let (names, others) = edits
            .into_iter()
            .partition(|((kind, _), _)| *kind == Kind::Name);
        let mut touched = self.commit_alike(others, false)?;
        touched.extend(self.commit_alike(names, true)?);
        Ok(touched)
    }

    fn commit_alike(&mut self, edits: Edits, names: bool) -> Result<Touched, StoreError> {
        if edits.is_empty() {
            return Ok(Touched::new());
        }
        let parents = self.history.heads_of(names);
        let places = parents.iter().filter_map(|id| self.history.place(*id));
        let highest = places
            .filter_map(|place| self.history.at(place))
            .map(|set| set.height)
            .max();
        let digests = self.digests(&edits)?;
        let mut seal = Seal::new(&parents, names);
        for ((_, key), (kind, digest)) in &digests {
            seal.add(*kind, key, digest);
        }
        let set = ChangeSet {
            id: seal.id(),
            height: highest.unwrap_or(0) + 1,
            parents,
            tablet: self.store.tablet()?,
            names,
        };
        let at = self.history.add(&self.store.conn, &set)?;
        for ((kind, key), edit) in &edits {
            let name = (*kind, key.as_str());
            let version = Version {
                set: at,
                removed: edit.removed,
                beside: edit.beside.clone(),
                body: edit.body.clone(),
                digest: (digests.get(&(kind.word(), key.clone()))).map(|(_, digest)| *digest),
            };
            let there = versions::of(&self.store.conn, *kind, key)?;
            versions::add(&self.store.conn, self.history, name, &version, there)?;
        }
        Ok(edits.into_keys().collect())
    }

    fn digests(&self, edits: &Edits) -> Result<Digests, StoreError> {
        let digest = |((kind, key), edit): (&RecordName, &Edit)| {
            let layout = self.layouts.of(*kind);
            let body = layout.normal(body::parse(&edit.body)?)?;
            let digest = seal::digest(layout, key, (edit.removed, &edit.beside), &body);
            Ok(((kind.word(), key.clone()), (*kind, digest)))
        };
        edits.iter().map(digest).collect()
    }
}

/// The body that somebody meant: what they changed as it is now, the rest as the record has it.
fn wanted(now: Body, put: Option<&Body>, own: Option<&Body>) -> Body {
    let (Some(put), Some(own)) = (put, own) else {
        return now;
    };
    now.into_iter()
        .map(|(column, value)| match own.get(&column) {
            Some(meant) if put.get(&column) == Some(&value) => (column, meant.clone()),
            _ => (column, value),
        })
        .collect()
}

/// The versions that say something else than the one that was changed: they stay for a person to settle.
fn others(history: &History, winner: Option<&Version>, all: &[Version]) -> Vec<Uuid> {
    let differs = |version: &&Version| winner.is_some_and(|winner| !winner.same(version));
    let sets = all
        .iter()
        .filter(differs)
        .filter_map(|version| history.at(version.set));
    let mut ids: Vec<Uuid> = sets.map(|set| set.id).collect();
    ids.sort_unstable();
    ids
}

/// What was put in the tables for a record.
enum Put {
    /// What the record says.
    AsSaid,
    /// This.
    Other(String),
    /// Nothing.
    Nothing,
}

fn shown(store: &Store, kind: Kind, key: &str) -> Result<Put, StoreError> {
    let mut find = store
        .conn
        .prepare_cached("SELECT body FROM shown WHERE kind = ?1 AND key = ?2")?;
    let mut rows = find.query(params![kind, key])?;
    Ok(match rows.next()? {
        None => Put::AsSaid,
        Some(row) => row
            .get::<_, Option<String>>(0)?
            .map_or(Put::Nothing, Put::Other),
    })
}

/// The identity that the first format's change set of one name has, which is kept for it.
fn first_identity(pruner: &str, body: &str) -> Uuid {
    let mut hash = Sha256::new();
    hash.update(format!("\n{} {pruner} false [] {body}", Kind::Name.word()));
    let mut first = [0; 16];
    first.copy_from_slice(&hash.finalize()[..16]);
    Uuid::from_bytes(first)
}

impl ChangeSet {
    /// The change set by which a pruner (its key) gets the name that stood with it before names were apart: it rests on
    /// nothing, and is the same wherever that name is told. And the body of the name's record.
    pub fn first_name(pruner: &str, name: &str, label: &str, tablet: &str) -> (Self, String) {
        let values = [("label", label), ("name", name)];
        let body = body::text(
            &values
                .map(|(column, text)| (column.to_owned(), text.into()))
                .into(),
        );
        let set = Self {
            id: first_identity(pruner, &body),
            parents: Vec::new(),
            height: 1,
            tablet: tablet.to_owned(),
            names: true,
        };
        (set, body)
    }
}

impl Store {
    /// The label of this tablet in lists of conflicts; made when it is first needed. Nothing rests on it.
    pub fn tablet(&self) -> Result<String, StoreError> {
        if let Some(code) = self.known_tablet()? {
            return Ok(code);
        }
        let random = Uuid::now_v7().simple().to_string();
        let code = random[28..].to_uppercase();
        self.set_device_value("tablet", &code)?;
        Ok(code)
    }

    /// The label of this tablet, where it has been needed.
    pub fn known_tablet(&self) -> Result<Option<String>, StoreError> {
        self.device_value("tablet")
    }

    /// A value of this file that is carried nowhere.
    pub(super) fn device_value(&self, key: &str) -> Result<Option<String>, StoreError> {
        optional(
            &self.conn,
            "SELECT value FROM setting WHERE key = ?1",
            [key],
        )
    }

    pub(super) fn set_device_value(&self, key: &str, value: &str) -> Result<(), StoreError> {
        self.atomically(|store| {
            store.conn.execute(
                "INSERT INTO setting (key, value) VALUES (?1, ?2) ON CONFLICT (key) DO UPDATE SET value = ?2",
                [key, value],
            )?;
            Ok(())
        })
    }

    /// The layouts of all records, as the schema has them.
    pub(super) fn layouts(&self) -> Result<Layouts, StoreError> {
        Layouts::read(&self.conn)
    }
}
