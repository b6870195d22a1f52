//! The forms in which a report can be written.

use std::path::Path;

/// A form of a report.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Format {
    /// Plain text.
    Text,
    /// A web page.
    Html,
    /// Sheets for the printer.
    Pdf,
    /// A table to go on working with.
    Csv,
    /// A workbook.
    Xlsx,
    /// Data, documented and versioned.
    Json,
}

impl Format {
    /// All of them.
    pub const ALL: [Self; 6] = [
        Self::Text,
        Self::Html,
        Self::Pdf,
        Self::Csv,
        Self::Xlsx,
        Self::Json,
    ];

    /// Its name, which is the ending of its files too, but for text.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Text => "text",
            Self::Html => "html",
            Self::Pdf => "pdf",
            Self::Csv => "csv",
            Self::Xlsx => "xlsx",
            Self::Json => "json",
        }
    }

    /// The ending of its files.
    pub const fn ending(self) -> &'static str {
        match self {
            Self::Text => "txt",
            other => other.word(),
        }
    }

    /// What it is good for, in a few words.
    pub const fn purpose(self) -> &'static str {
        match self {
            Self::Text => "Plain text, to read in a terminal",
            Self::Html => "A web page for phone, desk or printer",
            Self::Pdf => "Sheets to print",
            Self::Csv => "A table for any spreadsheet program",
            Self::Xlsx => "A workbook with charts, for spreadsheets",
            Self::Json => "Data for other programs",
        }
    }

    /// Whether it is bytes that would upset a terminal.
    pub const fn is_binary(self) -> bool {
        matches!(self, Self::Pdf | Self::Xlsx)
    }

    /// The format that a file's ending stands for; none where it stands for none.
    pub fn of_file(path: &Path) -> Option<Self> {
        let ending = path.extension()?.to_str()?.to_lowercase();
        match ending.as_str() {
            "txt" => Some(Self::Text),
            "htm" => Some(Self::Html),
            word => Self::ALL.into_iter().find(|format| format.word() == word),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_ending_of_a_file_tells_its_format() {
        let of = |name: &str| Format::of_file(Path::new(name));
        assert_eq!(of("sheets.html"), Some(Format::Html));
        assert_eq!(of("/tmp/a.b/SHEETS.PDF"), Some(Format::Pdf));
        assert_eq!(of("sheets.txt"), Some(Format::Text));
        assert_eq!(of("-"), None);
        assert_eq!(of("html"), None);
        assert_eq!(of("sheets.doc"), None);
    }
}
