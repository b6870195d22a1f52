//! What work and counts name stays in the tables, though somebody removed it elsewhere.

use std::collections::{BTreeMap, BTreeSet};

use rusqlite::Connection;
use serde_json::Value;
use uuid::Uuid;

use super::super::StoreError;
use super::alias::Alias;
use super::body::Body;
use super::kinds::Kind;
use super::layout::{Layout, Layouts};
use super::records::{RecordName, Records, Said, of_kind};

/// Records that must be there, by kind and key; of rows the last place that is needed.
pub(super) struct Needs(Records<i64>);

/// Asks what records of counted kinds name: a kind, an identity, and of rows the number and the last place.
fn named_by_counted(layouts: &Layouts) -> String {
    let of_one = |layout: &Layout| {
        let about = layout.kind.about();
        let mut asked = Vec::new();
        for column in ["winter", "pruner"]
            .into_iter()
            .filter(|column| layout.has(column))
        {
            asked.push(format!(
                "SELECT DISTINCT '{column}', {column}, NULL, 0 FROM {0} WHERE {column} IS NOT NULL",
                about.table
            ));
        }
        if layout.has("block") && layout.has("row") {
            let last = about
                .reaches
                .map_or("0".to_owned(), |tree| format!("max({tree})"));
            asked.push(format!(
                "SELECT 'row', block, row, {last} FROM {} GROUP BY block, row",
                about.table
            ));
        }
        asked
    };
    let asked: Vec<String> = layouts.counted(true).flat_map(of_one).collect();
    asked.join(" UNION ALL ")
}

impl Needs {
    /// What work, counts, draws and go-back rows in the tables name.
    pub fn read(conn: &Connection, layouts: &Layouts) -> Result<Self, StoreError> {
        let mut needs = Records::new();
        let mut find = conn.prepare_cached(&named_by_counted(layouts))?;
        let mut rows = find.query([])?;
        while let Some(found) = rows.next()? {
            let (kind, row): (Kind, Option<i64>) = (found.get(0)?, found.get(2)?);
            let id = Uuid::from_bytes(found.get(1)?).simple().to_string();
            let key = row.map_or(id.clone(), |row| format!("{id}/{row}"));
            if row.is_some() {
                needs.entry((Kind::Block, id)).or_insert(0);
            }
            let last = needs.entry((kind, key)).or_insert(0);
            *last = found.get::<_, i64>(3)?.max(*last);
        }
        Ok(Self(needs))
    }

    /// Adds what is needed and not wanted, from the last that was known of it, and lengthens rows to the last place
    /// that is needed. Then drops what hangs on a block, pruner or winter that is not there.
    pub fn keep(&self, said: &Records<Said>, alias: &Alias, wanted: &mut Records<Body>) {
        // under which other key a record is shown, and the first row of each number: looked up, since there may be many
        let mut shown: Records<&Said> = Records::new();
        if !alias.is_empty() {
            for ((kind, key), said) in said {
                let name = (*kind, alias.key(*kind, key));
                shown.entry(name).or_insert(said);
            }
        }
        let rows = first_rows(said);
        let last_known = |name: &RecordName| {
            let own = said.get(name).or_else(|| shown.get(name).copied());
            own.map(|said| said.body.clone())
        };
        for (name, last) in &self.0 {
            if !wanted.contains_key(name) {
                let body = last_known(name).or_else(|| lent_row(&rows, name));
                wanted.extend(body.map(|body| (name.clone(), body)));
                // a pruner comes back with the name
                if let Some(of_pruner) = named(name).filter(|name| !wanted.contains_key(name)) {
                    let body = last_known(&of_pruner);
                    wanted.extend(body.map(|body| (of_pruner, body)));
                }
            }
            if let Some(places) = wanted.get_mut(name).and_then(|body| body.get_mut("places")) {
                *places = Value::from(places.as_i64().unwrap_or(0).max(*last));
            }
        }
        keep_a_row(said, alias, wanted);
        drop_homeless(wanted);
    }
}

/// The record of a pruner's name.
fn named((kind, key): &RecordName) -> Option<RecordName> {
    (*kind == Kind::Pruner).then(|| (Kind::Name, key.clone()))
}

/// A row that was another block's while the two were joined has no record of its own: it is like the first row of its
/// number in any block. A row of a number that no block ever had is none.
fn lent_row(rows: &BTreeMap<&str, &Said>, (kind, key): &RecordName) -> Option<Body> {
    let of_row = key.split_once('/').filter(|_| *kind == Kind::Row);
    rows.get(of_row?.1).map(|said| said.body.clone())
}

/// The first row of each number.
fn first_rows(said: &Records<Said>) -> BTreeMap<&str, &Said> {
    let mut rows = BTreeMap::new();
    for ((_, key), said) in of_kind(said, Kind::Row) {
        if let Some((_, number)) = key.split_once('/') {
            rows.entry(number).or_insert(said);
        }
    }
    rows
}

/// A block that lost all its rows, some on each tablet, keeps the first of them.
fn keep_a_row(said: &Records<Said>, alias: &Alias, wanted: &mut Records<Body>) {
    let block_of = |key: &str| key.split('/').next().unwrap_or_default().to_owned();
    let with_rows: BTreeSet<String> = of_kind(wanted, Kind::Row)
        .map(|((_, key), _)| block_of(key))
        .collect();
    let bare: Vec<String> = of_kind(wanted, Kind::Block)
        .map(|((_, key), _)| key.clone())
        .filter(|key| !with_rows.contains(key))
        .collect();
    if bare.is_empty() {
        return;
    }
    let number = |key: &str| key.split('/').nth(1).and_then(|n| n.parse::<u32>().ok());
    let mut first: BTreeMap<String, (Option<u32>, String, &Said)> = BTreeMap::new();
    for ((_, key), said) in of_kind(said, Kind::Row) {
        let key = alias.key(Kind::Row, key);
        let (block, number) = (block_of(&key), number(&key));
        if first.get(&block).is_none_or(|known| number < known.0) {
            first.insert(block, (number, key, said));
        }
    }
    for block in bare {
        if let Some((_, key, said)) = first.remove(&block) {
            wanted.insert((Kind::Row, key), said.body.clone());
        }
    }
}

/// Drops records of which the key names something that is not there; those that others name come first.
fn drop_homeless(wanted: &mut Records<Body>) {
    let names: Vec<RecordName> = wanted.keys().cloned().collect();
    for name in names {
        let (kind, about) = (name.0, name.0.about());
        if kind == Kind::Joined || about.key == ["id"] {
            let winter = wanted
                .get(&name)
                .and_then(|body| body.get("winter"))
                .and_then(Value::as_str);
            if winter.is_some_and(|id| !wanted.contains_key(&(Kind::Winter, id.to_owned()))) {
                wanted.remove(&name);
            }
            continue;
        }
        let parts: Vec<&str> = name.1.split('/').collect();
        let named = about.key.iter().zip(&parts).filter_map(|(column, part)| {
            let named = kind.named_by(column).filter(|_| *part != "-");
            named.map(|named| (named, (*part).to_owned()))
        });
        let whole = about.part_of.map(|whole| {
            let key = &parts[..whole.about().key.len().min(parts.len())];
            (whole, key.join("/"))
        });
        if named.chain(whole).any(|home| !wanted.contains_key(&home)) {
            wanted.remove(&name);
        }
    }
}
