//! Bundles of the first format, in which names stood with pruners. They are read as if names had been apart already.
//!
//! Each name that a bundle tells is put in a change set of its own, which rests on nothing ([`ChangeSet::first_name`]).
//! A file that is brought up to date does the same with the names that it shows: so it holds what one holds that reads
//! an old bundle of it, and a name told by many old bundles comes in once.

use std::collections::BTreeMap;

use serde_json::Value;

use crate::store::bundle::{Change, ChangeSet, Kind, Parcel};

/// The columns that stood with pruners.
const COLUMNS: [&str; 2] = ["name", "label"];

/// What the first format did not have.
const LATER: [Kind; 2] = [Kind::Name, Kind::NameRemoved];

/// The names that stand with pruners, while a bundle's records are read.
#[derive(Default)]
pub struct NamesOfFirst {
    told: BTreeMap<String, Vec<Told>>,
}

/// What one record says of a pruner's name.
struct Told {
    set: usize,
    removed: bool,
    name: String,
    label: String,
}

impl NamesOfFirst {
    /// Takes the name out of a pruner's record; says what is wrong with a record that the first format cannot have.
    pub fn part(
        &mut self,
        change: (Kind, &str, usize, bool),
        body: &mut BTreeMap<String, Value>,
    ) -> Result<(), &'static str> {
        let (kind, key, set, removed) = change;
        if LATER.contains(&kind) {
            return Err("a kind of record that came later");
        }
        if kind != Kind::Pruner {
            return Ok(());
        }
        let [name, label] = COLUMNS.map(|column| match body.remove(column) {
            None => Ok(String::new()),
            Some(Value::String(text)) => Ok(text),
            Some(_) => Err("a name that is no text"),
        });
        let told = Told {
            set,
            removed,
            name: name?,
            label: label?,
        };
        self.told.entry(key.to_owned()).or_default().push(told);
        Ok(())
    }

    /// Puts them into the parcel, apart from the pruners: of each the name that the writer showed, if any.
    pub fn put(self, parcel: &mut Parcel) {
        for (key, told) in self.told {
            let shown = told.into_iter().max_by_key(|told| {
                let set = parcel.sets.get(told.set);
                (!told.removed, set.map(|set| (set.height, set.id)))
            });
            let named = |told: &Told| !(told.name.is_empty() && told.label.is_empty());
            let Some(Told { name, label, .. }) = shown.filter(|told| !told.removed && named(told))
            else {
                continue;
            };
            let (set, body) = ChangeSet::first_name(&key, &name, &label, &parcel.tablet);
            parcel.changes.push(Change {
                kind: Kind::Name,
                key,
                set: parcel.sets.len(),
                removed: false,
                beside: Vec::new(),
                body,
            });
            parcel.sets.push(set);
        }
    }
}
