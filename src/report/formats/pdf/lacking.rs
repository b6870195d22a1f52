//! What a paper's pages cannot show: words with letters that the faces lack.

use std::collections::BTreeSet;

use super::PdfError;
use super::font::Faces;
use crate::report::document::{Document, Part, Sheet};
use crate::report::fit::safe;

/// The most words that are named.
const NAMED: usize = 5;

/// A sentence that names the words whose letters the faces lack; none where the pages show all of the paper.
///
/// # Errors
/// [`PdfError::Letters`].
pub fn caution(paper: &Document) -> Result<Option<String>, PdfError> {
    let faces = Faces::open()?;
    let mut found = BTreeSet::new();
    for sheet in &paper.sheets {
        for text in texts(sheet) {
            lacking(&faces, text, &mut found);
        }
    }
    let more = found.len().saturating_sub(NAMED);
    let named: Vec<String> = found.into_iter().take(NAMED).collect();
    Ok((!named.is_empty()).then(|| {
        let more = if more > 0 {
            format!(" and {more} more")
        } else {
            String::new()
        };
        let named = named.join(", ");
        format!("PDF lacks letters of {named}{more}: it shows \u{fffd} there; html shows them all")
    }))
}

fn texts(sheet: &Sheet) -> Vec<&str> {
    let mut all: Vec<&str> = vec![&sheet.orchard, &sheet.winter, &sheet.title, &sheet.day];
    for part in &sheet.parts {
        match part {
            Part::Heading(text)
            | Part::Lead(text)
            | Part::Para(text)
            | Part::Note(text)
            | Part::Caution(text) => all.push(text),
            Part::List { items, .. } => all.extend(items.iter().map(String::as_str)),
            Part::Table(table) => {
                all.push(&table.caption);
                all.extend(table.columns.iter().map(|column| column.title.as_str()));
                all.extend(table.rows.iter().flatten().map(String::as_str));
            }
            // what a picture names stands in words or in a table as well
            Part::Picture(picture) => all.extend([picture.title.as_str(), &picture.text]),
        }
    }
    all
}

/// Adds the words that lack a letter; those that stand side by side are one name.
fn lacking(faces: &Faces, text: &str, found: &mut BTreeSet<String>) {
    let text = safe(text);
    let mut name = String::new();
    for word in text.split_whitespace() {
        if word.chars().all(|letter| faces.have(letter)) {
            found.extend(Some(std::mem::take(&mut name)).filter(|name| !name.is_empty()));
            continue;
        }
        if !name.is_empty() {
            name.push(' ');
        }
        name.push_str(word.trim_matches(|c: char| c.is_ascii_punctuation()));
    }
    found.extend(Some(name).filter(|name| !name.is_empty()));
}
