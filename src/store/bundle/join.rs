//! Twins: one pruner, block or winter that was entered on two tablets.

use std::collections::BTreeMap;

use rusqlite::params;
use serde_json::Value;
use uuid::Uuid;

use super::super::{Store, StoreError};
use super::Edits;
use super::body;
use super::kinds::Kind;
use super::versions;
use super::words::Joinable;

/// One of a group of twins.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Twin {
    /// Its identity.
    pub id: Uuid,
    /// The number or name it goes by until a person joins it or gives it another.
    pub goes_by: String,
    /// More to tell it by: a pruner's name or else label, a block's variety, a winter's first day; may be empty, as typed.
    pub more: String,
}

/// Several with the same number or name.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Twins {
    /// What they are.
    pub kind: Joinable,
    /// The number or name that all of them were given.
    pub given: String,
    /// They, the one that kept it first.
    pub all: Vec<Twin>,
}

/// An entry that stands for another one too.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Joined {
    /// What they are.
    pub kind: Joinable,
    /// The one that is gone.
    pub gone: Uuid,
    /// The number or name that it was given, where that is still known; a pruner's name or label behind the number.
    pub gone_as: Option<String>,
    /// The same of the one that stands for both.
    pub kept_as: Option<String>,
}

impl Joined {
    /// In words, such as `pruner 12 Ana is 3 Anna`; names are in it as typed.
    pub fn words(&self) -> String {
        let of = |name: &Option<String>| name.clone().unwrap_or_else(|| "(unknown)".to_owned());
        format!(
            "{} {} is {}",
            self.kind.word(),
            of(&self.gone_as),
            of(&self.kept_as)
        )
    }
}

/// A number with a name behind it, where there is one.
fn behind(number: String, name: &str) -> String {
    if name.is_empty() {
        number
    } else {
        format!("{number} {name}")
    }
}

impl Store {
    /// All groups of twins, by kind and by the number or name they were given.
    pub fn twins(&self) -> Result<Vec<Twins>, StoreError> {
        let history = super::History::load(&self.conn)?;
        let mut groups: Vec<Twins> = Vec::new();
        for (kind, column) in Kind::twins() {
            let mut places = BTreeMap::new();
            let mut find = self.conn.prepare_cached(
                "SELECT key, body FROM shown WHERE kind = ?1 AND body IS NOT NULL ORDER BY key",
            )?;
            let mut rows = find.query([kind])?;
            while let Some(row) = rows.next()? {
                let (key, shown): (String, String) = (row.get(0)?, row.get(1)?);
                let all = versions::of(&self.conn, kind, &key)?;
                let given = versions::winner(&history, &all)
                    .map(|version| body::parse(&version.body))
                    .transpose()?;
                let given = given.as_ref().and_then(|body| body.get(column));
                let shown = body::parse(&shown)?;
                let Some(given) = given.filter(|given| shown.get(column) != Some(given)) else {
                    continue;
                };
                self.add_twin(&mut groups, &mut places, (kind, column), given, &key)?;
            }
        }
        Ok(groups)
    }

    fn add_twin(
        &self,
        groups: &mut Vec<Twins>,
        places: &mut BTreeMap<String, usize>,
        (record, column): (Kind, &str),
        given: &Value,
        key: &str,
    ) -> Result<(), StoreError> {
        let kind = Joinable::ALL
            .into_iter()
            .find(|kind| kind.record() == record);
        let (Some(kind), Some(id)) = (kind, body::id(key)) else {
            return Ok(());
        };
        let text = body::write_part(given);
        let group = if let Some(group) = places.get(&text) {
            *group
        } else {
            places.insert(text.clone(), groups.len());
            let sql = format!(
                "SELECT id FROM {} WHERE {column} = ?1",
                record.about().table
            );
            let keeper: Option<[u8; 16]> = match given.as_i64() {
                Some(number) => super::layout::optional(&self.conn, &sql, [number])?,
                None => super::layout::optional(&self.conn, &sql, [text.as_str()])?,
            };
            let keeper = keeper.map(Uuid::from_bytes);
            let all = keeper
                .map(|id| self.twin(kind, id))
                .transpose()?
                .flatten()
                .into_iter()
                .collect();
            groups.push(Twins {
                kind,
                given: text,
                all,
            });
            groups.len() - 1
        };
        groups[group].all.extend(self.twin(kind, id)?);
        Ok(())
    }

    fn twin(&self, kind: Joinable, id: Uuid) -> Result<Option<Twin>, StoreError> {
        let (by, more) = match kind {
            Joinable::Pruner if self.is_nameless(id)? => ("number", "''"),
            Joinable::Pruner => (
                "number",
                "coalesce((SELECT CASE name WHEN '' THEN label ELSE name END FROM pruner_name WHERE pruner = id), '')",
            ),
            Joinable::Block => ("name", "variety"),
            Joinable::Winter => ("label", "start"),
        };
        let sql = format!(
            "SELECT CAST({by} AS TEXT), {more} FROM {} WHERE id = ?1",
            kind.word()
        );
        let mut find = self.conn.prepare_cached(&sql)?;
        let mut rows = find.query([id.as_bytes()])?;
        let Some(row) = rows.next()? else {
            return Ok(None);
        };
        Ok(Some(Twin {
            id,
            goes_by: row.get(0)?,
            more: row.get(1)?,
        }))
    }

    /// Makes two entries one: everything that named `gone` names `kept` from now on, here and, by the next bundle,
    /// everywhere, whatever the other tablets still enter under `gone`. What there is once (pay, stay, rule, aim, a
    /// factor, a harvest) is that of `kept` where both have it; so is a row, lengthened to the last place that work or
    /// counts name.
    /// [`Store::part`] undoes it.
    pub fn join(&self, kind: Joinable, gone: Uuid, kept: Uuid) -> Result<(), StoreError> {
        if gone == kept {
            return Err(StoreError::Taken("these two are one already".to_owned()));
        }
        self.atomically(|store| {
            store.gather(|_| Ok(Edits::new()))?;
            for id in [gone, kept] {
                store.twin(kind, id)?.ok_or(StoreError::Gone(kind.word()))?;
            }
            store.conn.execute(
                "INSERT INTO joined (kind, gone, kept) VALUES (?1, ?2, ?3)
                 ON CONFLICT (kind, gone) DO UPDATE SET kept = ?3",
                params![kind.word(), gone.as_bytes(), kept.as_bytes()],
            )?;
            store.gather(|_| Ok(Edits::new()))?;
            store.verify()
        })
    }

    /// Joined entries, by kind.
    pub fn joined(&self) -> Result<Vec<Joined>, StoreError> {
        let history = super::History::load(&self.conn)?;
        let mut find = self
            .conn
            .prepare_cached("SELECT kind, gone, kept FROM joined ORDER BY kind, gone")?;
        super::super::rows::all(find.query([])?, |row| {
            let word: String = row.get(0)?;
            let kind = Joinable::ALL.into_iter().find(|kind| kind.word() == word);
            let kind = kind.ok_or(StoreError::Gone("joined entry"))?;
            let (gone, kept) = (
                super::super::rows::id(row, 1)?,
                super::super::rows::id(row, 2)?,
            );
            let gone_as = match self.given(&history, kind, gone)? {
                Some(given) => Some(behind(given, &self.name_given(&history, kind, gone)?)),
                None => None,
            };
            let kept_as = self.twin(kind, kept)?.map(|twin| match kind {
                Joinable::Pruner => behind(twin.goes_by, &twin.more),
                Joinable::Block | Joinable::Winter => twin.goes_by,
            });
            Ok(Joined {
                kind,
                gone,
                gone_as,
                kept_as,
            })
        })
    }

    /// The name, or else the label, that a pruner was given who stands in no table any more; empty where it is not to
    /// be told.
    fn name_given(
        &self,
        history: &super::History,
        kind: Joinable,
        id: Uuid,
    ) -> Result<String, StoreError> {
        if kind != Joinable::Pruner || self.is_nameless(id)? {
            return Ok(String::new());
        }
        let key = id.simple().to_string();
        let said = |kind: Kind| {
            let all = versions::of(&self.conn, kind, &key)?;
            let shown = versions::winner(history, &all).filter(|version| !version.removed);
            shown.map(|version| body::parse(&version.body)).transpose()
        };
        let (Some(pruner), Some(name)) = (said(Kind::Pruner)?, said(Kind::Name)?) else {
            return Ok(String::new());
        };
        let by_number = pruner.get("number_only").and_then(Value::as_i64) == Some(1);
        let texts = ["name", "label"].map(|column| name.get(column).and_then(Value::as_str));
        let mut texts = texts.into_iter().flatten();
        let told = texts.find(|text| !by_number && !text.is_empty());
        Ok(told.unwrap_or_default().to_owned())
    }

    /// The number or name that an entry was given, though it stands in no table any more.
    fn given(
        &self,
        history: &super::History,
        kind: Joinable,
        id: Uuid,
    ) -> Result<Option<String>, StoreError> {
        let all = versions::of(&self.conn, kind.record(), &id.simple().to_string())?;
        let Some(version) = versions::winner(history, &all) else {
            return Ok(None);
        };
        let column = kind.record().about().differs;
        let body = body::parse(&version.body)?;
        Ok(column
            .and_then(|column| body.get(column))
            .map(body::write_part))
    }

    /// Undoes [`Store::join`]: what was entered under `gone` stands under it again.
    pub fn part(&self, kind: Joinable, gone: Uuid) -> Result<(), StoreError> {
        self.atomically(|store| {
            store.gather(|_| Ok(Edits::new()))?;
            let sql = "DELETE FROM joined WHERE kind = ?1 AND gone = ?2";
            let key = params![kind.word(), gone.as_bytes()];
            store.change("joined entry", sql, key)?;
            store.gather(|_| Ok(Edits::new()))?;
            store.verify()
        })
    }
}
