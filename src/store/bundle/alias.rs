//! Joined entries: which identity stands for which.

use std::collections::{BTreeMap, BTreeSet};

use rusqlite::Connection;

use super::super::StoreError;
use super::body::{self, Body};
use super::history::History;
use super::kinds::{Kind, named_by};
use super::layout::Layout;
use super::versions;

/// Which identity stands for which, by kind.
#[derive(Default)]
pub(super) struct Alias(BTreeMap<(String, String), String>);

impl Alias {
    /// As the records say, whatever the tables do.
    pub fn load(conn: &Connection, history: &History) -> Result<Self, StoreError> {
        let mut find =
            conn.prepare_cached("SELECT DISTINCT key FROM version WHERE kind = 'joined'")?;
        let mut rows = find.query([])?;
        let mut alias = BTreeMap::new();
        while let Some(row) = rows.next()? {
            let key: String = row.get(0)?;
            let all = versions::of(conn, "joined", &key)?;
            let Some(shown) = versions::winner(history, &all).filter(|shown| !shown.removed) else {
                continue;
            };
            let body = body::parse(&shown.body)?;
            if let (Some((kind, gone)), Some(kept)) = (
                key.split_once('/'),
                body.get("kept").and_then(|id| id.as_str()),
            ) {
                alias.insert((kind.to_owned(), gone.to_owned()), kept.to_owned());
            }
        }
        Ok(Self(alias))
    }

    /// The other identities for which this one stands.
    pub fn shown_as(&self, kind: &str, id: &str) -> Vec<String> {
        let of_kind = self.0.keys().filter(|(of, _)| of == kind);
        let others = of_kind.map(|(_, gone)| gone).filter(|gone| *gone != id);
        others
            .filter(|gone| self.of(kind, gone) == id)
            .cloned()
            .collect()
    }

    /// Whether nothing is joined.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// The identity that stands for this one. Where joins go round in a ring, the least of the ring.
    pub fn of(&self, kind: &str, id: &str) -> String {
        let mut seen = BTreeSet::new();
        let mut at = id.to_owned();
        while let Some(next) = self.0.get(&(kind.to_owned(), at.clone())) {
            if !seen.insert(at.clone()) {
                return self.least_of_ring(kind, &at);
            }
            at.clone_from(next);
        }
        at
    }

    fn least_of_ring(&self, kind: &str, from: &str) -> String {
        let (mut least, mut at) = (from.to_owned(), from.to_owned());
        while let Some(next) = self.0.get(&(kind.to_owned(), at.clone())) {
            if next == from {
                break;
            }
            at.clone_from(next);
            least = least.min(at.clone());
        }
        least
    }

    /// The key under which a record is shown.
    pub fn key(&self, layout: &Layout, key: &str) -> String {
        if self.is_empty() {
            return key.to_owned();
        }
        let parts = key.split('/').zip(layout.key_columns());
        let parts: Vec<String> = parts
            .map(|(part, column)| self.part(layout.kind, &column.name, part))
            .collect();
        parts.join("/")
    }

    /// The body as it is shown.
    pub fn body(&self, kind: &Kind, body: &Body) -> Body {
        let mut shown = body.clone();
        if !self.is_empty() {
            for (column, value) in &mut shown {
                if let Some(id) = value.as_str() {
                    *value = self.part(kind, column, id).into();
                }
            }
        }
        shown
    }

    fn part(&self, kind: &Kind, column: &str, id: &str) -> String {
        match named_by(kind, column) {
            Some(named) if kind.word != "joined" => self.of(named, id),
            _ => id.to_owned(),
        }
    }
}
