//! Settings of this tablet and this orchard.

use rusqlite::OptionalExtension;

use super::{Store, StoreError};
use crate::orchard::{Invalid, Language, language_tag, optional_name};
use crate::outlook::pace::Currency;

/// The value of [`Setting::Names`] that leaves names out.
pub const NUMBERS_ONLY: &str = "numbers only";
/// The value of [`Setting::Names`] that shows them.
pub const NAMES_SHOWN: &str = "shown";

/// The value of [`Setting::DrawnTrees`] that has them counted whole.
pub const WHOLE_TREES: &str = "whole";
/// The value that has leaders and pieces of them drawn.
pub const IN_PART: &str = "in part";

/// What can be set.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Setting {
    /// The orchard's name, shown on sheets.
    Orchard,
    /// Who counts on this tablet.
    Counter,
    /// Keyboard layout of the bud field.
    Keyboard,
    /// Theme of the screens.
    Theme,
    /// Whether upright wood and thick wood in the top are counted too: `yes` or `no`.
    Extras,
    /// The orchard's currency, such as `EUR 2`: its code and its decimals.
    Currency,
    /// Language of the orchard's sheets, as a tag such as `es`; English where it is not set.
    SheetLanguage,
    /// Whether pruners are shown by name too: `shown`, or `numbers only`.
    Names,
    /// How much of a drawn tree is counted: `in part`, by lot, or `whole`.
    DrawnTrees,
    /// Whether the last piece that was drawn closes the tree: `yes` or `no`.
    ClosesItself,
}

impl Setting {
    /// All settings.
    pub const ALL: [Self; 10] = [
        Self::Orchard,
        Self::Counter,
        Self::Keyboard,
        Self::Theme,
        Self::Extras,
        Self::Currency,
        Self::SheetLanguage,
        Self::Names,
        Self::DrawnTrees,
        Self::ClosesItself,
    ];

    /// Whether it is the orchard's, and so carried to its other tablets; the rest is of this tablet alone.
    pub fn of_orchard(self) -> bool {
        match self {
            Self::Orchard
            | Self::Extras
            | Self::Currency
            | Self::SheetLanguage
            | Self::Names
            | Self::DrawnTrees => true,
            Self::Counter | Self::Keyboard | Self::Theme | Self::ClosesItself => false,
        }
    }

    /// Whether somebody could have set it so.
    ///
    /// # Errors
    /// What is wrong with the value.
    pub fn check(self, value: &str) -> Result<(), Invalid> {
        let one_of = |words: [&str; 2]| {
            let known = words.contains(&value).then_some(());
            known.ok_or_else(|| {
                Invalid::new("value", format!("is neither {} nor {}", words[0], words[1]))
            })
        };
        match self {
            Self::Extras | Self::ClosesItself => one_of(["yes", "no"]),
            Self::DrawnTrees => one_of([IN_PART, WHOLE_TREES]),
            Self::Names => one_of([NAMES_SHOWN, NUMBERS_ONLY]),
            Self::Currency => Currency::parse(value).map(drop),
            // also one that a later version writes sheets in
            Self::SheetLanguage => language_tag("value", value).map(drop),
            Self::Orchard | Self::Counter | Self::Keyboard | Self::Theme => {
                optional_name("value", value).map(drop)
            }
        }
    }

    /// The setting with this key.
    pub fn parse(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|setting| setting.key() == key)
    }

    /// The key in the file.
    pub fn key(self) -> &'static str {
        match self {
            Self::Orchard => "orchard",
            Self::Counter => "counter",
            Self::Keyboard => "keyboard",
            Self::Theme => "theme",
            Self::Extras => "extras",
            Self::Currency => "currency",
            Self::SheetLanguage => "sheet language",
            Self::Names => "names",
            Self::DrawnTrees => "drawn trees",
            Self::ClosesItself => "closes itself",
        }
    }
}

impl Store {
    /// The value of a setting, if it was ever set.
    pub fn setting(&self, setting: Setting) -> Result<Option<String>, StoreError> {
        let mut find = self
            .conn
            .prepare_cached("SELECT value FROM setting WHERE key = ?1")?;
        let value: Option<String> = find
            .query_row([setting.key()], |row| row.get(0))
            .optional()?;
        match (setting, value) {
            (Setting::Counter, Some(counter)) => {
                Ok(Some(self.hidden_names()?.hide(&counter).into_owned()))
            }
            (_, value) => Ok(value),
        }
    }

    /// Language of the orchard's sheets. English where none is set, or one that sheets are not written in.
    pub fn sheet_language(&self) -> Result<Language, StoreError> {
        let tag = self.setting(Setting::SheetLanguage)?.unwrap_or_default();
        Ok(Language::of_tag(&tag).unwrap_or_default())
    }

    /// Sets a setting.
    pub fn set(&self, setting: Setting, value: &str) -> Result<(), StoreError> {
        self.atomically(|store| {
            store.conn.execute(
                "INSERT INTO setting (key, value) VALUES (?1, ?2) ON CONFLICT DO UPDATE SET value = ?2",
                [setting.key(), value],
            )?;
            Ok(())
        })
    }
}
