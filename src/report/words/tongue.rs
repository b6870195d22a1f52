//! A language of the sheets: its messages, its numbers, its days.

use std::collections::HashMap;
use std::sync::LazyLock;

use chrono::{Datelike, NaiveDate};
use fluent_bundle::concurrent::FluentBundle;
use fluent_bundle::{FluentArgs, FluentResource, FluentValue};
use unic_langid::LanguageIdentifier;

use crate::orchard::Language;
use crate::report::fit;

static ENGLISH: LazyLock<Tongue> = LazyLock::new(|| {
    let messages = include_str!("../../../assets/lang/en.ftl");
    Tongue::new(Language::En, messages)
});
static SPANISH: LazyLock<Tongue> = LazyLock::new(|| {
    let messages = include_str!("../../../assets/lang/es.ftl");
    Tongue::new(Language::Es, messages)
});

const WEEKDAYS: [&str; 7] = [
    "weekday-1",
    "weekday-2",
    "weekday-3",
    "weekday-4",
    "weekday-5",
    "weekday-6",
    "weekday-7",
];
const MONTHS: [&str; 12] = [
    "month-1", "month-2", "month-3", "month-4", "month-5", "month-6", "month-7", "month-8",
    "month-9", "month-10", "month-11", "month-12",
];

/// A language that sheets are written in: headings by [`Tongue::label`], sentences by the functions that take a
/// sheet's data. Made once for each language, at its first use; a message takes a microsecond or two.
///
/// What users typed goes into sentences as it is: it is made safe where a sheet is printed.
pub struct Tongue {
    language: Language,
    bundle: FluentBundle<FluentResource>,
    /// Messages that take no data, ready to be shown.
    labels: HashMap<String, String>,
}

impl Tongue {
    /// The words of a language.
    pub fn of(language: Language) -> &'static Self {
        match language {
            Language::En => &ENGLISH,
            Language::Es => &SPANISH,
        }
    }

    /// The words of the screens.
    pub fn english() -> &'static Self {
        &ENGLISH
    }

    /// A message that cannot be read is left out, and so is a tag: tests see to it that there is none such.
    fn new(language: Language, messages: &str) -> Self {
        let resource = match FluentResource::try_new(messages.to_owned()) {
            Ok(all) | Err((all, _)) => all,
        };
        let tag: LanguageIdentifier = language.tag().parse().unwrap_or_default();
        let mut bundle = FluentBundle::new_concurrent(vec![tag]);
        bundle.set_use_isolating(false);
        bundle.add_resource_overriding(resource);
        let labels = labels(&bundle, messages);
        Self {
            language,
            bundle,
            labels,
        }
    }

    /// Which language it is.
    pub fn language(&self) -> Language {
        self.language
    }

    /// A heading, a column title or a name: a message that takes no data. Keys stand in `assets/lang`.
    pub fn label(&self, key: &'static str) -> &str {
        let found = self.labels.get(key);
        debug_assert!(found.is_some(), "no label {key}");
        found.map_or(key, String::as_str)
    }

    /// A message with its data.
    pub fn say<'a, const N: usize>(
        &self,
        key: &'static str,
        given: [(&'static str, FluentValue<'a>); N],
    ) -> String {
        let message = self.bundle.get_message(key);
        let Some(pattern) = message.and_then(|message| message.value()) else {
            debug_assert!(false, "no message {key}");
            return key.to_owned();
        };
        let given: FluentArgs<'a> = given.into_iter().collect();
        let mut wrong = Vec::new();
        let said = (self.bundle).format_pattern(pattern, Some(&given), &mut wrong);
        debug_assert!(wrong.is_empty(), "{key}: {wrong:?}");
        said.into_owned()
    }

    /// A number with so many decimals.
    pub fn decimal(&self, value: f64, places: usize) -> String {
        fit::decimal(value, places, self.decimal_sign())
    }

    /// A number with all its decimals.
    pub fn number(&self, value: f64) -> String {
        fit::with_sign(value.to_string(), self.decimal_sign())
    }

    /// A number with as many decimals as it deserves: `195`, `32.5`, `0.60`.
    pub fn figure(&self, value: f64) -> String {
        self.decimal(value, fit::places(value))
    }

    /// What parts whole numbers from decimals.
    pub fn decimal_sign(&self) -> char {
        match self.language {
            Language::En => '.',
            Language::Es => ',',
        }
    }

    /// A share as a whole percentage, such as `33 %`; `-` where there is none.
    pub fn percent(&self, share: f64) -> String {
        if share.is_finite() {
            self.say("percent", [("n", whole(share).into())])
        } else {
            "-".to_owned()
        }
    }

    /// From one number to another: `160 to 240`.
    pub fn range(&self, lo: &str, hi: &str) -> String {
        self.say("range-to", [("lo", lo.into()), ("hi", hi.into())])
    }

    /// A day with its name: `Tuesday 2027-01-12`, `martes 12 de enero, 2027-01-12`.
    pub fn day(&self, day: NaiveDate) -> String {
        let weekday = WEEKDAYS[day.weekday().num_days_from_monday() as usize];
        let month = MONTHS[day.month0() as usize];
        self.say(
            "day-named",
            [
                ("weekday", self.label(weekday).into()),
                ("day", day.day().to_string().into()),
                ("month", self.label(month).into()),
                ("iso", day.to_string().into()),
            ],
        )
    }

    /// Names in a row: `a`, `a and b`, `a, b and c`; empty for none.
    pub fn list<S: AsRef<str>>(&self, names: &[S]) -> String {
        match names {
            [] => String::new(),
            [one] => one.as_ref().to_owned(),
            [first @ .., last] => {
                let first: Vec<_> = first.iter().map(AsRef::as_ref).collect();
                let last = last.as_ref();
                let sound = if sounds_like_i(last) { "i" } else { "other" };
                self.say(
                    "list-last",
                    [
                        ("first", first.join(", ").into()),
                        ("last", last.into()),
                        ("sound", sound.into()),
                    ],
                )
            }
        }
    }

    /// Numbers with their names in a row, told apart where a decimal sign is a comma.
    pub(super) fn numbers(&self, numbers: &[String]) -> String {
        numbers.join(self.label("list-numbers"))
    }

    /// The usual cautions.
    pub fn cautions(&self) -> [&str; 2] {
        ["caution-ladders", "caution-wounds"].map(|key| self.label(key))
    }
}

/// A share in percent, without the sign.
pub(super) fn whole(share: f64) -> String {
    format!("{:.0}", share * 100.0)
}

/// A sentence's first letter made large.
pub fn sentence(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

/// Whether a word begins with the vowel of i, before which a Spanish y becomes e; hie- and ia- do not.
fn sounds_like_i(word: &str) -> bool {
    let word = word.to_lowercase();
    let rest = word.strip_prefix('h').unwrap_or(&word);
    let mut letters = rest.chars();
    matches!(letters.next(), Some('i' | 'í'))
        && !matches!(letters.next(), Some('a' | 'e' | 'o' | 'á' | 'é' | 'ó'))
}

/// The messages that need no data, by key.
fn labels(bundle: &FluentBundle<FluentResource>, messages: &str) -> HashMap<String, String> {
    let keys = messages
        .lines()
        .filter_map(|line| line.split_once(" =").map(|(key, _)| key))
        .filter(|key| !key.starts_with(['#', ' ']));
    let mut labels = HashMap::new();
    for key in keys {
        let message = bundle.get_message(key);
        let Some(pattern) = message.and_then(|message| message.value()) else {
            continue;
        };
        let mut lacking = Vec::new();
        let said = bundle.format_pattern(pattern, None, &mut lacking);
        if lacking.is_empty() {
            labels.insert(key.to_owned(), said.into_owned());
        }
    }
    labels
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_have_the_sign_of_the_language() {
        let (english, spanish) = (Tongue::english(), Tongue::of(Language::Es));
        assert_eq!(english.figure(32.46), "32.5");
        assert_eq!(spanish.figure(32.46), "32,5");
        assert_eq!(spanish.figure(0.6), "0,60");
        assert_eq!(spanish.number(4.25), "4,25");
        assert_eq!(spanish.figure(1667.0), "1667");
        for tongue in [english, spanish] {
            assert_eq!(tongue.percent(0.334), "33 %");
            assert_eq!(tongue.percent(f64::NAN), "-");
        }
    }

    #[test]
    fn days_are_named() {
        let named = |language, (year, month, day)| {
            let day = NaiveDate::from_ymd_opt(year, month, day).unwrap_or_default();
            Tongue::of(language).day(day)
        };
        assert_eq!(named(Language::En, (2027, 1, 12)), "Tuesday 2027-01-12");
        assert_eq!(
            named(Language::Es, (2027, 1, 12)),
            "martes 12 de enero, 2027-01-12"
        );
        let longest = named(Language::Es, (2026, 9, 30));
        assert_eq!(longest, "miércoles 30 de septiembre, 2026-09-30");
        assert!(longest.chars().count() <= 40, "half a page");
    }

    #[test]
    fn lists_in_both_languages() {
        let (english, spanish) = (Tongue::english(), Tongue::of(Language::Es));
        assert_eq!(english.list::<&str>(&[]), "");
        assert_eq!(english.list(&["a"]), "a");
        assert_eq!(english.list(&["a", "b", "c"]), "a, b and c");
        assert_eq!(spanish.list(&["Río", "Loma", "Norte"]), "Río, Loma y Norte");
        assert_eq!(spanish.list(&["Río", "Isla"]), "Río e Isla");
        assert_eq!(spanish.list(&["Río", "Higueras"]), "Río e Higueras");
        assert_eq!(spanish.list(&["Río", "Hierro"]), "Río y Hierro");
    }

    #[test]
    fn sentences_begin_large() {
        assert_eq!(sentence("élan"), "Élan");
        assert_eq!(sentence(""), "");
    }

    #[test]
    fn what_a_user_typed_is_taken_as_text() {
        let typed = "{ $n } -term { trees }";
        let said = Tongue::english().list(&["a", typed]);
        assert_eq!(said, format!("a and {typed}"));
    }
}
