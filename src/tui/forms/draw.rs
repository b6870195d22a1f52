//! The form that draws trees.

use super::{NO_WINTER, Reading};
use crate::orchard::{DrawId, Invalid, parse_day};
use crate::tui::app::{Model, Moment, Thing};
use crate::tui::{Field, Form};

/// Trees drawn where nothing else is said: five for each pruner is common practice, no source.
const TREES: &str = "20";

/// Asks how many trees, out of which days' work.
pub fn form(model: &Model) -> Result<Form, String> {
    let season = model.season.as_ref().ok_or(NO_WINTER)?;
    let last = season.work.last().map(|work| work.day);
    let since = last.ok_or("no work is logged yet, so there is nothing to draw from: w logs it")?;
    let fields = vec![
        Field::number("trees", "Trees")
            .with(TREES)
            .hint("how many to walk to; each pruner gets at least two if that reaches"),
        Field::day("since", "Work since")
            .with(since.to_string())
            .hint("the first day of the work to draw from"),
        Field::day("until", "until")
            .with(model.now.day.max(since).to_string())
            .hint("its last day"),
    ];
    Ok(Form::new(
        "Draw trees at random out of what was pruned",
        fields,
    ))
}

/// Reads the form and makes the draw. The seed comes with the moment's identity.
pub fn read(model: &Model, form: &Form, moment: Moment) -> Result<Reading, Invalid> {
    let season = model
        .season
        .as_ref()
        .ok_or_else(|| Invalid::new("winter", NO_WINTER))?;
    let trees = super::whole_within(form, "trees", (1, 500))?;
    let (since, until) = (
        parse_day("since", form.value("since"))?,
        parse_day("until", form.value("until"))?,
    );
    if until < since {
        return Err(Invalid::new("until", format!("{until} is before {since}")));
    }
    let (_, seed) = moment.id.as_u64_pair();
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
        let words =
            format!("only {drawn} trees of these days wait to be drawn: write {drawn} for all");
        return Err(Invalid::new("trees", words));
    }
    Ok(Reading::save(Thing::Draw(draw)))
}
