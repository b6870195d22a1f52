//! Commands that print briefs and outlooks.

use chrono::NaiveDate;

use super::args::{BlockArgs, BriefArgs, Cli};
use super::open::season;
use super::say::today;
use super::{CliError, open};
use crate::orchard::{BlockId, Invalid};
use crate::report::{Period, Report, Season, Taken, Wood};

/// The blocks asked for.
fn blocks(season: &Season, name: Option<&str>) -> Result<Vec<BlockId>, CliError> {
    let Some(name) = name else {
        return Ok(season.blocks.iter().map(|block| block.id).collect());
    };
    let wanted = name.trim().to_lowercase();
    let found = (season.blocks.iter()).find(|block| block.name.to_lowercase() == wanted);
    found.map(|block| vec![block.id]).ok_or_else(|| {
        CliError::Refused(format!(
            "there is no block {name:?}; `thirdwood blocks` lists them"
        ))
    })
}

/// Prints briefs.
pub fn brief(cli: &Cli, wanted: &BriefArgs) -> Result<(), CliError> {
    let make = |season: &Season, block, wood: &Wood, day| {
        let mut sheet = season.brief(block, wood, &Taken::default(), day)?;
        sheet.language = wanted.lang.unwrap_or(sheet.language);
        Ok(sheet)
    };
    put(cli, &wanted.blocks, make, Report::Briefs)
}

/// Prints outlooks.
pub fn outlook(cli: &Cli, wanted: &BlockArgs) -> Result<(), CliError> {
    let make = |season: &Season, block, wood: &Wood, day| {
        season.outlook(block, wood, &Taken::default(), day)
    };
    put(cli, wanted, make, Report::Outlooks)
}

/// Prints a sheet for each block asked for.
fn put<T>(
    cli: &Cli,
    wanted: &BlockArgs,
    make: impl Fn(&Season, BlockId, &Wood, NaiveDate) -> Result<T, Invalid>,
    report: impl FnOnce(Vec<T>) -> Report,
) -> Result<(), CliError> {
    let day = wanted.day.day.unwrap_or_else(today);
    let season = season(&open::store(cli)?, day)?;
    let wood = season.wood(Period::so_far(day));
    let sheet = |block| {
        make(&season, block, &wood, day)
            .map_err(|e| CliError::Refused(format!("block {}: {e}", season.block_name(block))))
    };
    let blocks = blocks(&season, wanted.block.as_deref())?;
    let sheets: Vec<T> = blocks.into_iter().map(sheet).collect::<Result<_, _>>()?;
    wanted.day.out.put(cli, &report(sheets), wanted.page_breaks)
}
