//! What work and counts name stays in the tables, though somebody removed it elsewhere.

use std::collections::{BTreeMap, BTreeSet};

use rusqlite::Connection;
use serde_json::Value;
use uuid::Uuid;

use super::super::StoreError;
use super::alias::Alias;
use super::body::Body;
use super::kinds::{NAME, place};
use super::layout::Layout;
use super::project::{Records, Said};

/// Records that must be there, by kind and key; of rows the last place that is needed.
pub(super) struct Needs(BTreeMap<(usize, String), i64>);

const NAMED: &str = "
    SELECT 'winter', winter, NULL, 0 FROM (SELECT winter FROM work UNION SELECT winter FROM tree_count
        UNION SELECT winter FROM draw UNION SELECT winter FROM go_back)
    UNION ALL SELECT 'pruner', pruner, NULL, 0 FROM (SELECT pruner FROM work UNION SELECT pruner FROM tree_count
        UNION SELECT pruner FROM drawn_tree UNION SELECT pruner FROM go_back) WHERE pruner IS NOT NULL
    UNION ALL SELECT 'row', block, row, max(last) FROM (
        SELECT block, row, max(last) AS last FROM work GROUP BY block, row
        UNION ALL SELECT block, row, max(tree) FROM tree_count GROUP BY block, row
        UNION ALL SELECT DISTINCT block, row, 0 FROM drawn_tree
        UNION ALL SELECT DISTINCT block, row, 0 FROM go_back) GROUP BY block, row";

impl Needs {
    /// What work, counts, draws and go-back rows in the tables name.
    pub fn read(conn: &Connection) -> Result<Self, StoreError> {
        let mut needs = BTreeMap::new();
        let mut find = conn.prepare_cached(NAMED)?;
        let mut rows = find.query([])?;
        while let Some(found) = rows.next()? {
            let word: String = found.get(0)?;
            let id = Uuid::from_bytes(found.get(1)?).simple().to_string();
            let row: Option<i64> = found.get(2)?;
            if let Some(kind) = place(&word) {
                if let Some(block) = place("block").filter(|_| row.is_some()) {
                    needs.entry((block, id.clone())).or_insert(0);
                }
                let key = row.map_or(id.clone(), |row| format!("{id}/{row}"));
                needs.insert((kind, key), found.get(3)?);
            }
        }
        Ok(Self(needs))
    }

    /// Adds what is needed and not wanted, from the last that was known of it, and lengthens rows to the last place
    /// that is needed. Then drops what hangs on a block, pruner or winter that is not there.
    pub fn keep(
        &self,
        said: &Records<Said>,
        layouts: &[Layout],
        alias: &Alias,
        wanted: &mut Records<Body>,
    ) {
        // under which other key a record is shown, and the first row of each number: looked up, since there may be many
        let mut shown: BTreeMap<(usize, String), &Said> = BTreeMap::new();
        if !alias.is_empty() {
            for ((kind, key), said) in said {
                shown
                    .entry((*kind, alias.key(&layouts[*kind], key)))
                    .or_insert(said);
            }
        }
        let rows = first_rows(said);
        let last_known = |name: &(usize, String)| {
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
        keep_a_row(said, layouts, alias, wanted);
        drop_homeless(layouts, wanted);
    }
}

/// The record of a pruner's name.
fn named((kind, key): &(usize, String)) -> Option<(usize, String)> {
    let pruner = Some(*kind) == place("pruner");
    place(NAME)
        .filter(|_| pruner)
        .map(|name| (name, key.clone()))
}

/// A row that was another block's while the two were joined has no record of its own: it is like the first row of its
/// number in any block. A row of a number that no block ever had is none.
fn lent_row(rows: &BTreeMap<&str, &Said>, (kind, key): &(usize, String)) -> Option<Body> {
    let of_row = key.split_once('/').filter(|_| Some(*kind) == place("row"));
    rows.get(of_row?.1).map(|said| said.body.clone())
}

/// The first row of each number.
fn first_rows(said: &Records<Said>) -> BTreeMap<&str, &Said> {
    let mut rows = BTreeMap::new();
    let Some(row) = place("row") else {
        return rows;
    };
    for ((_, key), said) in said.range((row, String::new())..(row + 1, String::new())) {
        if let Some((_, number)) = key.split_once('/') {
            rows.entry(number).or_insert(said);
        }
    }
    rows
}

/// A block that lost all its rows, some on each tablet, keeps the first of them.
fn keep_a_row(said: &Records<Said>, layouts: &[Layout], alias: &Alias, wanted: &mut Records<Body>) {
    let (Some(block), Some(row)) = (place("block"), place("row")) else {
        return;
    };
    let block_of = |key: &str| key.split('/').next().unwrap_or_default().to_owned();
    let rows = || (row, String::new())..(row + 1, String::new());
    let with_rows: BTreeSet<String> = wanted
        .range(rows())
        .map(|((_, key), _)| block_of(key))
        .collect();
    let blocks = wanted.range((block, String::new())..(block + 1, String::new()));
    let bare: Vec<String> = blocks
        .map(|((_, key), _)| key.clone())
        .filter(|key| !with_rows.contains(key))
        .collect();
    if bare.is_empty() {
        return;
    }
    let number = |key: &str| key.split('/').nth(1).and_then(|n| n.parse::<u32>().ok());
    let mut first: BTreeMap<String, (Option<u32>, String, &Said)> = BTreeMap::new();
    for ((_, key), said) in said.range(rows()) {
        let key = alias.key(&layouts[row], key);
        let (block, number) = (block_of(&key), number(&key));
        if first.get(&block).is_none_or(|known| number < known.0) {
            first.insert(block, (number, key, said));
        }
    }
    for block in bare {
        if let Some((_, key, said)) = first.remove(&block) {
            wanted.insert((row, key), said.body.clone());
        }
    }
}

/// Drops records of which the key names something that is not there; those that others name come first.
fn drop_homeless(layouts: &[Layout], wanted: &mut Records<Body>) {
    let names: Vec<(usize, String)> = wanted.keys().cloned().collect();
    for name in names {
        let kind = layouts[name.0].kind;
        if kind.word == "joined" || kind.key == ["id"] {
            let winter = wanted
                .get(&name)
                .and_then(|body| body.get("winter"))
                .and_then(Value::as_str);
            let missing = winter.is_some_and(|id| {
                place("winter").is_some_and(|at| !wanted.contains_key(&(at, id.to_owned())))
            });
            if missing {
                wanted.remove(&name);
            }
            continue;
        }
        let parts: Vec<&str> = name.1.split('/').collect();
        let home = |at: usize| -> Option<(usize, String)> {
            let part = *parts.get(at)?;
            (part != "-").then_some((place(kind.key[at])?, part.to_owned()))
        };
        let mut homes: Vec<_> = (0..kind.key.len())
            .filter(|at| matches!(kind.key[*at], "block" | "pruner" | "winter"))
            .filter_map(home)
            .collect();
        if kind.word == "missing" {
            homes.extend(place("row").map(|at| (at, parts[..2].join("/"))));
        }
        if homes.iter().any(|home| !wanted.contains_key(home)) {
            wanted.remove(&name);
        }
    }
}
