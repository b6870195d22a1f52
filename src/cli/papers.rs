//! Every report in every format, into one folder.

use std::io::{self, Write};
use std::path::Path;

use chrono::NaiveDate;

use super::args::{Cli, PapersArgs};
use super::print::{made, season, today, write_bytes};
use super::{CliError, open};
use crate::orchard::Invalid;
use crate::report::{
    Format, MakeError, Making, Period, Report, Season, StandingsOf, Taken, tables, xlsx,
};

/// The workbook of the whole winter.
const EVERYTHING: &str = "everything.xlsx";

/// Writes them one after the other, each whole, and tells of each on standard error.
pub fn papers(cli: &Cli, wanted: &PapersArgs) -> Result<(), CliError> {
    let day = wanted.day.unwrap_or_else(today);
    let season = season(&open::store(cli)?, day)?;
    let folder = &wanted.output;
    std::fs::create_dir_all(folder).map_err(|source| CliError::File {
        path: folder.display().to_string(),
        source,
    })?;
    let making = Making {
        made: made(),
        page: wanted.page_size,
        ..Making::default()
    };
    for make in MAKERS {
        let Some(report) = make(&season, day)? else {
            continue;
        };
        for format in Format::ALL {
            let name = format!("{}.{}", report.word(), ending(format));
            put(folder, &name, &report.write(format, &making)?)?;
        }
    }
    let everything = tables::everything(&season, day).map_err(|e| refused(&e))?;
    let book = xlsx::workbook("winter", &everything, &making.made).map_err(MakeError::from)?;
    put(folder, EVERYTHING, &book)
}

fn ending(format: Format) -> &'static str {
    match format {
        Format::Text => "txt",
        other => other.word(),
    }
}

fn put(folder: &Path, name: &str, bytes: &[u8]) -> Result<(), CliError> {
    let path = folder.join(name);
    write_bytes(&path, bytes)?;
    // nobody may be listening
    let _ = writeln!(io::stderr(), "{}", path.display());
    Ok(())
}

fn refused(why: &Invalid) -> CliError {
    CliError::Refused(why.to_string())
}

/// Makes one report; none where there is nothing to make it of. One at a time, so that they are not all in memory.
type Maker = fn(&Season, NaiveDate) -> Result<Option<Report>, CliError>;

const MAKERS: [Maker; 9] = [
    |season, day| Ok(Some(Report::DaySheets(season.day_sheets(day)))),
    |season, day| {
        let page = season.supervisor_page(day);
        Ok(Some(Report::Supervisor(Box::new(page))))
    },
    |season, day| Ok(Some(standings(season, StandingsOf::Crew, day))),
    |season, day| Ok(Some(standings(season, StandingsOf::Blocks, day))),
    |season, day| {
        let progress = season.winter_progress(day);
        Ok(Some(Report::Winter(Box::new(progress))))
    },
    |season, day| Ok(Some(Report::Review(Box::new(season.review(day))))),
    |season, day| {
        let wood = season.wood(Period::so_far(day));
        let brief = |block| season.brief(block, &wood, &Taken::default(), day);
        let sheets = season.blocks.iter().map(|block| brief(block.id));
        let sheets: Result<_, _> = sheets.collect();
        Ok(Some(Report::Briefs(sheets.map_err(|e| refused(&e))?)))
    },
    |season, day| {
        let wood = season.wood(Period::so_far(day));
        let outlook = |block| season.outlook(block, &wood, &Taken::default(), day);
        let sheets = season.blocks.iter().map(|block| outlook(block.id));
        let sheets: Result<_, _> = sheets.collect();
        Ok(Some(Report::Outlooks(sheets.map_err(|e| refused(&e))?)))
    },
    |season, day| {
        let last = season.draws.iter().rfind(|draw| draw.day <= day);
        Ok(last.map(|draw| Report::Draw(season.draw_list(draw))))
    },
];

fn standings(season: &Season, of: StandingsOf, day: NaiveDate) -> Report {
    Report::Standings(season.standings(of, Period::so_far(day)))
}
