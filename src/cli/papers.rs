//! Every report in every format, into one folder.

use std::io::{self, Write};
use std::path::Path;

use super::args::{Cli, PapersArgs};
use super::open::season;
use super::say::{caution, is_stdout, made, today};
use super::{CliError, named, open};
use crate::report::Making;
use crate::report::papers::Wanted;
use crate::store::whole::write_file;

/// Writes them one after the other, each whole, and tells of each on standard error.
pub fn papers(cli: &Cli, args: &PapersArgs) -> Result<(), CliError> {
    if is_stdout(&args.output) {
        return Err(CliError::Usage(
            "name a folder for the papers: thirdwood papers -o FOLDER".to_owned(),
        ));
    }
    let day = args.day.unwrap_or_else(today);
    let season = season(&open::store(cli)?, day)?;
    let folder = &args.output;
    let kept = open::kept(cli)?;
    let fail = |path: &Path, source| CliError::of_file(path, source);
    (kept.make_folder(folder)).map_err(|source| fail(folder, source))?;
    let making = Making {
        made: made(),
        page: args.page_size,
        figures: args.figures,
        ..Making::default()
    };
    for file in Wanted::all(day).make(&season, &making) {
        let file = file?;
        let path = folder.join(&file.name);
        write_file(&kept, &path, &file.bytes).map_err(|source| fail(&path, source))?;
        // nobody may be listening
        let _ = writeln!(io::stderr(), "{}", named(&path));
        caution(file.caution);
    }
    Ok(())
}
