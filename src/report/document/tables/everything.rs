//! A winter whole: every table of it.

use chrono::NaiveDate;

use super::{DataTable, ahead, left_out, log, payroll, standings, supervisor, winter};
use crate::orchard::Invalid;
use crate::report::{Period, Season, Standing, Taken};

/// All tables of a winter as it stands on a day: standings, metrics and days of crew and blocks; counts and work as
/// they were entered; marked trees; rows sent back; pace, finish and cost; hours and pay; briefs and outlooks. Fails where a number of a block's
/// crop cannot be. More than [`super::MOST_COUNTS`] counts are left out, and the last table says so.
pub fn everything(season: &Season, day: NaiveDate) -> Result<Vec<DataTable>, Invalid> {
    let period = Period::so_far(day);
    let (crew, blocks) = season.all_standings(period);
    let mut tables = Vec::new();
    for (name, standings) in [("crew", &crew), ("blocks", &blocks)] {
        let all: Vec<&Standing> = standings.iter().collect();
        tables.extend(standings::all_of(name, &all));
    }
    let progress = season.winter_progress_among(day, &crew, &blocks);
    tables.extend(keep(winter::winter(&progress)));
    tables.extend(keep(payroll::payroll(&season.payroll(period))));
    tables.extend(keep(ahead_of(season, day)?));
    tables.push(supervisor::marks("marks", &season.mark_lines()));
    tables.push(supervisor::go_backs(&season.go_back_lines(day)));
    let left_out = left_out(log::entered(season, day));
    if left_out.is_none() {
        tables.push(log::counts(season, day));
    }
    let about = winter::about(&season.orchard, &season.winter.label, None, day);
    tables.extend([
        log::work(season, day),
        log::days_without_work(season),
        log::comings(season),
        winter::without(about, left_out),
    ]);
    Ok(tables)
}

/// Without what each report says about itself.
fn keep(mut tables: Vec<DataTable>) -> Vec<DataTable> {
    tables.retain(|table| table.name != "about");
    tables
}

/// Briefs and outlooks of all blocks.
fn ahead_of(season: &Season, day: NaiveDate) -> Result<Vec<DataTable>, Invalid> {
    let wood = season.wood(Period::so_far(day));
    let taken = Taken::default();
    let (mut briefs, mut outlooks) = (Vec::new(), Vec::new());
    for block in &season.blocks {
        briefs.push(season.brief(block.id, &wood, &taken, day)?);
        outlooks.push(season.outlook(block.id, &wood, &taken, day)?);
    }
    let mut tables = ahead::briefs(&briefs);
    tables.extend(ahead::outlooks(&outlooks));
    Ok(tables)
}
