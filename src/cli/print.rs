//! Commands that print a report.

use std::io::{self, Write};

use uuid::Uuid;

use super::CliError;
use super::args::{Cli, DayArgs, DaySheetArgs, DrawArgs, SpanArgs};
use super::open::{self, season};
use super::say::today;
use crate::orchard::DrawId;
use crate::report::{Period, Report, Season, StandingsOf, words};
use crate::store::StoreError;

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
    (wanted.day.out).put(cli, &Report::DaySheets(sheets), wanted.page_breaks)
}

/// Prints the supervisor's page.
pub fn supervisor(cli: &Cli, wanted: &DayArgs) -> Result<(), CliError> {
    let day = wanted.day.unwrap_or_else(today);
    let page = season(&open::store(cli)?, day)?.supervisor_page(day);
    (wanted.out).put(cli, &Report::Supervisor(Box::new(page)), false)
}

/// Prints how the crew or the blocks stand.
pub fn standings(cli: &Cli, wanted: &SpanArgs, crew: bool) -> Result<(), CliError> {
    let period = period(wanted)?;
    let season = season(&open::store(cli)?, period.until)?;
    let of = if crew {
        StandingsOf::Crew
    } else {
        StandingsOf::Blocks
    };
    let report = season.standings(of, period);
    wanted.out.put(cli, &Report::Standings(report), false)
}

/// The days that are asked for.
fn period(wanted: &SpanArgs) -> Result<Period, CliError> {
    let until = wanted.until.unwrap_or_else(today);
    let since = wanted.since;
    if let Some(since) = since.filter(|since| *since > until) {
        return Err(CliError::Usage(format!("--since {since} is after {until}")));
    }
    Ok(Period { since, until })
}

/// Prints the winter's work.
pub fn winter(cli: &Cli, wanted: &DayArgs) -> Result<(), CliError> {
    let day = wanted.day.unwrap_or_else(today);
    let progress = season(&open::store(cli)?, day)?.winter_progress(day);
    (wanted.out).put(cli, &Report::Winter(Box::new(progress)), false)
}

/// Prints hours and pay.
pub fn payroll(cli: &Cli, wanted: &SpanArgs) -> Result<(), CliError> {
    let period = period(wanted)?;
    let payroll = season(&open::store(cli)?, period.until)?.payroll(period);
    let told = words::payroll_cautions(&payroll);
    (wanted.out).put(cli, &Report::Payroll(payroll), false)?;
    for caution in told {
        writeln!(io::stderr(), "thirdwood: {caution}")?;
    }
    Ok(())
}

/// Prints the winter review.
pub fn review(cli: &Cli, wanted: &DayArgs) -> Result<(), CliError> {
    let day = wanted.day.unwrap_or_else(today);
    let review = season(&open::store(cli)?, day)?.review(day);
    (wanted.out).put(cli, &Report::Review(Box::new(review)), false)
}

/// Makes and keeps a draw, or shows the trees that wait.
pub fn draw(cli: &Cli, wanted: &DrawArgs) -> Result<(), CliError> {
    let store = open::store(cli)?;
    let day = today();
    let season = season(&store, day)?;
    if wanted.show {
        return show_draws(cli, &season, wanted);
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
    let id = DrawId(id);
    let draw = if let Some(minutes) = wanted.minutes {
        season.plan_minutes(minutes, (since, until), seed, id, day)?
    } else {
        let trees = usize::from(wanted.trees);
        season.plan_draw(trees, since, until, seed, id, day)?
    };
    let list = Report::Draw(season.draw_list(&draw));
    if store.is_read_only() {
        return Err(StoreError::ReadOnly.into());
    }
    // a draw whose list nobody got must not wait to be counted
    let put = wanted.out.put(cli, &list, false);
    put.map_err(|e| e.midway("no trees were drawn"))?;
    store.add_draw(&draw).map_err(|e| {
        CliError::from(e).midway("the list that was written is of no use: throw it away")
    })
}

fn show_draws(cli: &Cli, season: &Season, wanted: &DrawArgs) -> Result<(), CliError> {
    let list = season
        .draws
        .last()
        .map(|draw| season.draw_list(draw))
        .ok_or_else(|| CliError::Refused("nothing was drawn in this winter yet".to_owned()))?;
    wanted.out.put(cli, &Report::Draw(list), false)
}
