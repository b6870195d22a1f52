//! In which form a report is wanted, and where to.

use std::fs::File;
use std::io::{self, IsTerminal};
use std::path::Path;

use super::args::{Cli, Out};
use super::say::{caution, is_stdout, made, say_bytes};
use super::{CliError, named, open};
use crate::report::{Format, Making, Report};
use crate::store::whole::write_whole_with;

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

/// Refuses a place where something lies that this program keeps; also where the shell had standard output go there.
pub fn refuse_kept(cli: &Cli, to: &Path) -> Result<(), CliError> {
    let place = if is_stdout(to) {
        Path::new("/dev/stdout")
    } else {
        to
    };
    let refused = open::kept(cli)?.refuse(place);
    refused.map_err(|source| CliError::of_file(to, source))
}

/// Writes to what was named, a file, a device or a pipe, or to standard output. A file is complete or not there.
pub fn write_to(cli: &Cli, to: &Path, bytes: &[u8]) -> Result<(), CliError> {
    if is_stdout(to) {
        return say_bytes(bytes);
    }
    let written = write_whole_with(&open::kept(cli)?, to, |out| out.write_all(bytes));
    written.map_err(|source| CliError::of_file(to, source))
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
