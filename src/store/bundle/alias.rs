//! Joined entries: which identity stands for which.

use std::collections::{BTreeMap, BTreeSet};

use rusqlite::Connection;

use super::super::StoreError;
use super::body::{self, Body};
use super::history::History;
use super::kinds::Kind;
use super::versions;

/// By identity, the other one.
type Pairs = BTreeMap<String, String>;

/// Which identity stands for which.
#[derive(Default)]
pub(super) struct Alias {
    /// By kind and identity, the one that stands for it in the end.
    stands: BTreeMap<Kind, Pairs>,
}

/// Follows joins to their ends, each once, however long they go on.
fn ends(joined: &Pairs) -> Pairs {
    let mut ends = Pairs::new();
    for from in joined.keys() {
        let mut way: Vec<&String> = Vec::new();
        let mut seen = BTreeSet::new();
        let mut at = from;
        while !ends.contains_key(at) && seen.insert(at) {
            way.push(at);
            match joined.get(at) {
                Some(next) => at = next,
                None => break,
            }
        }
        let ring = way
            .iter()
            .position(|known| *known == at)
            .filter(|_| joined.contains_key(at));
        let end = match (ends.get(at), ring) {
            (Some(end), _) => end.clone(),
            (None, Some(ring)) => way[ring..].iter().min().map_or(at, |least| *least).clone(),
            (None, None) => at.clone(),
        };
        for known in way {
            ends.insert(known.clone(), end.clone());
        }
    }
    ends
}

impl Alias {
    /// As the records say, whatever the tables do.
    pub fn load(conn: &Connection, history: &History) -> Result<Self, StoreError> {
        let mut find =
            conn.prepare_cached("SELECT DISTINCT key FROM version WHERE kind = 'joined'")?;
        let mut rows = find.query([])?;
        let mut joined: BTreeMap<Kind, Pairs> = BTreeMap::new();
        while let Some(row) = rows.next()? {
            let key: String = row.get(0)?;
            let all = versions::of(conn, Kind::Joined, &key)?;
            let Some(shown) = versions::winner(history, &all).filter(|shown| !shown.removed) else {
                continue;
            };
            let body = body::parse(&shown.body)?;
            if let Some((kind, gone)) = key.split_once('/')
                && let Some(kind) = Kind::parse(kind)
                && let Some(kept) = body.get("kept").and_then(|id| id.as_str())
            {
                let of_kind = joined.entry(kind).or_default();
                of_kind.insert(gone.to_owned(), kept.to_owned());
            }
        }
        let stands = joined.into_iter().map(|(kind, pairs)| (kind, ends(&pairs)));
        Ok(Self {
            stands: stands.collect(),
        })
    }

    /// The other identities for which this one stands.
    pub fn shown_as(&self, kind: Kind, id: &str) -> Vec<String> {
        let of_kind = self.stands.get(&kind).into_iter().flatten();
        let others = of_kind.filter(|(gone, end)| *gone != id && *end == id);
        others.map(|(gone, _)| gone.clone()).collect()
    }

    /// Whether nothing is joined.
    pub fn is_empty(&self) -> bool {
        self.stands.is_empty()
    }

    /// The identity that stands for this one. Where joins go round in a ring, the least of the ring.
    pub fn of(&self, kind: Kind, id: &str) -> String {
        let stands = self.stands.get(&kind).and_then(|of_kind| of_kind.get(id));
        stands.map_or_else(|| id.to_owned(), Clone::clone)
    }

    /// The key under which a record is shown.
    pub fn key(&self, kind: Kind, key: &str) -> String {
        if self.is_empty() {
            return key.to_owned();
        }
        let parts = key.split('/').zip(kind.about().key);
        let parts: Vec<String> = parts
            .map(|(part, column)| self.part(kind, column, part))
            .collect();
        parts.join("/")
    }

    /// The body as it is shown.
    pub fn body(&self, kind: Kind, body: &Body) -> Body {
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

    fn part(&self, kind: Kind, column: &str, id: &str) -> String {
        match kind.named_by(column) {
            Some(named) if kind != Kind::Joined => self.of(named, id),
            _ => id.to_owned(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ends_of(joined: &[(&str, &str)]) -> Vec<(String, String)> {
        let pairs = joined
            .iter()
            .map(|(gone, kept)| ((*gone).to_owned(), (*kept).to_owned()));
        let ends = ends(&pairs.collect()).into_iter();
        ends.filter(|(gone, _)| joined.iter().any(|(known, _)| known == gone))
            .collect()
    }

    #[test]
    fn joins_are_followed_to_their_end_and_rings_to_their_least() {
        let told = |joined: &[(&str, &str)]| {
            let ends = ends_of(joined).into_iter();
            ends.map(|(gone, end)| gone + &end)
                .collect::<Vec<_>>()
                .join(" ")
        };
        assert_eq!(told(&[("a", "b"), ("b", "c"), ("x", "b")]), "ac bc xc");
        assert_eq!(told(&[("c", "b"), ("b", "d"), ("d", "c")]), "bb cb db");
        assert_eq!(told(&[("a", "c"), ("c", "d"), ("d", "c")]), "ac cc dc");
    }

    #[test]
    fn a_long_chain_of_joins_takes_no_longer_than_many_short_ones() {
        let id = |n: usize| format!("{n:032}");
        let chain: Pairs = (0..50_000).map(|n| (id(n), id(n + 1))).collect();
        let ends = ends(&chain);
        assert!(ends.values().all(|end| *end == id(50_000)));
        assert!(chain.keys().all(|gone| ends.contains_key(gone)));
    }
}
