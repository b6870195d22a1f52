//! Fitting together what no tablet could see alone: two with the same number or name, a row whose last trees were
//! found missing on two tablets, a budburst that does not suit its winter any more.

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;
use rusqlite::{Connection, params};
use serde_json::Value;

use super::super::StoreError;
use super::body::{self, Body};
use super::kinds::Kind;
use super::records::{RecordName, Records, of_kind};
use crate::orchard::limits::{BUDBURST_DAYS, MAX_NAME, NUMBERS};

/// Drops what the domain would refuse beside the rest.
pub(super) fn keep_what_fits(wanted: &mut Records<Body>) {
    missing_trees(wanted);
    budburst(wanted);
}

/// Missing trees beyond the end of their row are dropped, and the last of them where the row would have no tree.
fn missing_trees(wanted: &mut Records<Body>) {
    let mut by_row: BTreeMap<String, BTreeSet<i64>> = BTreeMap::new();
    for ((_, key), _) in of_kind(wanted, Kind::Missing) {
        if let Some((row, place)) = key.rsplit_once('/') {
            by_row
                .entry(row.to_owned())
                .or_default()
                .insert(place.parse().unwrap_or(0));
        }
    }
    for (key, mut places) in by_row {
        let name = (Kind::Row, key.clone());
        let last = wanted
            .get(&name)
            .and_then(|body| body.get("places"))
            .and_then(Value::as_i64)
            .unwrap_or(0);
        let mut gone: Vec<i64> = places.split_off(&(last + 1)).into_iter().collect();
        if places.len() as i64 == last {
            gone.extend(places.last());
        }
        for place in gone {
            wanted.remove(&(Kind::Missing, format!("{key}/{place}")));
        }
    }
}

fn budburst(wanted: &mut Records<Body>) {
    let day = |body: Option<&Body>, column: &str| {
        body.and_then(|body| body.get(column))
            .and_then(Value::as_str)
            .and_then(|day| day.parse::<NaiveDate>().ok())
    };
    for name in names_of(wanted, Kind::Budburst) {
        let key = name.1.split('/').next().unwrap_or_default().to_owned();
        let days =
            day(wanted.get(&name), "day").zip(day(wanted.get(&(Kind::Winter, key)), "start"));
        if days.is_none_or(|(day, start)| {
            !BUDBURST_DAYS.contains(&day.signed_duration_since(start).num_days())
        }) {
            wanted.remove(&name);
        }
    }
}

fn names_of<T>(records: &Records<T>, kind: Kind) -> Vec<RecordName> {
    of_kind(records, kind)
        .map(|(name, _)| name.clone())
        .collect()
}

/// Two blocks or winters of one name, two pruners of one number: the first by identity keeps it, the others get the
/// next that is free.
pub(super) fn part_twins(wanted: &mut Records<Body>) {
    for (kind, column) in Kind::twins() {
        let names = names_of(wanted, kind);
        let asked = |name: &RecordName| wanted.get(name).and_then(|body| body.get(column)).cloned();
        let all: Vec<Value> = names.iter().filter_map(asked).collect();
        let mut taken: BTreeSet<String> = BTreeSet::new();
        let mut late = Vec::new();
        for (name, value) in names.into_iter().zip(all) {
            if !taken.insert(value.to_string()) {
                late.push((name, value));
            }
        }
        let mut next = Next::default();
        for (name, value) in late {
            let other = next.free(&value, &taken);
            taken.insert(other.to_string());
            if let Some(body) = wanted.get_mut(&name) {
                body.insert(column.to_owned(), other);
            }
        }
    }
}

/// Finds names and numbers that nobody has. What was taken once stays taken, so a search goes on where the last one of
/// the same name ended: many of one name do not take longer than many names.
#[derive(Default)]
struct Next {
    behind: BTreeMap<String, usize>,
    numbers: Option<Vec<i64>>,
}

impl Next {
    /// The next number, or the name with a number behind it.
    fn free(&mut self, value: &Value, taken: &BTreeSet<String>) -> Value {
        let free = |value: &Value| !taken.contains(&value.to_string());
        if let Some(text) = value.as_str() {
            let numbered = |n: usize| {
                let end = format!(" ({n})");
                let start: String = text.chars().take(MAX_NAME - end.len()).collect();
                Value::String(format!("{}{end}", start.trim_end()))
            };
            let behind = self.behind.entry(text.to_owned()).or_insert(2);
            while !free(&numbered(*behind)) {
                *behind += 1;
            }
            return numbered(*behind);
        }
        // last in the list is next: above the highest first, then downwards
        let numbers = self.numbers.get_or_insert_with(|| {
            let highest = taken
                .iter()
                .filter_map(|text| text.parse::<i64>().ok())
                .max();
            let above = highest.unwrap_or(0) + 1;
            let most = i64::from(*NUMBERS.end());
            let below = 1..above.min(most + 1);
            below.chain((above..=most).rev()).collect()
        });
        while numbers.last().is_some_and(|n| !free(&Value::from(*n))) {
            numbers.pop();
        }
        // where all numbers are taken the file refuses the change
        numbers.last().map_or(Value::Null, |n| Value::from(*n))
    }
}

/// Moves names and numbers that are about to change out of the way, so that two can change places.
pub(super) fn make_room(
    conn: &Connection,
    there: &Records<Body>,
    wanted: &Records<Body>,
) -> Result<(), StoreError> {
    let text = |body: &Body, column: &str| body.get(column).map(Value::to_string);
    for (kind, column) in Kind::twins() {
        let mut taken: BTreeSet<String> = BTreeSet::new();
        for (_, body) in of_kind(there, kind).chain(of_kind(wanted, kind)) {
            taken.extend(text(body, column));
        }
        let moving = of_kind(there, kind).filter(|(name, body)| {
            wanted
                .get(*name)
                .is_some_and(|new| text(new, column) != text(body, column))
        });
        let mut next = Next::default();
        for (name, body) in moving {
            let aside = body
                .get(column)
                .map(|value| next.free(value, &taken))
                .unwrap_or_default();
            taken.insert(aside.to_string());
            let id = body::id(&name.1).unwrap_or_default();
            let aside = aside.as_str().map_or_else(
                || rusqlite::types::Value::Integer(aside.as_i64().unwrap_or(0)),
                |text| rusqlite::types::Value::Text(text.to_owned()),
            );
            conn.prepare_cached(&format!(
                "UPDATE {} SET {column} = ?2 WHERE id = ?1",
                kind.about().table
            ))?
            .execute(params![id.as_bytes(), aside])?;
        }
    }
    Ok(())
}
