//! Commands that print briefs and outlooks.

use super::args::{BriefArgs, Cli, Format, Out, OutlookArgs, TableFormat};
use super::print::{put, season, today, write};
use super::{CliError, open};
use crate::orchard::{BlockId, Invalid};
use crate::report::text::TextOptions;
use crate::report::{Period, Season, Taken, json, outlook_csv, text};

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

fn refused(season: &Season, block: BlockId, why: &Invalid) -> CliError {
    CliError::Refused(format!("block {}: {why}", season.block_name(block)))
}

/// Prints briefs.
pub fn brief(cli: &Cli, wanted: &BriefArgs) -> Result<(), CliError> {
    let day = wanted.day.day.unwrap_or_else(today);
    let season = season(&open::store(cli)?, day)?;
    let wood = season.wood(Period::so_far(day));
    let mut sheets = Vec::new();
    for block in blocks(&season, wanted.block.as_deref())? {
        let sheet = season.brief(block, &wood, &Taken::default(), day);
        sheets.push(sheet.map_err(|e| refused(&season, block, &e))?);
    }
    let options = TextOptions {
        page_breaks: wanted.page_breaks,
    };
    put(
        &wanted.day.out,
        || text::briefs(&sheets, options),
        |made| json::briefs(&sheets, made),
    )
}

/// Prints outlooks.
pub fn outlook(cli: &Cli, wanted: &OutlookArgs) -> Result<(), CliError> {
    let day = wanted.day.unwrap_or_else(today);
    let season = season(&open::store(cli)?, day)?;
    let wood = season.wood(Period::so_far(day));
    let mut sheets = Vec::new();
    for block in blocks(&season, wanted.block.as_deref())? {
        let sheet = season.outlook(block, &wood, &Taken::default(), day);
        sheets.push(sheet.map_err(|e| refused(&season, block, &e))?);
    }
    let options = TextOptions {
        page_breaks: wanted.page_breaks,
    };
    let format = match wanted.format {
        TableFormat::Csv => return write(&wanted.output, &outlook_csv(&sheets)),
        TableFormat::Json => Format::Json,
        TableFormat::Text => Format::Text,
    };
    let out = Out {
        format,
        output: wanted.output.clone(),
    };
    put(
        &out,
        || text::outlooks(&sheets, options),
        |made| json::outlooks(&sheets, made),
    )
}
