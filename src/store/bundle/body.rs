//! What a record says: a value for each column, written one way only, so that equal records are equal texts.

use std::collections::BTreeMap;

use serde_json::{Number, Value};
use uuid::Uuid;

use super::super::StoreError;

/// The values of a record by column.
pub(super) type Body = BTreeMap<String, Value>;

/// The one text of a body.
pub(super) fn text(body: &Body) -> String {
    // a map of strings and plain values always has a text
    serde_json::to_string(body).unwrap_or_default()
}

/// Reads [`text`].
pub(super) fn parse(text: &str) -> Result<Body, StoreError> {
    serde_json::from_str(text)
        .map_err(|e| StoreError::bundle(&format!("a record cannot be read: {e}")))
}

/// How a column's values are written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Type {
    /// An identity: 32 hexadecimal digits.
    Id,
    /// A whole number.
    Whole,
    /// A number.
    Real,
    /// A text.
    Text,
}

/// A column of a table.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Column {
    /// Its name.
    pub name: String,
    /// How its values are written.
    pub kind: Type,
    /// Whether it may be empty.
    pub optional: bool,
    /// The value where a record of an earlier version has none.
    pub default: Option<Value>,
}

impl Column {
    /// A stored value as it is written.
    pub fn read(&self, value: rusqlite::types::ValueRef<'_>) -> Result<Value, StoreError> {
        use rusqlite::types::ValueRef;
        Ok(match value {
            ValueRef::Null => Value::Null,
            ValueRef::Integer(n) => Value::Number(n.into()),
            ValueRef::Real(x) => Number::from_f64(x).map_or(Value::Null, Value::Number),
            ValueRef::Text(bytes) => Value::String(String::from_utf8_lossy(bytes).into_owned()),
            ValueRef::Blob(bytes) => {
                let id = Uuid::from_slice(bytes)
                    .map_err(|_| StoreError::Corrupt(format!("{} is no identity", self.name)))?;
                Value::String(id.simple().to_string())
            }
        })
    }

    /// A written value as it is stored; refused where it is none of this column's.
    pub fn store(&self, value: &Value) -> Result<rusqlite::types::Value, StoreError> {
        use rusqlite::types::Value as Stored;
        let stored = match (value, self.kind) {
            (Value::Null, _) if self.optional => Some(Stored::Null),
            (Value::String(text), Type::Text) => Some(Stored::Text(text.clone())),
            (Value::String(text), Type::Id) => {
                id(text).map(|id| Stored::Blob(id.as_bytes().to_vec()))
            }
            (Value::Number(n), Type::Whole) => n.as_i64().map(Stored::Integer),
            (Value::Number(n), Type::Real) => n.as_f64().map(Stored::Real),
            _ => None,
        };
        stored
            .ok_or_else(|| StoreError::bundle(&format!("{} cannot be {}", self.name, short(value))))
    }

    /// A part of a key as it is stored.
    pub fn store_part(&self, part: &str) -> Result<rusqlite::types::Value, StoreError> {
        let value = match self.kind {
            _ if part == "-" && self.optional => Value::Null,
            Type::Whole => part.parse::<i64>().map_or(Value::Null, Value::from),
            _ => Value::String(part.to_owned()),
        };
        let stored = self.store(&value)?;
        // one way only to write a key
        if write_part(&value) == part {
            Ok(stored)
        } else {
            Err(StoreError::bundle(&format!(
                "{} cannot be {part:.40}",
                self.name
            )))
        }
    }
}

/// A value as a part of a key.
pub(super) fn write_part(value: &Value) -> String {
    match value {
        Value::Null => "-".to_owned(),
        Value::String(text) => text.clone(),
        other => other.to_string(),
    }
}

/// Reads an identity: 32 small hexadecimal digits, nothing else.
pub(super) fn id(text: &str) -> Option<Uuid> {
    let id = Uuid::try_parse(text).ok()?;
    (id.simple().to_string() == text).then_some(id)
}

fn short(value: &Value) -> String {
    let text = value.to_string();
    let cut: String = text.chars().take(40).collect();
    if cut.len() < text.len() {
        cut + "…"
    } else {
        cut
    }
}
