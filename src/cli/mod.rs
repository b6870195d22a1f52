//! The command line: what can be asked, and how it answers.
//!
//! Data go to standard output, messages to standard error. Exit codes: 0 all is well, 1 it failed,
//! 2 the command was not understood.

mod ahead;
mod args;
mod backups;
mod crash_note;
mod manual;
mod names;
mod open;
mod out;
mod papers;
mod print;
mod say;
mod tables;
mod tablets;

use std::io::{self, Write};
use std::path::Path;
use std::process::ExitCode;

use clap::Parser;
use thiserror::Error;

use crate::exchange::ExchangeError;
use crate::exchange::bundle::BundleError;
use crate::report::fit::safe;
use crate::report::{MakeError, PlanError, schema};
use crate::store::{self, StoreError, clock, why};
use crate::tui::runtime::{RunError, stop};

pub use args::Cli;
use args::Command;

/// Why a command failed.
#[derive(Debug, Error)]
enum CliError {
    /// The file.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// The screens.
    #[error(transparent)]
    Run(#[from] RunError),
    /// A draw that cannot be made.
    #[error(transparent)]
    Plan(#[from] PlanError),
    /// A table.
    #[error(transparent)]
    Exchange(#[from] ExchangeError),
    /// A bundle.
    #[error(transparent)]
    Bundle(#[from] BundleError),
    /// A file or folder that cannot be read or written.
    #[error("{path}: {}", why(source))]
    File {
        /// Which.
        path: String,
        /// What the system said.
        source: io::Error,
    },
    /// Standard output.
    #[error("standard output: {}", why(.0))]
    Output(#[from] io::Error),
    /// It failed after, or before, something was kept.
    #[error("{source}; {then}")]
    Midway {
        /// How it failed.
        source: Box<CliError>,
        /// What is kept and what is not, and what to do.
        then: String,
    },
    /// A report that cannot be made.
    #[error(transparent)]
    Make(#[from] MakeError),
    /// What was asked for cannot be.
    #[error("{0}")]
    Refused(String),
    /// The command's words do not fit.
    #[error("{0}")]
    Usage(String),
}

impl CliError {
    fn of_file(path: &Path, source: io::Error) -> Self {
        Self::File {
            path: named(path),
            source,
        }
    }

    /// The same, with what is kept and what is not.
    fn midway(self, then: impl Into<String>) -> Self {
        Self::Midway {
            source: Box::new(self),
            then: then.into(),
        }
    }

    fn code(&self) -> ExitCode {
        if matches!(self, Self::Usage(_)) {
            ExitCode::from(2)
        } else {
            ExitCode::FAILURE
        }
    }

    /// Whether the reader of our output has gone: then there is nobody to tell.
    fn is_broken_pipe(&self) -> bool {
        matches!(self, Self::Output(e) | Self::File { source: e, .. } if e.kind() == io::ErrorKind::BrokenPipe)
    }
}

/// Reads the command line and does what it says.
pub fn main() -> ExitCode {
    crash_note::install();
    store::bear_limit();
    let cli = match Cli::try_parse() {
        Ok(cli) => cli,
        Err(e) => {
            // help and version are no mistakes: clap knows
            let code = u8::try_from(e.exit_code()).unwrap_or(2);
            let words = refusal(&e);
            // what was typed stands in it: plain where that would steer the terminal, else in clap's colours
            let told = if words == e.render().to_string() {
                e.print().and_then(|()| io::stdout().flush())
            } else {
                io::stderr().write_all(words.as_bytes())
            };
            return match told {
                Err(e) if code == 0 => ended(Err(e.into())),
                _ => ExitCode::from(code),
            };
        }
    };
    ended(run(&cli).map_err(|e| with_backup(&cli, e)))
}

/// The exit code, and a word on what went wrong.
fn ended(done: Result<ExitCode, CliError>) -> ExitCode {
    match done {
        Ok(code) => code,
        Err(e) if e.is_broken_pipe() => ExitCode::SUCCESS,
        Err(CliError::Run(RunError::Signal(signal))) => stop::end_by(signal),
        Err(e) => {
            let _ = writeln!(io::stderr(), "thirdwood: {}", harmless(&e.to_string()));
            e.code()
        }
    }
}

/// What is said of a command that was not understood.
pub fn refusal(error: &clap::Error) -> String {
    harmless(&error.render().to_string())
}

/// A file's or folder's name that cannot steer the terminal.
fn named(path: &Path) -> String {
    safe(&path.display().to_string()).into_owned()
}

/// Lines that cannot steer the terminal, whatever the names of files in them.
fn harmless(words: &str) -> String {
    let lines: Vec<_> = words.split('\n').map(safe).collect();
    lines.join("\n")
}

/// Where the file is damaged, the backup that helps is named, wherever it was noticed.
fn with_backup(cli: &Cli, error: CliError) -> CliError {
    let (CliError::Store(found)
    | CliError::Run(RunError::Store(found))
    | CliError::Exchange(ExchangeError::Store(found))
    | CliError::Bundle(BundleError::Store(found))) = error
    else {
        return error;
    };
    match open::path(cli) {
        Ok(path) => store::with_backup(&path, found).into(),
        Err(_) => found.into(),
    }
}

fn run(cli: &Cli) -> Result<ExitCode, CliError> {
    let without_file = matches!(
        &cli.command,
        Some(Command::Schema | Command::Completions { .. } | Command::Guide | Command::Manual)
    );
    if !without_file {
        // each asks the clock somewhere, and none could go on
        clock::now()?;
    }
    let done = match &cli.command {
        None => open::screens(cli),
        Some(Command::Demo(demo)) => open::demo(cli, demo),
        Some(Command::DaySheet(wanted)) => print::day_sheets(cli, wanted),
        Some(Command::Supervisor(wanted)) => print::supervisor(cli, wanted),
        Some(Command::Crew(wanted)) => print::standings(cli, wanted, true),
        Some(Command::Blocks(wanted)) => print::standings(cli, wanted, false),
        Some(Command::Winter(wanted)) => print::winter(cli, wanted),
        Some(Command::Payroll(wanted)) => print::payroll(cli, wanted),
        Some(Command::Review(wanted)) => print::review(cli, wanted),
        Some(Command::Brief(wanted)) => ahead::brief(cli, wanted),
        Some(Command::Outlook(wanted)) => ahead::outlook(cli, wanted),
        Some(Command::Draw(wanted)) => print::draw(cli, wanted),
        Some(Command::Import(wanted)) => return tables::import(cli, wanted),
        Some(Command::Export(wanted)) => tables::export(cli, wanted),
        Some(Command::Bundle(wanted)) => tablets::bundle(cli, wanted),
        Some(Command::Merge(wanted)) => tablets::merge(cli, wanted),
        Some(Command::Conflicts(wanted)) => tablets::conflicts(cli, wanted),
        Some(Command::Join(wanted)) => tablets::join(cli, wanted),
        Some(Command::ForgetName(wanted)) => names::forget(cli, wanted),
        Some(Command::Check) => return backups::check(cli),
        Some(Command::Restore(wanted)) => backups::restore(cli, wanted),
        Some(Command::Papers(wanted)) => papers::papers(cli, wanted),
        Some(Command::Schema) => say::say(schema::TEXT),
        Some(Command::Completions { shell }) => manual::completions(*shell),
        Some(Command::Guide) => say::say(manual::GUIDE),
        Some(Command::Manual) => manual::manual(),
    };
    done.map(|()| ExitCode::SUCCESS)
}
