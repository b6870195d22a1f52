//! Sheets as PDF: pages to print, with text that can be selected, searched and read aloud.
//!
//! Each part of a sheet is set as strips ([`strip`]), the strips are shared out over pages ([`pages`]), and the pages
//! are printed ([`print`]). The same paper gives the same bytes: nothing is taken from a clock or from chance.

mod columns;
mod font;
mod frame;
mod hatch;
mod ink;
mod lacking;
mod lines;
mod pages;
mod picture;
mod print;
mod set;
mod strip;
mod table;
mod tags;
#[cfg(test)]
mod tests;

pub use lacking::caution;

use thiserror::Error;

use crate::report::document::Document;

/// Why a paper was not printed.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum PdfError {
    /// There is nothing on it.
    #[error(
        "there is no sheet to print: the report is empty; ask for a day, pruner or block that has one"
    )]
    NoSheets,
    /// The letters that come with the program do not open.
    #[error("the program's own letters cannot be read; install the program anew")]
    Letters,
    /// The file could not be put together.
    #[error("the PDF could not be put together ({0}); print the text or HTML sheet instead")]
    Broken(String),
}

/// The size of the pages.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum PageSize {
    /// 210 by 297 mm (ISO 216).
    #[default]
    A4,
    /// 8.5 by 11 inches.
    Letter,
}

impl PageSize {
    /// All of them.
    pub const ALL: [Self; 2] = [Self::A4, Self::Letter];

    /// Its name.
    pub const fn word(self) -> &'static str {
        match self {
            Self::A4 => "a4",
            Self::Letter => "letter",
        }
    }

    /// Width and height in points (1/72 inch).
    pub const fn points(self) -> (f32, f32) {
        match self {
            Self::A4 => (595.28, 841.89),
            Self::Letter => (612.0, 792.0),
        }
    }
}

/// The paper as the bytes of a PDF file.
///
/// # Errors
/// [`PdfError::NoSheets`] for a paper without sheets; the others tell of a fault of the program itself.
pub fn render(paper: &Document, page: PageSize) -> Result<Vec<u8>, PdfError> {
    print::paper(paper, page, krilla::configure::Configuration::new())
}
