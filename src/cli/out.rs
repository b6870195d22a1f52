//! In which form a report is wanted, and where to.

use std::io::{self, IsTerminal};
use std::path::{Path, PathBuf};

use clap::builder::PossibleValue;
use clap::{Args, ValueEnum};

use super::CliError;
use super::print::{caution, made, write_bytes};
use crate::report::pdf::PageSize;
use crate::report::{Format, Making, Report};

impl ValueEnum for Format {
    fn value_variants<'a>() -> &'a [Self] {
        &Self::ALL
    }

    fn to_possible_value(&self) -> Option<PossibleValue> {
        Some(PossibleValue::new(self.word()).help(self.purpose()))
    }
}

impl ValueEnum for PageSize {
    fn value_variants<'a>() -> &'a [Self] {
        &Self::ALL
    }

    fn to_possible_value(&self) -> Option<PossibleValue> {
        Some(PossibleValue::new(self.word()))
    }
}

/// Where the answer goes, and how.
#[derive(Debug, Clone, Args)]
pub struct Out {
    /// How it is written; where it is not given, as the ending of --output says, else as text
    #[arg(short, long, value_enum)]
    pub format: Option<Format>,
    /// Write to this file instead of standard output (-)
    #[arg(short, long, value_name = "FILE", default_value = "-")]
    pub output: PathBuf,
    /// The size of the pages of a PDF
    #[arg(long, value_name = "SIZE", value_enum, default_value = "a4")]
    pub page_size: PageSize,
    /// End HTML and PDF with a sheet of every figure, to check or to go on reckoning
    #[arg(long)]
    pub figures: bool,
}

impl Out {
    /// The format asked for, by word or by the file's ending.
    pub fn format(&self) -> Format {
        (self.format)
            .or_else(|| Format::of_file(&self.output))
            .unwrap_or(Format::Text)
    }

    /// Refuses what cannot be, before anything is done for it.
    pub(super) fn refuse(&self, report: &Report) -> Result<(), CliError> {
        let format = self.format();
        let to_screen = self.output == Path::new("-") && io::stdout().is_terminal();
        if format.is_binary() && to_screen {
            return Err(CliError::Usage(format!(
                "a terminal cannot show {word}: name a file, such as -o {}.{word}",
                report.word(),
                word = format.word()
            )));
        }
        Ok(())
    }

    /// Writes a report. `page_breaks` begins a new page for each pruner or block of a text.
    pub(super) fn put(&self, report: &Report, page_breaks: bool) -> Result<(), CliError> {
        self.refuse(report)?;
        let making = Making {
            made: made(),
            page_breaks,
            page: self.page_size,
            figures: self.figures,
        };
        caution(report.caution(self.format(), &making)?);
        let bytes = report.write(self.format(), &making)?;
        write_bytes(&self.output, &bytes)
    }
}
