//! Parts as the sheets put them together.

use crate::report::fit::Align;
use crate::report::paper::{Column, Paper, Part, Sheet, Table};
use crate::report::words::{Tongue, sentence};

/// A column: its heading, and the side its cells stand at.
pub(super) type Head<'a> = (&'a str, Align);

/// A paper in the language of its first sheet.
pub(super) fn paper(title: impl Into<String>, sheets: Vec<Sheet>) -> Paper {
    let lang = sheets.first().map_or("en", |sheet| sheet.lang);
    Paper {
        title: title.into(),
        lang,
        sheets,
    }
}

/// A sheet's head in English; nothing stands on it yet.
pub(super) fn sheet(orchard: &str, winter: &str, title: String, day: String) -> Sheet {
    sheet_in(Tongue::english(), orchard, winter, [title, day])
}

/// As [`sheet`], in a language.
pub(super) fn sheet_in(
    words: &Tongue,
    orchard: &str,
    winter: &str,
    [title, day]: [String; 2],
) -> Sheet {
    let orchard = if orchard.is_empty() {
        words.label("orchard-unnamed")
    } else {
        orchard
    };
    let winter = if winter.is_empty() {
        String::new()
    } else {
        words.say("winter-named", [("label", winter.into())])
    };
    Sheet {
        lang: words.language().tag(),
        orchard: orchard.to_owned(),
        winter,
        title,
        day,
        parts: Vec::new(),
    }
}

/// A heading in quiet letters: the words of capitals that it begins with are large where text has no other way to
/// set them apart.
pub(super) fn quiet(heading: &str) -> String {
    let loud = |word: &str| !word.contains(char::is_lowercase);
    let mut words: Vec<String> = Vec::new();
    let mut at_start = true;
    for word in heading.split_whitespace() {
        at_start &= loud(word);
        words.push(if at_start {
            word.to_lowercase()
        } else {
            word.to_owned()
        });
    }
    sentence(&words.join(" "))
}

/// The title of a sheet of somebody or something: the message without the name, then the name as it is.
pub(super) fn titled(words: &Tongue, key: &'static str, what: &'static str, name: &str) -> String {
    format!("{} {name}", quiet(&words.say(key, [(what, "".into())])))
}

/// A paper that only says why there is nothing.
pub(super) fn nothing(title: &str, why: &str) -> Paper {
    let mut sheet = sheet("", "", title.to_owned(), String::new());
    sheet.para(why);
    paper(title, vec![sheet])
}

/// A table.
pub(super) fn table(
    caption: impl Into<String>,
    heads: &[Head<'_>],
    rows: Vec<Vec<String>>,
) -> Part {
    let column = |(title, align): &Head| Column {
        title: (*title).to_owned(),
        align: *align,
    };
    Part::Table(Table {
        caption: caption.into(),
        columns: heads.iter().map(column).collect(),
        rows,
    })
}

/// How parts are put onto a sheet. What has no words is left out.
pub(super) trait Put {
    fn part(&mut self, part: Part);

    fn heading(&mut self, words: &str) {
        self.part(Part::Heading(words.to_owned()));
    }

    fn lead(&mut self, words: impl Into<String>) {
        self.worded(words.into(), Part::Lead);
    }

    fn para(&mut self, words: impl Into<String>) {
        self.worded(words.into(), Part::Para);
    }

    fn note(&mut self, words: impl Into<String>) {
        self.worded(words.into(), Part::Note);
    }

    fn caution(&mut self, words: impl Into<String>) {
        self.worded(words.into(), Part::Caution);
    }

    fn worded(&mut self, words: String, part: fn(String) -> Part) {
        if !words.is_empty() {
            self.part(part(words));
        }
    }

    fn list(&mut self, numbered: bool, items: Vec<String>) {
        if !items.is_empty() {
            self.part(Part::List { numbered, items });
        }
    }
}

impl Put for Sheet {
    fn part(&mut self, part: Part) {
        self.parts.push(part);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::orchard::Language;

    #[test]
    fn capitals_of_headings_become_small_and_those_of_names_stay() {
        assert_eq!(quiet("ROWS TO GO BACK TO"), "Rows to go back to");
        assert_eq!(
            quiet("TO LEAVE for 65 t/ha: ABC"),
            "To leave for 65 t/ha: ABC"
        );
        assert_eq!(quiet("wood"), "Wood");
        let title = |of, name| titled(Tongue::of(of), "brief-title", "block", name);
        assert_eq!(title(Language::En, "RIVER BLOCK"), "Brief RIVER BLOCK");
        assert_eq!(title(Language::Es, "Río"), "Pauta de poda Río");
    }
}
