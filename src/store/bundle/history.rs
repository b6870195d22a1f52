//! Change sets and what was known when each was made: the order that rests on no clock.

use std::cell::{Cell, RefCell};
use std::collections::HashMap;
use std::rc::Rc;

use rusqlite::{Connection, params};
use uuid::Uuid;

use super::super::StoreError;
use super::super::rows::id;
use super::ChangeSet;

/// Sets of change sets kept to answer [`History::before`] quickly; each takes a bit a change set.
const KEPT: usize = 256;

/// All change sets of a file. They are named by their place; parents have lower places.
#[derive(Default)]
pub(super) struct History {
    sets: Vec<ChangeSet>,
    parents: Vec<Vec<usize>>,
    places: HashMap<Uuid, usize>,
    known: RefCell<HashMap<usize, Rc<Members>>>,
    /// Steps from change sets to those that they follow, so far.
    steps: Cell<u64>,
}

/// Some of the change sets.
pub(super) struct Members(Vec<bool>);

impl Members {
    /// Whether the change set at this place is one of them.
    pub fn has(&self, place: usize) -> bool {
        self.0.get(place).copied().unwrap_or(false)
    }
}

impl History {
    /// Reads them.
    pub fn load(conn: &Connection) -> Result<Self, StoreError> {
        let mut history = Self::default();
        let mut find = conn
            .prepare_cached("SELECT parent FROM change_parent WHERE child = ?1 ORDER BY parent")?;
        let mut all = conn
            .prepare_cached("SELECT nr, id, height, tablet, names FROM change_set ORDER BY nr")?;
        let mut rows = all.query([])?;
        while let Some(row) = rows.next()? {
            let mut parents = Vec::new();
            let mut found = find.query([row.get::<_, i64>(0)?])?;
            while let Some(parent) = found.next()? {
                parents.push(parent.get::<_, i64>(0)? as usize - 1);
            }
            let named = parents.iter().filter_map(|place| history.sets.get(*place));
            let set = ChangeSet {
                id: id(row, 1)?,
                parents: named.map(|set| set.id).collect(),
                height: row.get::<_, i64>(2)? as u64,
                tablet: row.get(3)?,
                names: row.get(4)?,
            };
            if row.get::<_, i64>(0)? as usize != history.sets.len() + 1
                || parents.len() != set.parents.len()
            {
                return Err(StoreError::Corrupt("a change set is missing".to_owned()));
            }
            history.keep(set, parents);
        }
        Ok(history)
    }

    fn keep(&mut self, set: ChangeSet, parents: Vec<usize>) -> usize {
        let place = self.sets.len();
        self.places.insert(set.id, place);
        self.sets.push(set);
        self.parents.push(parents);
        place
    }

    /// Adds a change set whose parents are here, to the file as well. Its height must be one above the highest of them.
    pub fn add(&mut self, conn: &Connection, set: &ChangeSet) -> Result<usize, StoreError> {
        let wrong =
            |what: &str| StoreError::Bundle(format!("change set {} {what}", set.id.simple()));
        let places: Option<Vec<usize>> = set
            .parents
            .iter()
            .map(|parent| self.place(*parent))
            .collect();
        let places = places.ok_or_else(|| wrong("follows one that is not known here"))?;
        let highest = places.iter().map(|place| self.sets[*place].height).max();
        let alike = places
            .iter()
            .all(|place| self.sets[*place].names == set.names);
        if set.height != highest.unwrap_or(0) + 1 || !alike || self.places.contains_key(&set.id) {
            return Err(wrong("does not follow those that it names"));
        }
        let nr = self.sets.len() as i64 + 1;
        conn.prepare_cached(
            "INSERT INTO change_set (nr, id, height, tablet, names) VALUES (?1, ?2, ?3, ?4, ?5)",
        )?
        .execute(params![
            nr,
            set.id.as_bytes(),
            set.height as i64,
            set.tablet,
            set.names
        ])?;
        let mut link = conn.prepare_cached(
            "INSERT INTO change_parent (child, parent) VALUES (?1, ?2) ON CONFLICT DO NOTHING",
        )?;
        for place in &places {
            link.execute([nr, *place as i64 + 1])?;
        }
        Ok(self.keep(set.clone(), places))
    }

    /// A change set that two tablets made alike, of copies of one file, has two labels: the first by the alphabet is
    /// kept everywhere.
    pub fn label(&mut self, conn: &Connection, place: usize, told: &str) -> Result<(), StoreError> {
        let set = &mut self.sets[place];
        if !told.is_empty() && (set.tablet.is_empty() || told < set.tablet.as_str()) {
            told.clone_into(&mut set.tablet);
            conn.prepare_cached("UPDATE change_set SET tablet = ?2 WHERE nr = ?1")?
                .execute(params![place as i64 + 1, told])?;
        }
        Ok(())
    }

    /// How many there are.
    pub fn len(&self) -> usize {
        self.sets.len()
    }

    /// The change set at a place.
    pub fn at(&self, place: usize) -> Option<&ChangeSet> {
        self.sets.get(place)
    }

    /// The place of a change set.
    pub fn place(&self, set: Uuid) -> Option<usize> {
        self.places.get(&set).copied()
    }

    /// Those of names, or the others, that no other follows, in order of identity.
    pub fn heads_of(&self, names: bool) -> Vec<Uuid> {
        let mut heads = self.heads();
        heads.retain(|id| {
            self.place(*id)
                .and_then(|place| self.at(place))
                .is_some_and(|set| set.names == names)
        });
        heads
    }

    /// Those that no other follows, in order of identity.
    pub fn heads(&self) -> Vec<Uuid> {
        let mut followed = vec![false; self.sets.len()];
        for place in self.parents.iter().flatten() {
            followed[*place] = true;
        }
        let open = self
            .sets
            .iter()
            .zip(followed)
            .filter(|(_, followed)| !followed);
        let mut heads: Vec<Uuid> = open.map(|(set, _)| set.id).collect();
        heads.sort_unstable();
        heads
    }

    /// These change sets and all that they rest on.
    pub fn with_all_before(&self, from: &[usize]) -> Members {
        let mut members = vec![false; self.sets.len()];
        let mut open = from.to_vec();
        let mut steps = self.sets.len() as u64;
        while let Some(place) = open.pop() {
            steps += 1;
            if !std::mem::replace(&mut members[place], true) {
                open.extend(&self.parents[place]);
            }
        }
        self.steps.set(self.steps.get() + steps);
        Members(members)
    }

    /// How many steps were gone from change sets to those that they follow: what it cost to tell which came before which.
    pub fn steps(&self) -> u64 {
        self.steps.get()
    }

    /// All that these change sets rest on; of themselves those that another of them rests on.
    pub fn all_before(&self, places: &[usize]) -> Members {
        let parents: Vec<usize> = (places.iter())
            .flat_map(|place| &self.parents[*place])
            .copied()
            .collect();
        self.with_all_before(&parents)
    }

    /// Whether `early` was known when `late` was made; a change set knows itself.
    pub fn before(&self, early: usize, late: usize) -> bool {
        let height = |place: usize| self.sets.get(place).map(|set| set.height);
        // those that it follows are lower
        if early >= late || height(early) >= height(late) {
            return early == late;
        }
        let mut known = self.known.borrow_mut();
        if known.len() >= KEPT && !known.contains_key(&late) {
            known.clear();
        }
        known
            .entry(late)
            .or_insert_with(|| Rc::new(self.with_all_before(&[late])))
            .has(early)
    }
}
