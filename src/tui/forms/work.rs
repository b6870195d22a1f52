//! The form for an entry of the work log.

use super::{NO_WINTER, Reading, block_field, chosen_block, crew, crew_field, whole, winter};
use crate::orchard::{Invalid, WorkDraft, WorkEntry, WorkId, hours_text, parse_day, parse_hours};
use crate::report::words;
use crate::tui::app::{Model, Moment, Thing};
use crate::tui::{Field, Form};

/// The form: empty but for the day and the last block, or filled with an entry.
pub fn form(model: &Model, entry: Option<WorkId>) -> Result<Form, String> {
    let season = model.season.as_ref().ok_or(NO_WINTER)?;
    if model.house.blocks.is_empty() {
        return Err("set up a block first: F8 Set-up".to_owned());
    }
    let known = entry.and_then(|id| season.work.iter().find(|work| work.id == id));
    let pruners = crew(model, known.map(|work| work.pruner));
    if pruners.is_empty() {
        return Err("set up a pruner first: F8 Set-up".to_owned());
    }
    let block = known.or(season.work.last()).map(|work| work.block);
    let number = |value: Option<u16>| value.map_or_else(String::new, |n| n.to_string());
    let fields = vec![
        crew_field(&pruners, known.map(|work| work.pruner)),
        block_field(model, block),
        Field::number("row", "Row")
            .with(number(known.map(|w| w.row)))
            .hint("the row's number"),
        Field::number("first", "First tree")
            .with(number(known.map(|w| w.first)))
            .hint("empty: from the start of the row"),
        Field::number("last", "Last tree")
            .with(number(known.map(|w| w.last)))
            .hint("empty: to the end of the row"),
        Field::day("day", "Day")
            .with(known.map_or(model.now.day, |w| w.day).to_string())
            .hint("such as 2027-01-12"),
        Field::text("hours", "Hours")
            .with(hours_text(known.and_then(|w| w.minutes)))
            .hint("7.5 or 7:30; may stay empty"),
    ];
    let title = if known.is_some() {
        "Change an entry of the work log"
    } else {
        "Log work: who pruned what"
    };
    Ok(Form::new(title, fields).with_summary())
}

/// Reads the form.
pub fn read(
    model: &Model,
    form: &Form,
    entry: Option<WorkId>,
    moment: Moment,
) -> Result<Reading, Invalid> {
    let known = entry.and_then(|id| {
        model
            .season
            .as_ref()?
            .work
            .iter()
            .find(|work| work.id == id)
    });
    let pruner = crew(model, known.map(|work| work.pruner))
        .get(form.choice("pruner"))
        .map(|pruner| pruner.id)
        .ok_or_else(|| Invalid::new("pruner", "is not named"))?;
    let block = chosen_block(model, form)?;
    let row = whole(form, "row")?;
    let places = block.rows.row(row).map(|row| row.places).ok_or_else(|| {
        Invalid::new(
            "row",
            format!("block {} has rows {}", block.name, block.rows.rows_text()),
        )
    })?;
    let or = |key, default| {
        if form.value(key).trim().is_empty() {
            Ok(default)
        } else {
            whole(form, key)
        }
    };
    let day = parse_day("day", form.value("day"))?;
    if let Some(season) = &model.season {
        season.winter.check_day(day)?;
    }
    if day > model.now.day {
        return Err(Invalid::new("day", format!("{day} is still to come")));
    }
    let draft = WorkDraft {
        winter: winter(model)?,
        pruner,
        block: block.id,
        row,
        first: or("first", 1)?,
        last: or("last", places)?,
        day,
        minutes: parse_hours(form.value("hours"))?,
    };
    let id = entry.unwrap_or(WorkId(moment.id));
    Ok(Reading::save(Thing::Work(WorkEntry::new(
        id, draft, block,
    )?)))
}

/// How many trees the entry names, and who else is logged for some of them.
pub fn summary(model: &Model, entry: &WorkEntry) -> String {
    let Some(season) = &model.season else {
        return String::new();
    };
    let row = season
        .block(entry.block)
        .and_then(|block| block.rows.row(entry.row));
    let trees = row.map_or(0, |row| row.trees_between(entry.first, entry.last));
    let others = season
        .work
        .iter()
        .filter(|other| other.id != entry.id && other.overlaps(entry));
    let named: Vec<String> = others
        .map(|other| format!("{} on {}", season.pruner_shown(other.pruner), other.day))
        .collect();
    let trees = words::trees(trees);
    if named.is_empty() {
        return format!("{trees}.");
    }
    format!(
        "{trees}; some are logged already for {}: the later entry will hold.",
        words::list(&named)
    )
}
