//! Every report in every format, into one folder.

use std::io::{self, Write};
use std::path::Path;

use super::args::{Cli, PapersArgs};
use super::print::{caution, made, season, today, write_bytes};
use super::{CliError, named, open};
use crate::report::Making;
use crate::report::papers::Wanted;

/// Writes them one after the other, each whole, and tells of each on standard error.
pub fn papers(cli: &Cli, args: &PapersArgs) -> Result<(), CliError> {
    let day = args.day.unwrap_or_else(today);
    let season = season(&open::store(cli)?, day)?;
    let folder = &args.output;
    std::fs::create_dir_all(folder).map_err(|source| CliError::File {
        path: folder.display().to_string(),
        source,
    })?;
    let making = Making {
        made: made(),
        page: args.page_size,
        figures: args.figures,
        ..Making::default()
    };
    for file in Wanted::all(day).make(&season, &making) {
        let file = file?;
        put(folder, &file.name, &file.bytes)?;
        caution(file.caution);
    }
    Ok(())
}

fn put(folder: &Path, name: &str, bytes: &[u8]) -> Result<(), CliError> {
    let path = folder.join(name);
    write_bytes(&path, bytes)?;
    // nobody may be listening
    let _ = writeln!(io::stderr(), "{}", named(&path));
    Ok(())
}
