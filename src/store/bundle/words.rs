//! Records in words, for lists of conflicts and reports of what came in.

use serde_json::Value;
use uuid::Uuid;

use super::super::{Store, StoreError};
use super::body::{self, Body};
use super::forget::TYPED;
use super::kinds::Kind;
use super::layout::{Layout, optional};
use super::taps;
use crate::orchard::Pruner;

/// What can be entered twice and joined.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Joinable {
    /// A pruner.
    Pruner,
    /// A block.
    Block,
    /// A winter.
    Winter,
}

impl Joinable {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Pruner, Self::Block, Self::Winter];

    /// The word in commands and files.
    pub fn word(self) -> &'static str {
        self.record().word()
    }

    /// The kind of its record.
    pub(super) fn record(self) -> Kind {
        match self {
            Self::Pruner => Kind::Pruner,
            Self::Block => Kind::Block,
            Self::Winter => Kind::Winter,
        }
    }
}

/// What to call a thing that the tables do not have.
const NOT_HERE: &str = "one that is no longer here";

impl Store {
    /// What a record is, such as `count River, row 3, tree 12, 2027-01-12`.
    pub(super) fn what(&self, kind: Kind, key: &str) -> Result<String, StoreError> {
        let mut parts = Vec::new();
        let about = kind.about();
        for (column, part) in about.key.iter().zip(key.split('/')) {
            match *column {
                "id" if about.differs.is_some() => parts.push(self.name_of(kind.word(), part)?),
                "id" | "draw" => {}
                "block" | "pruner" | "winter" if part == "-" => parts.push("all".to_owned()),
                "block" | "pruner" | "winter" => parts.push(self.name_of(column, part)?),
                "key" | "kind" => parts.push(part.to_owned()),
                "gone" => {
                    parts.push(self.name_of(key.split('/').next().unwrap_or_default(), part)?);
                }
                name => parts.push(format!("{name} {part}")),
            }
        }
        if about.counted {
            let there = Layout::read(&self.conn, kind)?.get(&self.conn, key)?;
            for column in ["block", "row", "tree", "first", "last", "day"] {
                if let Some(value) = there.as_ref().and_then(|body| body.get(column)) {
                    parts.push(match column {
                        "block" | "day" => self.value(column, value)?,
                        _ => format!("{column} {}", body::write_part(value)),
                    });
                }
            }
        }
        Ok(format!("{} {}", about.named[0], parts.join(", ")))
    }

    /// The name of a block, pruner or winter as it stands in the tables.
    fn name_of(&self, kind: &str, id: &str) -> Result<String, StoreError> {
        let sql = match kind {
            "block" => "SELECT name FROM block WHERE id = ?1",
            "pruner" => return self.pruner_name(id),
            "winter" => "SELECT label FROM winter WHERE id = ?1",
            _ => return Ok(id.to_owned()),
        };
        let bytes = body::id(id).unwrap_or_default();
        let name: Option<String> = optional(&self.conn, sql, [bytes.as_bytes()])?;
        Ok(name.unwrap_or_else(|| NOT_HERE.to_owned()))
    }

    fn pruner_name(&self, id: &str) -> Result<String, StoreError> {
        let all = self.pruners()?;
        let found = all
            .iter()
            .find(|pruner| pruner.id.0.simple().to_string() == id);
        Ok(found.map_or_else(|| NOT_HERE.to_owned(), Pruner::shown))
    }

    /// Whether a pruner's name is not to be told, also where the entry was joined to another.
    pub(super) fn is_nameless(&self, pruner: Uuid) -> Result<bool, StoreError> {
        let mut find = self.conn.prepare_cached(
            "WITH RECURSIVE stands (id) AS (
                SELECT ?1 UNION SELECT kept FROM joined JOIN stands ON gone = id WHERE kind = 'pruner'
             )
             SELECT 1 FROM pruner JOIN stands USING (id) WHERE number_only = 1",
        )?;
        Ok(self.numbers_only()? || find.exists([pruner.as_bytes()])?)
    }

    fn value(&self, column: &str, value: &Value) -> Result<String, StoreError> {
        match (column, value) {
            (_, Value::Null) => Ok("none".to_owned()),
            ("block" | "pruner" | "winter" | "kept", Value::String(id)) => {
                let kinds = if column == "kept" {
                    vec!["block", "pruner", "winter"]
                } else {
                    vec![column]
                };
                for kind in kinds {
                    let name = self.name_of(kind, id)?;
                    if column != "kept" || name != NOT_HERE {
                        return Ok(name);
                    }
                }
                Ok(id.clone())
            }
            (column, Value::String(typed)) if TYPED.contains(&column) => {
                Ok(self.hidden_names()?.hide(typed).into_owned())
            }
            (_, value) => Ok(body::write_part(value)),
        }
    }
}

/// What a version says where it differs from another: the taps in sum, and each column that differs.
pub(super) fn saying(
    store: &Store,
    (kind, key): (Kind, &str),
    text: &str,
    other: &str,
) -> Result<String, StoreError> {
    if kind == Kind::Name && store.is_nameless(body::id(key).unwrap_or_default())? {
        return Ok("a name, not shown here".to_owned());
    }
    let (body, other) = (body::parse(text)?, body::parse(other)?);
    let mut words = Vec::new();
    if kind == Kind::Count {
        words.push(tapped(&body)?);
    }
    for (column, value) in &body {
        let asked = words_of(column);
        let blank = value.as_str() == Some("");
        // the one that is shown is told whole, but for what is empty
        let told_whole = text == body::text(&other) && !blank && !value.is_null();
        let same = other.get(column) == Some(value) && !told_whole;
        if same || matches!(column.as_str(), "taps" | "units") || asked.is_empty() {
            continue;
        }
        if column == "removed" {
            let out = value.as_i64() == Some(1);
            words.push(if out { "removed" } else { "not removed" }.to_owned());
        } else if other.get(column) != Some(value) || kind != Kind::Count {
            words.push(if blank {
                format!("no {asked}")
            } else {
                format!("{asked} {}", store.value(column, value)?)
            });
        }
    }
    if let Some(units) = body.get("units").and_then(Value::as_array) {
        words.push(format!("{} units", units.len()));
    }
    if words.is_empty() {
        words.push("nothing is filled in".to_owned());
    }
    Ok(words.join("; "))
}

/// A column in words; empty for those that tell people nothing.
fn words_of(column: &str) -> String {
    match column {
        "offset_min" | "at_ms" | "seed" => String::new(),
        other => other.replace('_', " "),
    }
}

fn tapped(body: &Body) -> Result<String, StoreError> {
    let taps = taps::parse(body.get("taps").and_then(Value::as_str).unwrap_or_default())?;
    let of = |age: i64| taps.iter().filter(|(piece, ..)| *piece == age).count();
    let open = body.get("closed").and_then(Value::as_i64) == Some(0);
    Ok(format!(
        "{}: {}/{}/{}/{} pieces of one, two, three, four years, {} units",
        if open { "open" } else { "closed" },
        of(1),
        of(2),
        of(3),
        of(4),
        of(0)
    ))
}
