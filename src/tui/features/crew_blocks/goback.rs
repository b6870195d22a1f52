//! The forms for rows that are sent back, and for what came of them.

use crate::orchard::{Faults, GoBack, GoBackId, Invalid, Outcome, Settled, parse_day};
use crate::store::Thing;
use crate::tui::app::{Model, Moment};
use crate::tui::features::forms::{FormSpec, NO_WINTER, Reading, winter};
use crate::tui::{Field, Form};

pub fn send_spec() -> FormSpec {
    FormSpec::new(send, read_send).says("the row is sent back; Blocks and the day sheet show it")
}

pub fn settle_spec(entry: GoBackId) -> FormSpec {
    FormSpec::new(
        move |model| settle(model, entry),
        move |model, form, _| read_settle(model, form, entry),
    )
    .says("what came of the row is saved")
}

/// Sends back the row of the tree on the Count screen.
fn send(model: &Model) -> Result<Form, String> {
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
    let reason = Field::note("reason", "What to mend").hint("such as: thick tops left in");
    Ok(Form::new(title, vec![reason]))
}

/// Reads the form of [`send`].
fn read_send(model: &Model, form: &Form, moment: Moment) -> Result<Reading, Faults> {
    let winter = winter(model)?;
    let place = model
        .count
        .place()
        .ok_or_else(|| Invalid::new("row", "no tree is chosen"))?;
    let pruner = place
        .pruner
        .ok_or_else(|| Invalid::new("pruner", "is not known"))?;
    let block = model
        .house
        .blocks
        .iter()
        .find(|block| block.id == place.block)
        .ok_or_else(|| Invalid::new("block", "is gone"))?;
    let entry = GoBack {
        id: GoBackId(moment.id),
        winter,
        block: block.id,
        row: place.row,
        pruner,
        day: moment.now.day,
        reason: form.value("reason").to_owned(),
        settled: None,
    };
    Ok(Reading::save(Thing::GoBack(entry.check(block)?)))
}

pub(crate) fn find(model: &Model, entry: GoBackId) -> Option<&GoBack> {
    model
        .season
        .as_ref()?
        .go_backs
        .iter()
        .find(|known| known.id == entry)
}

/// Asks what came of a row.
fn settle(model: &Model, entry: GoBackId) -> Result<Form, String> {
    let season = model.season.as_ref().ok_or(NO_WINTER)?;
    let known = find(model, entry).ok_or("this row is no longer on the list")?;
    let title = format!(
        "Row {} of {}, sent back to {} on {}",
        known.row,
        season.block_name(known.block),
        season.pruner_shown(known.pruner),
        known.day
    );
    let fields = outcome_fields(model, Some(known)).to_vec();
    Ok(Form::new(title, fields))
}

/// Reads the form of [`settle`].
fn read_settle(model: &Model, form: &Form, entry: GoBackId) -> Result<Reading, Faults> {
    let known =
        find(model, entry).ok_or_else(|| Invalid::new("row", "is no longer on the list"))?;
    let block = model
        .house
        .blocks
        .iter()
        .find(|block| block.id == known.block)
        .ok_or_else(|| Invalid::new("block", "is gone"))?;
    let mut faults = Faults::default();
    let changed = GoBack {
        settled: faults.take(settled(form)),
        reason: form.value("reason").to_owned(),
        ..known.clone()
    };
    Ok(Reading::save(Thing::GoBack(
        faults.made(changed.check(block))?,
    )))
}

/// Fields for what is to be mended, and what came of it.
pub(crate) fn outcome_fields(model: &Model, known: Option<&GoBack>) -> [Field; 3] {
    let settled = known.and_then(|entry| entry.settled);
    let mut outcomes = vec!["not known yet".to_owned()];
    outcomes.extend(Outcome::ALL.map(|outcome| outcome.word().to_owned()));
    let chosen = settled
        .and_then(|s| Outcome::ALL.iter().position(|o| *o == s.outcome))
        .map_or(0, |at| at + 1);
    let day = settled.map_or(model.now.day, |settled| settled.day);
    [
        Field::choice_of("outcome", "What came of it", outcomes)
            .chosen(chosen)
            .hint("mended: log it on Today too (w), which adds its hours, its trees count once; then count trees there again"),
        Field::day("settled_day", "Seen on")
            .with(day.to_string())
            .hint("such as 2027-01-14; counts only once something came of it"),
        Field::note("reason", "What to mend")
            .with(known.map_or("", |entry| entry.reason.as_str()))
            .hint("such as: thick tops left in"),
    ]
}

/// Reads what came of a row.
pub(crate) fn settled(form: &Form) -> Result<Option<Settled>, Invalid> {
    let place = form.choice("outcome").checked_sub(1);
    let Some(outcome) = place.and_then(|at| Outcome::ALL.get(at)) else {
        return Ok(None);
    };
    Ok(Some(Settled {
        outcome: *outcome,
        day: parse_day("settled_day", form.value("settled_day"))?,
    }))
}
