//! The form that draws trees.

use chrono::NaiveDate;

use crate::orchard::{Draw, DrawId, Faults, Invalid, parse_day};
use crate::report::{PlanError, RedoneRow, Season, words};
use crate::store::Thing;
use crate::tui::app::{Model, Moment};
use crate::tui::features::forms::{FormSpec, NO_WINTER, Reading};
use crate::tui::{Field, Form};

pub fn spec() -> FormSpec {
    FormSpec::new(form, read)
        .summary(|model, reading| match reading.thing() {
            Some(Thing::Draw(draw)) => summary(model, draw),
            _ => String::new(),
        })
        .new_entry()
        .says("the trees are drawn: Count (F3) takes the first of them")
}

/// What to say where there is nothing to draw from.
const NO_WORK: &str = "no work is logged yet: Log work (w) on Today (F2) comes first";
const ALL_DRAWN: &str =
    "all trees pruned so far are drawn or counted: Log work (w) on Today logs more";

/// Trees drawn where nothing else is said: five for each pruner is common practice, no source.
const TREES: usize = 20;

/// Asks how many trees, out of which days' work.
fn form(model: &Model) -> Result<Form, String> {
    let season = model.season.as_ref().ok_or(NO_WINTER)?;
    if season.work.is_empty() {
        return Err(NO_WORK.to_owned());
    }
    let today = model.now.day;
    let last = season.work.last().map_or(today, |work| work.day);
    let until = today.max(last);
    let since = season.last_day_to_draw(until).ok_or(ALL_DRAWN)?;
    // rows that were done over are offered with what was pruned last
    let redone = season.to_count_anew(until);
    let since = redone.iter().map(|row| row.day).fold(since, NaiveDate::min);
    let trees = season.trees_to_draw(since, until).min(TREES);
    let fields = vec![
        Field::whole("trees", "Trees")
            .with(trees.to_string())
            .hint("how many to walk to; at least two of each pruner, if they are enough for that"),
        Field::whole("minutes", "In minutes")
            .hint("instead of a number: as many trees as fit, of those who are to be known first"),
        Field::day("since", "Work since")
            .with(since.to_string())
            .hint(since_hint(&redone)),
        Field::day("until", "until")
            .with(until.to_string())
            .hint("its last day"),
    ];
    Ok(
        Form::new("Draw trees at random out of what was pruned", fields)
            .with_summary()
            .that("Draw"),
    )
}

/// Which rows that were done over the days take in.
fn since_hint(redone: &[RedoneRow]) -> String {
    let row = |row: &RedoneRow| format!("{} row {}", row.block_name, row.row);
    let rows: Vec<String> = redone.iter().map(row).collect();
    if rows.is_empty() {
        return "the first day of the work to draw from".to_owned();
    }
    format!(
        "so that it takes in what was redone: {}",
        words::list(&rows)
    )
}

/// Out of how many trees a draw is, and of how many pruners.
fn summary(model: &Model, draw: &Draw) -> String {
    let Some(season) = &model.season else {
        return String::new();
    };
    let out_of = season.trees_to_draw(draw.since, draw.until);
    let mut pruners: Vec<_> = draw.trees.iter().map(|tree| tree.pruner).collect();
    pruners.sort_unstable();
    pruners.dedup();
    let takes = season.takes(draw);
    let each = part_of_each(season, draw).unwrap_or_default();
    let words = format!(
        "{} of {}, out of {} of these days neither drawn nor counted yet; some {:.0} minutes and {:.0} m of walk.",
        words::trees(draw.trees.len() as u32),
        words::plural(pruners.len() as u32, "pruner", "pruners"),
        words::trees(out_of as u32),
        takes.minutes,
        takes.metres
    );
    words + &each
}

/// How much of each tree is to be counted, what that takes, and how that is known; none where trees are counted whole.
fn part_of_each(season: &Season, draw: &Draw) -> Option<String> {
    let drawn = draw.trees.iter().any(|tree| tree.runs.is_some());
    let (take, seconds) = season.usual_take().filter(|_| drawn)?;
    let from = match season.trees_timed() {
        0 => "by what is usual".to_owned(),
        trees => format!("by your last {}", words::trees(trees)),
    };
    Some(format!(
        " Of each {} x {} pieces, {:.1} minutes {from}.",
        take.runs,
        take.pieces,
        seconds / 60.0
    ))
}

/// The draw for some minutes.
fn in_minutes(
    season: &Season,
    form: &Form,
    days: (NaiveDate, NaiveDate),
    moment: Moment,
) -> Result<Reading, Faults> {
    let minutes = crate::tui::features::forms::whole_within(form, "minutes", (1, 600))?;
    let (_, seed) = moment.id.as_u64_pair();
    let draw = season
        .plan_minutes(minutes, days, seed, DrawId(moment.id), moment.now.day)
        .map_err(|problem| {
            let field = match problem {
                PlanError::TooShort { .. } => "minutes",
                _ => "since",
            };
            Invalid::new(field, problem.to_string())
        })?;
    Ok(Reading::save(Thing::Draw(draw)))
}

/// Reads the form and makes the draw. The seed comes with the moment's identity.
fn read(model: &Model, form: &Form, moment: Moment) -> Result<Reading, Faults> {
    let season = model
        .season
        .as_ref()
        .ok_or_else(|| Invalid::new("winter", NO_WINTER))?;
    let mut faults = Faults::default();
    let trees = faults.take(crate::tui::features::forms::whole_within(
        form,
        "trees",
        (1, 500),
    ));
    let since = faults.take(parse_day("since", form.value("since")));
    let until = faults.take(parse_day("until", form.value("until")));
    if until < since {
        let problem = format!("{until} is before {since}");
        faults.add(Invalid::new("until", problem).against(&["since"]));
    }
    faults.or(())?;
    let (_, seed) = moment.id.as_u64_pair();
    if !form.value("minutes").trim().is_empty() {
        return in_minutes(season, form, (since, until), moment);
    }
    let draw = season
        .plan_draw(
            usize::from(trees),
            since,
            until,
            seed,
            DrawId(moment.id),
            moment.now.day,
        )
        .map_err(|problem| Invalid::new("since", problem.to_string()))?;
    // a draw stays on record: one of all trees, by a slip of the hand, would be walked to for days
    let drawn = draw.trees.len();
    if drawn < usize::from(trees) {
        let wait = words::plural(
            drawn as u32,
            "tree of these days waits",
            "trees of these days wait",
        );
        let words = format!("only {wait} to be drawn: write {drawn} for all");
        return Err(Invalid::new("trees", words).into());
    }
    Ok(Reading::save(Thing::Draw(draw)))
}
