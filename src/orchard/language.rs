//! The language of a sheet: that of the pruner who gets it.

use schemars::JsonSchema;
use serde::Serialize;

use super::Invalid;
use super::limits::MAX_TAG;

/// A language that sheets are written in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, Serialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Language {
    /// English.
    #[default]
    En,
    /// Spanish.
    Es,
}

impl Language {
    /// All languages.
    pub const ALL: [Self; 2] = [Self::En, Self::Es];

    /// The language's own name.
    pub fn word(self) -> &'static str {
        match self {
            Self::En => "English",
            Self::Es => "Español",
        }
    }

    /// The tag (BCP 47), as files hold it.
    pub fn tag(self) -> &'static str {
        match self {
            Self::En => "en",
            Self::Es => "es",
        }
    }

    /// The language of a tag: `es` and `es-MX` are both Spanish. None where sheets are not written in it.
    pub fn of_tag(tag: &str) -> Option<Self> {
        let first = tag.trim().split('-').next().unwrap_or_default();
        Self::ALL
            .into_iter()
            .find(|known| known.tag().eq_ignore_ascii_case(first))
    }

    /// Reads a tag of a language that sheets are written in.
    pub fn parse(field: &'static str, raw: &str) -> Result<Self, Invalid> {
        Self::of_tag(raw).ok_or_else(|| {
            let known = Self::ALL.map(|known| format!("{} ({})", known.tag(), known.word()));
            Invalid::new(
                field,
                format!(
                    "{raw:?} is no language of the sheets; they are written in {}",
                    known.join(" and ")
                ),
            )
        })
    }
}

/// A language tag as it is kept: empty, or of the form of one (a language of two or three letters, then parts of up to
/// eight letters and digits). The language need not be one that sheets are written in: another version may have it.
pub fn language_tag(field: &'static str, raw: &str) -> Result<String, Invalid> {
    let tag = raw.trim();
    let part = |part: &str| {
        (1..=8).contains(&part.len()) && part.bytes().all(|b| b.is_ascii_alphanumeric())
    };
    let first = tag.split('-').next().unwrap_or_default();
    let language = (2..=3).contains(&first.len()) && first.bytes().all(|b| b.is_ascii_alphabetic());
    if tag.is_empty() || (tag.len() <= MAX_TAG && language && tag.split('-').all(part)) {
        Ok(tag.to_owned())
    } else {
        Err(Invalid::new(
            field,
            format!("{raw:?} is no language tag such as en, es or es-MX; empty: the orchard's"),
        ))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tags_are_read_with_their_regions() {
        for language in Language::ALL {
            assert_eq!(Language::parse("language", language.tag()), Ok(language));
        }
        assert_eq!(Language::of_tag("es-419"), Some(Language::Es));
        assert_eq!(Language::of_tag(" ES "), Some(Language::Es));
        assert_eq!(Language::of_tag("est"), None, "Estonian is not Spanish");
        let wrong = Language::parse("language", "fr").unwrap_err().to_string();
        assert!(
            wrong.contains("\"fr\"") && wrong.contains("es (Español)"),
            "{wrong}"
        );
    }

    #[test]
    fn a_tag_is_kept_as_it_is_written() {
        for tag in ["", "fr", "es-MX", "zh-Hant-TW"] {
            assert_eq!(language_tag("language", tag).unwrap(), tag);
        }
        let long = format!("en{}", "-abcdefgh".repeat(4));
        for wrong in [
            "e",
            "spanish",
            "español",
            "es_MX",
            "es--MX",
            "es-",
            "\u{1b}[2J",
            &long,
        ] {
            assert!(language_tag("language", wrong).is_err(), "{wrong}");
        }
    }
}
