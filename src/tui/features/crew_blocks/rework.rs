//! The form that asks for rework: a pruner is sent back to a row, with what is to be mended there.

use crate::orchard::{Block, BlockId, Doer, Faults, GoBack, GoBackId, Invalid, Pruner, PrunerId};
use crate::store::Thing;
use crate::tui::app::{Model, Moment};
use crate::tui::features::forms::{
    FormSpec, NO_BLOCK, NO_CREW, NO_WINTER, NOT_THERE, Reading, block_field, chosen_block,
    chosen_pruner, crew, whole, winter,
};
use crate::tui::{Field, Form};

pub fn tree_spec() -> FormSpec {
    FormSpec::new(of_tree, read_tree).says(SAID)
}

pub fn row_spec(block: Option<BlockId>, row: Option<u16>, pruner: Option<PrunerId>) -> FormSpec {
    FormSpec::new(move |model| of_row(model, block, row, pruner), read_row).says(SAID)
}

const SAID: &str = "the row is sent back; Blocks and the day sheet show it";

/// The entry of the pruner field that takes the pruner from the work log.
const BY_LOG: &str = "as the work log says";

/// What is to be mended, as it is said in the rows, and short enough for a button; the first is none yet, the last wants
/// words.
const REASONS: [&str; 7] = [
    "choose one",
    "too much 2-year wood",
    "old wood left",
    "few fruiting pieces",
    "buds too long",
    "top too thick",
    "other",
];

/// Fields for what is to be mended.
pub(crate) fn reason_fields() -> [Field; 2] {
    [
        Field::choice_of("why", "What to mend", REASONS.map(str::to_owned).to_vec())
            .hint("left and right, or touch it"),
        Field::note("reason", "In words").hint("may stay empty, but for other"),
    ]
}

/// The reason that the form gives: the one chosen, what was typed, or both; one is needed.
pub(crate) fn reason(form: &Form) -> Result<String, Invalid> {
    let (at, typed) = (form.choice("why"), form.value("reason").trim());
    let ready = at > 0 && at + 1 < REASONS.len();
    match (ready, typed) {
        (true, "") => Ok(form.value("why").to_owned()),
        (true, typed) => Ok(format!("{}: {typed}", form.value("why"))),
        (false, "") if at == 0 => Err(Invalid::new("why", "choose what is to be mended")),
        (false, "") => Err(Invalid::new("reason", "is empty; say what is to be mended")),
        (false, typed) => Ok(typed.to_owned()),
    }
}

/// Sends back the row of the tree on the Count screen.
fn of_tree(model: &Model) -> Result<Form, String> {
    let season = model.season.as_ref().ok_or(NO_WINTER)?;
    let place = model
        .count
        .place()
        .ok_or("no tree is chosen, so there is no row to send back")?;
    let who = place
        .pruner
        .ok_or("it is not known who pruned this tree: log the work (Set-up, Work), or name the pruner: Tree (5)")?;
    let title = format!(
        "Send {} back to row {} of {}",
        season.pruner_shown(who),
        place.row,
        season.block_name(place.block)
    );
    Ok(Form::new(title, reason_fields().to_vec()))
}

fn read_tree(model: &Model, form: &Form, moment: Moment) -> Result<Reading, Faults> {
    let place = model
        .count
        .place()
        .ok_or_else(|| Invalid::new("why", "no tree is chosen"))?;
    let pruner = place
        .pruner
        .ok_or_else(|| Invalid::new("why", "it is not known who pruned the tree"))?;
    let block = model.house.block(place.block);
    let block = block.ok_or_else(|| Invalid::new("why", NOT_THERE))?;
    sent(model, form, (block, Ok(place.row), Ok(pruner)), moment)
}

/// Asks for a row, with what is known of it filled in.
fn of_row(
    model: &Model,
    block: Option<BlockId>,
    row: Option<u16>,
    pruner: Option<PrunerId>,
) -> Result<Form, String> {
    let season = model.season.as_ref().ok_or(NO_WINTER)?;
    if model.house.blocks.is_empty() {
        return Err(NO_BLOCK.to_owned());
    }
    let crew = crew(model, pruner);
    if crew.is_empty() {
        return Err(NO_CREW.to_owned());
    }
    let mut work = season.work.iter().rev();
    let last = work.find(|work| Some(work.pruner) == pruner);
    let block = block.or(last.map(|work| work.block));
    let at = crew.iter().position(|known| Some(known.id) == pruner);
    let mut names = vec![BY_LOG.to_owned()];
    names.extend(crew.into_iter().map(Pruner::shown));
    let mut fields = vec![
        block_field(model, block),
        Field::whole("row", "Row")
            .with(row.map_or_else(String::new, |row| row.to_string()))
            .hint("the row's number"),
        Field::choice_of("pruner", "Pruner", names)
            .chosen(at.map_or(0, |at| at + 1))
            .hint("left and right, or type the number or the name"),
    ];
    fields.extend(reason_fields());
    Ok(Form::new(
        "Ask for rework: send a pruner back to a row",
        fields,
    ))
}

fn read_row(model: &Model, form: &Form, moment: Moment) -> Result<Reading, Faults> {
    let block = chosen_block(model, form)?;
    let row = whole(form, "row");
    let pruner = match (form.value("pruner"), &row) {
        (BY_LOG, Ok(row)) => by_log(model, block, *row, moment),
        // that the row is wrong is told beside it
        (BY_LOG, Err(_)) => Ok(PrunerId(uuid::Uuid::nil())),
        _ => chosen_pruner(model, form, "pruner"),
    };
    sent(model, form, (block, row, pruner), moment)
}

/// Who pruned the row, where that is one alone or some who shared all of it.
fn by_log(model: &Model, block: &Block, row: u16, moment: Moment) -> Result<PrunerId, Invalid> {
    let wrong = |problem: String| Invalid::new("pruner", problem).against(&["row"]);
    let season = model
        .season
        .as_ref()
        .ok_or_else(|| wrong(NO_WINTER.to_owned()))?;
    let doers = season.doers_of_row((block.id, row), moment.now.day);
    match doers.as_slice() {
        [one] => Ok(one.person()),
        [] => Err(wrong(format!(
            "no work is logged in row {row}: choose who goes back"
        ))),
        many => {
            let names: Vec<String> = many
                .iter()
                .map(|by: &Doer| season.pruner_shown(by.subject()))
                .collect();
            let problem = format!(
                "row {row} was pruned by {}: choose who goes back",
                names.join("; ")
            );
            Err(wrong(problem))
        }
    }
}

type Asked<'b> = (&'b Block, Result<u16, Invalid>, Result<PrunerId, Invalid>);

fn sent(
    model: &Model,
    form: &Form,
    (block, row, pruner): Asked<'_>,
    moment: Moment,
) -> Result<Reading, Faults> {
    let mut faults = Faults::default();
    let entry = GoBack {
        id: GoBackId(moment.id),
        winter: winter(model)?,
        block: block.id,
        row: faults.take(row),
        pruner: faults
            .take(pruner.map(Some))
            .unwrap_or(PrunerId(uuid::Uuid::nil())),
        day: moment.now.day,
        reason: faults.take(reason(form)),
        settled: None,
    };
    Ok(Reading::save(Thing::GoBack(
        faults.made(entry.check(block))?,
    )))
}

#[cfg(test)]
#[path = "rework_tests.rs"]
mod tests;
