//! Which stored thing a line speaks of.
//!
//! A line with an id speaks of the thing with that id. A line without one gets an id made from what
//! it says (UUID version 5 over [`HOUSE`]): the same line gives the same id on every tablet and at
//! every reading, so a file that is read twice doubles nothing, and a line whose figures were
//! corrected changes the thing it made before. What goes into the id:
//!
//! - work: winter, pruner, block, row, first, last, day;
//! - counts: winter, block, row, tree, stage, part, pruner, who counted, and the moment (or the day);
//! - go-backs: winter, block, row, pruner, day, reason;
//! - draws: winter, day, since, until, seed.
//!
//! Equal lines within one file are told apart by their order. A line without an id that says just
//! what a stored thing says, such as one tapped in, speaks of that thing.

use std::collections::HashMap;
use std::fmt::{Display, Write as _};

use uuid::{Uuid, uuid};

use super::cells::Cells;

/// The name space of ids made from content; drawn at random once, never to be changed.
const HOUSE: Uuid = uuid!("6e1d2f0a-93c4-4b7e-a5d8-0c7b52e9f314");

/// A key made of what a line says.
pub(super) fn key(parts: &[&dyn Display]) -> String {
    let mut key = String::new();
    for part in parts {
        // texts hold no control characters, so parts cannot run into each other
        let _ = write!(key, "{part}\u{1f}");
    }
    key
}

/// The id that a key stands for; `time` parts equal lines, from 1.
pub(super) fn id_of(key: &str, time: u32) -> Uuid {
    Uuid::new_v5(&HOUSE, format!("{key}{time}").as_bytes())
}

/// The stored things of one kind, and which of them lines have spoken of.
pub(super) struct Present<T> {
    things: HashMap<Uuid, T>,
    by_spot: HashMap<String, Vec<Uuid>>,
    spoken: HashMap<Uuid, u64>,
    times: HashMap<String, u32>,
}

impl<T> Present<T> {
    /// `things` with their ids and the spot (block, row, ...) at which equal ones are looked for.
    pub(super) fn new(things: impl Iterator<Item = (Uuid, String, T)>) -> Self {
        let mut present = Self {
            things: HashMap::new(),
            by_spot: HashMap::new(),
            spoken: HashMap::new(),
            times: HashMap::new(),
        };
        for (id, spot, thing) in things {
            present.things.insert(id, thing);
            present.by_spot.entry(spot).or_default().push(id);
        }
        present
    }

    /// The stored thing with this id.
    pub(super) fn get(&self, id: Uuid) -> Option<&T> {
        self.things.get(&id)
    }

    /// The id that a line speaks of. `same` tells whether a stored thing says just what the line
    /// says. Notes where two lines give the same id.
    pub(super) fn settle(
        &mut self,
        cells: &mut Cells<'_>,
        given: Option<Uuid>,
        key: &str,
        spot: &str,
        same: impl Fn(&T) -> bool,
    ) -> Uuid {
        let id = given.unwrap_or_else(|| self.unnamed(key, spot, same));
        if let Some(line) = self.spoken.insert(id, cells.line()) {
            cells.wrong("id", &format!("stands on line {line} already"));
        }
        id
    }

    fn unnamed(&mut self, key: &str, spot: &str, same: impl Fn(&T) -> bool) -> Uuid {
        let time = self.times.entry(key.to_owned()).or_insert(0);
        let made = loop {
            *time += 1;
            let made = id_of(key, *time);
            if !self.spoken.contains_key(&made) {
                break made;
            }
        };
        if self.things.contains_key(&made) {
            return made;
        }
        let at_spot = self.by_spot.get(spot).map_or(&[][..], Vec::as_slice);
        let equal = at_spot
            .iter()
            .find(|id| !self.spoken.contains_key(*id) && self.things.get(*id).is_some_and(&same));
        equal.copied().unwrap_or(made)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// An id that is stored must come out the same for ever.
    #[test]
    fn ids_from_content_are_fixed() {
        let key = key(&[&"work", &"2026/27", &7, &"River"]);
        assert_eq!(id_of(&key, 1).to_string(), PINNED);
        assert_ne!(id_of(&key, 1), id_of(&key, 2));
    }
    const PINNED: &str = "31fe167f-c4c3-5320-afc6-9807375b1dd1";
}
