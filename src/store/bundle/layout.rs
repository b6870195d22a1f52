//! The tables as the schema has them: reading and writing any record. A column that a later version adds is carried
//! without a change here.

use std::fmt::Write as _;

use rusqlite::{Connection, OptionalExtension, Row, params_from_iter, types::Value as Stored};
use serde_json::Value;

use super::super::StoreError;
use super::body::{Body, Column, Type, write_part};
use super::kinds::{Holds, Kind};
use super::taps;

/// One kind with its columns and statements.
pub(super) struct Layout {
    pub kind: Kind,
    key: Vec<Column>,
    rest: Vec<Column>,
    one: String,
    all: String,
    insert: String,
    update: String,
    delete: String,
}

/// The layouts of all kinds.
pub(super) struct Layouts(Vec<Layout>);

impl Layouts {
    /// As the schema has them.
    pub fn read(conn: &Connection) -> Result<Self, StoreError> {
        let all = Kind::ALL.iter().map(|kind| Layout::read(conn, *kind));
        all.collect::<Result<_, _>>().map(Self)
    }

    /// That of a kind.
    pub fn of(&self, kind: Kind) -> &Layout {
        // they are in the order of the kinds
        &self.0[kind as usize]
    }

    /// Those of kinds that are counted, or those of the others.
    pub fn counted(&self, counted: bool) -> impl Iterator<Item = &Layout> {
        let all = self.0.iter();
        all.filter(move |layout| layout.kind.is_counted() == counted)
    }
}

impl Layout {
    /// The layout of one kind.
    pub fn read(conn: &Connection, kind: Kind) -> Result<Self, StoreError> {
        let columns = columns(conn, kind)?;
        let names = kind.about().key;
        let key: Vec<Column> = names
            .iter()
            .filter_map(|name| columns.iter().find(|column| column.name == *name).cloned())
            .collect();
        let rest: Vec<Column> = columns
            .into_iter()
            .filter(|column| !names.contains(&column.name.as_str()))
            .collect();
        Ok(Self::statements(kind, key, rest))
    }

    fn statements(kind: Kind, key: Vec<Column>, rest: Vec<Column>) -> Self {
        let table = kind.about().table;
        let names = |columns: &[Column]| -> Vec<String> {
            columns
                .iter()
                .map(|column| format!("\"{}\"", column.name))
                .collect()
        };
        let every = [names(&key), names(&rest)].concat().join(", ");
        let mut found = String::new();
        for (at, name) in names(&key).iter().enumerate() {
            let and = if at == 0 { "" } else { " AND " };
            let _ = write!(found, "{and}{name} IS ?{}", at + 1);
        }
        let set: Vec<String> = (key.len() + 1..)
            .zip(names(&rest))
            .map(|(at, name)| format!("{name} = ?{at}"))
            .collect();
        let marks: Vec<String> = (1..=key.len() + rest.len())
            .map(|at| format!("?{at}"))
            .collect();
        let order = names(&key).join(", ");
        Self {
            one: format!("SELECT {every} FROM {table} WHERE {found} ORDER BY {every}"),
            all: format!("SELECT {every} FROM {table} ORDER BY {order}"),
            insert: format!(
                "INSERT INTO {table} ({every}) VALUES ({})",
                marks.join(", ")
            ),
            update: format!("UPDATE {table} SET {} WHERE {found}", set.join(", ")),
            delete: format!("DELETE FROM {table} WHERE {found}"),
            kind,
            key,
            rest,
        }
    }

    /// The columns of the key.
    #[cfg(test)]
    pub fn key_columns(&self) -> &[Column] {
        &self.key
    }

    /// The columns beside those of the key.
    #[cfg(test)]
    pub fn rest_columns(&self) -> &[Column] {
        &self.rest
    }

    /// Whether records have this column.
    pub fn has(&self, column: &str) -> bool {
        self.key
            .iter()
            .chain(&self.rest)
            .any(|known| known.name == column)
    }

    /// The stored values of a key's parts.
    pub fn key_values(&self, key: &str) -> Result<Vec<Stored>, StoreError> {
        let parts: Vec<&str> = key.split('/').collect();
        if parts.len() != self.key.len() {
            return Err(StoreError::bundle(&format!(
                "{key:.80} is no key of a {}",
                self.kind.word()
            )));
        }
        self.key
            .iter()
            .zip(parts)
            .map(|(column, part)| column.store_part(part))
            .collect()
    }

    /// The record with this key as it stands in the tables.
    pub fn get(&self, conn: &Connection, key: &str) -> Result<Option<Body>, StoreError> {
        let mut find = conn.prepare_cached(&self.one)?;
        let mut rows = find.query(params_from_iter(self.key_values(key)?))?;
        if self.kind.about().holds == Holds::Units {
            let mut units = Vec::new();
            while let Some(row) = rows.next()? {
                units.push(self.unit(row)?);
            }
            return Ok((!units.is_empty())
                .then(|| Body::from([("units".to_owned(), Value::Array(units))])));
        }
        let Some(row) = rows.next()? else {
            return Ok(None);
        };
        let mut body = self.body(row)?;
        if self.kind.about().holds == Holds::Taps {
            body.insert("taps".to_owned(), Value::String(taps::read(conn, key)?));
        }
        Ok(Some(body))
    }

    /// All records of a kind that is not counted, by key.
    pub fn get_all(&self, conn: &Connection) -> Result<Vec<(String, Body)>, StoreError> {
        let mut find = conn.prepare_cached(&self.all)?;
        let mut rows = find.query([])?;
        let mut found: Vec<(String, Body)> = Vec::new();
        while let Some(row) = rows.next()? {
            let mut parts = Vec::new();
            for (at, column) in self.key.iter().enumerate() {
                parts.push(write_part(&column.read(row.get_ref(at)?)?));
            }
            let key = parts.join("/");
            if self.kind.about().holds != Holds::Units {
                found.push((key, self.body(row)?));
            } else if found.last().is_none_or(|(last, _)| *last != key) {
                let units = self.get(conn, &key)?;
                found.extend(units.map(|body| (key, body)));
            }
        }
        Ok(found)
    }

    fn body(&self, row: &Row<'_>) -> Result<Body, StoreError> {
        let mut body = Body::new();
        for (at, column) in (self.key.len()..).zip(&self.rest) {
            body.insert(column.name.clone(), column.read(row.get_ref(at)?)?);
        }
        Ok(body)
    }

    /// One tagged unit, its values in the order of the table's columns.
    fn unit(&self, row: &Row<'_>) -> Result<Value, StoreError> {
        let values: Result<Vec<Value>, StoreError> = (self.key.len()..)
            .zip(&self.rest)
            .map(|(at, column)| column.read(row.get_ref(at)?))
            .collect();
        Ok(Value::Array(values?))
    }

    /// Checks what a bundle says of a record, and fills what an earlier version did not have.
    pub fn normal(&self, mut body: Body) -> Result<Body, StoreError> {
        let wrong = |what: String| StoreError::bundle(&format!("a {} {what}", self.kind.word()));
        match self.kind.about().holds {
            Holds::Units => {
                self.unit_rows(&body)?;
                return Ok(body);
            }
            Holds::Taps => {
                let text = body.get("taps").and_then(Value::as_str);
                taps::parse(text.ok_or_else(|| wrong("has no taps".to_owned()))?)?;
            }
            Holds::Row => {}
        }
        for column in &self.rest {
            let Some(value) = body.get_mut(&column.name) else {
                let usual = column.default.clone();
                let usual = usual.or(column.optional.then_some(Value::Null));
                let usual = usual.ok_or_else(|| wrong(format!("has no {}", column.name)))?;
                body.insert(column.name.clone(), usual);
                continue;
            };
            column.store(value)?;
            if let (Type::Real, Some(x)) = (column.kind, value.as_f64()) {
                *value = Value::from(x);
            }
        }
        let wanted = self.rest.len() + usize::from(self.kind.about().holds == Holds::Taps);
        if body.len() == wanted {
            Ok(body)
        } else {
            Err(wrong("holds what this program does not know".to_owned()))
        }
    }

    /// The body without what every record has that says nothing of it: so a column that a later version adds leaves
    /// the digests of earlier records as they are. The usual value of a column never changes.
    pub fn told(&self, body: &Body) -> Body {
        let mut told = body.clone();
        for column in &self.rest {
            let usual = column
                .default
                .as_ref()
                .or(column.optional.then_some(&Value::Null));
            if usual.is_some() && told.get(&column.name) == usual {
                told.remove(&column.name);
            }
        }
        told
    }

    /// The rows of a body of tagged units, each with the values of the table's columns.
    fn unit_rows(&self, body: &Body) -> Result<Vec<Vec<Stored>>, StoreError> {
        let wrong = || StoreError::Bundle("a set count has units that cannot be".to_owned());
        let units = body
            .get("units")
            .and_then(Value::as_array)
            .ok_or_else(wrong)?;
        if units.is_empty() || body.len() != 1 {
            return Err(wrong());
        }
        units
            .iter()
            .map(|unit| {
                let values = unit.as_array().filter(|unit| unit.len() == self.rest.len());
                let values = values.ok_or_else(wrong)?.iter().zip(&self.rest);
                values.map(|(value, column)| column.store(value)).collect()
            })
            .collect()
    }

    /// Puts a record in the tables. `there`: as it stands there now.
    pub fn put(
        &self,
        conn: &Connection,
        key: &str,
        body: &Body,
        there: Option<&Body>,
    ) -> Result<(), StoreError> {
        let keys = self.key_values(key)?;
        if self.kind.about().holds == Holds::Units {
            conn.prepare_cached(&self.delete)?
                .execute(params_from_iter(&keys))?;
            let mut add = conn.prepare_cached(&self.insert)?;
            for unit in self.unit_rows(body)? {
                add.execute(params_from_iter(keys.iter().chain(&unit)))?;
            }
            return Ok(());
        }
        let mut values = keys;
        for column in &self.rest {
            values.push(column.store(body.get(&column.name).unwrap_or(&Value::Null))?);
        }
        // a record that moves to another winter went with its old one, if that was taken out just before
        let stands = there.is_some()
            && (self.rest.is_empty()
                || conn
                    .prepare_cached(&self.update)?
                    .execute(params_from_iter(&values))?
                    > 0);
        if !stands {
            conn.prepare_cached(&self.insert)?
                .execute(params_from_iter(&values))?;
        }
        if self.kind.about().holds == Holds::Taps {
            let text = |body: &Body| {
                body.get("taps")
                    .and_then(Value::as_str)
                    .unwrap_or("")
                    .to_owned()
            };
            let (new, old) = (text(body), there.map(text).unwrap_or_default());
            if new != old {
                taps::write(conn, key, &new)?;
            }
        }
        Ok(())
    }

    /// Takes a record out of the tables.
    pub fn remove(&self, conn: &Connection, key: &str) -> Result<(), StoreError> {
        conn.prepare_cached(&self.delete)?
            .execute(params_from_iter(self.key_values(key)?))?;
        Ok(())
    }
}

fn columns(conn: &Connection, kind: Kind) -> Result<Vec<Column>, StoreError> {
    let mut find = conn.prepare_cached(
        "SELECT name, type, \"notnull\" OR pk, dflt_value FROM pragma_table_info(?1) ORDER BY cid",
    )?;
    let about = kind.about();
    let mut rows = find.query([about.table])?;
    let mut columns = Vec::new();
    while let Some(row) = rows.next()? {
        let name: String = row.get(0)?;
        let written: String = row.get(1)?;
        let default: Option<String> = row.get(3)?;
        let mut left_out = about.left_out.iter();
        if !left_out.any(|(columns, _)| columns.contains(&name.as_str())) {
            columns.push(Column {
                name,
                kind: match written.as_str() {
                    "BLOB" => Type::Id,
                    "INTEGER" => Type::Whole,
                    "REAL" => Type::Real,
                    _ => Type::Text,
                },
                optional: !row.get::<_, bool>(2)?,
                default: default.and_then(|text| usual(&text)),
            });
        }
    }
    Ok(columns)
}

/// A default as the schema writes it: a number or a text in quotes.
fn usual(text: &str) -> Option<Value> {
    match text
        .strip_prefix('\'')
        .and_then(|text| text.strip_suffix('\''))
    {
        Some(inner) => Some(Value::String(inner.replace("''", "'"))),
        None => serde_json::from_str(text).ok().filter(Value::is_number),
    }
}

/// The value of one query that gives at most one row.
pub(super) fn optional<T: rusqlite::types::FromSql>(
    conn: &Connection,
    sql: &str,
    params: impl rusqlite::Params,
) -> Result<Option<T>, StoreError> {
    Ok(conn
        .prepare_cached(sql)?
        .query_row(params, |row| row.get(0))
        .optional()?)
}
