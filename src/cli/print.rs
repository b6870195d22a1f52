//! Commands that print a report.

use std::io::{self, Write as _};
use std::path::Path;

use chrono::{Local, NaiveDate};
use clap::CommandFactory;
use clap_complete::Shell;
use clap_mangen::Man;
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

/// Prints the completions of a shell. They are made whole first: the library that makes them
/// panics where they cannot be written.
pub fn completions(shell: Shell) -> Result<(), CliError> {
    let mut words = Vec::new();
    clap_complete::generate(shell, &mut Cli::command(), "thirdwood", &mut words);
    write_bytes(Path::new("-"), &words)
}

/// Prints the manual page: the program, then each command with its options.
pub fn manual() -> Result<(), CliError> {
    let command = Cli::command();
    let mut words = Vec::new();
    Man::new(command.clone()).render(&mut words)?;
    words.extend(b".SH \"EACH COMMAND\"\n");
    for one in command.get_subcommands() {
        words.extend(of_command(&command, one)?);
    }
    write_bytes(Path::new("-"), &words)
}

/// A command's part of the manual page: headings of a page of its own become one of a part.
fn of_command(whole: &clap::Command, one: &clap::Command) -> Result<Vec<u8>, CliError> {
    let name = format!("{} {}", whole.get_name(), one.get_name());
    let man = Man::new(one.clone().bin_name(&name));
    let mut page = Vec::new();
    man.render_synopsis_section(&mut page)?;
    man.render_description_section(&mut page)?;
    man.render_options_section(&mut page)?;
    let page = String::from_utf8_lossy(&page);
    let lines = page.lines().map(|line| match line {
        ".SH SYNOPSIS" => format!(".SS \"{name}\"\n"),
        ".SH DESCRIPTION" | ".SH OPTIONS" => ".PP\n".to_owned(),
        other => format!("{other}\n"),
    });
    Ok(lines.collect::<String>().into_bytes())
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
