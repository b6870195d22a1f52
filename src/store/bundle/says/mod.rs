//! What a record says, in the words of the orchard: figures with their units, never as they are stored. Each kind has a
//! list of phrases, and each phrase the columns that it tells; the test walks all kinds and all their columns.

mod counted;
mod crop;
mod labour;
mod orchard;

use serde_json::Value;

use super::super::{Store, StoreError};
use super::body::{self, Body};
use super::kinds::Kind;

/// Words for some columns of a record, told together.
pub(super) struct Phrase {
    /// The columns that they tell.
    pub columns: &'static [&'static str],
    /// Makes them; empty where they tell people nothing.
    pub say: fn(&Told<'_>) -> Result<String, StoreError>,
}

/// Shorthand for a phrase.
const fn phrase(
    columns: &'static [&'static str],
    say: fn(&Told<'_>) -> Result<String, StoreError>,
) -> Phrase {
    Phrase { columns, say }
}

/// A record that is told.
pub(super) struct Told<'a> {
    pub store: &'a Store,
    /// Its key.
    pub key: &'a str,
    /// What it says.
    pub body: &'a Body,
}

impl Told<'_> {
    /// Whether nothing is filled in in any of these columns.
    pub fn is_blank(&self, columns: &[&str]) -> bool {
        columns.iter().all(|column| self.text(column).is_empty())
    }

    /// A value as a text; empty where there is none.
    fn text(&self, column: &str) -> String {
        match self.body.get(column) {
            None | Some(Value::Null) => String::new(),
            Some(value) => body::write_part(value),
        }
    }

    /// A text with words before it, or that there is none.
    fn named(&self, words: &str, column: &str) -> String {
        let text = self.text(column);
        if text.is_empty() {
            format!("no {words}")
        } else {
            format!("{words} {text}")
        }
    }

    /// The same of a text that somebody typed: names that are not to be shown are left out.
    fn typed(&self, words: &str, column: &str) -> Result<String, StoreError> {
        let hidden = self.store.hidden_names()?;
        Ok(hidden.hide(&self.named(words, column)).into_owned())
    }

    fn whole(&self, column: &str) -> i64 {
        let value = self.body.get(column).and_then(Value::as_i64);
        value.unwrap_or_default()
    }

    fn real(&self, column: &str) -> f64 {
        let value = self.body.get(column).and_then(Value::as_f64);
        value.unwrap_or_default()
    }

    fn is(&self, column: &str) -> bool {
        self.whole(column) == 1
    }

    /// A share as per cent.
    fn percent(&self, column: &str) -> String {
        percent(self.real(column))
    }

    /// The block, pruner or winter that a column names.
    fn name(&self, column: &str) -> Result<String, StoreError> {
        self.store.name_of(column, &self.text(column))
    }

    /// A part of its key.
    fn part(&self, place: usize) -> &str {
        self.key.split('/').nth(place).unwrap_or_default()
    }
}

/// A share as per cent, without needless decimals.
fn percent(share: f64) -> String {
    format!("{} %", (share * 1e6).round() / 1e4)
}

/// A number of things.
fn many(n: i64, one: &str, more: &str) -> String {
    format!("{n} {}", if n == 1 { one } else { more })
}

/// The phrases of a kind.
pub(super) fn phrases(kind: Kind) -> &'static [Phrase] {
    match kind {
        Kind::Joined => orchard::JOINED,
        Kind::Setting => orchard::SETTING,
        Kind::Block => orchard::BLOCK,
        Kind::Row => orchard::ROW,
        Kind::Missing | Kind::NameRemoved => &[],
        Kind::Pruner => orchard::PRUNER,
        Kind::Name => orchard::NAME,
        Kind::Winter => orchard::WINTER,
        Kind::Budburst => orchard::BUDBURST,
        Kind::Rule => orchard::RULE,
        Kind::LostDays => labour::LOST_DAYS,
        Kind::Week => labour::WEEK,
        Kind::Stint => labour::STINT,
        Kind::Pay | Kind::SpecialPay => labour::PAY,
        Kind::Mark => counted::MARK,
        Kind::Aim => crop::AIM,
        Kind::Factor => crop::FACTOR,
        Kind::Growth => crop::GROWTH,
        Kind::Units => crop::UNITS,
        Kind::Harvest => crop::HARVEST,
        Kind::Work => counted::WORK,
        Kind::Count => counted::COUNT,
        Kind::Draw => counted::DRAW,
        Kind::Drawn => counted::DRAWN,
        Kind::GoBack => counted::GO_BACK,
    }
}

pub(super) use crop::factor_word;
pub(super) use orchard::setting_word;

#[cfg(test)]
mod tests;
