//! Sheets as people keep them: what stands on a page, in which order, before any format.
//!
//! Each report is set once as a [`Document`]; text, HTML and PDF are ways of printing the same one. The words in it are
//! in the language of its reader, and figures are already written as they are to be read.

pub mod drawing;
pub mod letters;
pub mod palette;
pub mod pictures;
pub mod sheets;
pub mod tables;

pub use drawing::{Anchor, Drawing, Fill, Ink, OUTLINE, Shape};

use crate::report::fit::Align;

/// One document: sheets in one language.
#[derive(Debug, Clone, PartialEq)]
pub struct Document {
    /// The document's name, as in a window's title.
    pub title: String,
    /// Its language as a tag (BCP 47), such as `en` or `es`; a sheet may have its own.
    pub lang: &'static str,
    /// The sheets. On paper each begins a new page.
    pub sheets: Vec<Sheet>,
}

/// What one person, block or winter gets: a page or more.
#[derive(Debug, Clone, PartialEq)]
pub struct Sheet {
    /// Language of its words, as a tag (BCP 47).
    pub lang: &'static str,
    /// The orchard's name; never empty.
    pub orchard: String,
    /// The winter, such as `winter 2026/27`.
    pub winter: String,
    /// What the sheet is and whom it is for.
    pub title: String,
    /// The day or days it is about.
    pub day: String,
    /// What stands on it, from the top.
    pub parts: Vec<Part>,
}

/// A part of a sheet.
#[derive(Debug, Clone, PartialEq)]
pub enum Part {
    /// Opens a section.
    Heading(String),
    /// What is to be seen first: the verdict, in large letters.
    Lead(String),
    /// A paragraph.
    Para(String),
    /// Small print: what the figures rest on.
    Note(String),
    /// A caution, set apart.
    Caution(String),
    /// Lines one below the other.
    List {
        /// Whether they are numbered.
        numbered: bool,
        /// The lines.
        items: Vec<String>,
    },
    /// A table.
    Table(Table),
    /// A picture with its title and its text equivalent.
    Picture(Picture),
}

/// A table of words and figures.
#[derive(Debug, Clone, PartialEq)]
pub struct Table {
    /// What it shows.
    pub caption: String,
    /// Its columns; the first one names the row.
    pub columns: Vec<Column>,
    /// Its rows; each has as many cells as there are columns.
    pub rows: Vec<Vec<String>>,
}

/// A column of a table.
#[derive(Debug, Clone, PartialEq)]
pub struct Column {
    /// Its heading.
    pub title: String,
    /// Left for words, right for figures.
    pub align: Align,
}

/// A picture. Whatever it shows stands in words or in a table as well.
#[derive(Debug, Clone, PartialEq)]
pub struct Picture {
    /// What it is.
    pub title: String,
    /// What it shows, for who cannot see it.
    pub text: String,
    /// The mixes of ages that it compares, for where only letters can be printed; none where it is about other things.
    pub bars: Vec<Bar>,
    /// How it is drawn.
    pub drawing: Drawing,
}

/// A mix of ages with its name.
#[derive(Debug, Clone, PartialEq)]
pub struct Bar {
    /// Whose it is, or when.
    pub name: String,
    /// The shares, youngest first.
    pub shares: [f64; 4],
}
