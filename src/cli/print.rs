//! Commands that print a report; and what all commands write with, and take the day from.

use std::io::{self, Write as _};
use std::path::Path;

use chrono::{Local, NaiveDate};
use uuid::Uuid;

use super::args::{Cli, DayArgs, DaySheetArgs, DrawArgs, SpanArgs};
use super::{CliError, open};
use crate::orchard::DrawId;
use crate::report::{Period, Report, Season, StandingsOf};
use crate::store::Store;
use crate::store::whole::write_whole;

/// The winter of a day.
pub fn season(store: &Store, day: NaiveDate) -> Result<Season, CliError> {
    let winter = store.winter_on(day)?.ok_or_else(|| {
        CliError::Refused("the file has no winter yet: open the screens (`thirdwood`) and set one up, or import it".to_owned())
    })?;
    Ok(Season::load(store, winter)?)
}

/// Writes to a file, or to standard output where it is named `-`. A file is complete or not there.
pub fn write(to: &Path, words: &str) -> Result<(), CliError> {
    write_bytes(to, words.as_bytes())
}

/// As [`write`].
pub fn write_bytes(to: &Path, bytes: &[u8]) -> Result<(), CliError> {
    if to == Path::new("-") {
        let mut out = io::stdout().lock();
        out.write_all(bytes)?;
        return Ok(out.flush()?);
    }
    let fail = |source| CliError::File {
        path: to.display().to_string(),
        source,
    };
    write_whole(to, bytes).map_err(fail)
}

/// Tells on standard error what a report could not show.
pub fn caution(words: Option<String>) {
    if let Some(words) = words {
        // nobody may be listening
        let _ = writeln!(io::stderr(), "thirdwood: {words}");
    }
}

/// The moment of making, for data.
pub fn made() -> String {
    Local::now().to_rfc3339_opts(chrono::SecondsFormat::Secs, false)
}

/// The clock's day.
pub fn today() -> NaiveDate {
    Local::now().date_naive()
}

/// Prints day sheets.
pub fn day_sheets(cli: &Cli, wanted: &DaySheetArgs) -> Result<(), CliError> {
    let day = wanted.day.day.unwrap_or_else(today);
    let season = season(&open::store(cli)?, day)?;
    let mut sheets = match wanted.pruner {
        None => season.day_sheets(day),
        Some(number) => {
            let pruner = season
                .pruners
                .iter()
                .find(|pruner| pruner.number == number)
                .ok_or_else(|| {
                    CliError::Refused(format!(
                        "there is no pruner number {number}; `thirdwood crew` lists them"
                    ))
                })?;
            season.day_sheet(pruner.id, day)
        }
    };
    for sheet in &mut sheets {
        sheet.language = wanted.lang.unwrap_or(sheet.language);
    }
    (wanted.day.out).put(&Report::DaySheets(sheets), wanted.page_breaks)
}

/// Prints the supervisor's page.
pub fn supervisor(cli: &Cli, wanted: &DayArgs) -> Result<(), CliError> {
    let day = wanted.day.unwrap_or_else(today);
    let page = season(&open::store(cli)?, day)?.supervisor_page(day);
    (wanted.out).put(&Report::Supervisor(Box::new(page)), false)
}

/// Prints how the crew or the blocks stand.
pub fn standings(cli: &Cli, wanted: &SpanArgs, crew: bool) -> Result<(), CliError> {
    let until = wanted.until.unwrap_or_else(today);
    if let Some(since) = wanted.since.filter(|since| *since > until) {
        return Err(CliError::Usage(format!("--since {since} is after {until}")));
    }
    let season = season(&open::store(cli)?, until)?;
    let of = if crew {
        StandingsOf::Crew
    } else {
        StandingsOf::Blocks
    };
    let report = season.standings(
        of,
        Period {
            since: wanted.since,
            until,
        },
    );
    wanted.out.put(&Report::Standings(report), false)
}

/// Prints the winter's work.
pub fn winter(cli: &Cli, wanted: &DayArgs) -> Result<(), CliError> {
    let day = wanted.day.unwrap_or_else(today);
    let progress = season(&open::store(cli)?, day)?.winter_progress(day);
    (wanted.out).put(&Report::Winter(Box::new(progress)), false)
}

/// Prints the winter review.
pub fn review(cli: &Cli, wanted: &DayArgs) -> Result<(), CliError> {
    let day = wanted.day.unwrap_or_else(today);
    let review = season(&open::store(cli)?, day)?.review(day);
    (wanted.out).put(&Report::Review(Box::new(review)), false)
}

/// Makes and keeps a draw, or shows the trees that wait.
pub fn draw(cli: &Cli, wanted: &DrawArgs) -> Result<(), CliError> {
    let store = open::store(cli)?;
    let day = today();
    let season = season(&store, day)?;
    if wanted.show {
        return show_draws(&season, wanted);
    }
    let until = wanted.until.unwrap_or(day);
    let last = season
        .work
        .iter()
        .map(|work| work.day)
        .rfind(|worked| *worked <= until);
    let since = wanted.since.or(last).unwrap_or(until);
    if since > until {
        return Err(CliError::Usage(format!("--since {since} is after {until}")));
    }
    let id = Uuid::now_v7();
    let seed = wanted.seed.unwrap_or(id.as_u64_pair().1);
    let draw = season.plan_draw(
        usize::from(wanted.trees),
        since,
        until,
        seed,
        DrawId(id),
        day,
    )?;
    let list = Report::Draw(season.draw_list(&draw));
    wanted.out.refuse(&list)?;
    store.add_draw(&draw)?;
    wanted.out.put(&list, false)
}

fn show_draws(season: &Season, wanted: &DrawArgs) -> Result<(), CliError> {
    let list = season
        .draws
        .last()
        .map(|draw| season.draw_list(draw))
        .ok_or_else(|| CliError::Refused("nothing was drawn in this winter yet".to_owned()))?;
    wanted.out.put(&Report::Draw(list), false)
}
