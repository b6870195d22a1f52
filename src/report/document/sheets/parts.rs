//! Parts as the sheets put them together.

use crate::report::document::{Column, Document, Part, Sheet, Table};
use crate::report::fit::Align;
use crate::report::words::Tongue;

/// A column: its heading, and the side its cells stand at.
pub(super) type Head<'a> = (&'a str, Align);

/// A paper in the language of its first sheet.
pub(super) fn paper(title: impl Into<String>, sheets: Vec<Sheet>) -> Document {
    let lang = sheets.first().map_or("en", |sheet| sheet.lang);
    Document {
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

/// A paper that only says why there is nothing.
pub(super) fn nothing(title: &str, why: &str) -> Document {
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
