//! Parts as the sheets put them together.

use crate::report::fit::Align;
use crate::report::paper::{Column, Paper, Part, Sheet, Table};

/// The language of what is said in English.
pub(super) const ENGLISH: &str = "en";

/// A column: its heading, and the side its cells stand at.
pub(super) type Head = (&'static str, Align);

/// A paper in English.
pub(super) fn paper(title: impl Into<String>, sheets: Vec<Sheet>) -> Paper {
    Paper {
        title: title.into(),
        lang: ENGLISH,
        sheets,
    }
}

/// A sheet's head; nothing stands on it yet.
pub(super) fn sheet(orchard: &str, winter: &str, title: String, day: String) -> Sheet {
    let orchard = if orchard.is_empty() {
        "Orchard"
    } else {
        orchard
    };
    Sheet {
        lang: ENGLISH,
        orchard: orchard.to_owned(),
        winter: if winter.is_empty() {
            String::new()
        } else {
            format!("winter {winter}")
        },
        title,
        day,
        parts: Vec::new(),
    }
}

/// A paper that only says why there is nothing.
pub(super) fn nothing(title: &str, why: &str) -> Paper {
    let mut sheet = sheet("", "", title.to_owned(), String::new());
    sheet.para(why);
    paper(title, vec![sheet])
}

/// A table.
pub(super) fn table(caption: impl Into<String>, heads: &[Head], rows: Vec<Vec<String>>) -> Part {
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
