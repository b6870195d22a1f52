//! Records in words, for lists of conflicts and reports of what came in.

use uuid::Uuid;

use super::super::{Store, StoreError};
use super::body::{self, Body};
use super::kinds::Kind;
use super::layout::optional;
use super::says::{self, Told};
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
pub(super) const NOT_HERE: &str = "one that is no longer here";

impl Store {
    /// What a record is, such as `count River, row 3, tree 12, 2027-01-12`: by its key, and where that tells people
    /// nothing, by what it says.
    pub(super) fn what(&self, kind: Kind, key: &str, body: &Body) -> Result<String, StoreError> {
        let mut parts = Vec::new();
        let about = kind.about();
        for (column, part) in about.key.iter().zip(key.split('/')) {
            match *column {
                "id" if about.differs.is_some() => parts.push(self.name_of(kind.word(), part)?),
                // its place in the list of its draw
                "id" | "draw" | "place" if kind != Kind::Missing => {}
                "block" | "pruner" | "winter" if part == "-" => parts.push("all".to_owned()),
                "block" | "pruner" | "winter" => parts.push(self.name_of(column, part)?),
                "key" => parts.push(says::setting_word(part).to_owned()),
                "kind" if kind == Kind::Factor => parts.push(says::factor_word(part).to_owned()),
                "kind" => parts.push(part.to_owned()),
                "gone" => {
                    parts.push(self.name_of(key.split('/').next().unwrap_or_default(), part)?);
                }
                "number" => parts.push(format!("row {part}")),
                name => parts.push(format!("{name} {part}")),
            }
        }
        if about.counted || kind == Kind::LostDays {
            parts.extend(self.where_and_when(body)?);
        }
        Ok(format!("{} {}", about.named[0], parts.join(", ")))
    }

    /// Where something was done, and when.
    fn where_and_when(&self, body: &Body) -> Result<Vec<String>, StoreError> {
        let mut parts = Vec::new();
        let text = |column: &str| {
            let value = body.get(column).filter(|value| !value.is_null());
            value.map(body::write_part)
        };
        if let Some(block) = text("block") {
            parts.push(self.name_of("block", &block)?);
        }
        parts.extend(["row", "tree"].into_iter().filter_map(|column| {
            let number = text(column)?;
            Some(format!("{column} {number}"))
        }));
        parts.extend(text("first").zip(text("last")).map(|(first, last)| {
            let trees = if body.contains_key("row") {
                "trees "
            } else {
                ""
            };
            format!("{trees}{first} to {last}")
        }));
        parts.extend(text("day"));
        Ok(parts)
    }

    /// The name of a block, pruner or winter as it stands in the tables.
    pub(super) fn name_of(&self, kind: &str, id: &str) -> Result<String, StoreError> {
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
}

/// What a version says, in words: all of the one that is shown, of the rest what differs from any other. Of a count,
/// which has much, what differs and its taps.
pub(super) fn saying(
    store: &Store,
    (kind, key): (Kind, &str),
    text: &str,
    (others, shown): (&[&str], bool),
) -> Result<String, StoreError> {
    if kind == Kind::Name && store.is_nameless(body::id(key).unwrap_or_default())? {
        return Ok("a name, not shown here".to_owned());
    }
    let body = body::parse(text)?;
    let others = others.iter().map(|other| body::parse(other));
    let others: Vec<Body> = others.collect::<Result<_, _>>()?;
    let told = |body| Told { store, key, body };
    let mut words = Vec::new();
    for phrase in says::phrases(kind) {
        let this = (phrase.say)(&told(&body))?;
        let mut differs = false;
        for other in &others {
            differs |= (phrase.say)(&told(other))? != this;
        }
        let whole = if kind == Kind::Count {
            phrase.columns.contains(&"taps")
        } else {
            shown && !told(&body).is_blank(phrase.columns)
        };
        if (differs || whole) && !this.is_empty() {
            words.push(this);
        }
    }
    if words.is_empty() {
        words.push("the same but for what is not told here".to_owned());
    }
    Ok(words.join("; "))
}
