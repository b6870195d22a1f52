//! Bringing the tables to what the records say. What stands in the tables follows from the records alone, so files
//! with the same records show the same, whatever order they came in.

use std::collections::{BTreeMap, BTreeSet};

use rusqlite::params;

use super::super::{Store, StoreError};
use super::alias::Alias;
use super::body::{self, Body};
use super::history::History;
use super::kinds::Kind;
use super::layout::{Layout, Layouts};
use super::needs::Needs;
use super::records::{RecordName, Records, Said, Touched, keys_of};
use super::versions::{self, Version};
use super::{Ticker, fit};

/// What is at hand while the tables are brought up.
pub(super) struct Projection<'a> {
    pub store: &'a Store,
    pub layouts: &'a Layouts,
    pub history: &'a History,
    pub alias: &'a Alias,
}

impl Projection<'_> {
    /// Brings the tables to what the records say. Of the kinds of which there are many only the touched ones are
    /// looked at, unless something was joined.
    pub fn run(&self, touched: &Touched, ticker: &mut Ticker<'_>) -> Result<(), StoreError> {
        let conn = &self.store.conn;
        // references are checked when all is in its place
        conn.execute_batch("PRAGMA defer_foreign_keys = ON")?;
        let joined = keys_of(touched, Kind::Joined).next().is_some();
        let parts = self.parts_of(touched)?;
        for layout in self.layouts.counted(true) {
            if joined {
                for key in self.keys(layout.kind)? {
                    self.counted(layout, &key)?;
                    ticker.tick()?;
                }
                continue;
            }
            for key in keys_of(touched, layout.kind).chain(keys_of(&parts, layout.kind)) {
                self.counted(layout, key)?;
                ticker.tick()?;
            }
        }
        self.others()?;
        // what was written here is what the records say
        conn.execute("DELETE FROM changed", [])?;
        Ok(())
    }

    /// What is a part of something goes and comes with it: those that were not touched themselves.
    fn parts_of(&self, touched: &Touched) -> Result<Touched, StoreError> {
        let mut all = Touched::new();
        let mut find = self.store.conn.prepare_cached(
            "SELECT DISTINCT key FROM version WHERE kind = ?1 AND key >= ?2 || '/' AND key < ?2 || '0'",
        )?;
        for part in self.layouts.counted(true).map(|layout| layout.kind) {
            let wholes = part.about().part_of.into_iter();
            for key in wholes.flat_map(|whole| keys_of(touched, whole)) {
                let mut rows = find.query(params![part, key])?;
                while let Some(row) = rows.next()? {
                    let name = (part, row.get(0)?);
                    if !touched.contains(&name) {
                        all.insert(name);
                    }
                }
            }
        }
        Ok(all)
    }

    fn keys(&self, kind: Kind) -> Result<Vec<String>, StoreError> {
        let mut find = self
            .store
            .conn
            .prepare_cached("SELECT DISTINCT key FROM version WHERE kind = ?1")?;
        let mut rows = find.query([kind])?;
        let mut keys = Vec::new();
        while let Some(row) = rows.next()? {
            keys.push(row.get(0)?);
        }
        Ok(keys)
    }

    /// One record of work, counts or draws.
    fn counted(&self, layout: &Layout, key: &str) -> Result<(), StoreError> {
        let conn = &self.store.conn;
        let all = versions::of(conn, layout.kind, key)?;
        let Some(said) = self.said(layout, &all)? else {
            return Ok(());
        };
        let own = (!said.removed).then_some(&said.body);
        let whole = layout.kind.about().part_of;
        let homeless = whole.map_or(Ok(false), |whole| self.is_missing(whole, key))?;
        let wanted = own
            .filter(|_| !homeless)
            .map(|body| self.alias.body(layout.kind, body));
        let there = layout.get(conn, key)?;
        match &wanted {
            Some(body) if there.as_ref() != Some(body) => {
                layout.put(conn, key, body, there.as_ref())?;
            }
            None if there.is_some() => layout.remove(conn, key)?,
            _ => {}
        }
        self.note_shown(layout.kind, key, own, wanted.as_ref())
    }

    /// Whether that is not in the tables of which the record with this key is a part.
    fn is_missing(&self, whole: Kind, key: &str) -> Result<bool, StoreError> {
        let parts: Vec<&str> = key.split('/').take(whole.about().key.len()).collect();
        let there = self
            .layouts
            .of(whole)
            .get(&self.store.conn, &parts.join("/"))?;
        Ok(there.is_none())
    }

    fn said(&self, layout: &Layout, all: &[Version]) -> Result<Option<Said>, StoreError> {
        let Some(version) = versions::winner(self.history, all) else {
            return Ok(None);
        };
        Ok(Some(Said {
            removed: version.removed,
            body: layout.normal(body::parse(&version.body)?)?,
        }))
    }

    fn note_shown(
        &self,
        kind: Kind,
        key: &str,
        own: Option<&Body>,
        shown: Option<&Body>,
    ) -> Result<(), StoreError> {
        let conn = &self.store.conn;
        conn.prepare_cached("DELETE FROM shown WHERE kind = ?1 AND key = ?2")?
            .execute(params![kind, key])?;
        if own != shown {
            conn.prepare_cached("INSERT INTO shown (kind, key, body) VALUES (?1, ?2, ?3)")?
                .execute(params![kind, key, shown.map(body::text)])?;
        }
        Ok(())
    }

    /// All records of the other kinds: there are few of them, and one may hang on many.
    fn others(&self) -> Result<(), StoreError> {
        let said = self.all_said()?;
        let mut wanted = self.wanted(&said);
        Needs::read(&self.store.conn, self.layouts)?.keep(&said, self.alias, &mut wanted);
        self.drop_names(&mut wanted)?;
        fit::keep_what_fits(&mut wanted);
        fit::part_twins(&mut wanted);
        let put = self.put_before()?;
        self.write(&said, &wanted, &put)?;
        let all: BTreeSet<_> = said
            .keys()
            .chain(wanted.keys())
            .chain(&put)
            .cloned()
            .collect();
        for name in all {
            let own = said
                .get(&name)
                .filter(|said| !said.removed)
                .map(|said| &said.body);
            self.note_shown(name.0, &name.1, own, wanted.get(&name))?;
        }
        Ok(())
    }

    /// A pruner whose name was taken away is not shown by that of an entry joined to it either.
    fn drop_names(&self, wanted: &mut Records<Body>) -> Result<(), StoreError> {
        let gone = self.store.removed_names()?;
        wanted.retain(|(kind, key), _| *kind != Kind::Name || !gone.contains(key));
        Ok(())
    }

    /// Records that stand in the tables as no record of their own says, such as a row of a joined block.
    fn put_before(&self) -> Result<Touched, StoreError> {
        let mut find = self
            .store
            .conn
            .prepare_cached("SELECT kind, key FROM shown")?;
        let mut rows = find.query([])?;
        let mut put = Touched::new();
        while let Some(row) = rows.next()? {
            let kind: Kind = row.get(0)?;
            if !kind.is_counted() {
                put.insert((kind, row.get(1)?));
            }
        }
        Ok(put)
    }

    fn all_said(&self) -> Result<Records<Said>, StoreError> {
        let mut found = Records::new();
        let mut find = self.store.conn.prepare_cached(
            "SELECT key, change_set, removed, beside, body, digest FROM version WHERE kind = ?1 ORDER BY key, change_set",
        )?;
        for layout in self.layouts.counted(false) {
            let mut rows = find.query([layout.kind])?;
            let mut versions: BTreeMap<String, Vec<Version>> = BTreeMap::new();
            while let Some(row) = rows.next()? {
                versions
                    .entry(row.get(0)?)
                    .or_default()
                    .push(versions::read(row)?);
            }
            for (key, all) in versions {
                if let Some(said) = self.said(layout, &all)? {
                    found.insert((layout.kind, key), said);
                }
            }
        }
        Ok(found)
    }

    /// What is to stand in the tables before anything is fitted: joined entries under the one that is kept, whose own
    /// records come first.
    fn wanted(&self, said: &Records<Said>) -> Records<Body> {
        let mut wanted = Records::new();
        let live = || said.iter().filter(|(_, said)| !said.removed);
        let own = live().filter(|(name, _)| self.shown_key(name) == name.1);
        let joined = live().filter(|(name, _)| self.shown_key(name) != name.1);
        for (name, said) in own.chain(joined) {
            let body = self.alias.body(name.0, &said.body);
            wanted.entry((name.0, self.shown_key(name))).or_insert(body);
        }
        wanted
    }

    fn shown_key(&self, name: &RecordName) -> String {
        self.alias.key(name.0, &name.1)
    }

    fn write(
        &self,
        said: &Records<Said>,
        wanted: &Records<Body>,
        put: &Touched,
    ) -> Result<(), StoreError> {
        let conn = &self.store.conn;
        let mut there: Records<Body> = Records::new();
        for layout in self.layouts.counted(false) {
            let all = layout.get_all(conn)?.into_iter();
            there.extend(all.map(|(key, body)| ((layout.kind, key), body)));
        }
        // those that hang on others go first; what no record knows stays
        for name in there.keys().rev().filter(|name| {
            (said.contains_key(*name) || put.contains(*name)) && !wanted.contains_key(*name)
        }) {
            self.layouts.of(name.0).remove(conn, &name.1)?;
        }
        let changed = || {
            wanted
                .iter()
                .filter(|(name, body)| there.get(*name) != Some(*body))
        };
        fit::make_room(conn, &there, wanted)?;
        for (name, body) in changed() {
            self.layouts
                .of(name.0)
                .put(conn, &name.1, body, there.get(name))?;
        }
        Ok(())
    }
}
