//! In which form a report is wanted, and where to.

use std::fs::File;
use std::io::{self, IsTerminal};
use std::path::{Path, PathBuf};

use clap::builder::PossibleValue;
use clap::{Args, ValueEnum};

use super::args::Cli;
use super::print::{caution, is_stdout, made, refuse_kept, write_to};
use super::{CliError, named};
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
    /// The format asked for, by word or by the file's ending; text where it has none.
    fn format(&self) -> Result<Format, CliError> {
        let by_ending = || match self.output.extension() {
            Some(ending) if !ending.is_empty() => {
                Format::of_file(&self.output).ok_or_else(|| no_format(&self.output))
            }
            _ => Ok(Format::Text),
        };
        self.format.map_or_else(by_ending, Ok)
    }

    /// Refuses what cannot be, before anything is done for it.
    fn refuse(&self, cli: &Cli, report: &Report) -> Result<Format, CliError> {
        refuse_kept(cli, &self.output)?;
        let format = self.format()?;
        let to_screen = if is_stdout(&self.output) {
            io::stdout().is_terminal()
        } else {
            is_terminal(&self.output)
        };
        if format.is_binary() && to_screen {
            return Err(CliError::Usage(format!(
                "a terminal cannot show {word}: name a file, such as -o {}.{word}",
                report.word(),
                word = format.word()
            )));
        }
        Ok(format)
    }

    /// Writes a report. `page_breaks` begins a new page for each pruner or block of a text.
    pub(super) fn put(
        &self,
        cli: &Cli,
        report: &Report,
        page_breaks: bool,
    ) -> Result<(), CliError> {
        let format = self.refuse(cli, report)?;
        let making = Making {
            made: made(),
            page_breaks,
            page: self.page_size,
            figures: self.figures,
        };
        caution(report.caution(format, &making)?);
        let bytes = report.write(format, &making)?;
        write_to(cli, &self.output, &bytes)
    }
}

fn no_format(file: &Path) -> CliError {
    let endings = Format::ALL.map(|format| format!(".{}", format.ending()));
    CliError::Usage(format!(
        "{}: no report is written with this ending: end the name with one of {}, or say with -f how it is written",
        named(file),
        endings.join(", ")
    ))
}

/// Whether a terminal lies there. Nothing else is opened: a pipe would wait for its reader.
fn is_terminal(path: &Path) -> bool {
    #[cfg(unix)]
    let is_device = path
        .metadata()
        .is_ok_and(|about| std::os::unix::fs::FileTypeExt::is_char_device(&about.file_type()));
    #[cfg(not(unix))]
    let is_device = false;
    is_device
        && File::options()
            .write(true)
            .open(path)
            .is_ok_and(|file| file.is_terminal())
}
