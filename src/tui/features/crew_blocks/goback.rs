//! The form for what came of a row that was sent back.

use crate::orchard::{
    Block, Faults, GoBack, GoBackId, How, Invalid, Outcome, Pruner, Settled, WorkDraft, WorkEntry,
    WorkId, WorkKind, parse_day,
};
use crate::report::words;
use crate::store::{Change, Thing};
use crate::tui::app::{Model, Moment};
use crate::tui::features::forms::{FormSpec, NO_WINTER, Reading, chosen_pruner, crew};
use crate::tui::{Field, Form};

pub fn settle_spec(entry: GoBackId) -> FormSpec {
    FormSpec::new(
        move |model| settle(model, entry),
        move |model, form, moment| read_settle(model, form, entry, moment),
    )
    .says("what came of the row is saved")
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
    let mut fields = outcome_fields(model, Some(known)).to_vec();
    fields.push(note_field(known.reason.as_str()));
    Ok(Form::new(title, fields))
}

/// Reads the form of [`settle`].
fn read_settle(
    model: &Model,
    form: &Form,
    entry: GoBackId,
    moment: Moment,
) -> Result<Reading, Faults> {
    let known =
        find(model, entry).ok_or_else(|| Invalid::new("row", "is no longer on the list"))?;
    let block = model
        .house
        .block(known.block)
        .ok_or_else(|| Invalid::new("block", "is gone"))?;
    let mut faults = Faults::default();
    let changed = GoBack {
        settled: faults.take(settled(form)),
        reason: form.value("reason").to_owned(),
        ..known.clone()
    };
    let changed = faults.made(changed.check(block))?;
    kept(model, form, (changed, block), moment)
}

/// The entry, and the rework that is logged with it.
pub(crate) fn kept(
    model: &Model,
    form: &Form,
    (entry, block): (GoBack, &Block),
    moment: Moment,
) -> Result<Reading, Faults> {
    let work = redone(model, form, (&entry, block), moment)?;
    let mut changes = vec![Change::save(Thing::GoBack(entry))];
    let work = work.into_iter().map(|work| Change::save(Thing::Work(work)));
    changes.extend(work);
    Ok(Reading::Write(changes))
}

/// What is to be mended, where that is known.
pub(crate) fn note_field(reason: &str) -> Field {
    Field::note("reason", "What to mend")
        .with(reason)
        .hint("such as: thick tops left in")
}

/// The entry of the field of who did it over that leaves the log as it is.
const NOT_NOTED: &str = "not noted";

/// Fields for who did a row over and when, as the log says where it does; else it is logged with the entry.
fn redone_fields(model: &Model, known: Option<&GoBack>) -> [Field; 2] {
    let season = model.season.as_ref();
    let redone = season.zip(known).and_then(|(season, known)| {
        let redone = season.redone(known, model.now.day)?;
        let by = redone.by.iter().map(|by| season.pruner_shown(*by));
        Some((by.collect::<Vec<_>>(), redone.day))
    });
    let (logged, day) = match &redone {
        Some((by, day)) => (format!("as logged: {}, {day}", words::list(by)), *day),
        None => (NOT_NOTED.to_owned(), model.now.day),
    };
    let mut who = vec![logged];
    let crew = crew(model, known.map(|known| known.pruner));
    who.extend(crew.into_iter().map(Pruner::shown));
    [
        Field::choice_of("pruner_again", "Redone by", who)
            .hint("one chosen here is logged as rework; its hours go in on Today, Log work (w)"),
        Field::day("redone_on", "Redone on")
            .with(day.to_string())
            .hint("counts only with somebody chosen above"),
    ]
}

/// The rework that the form logs: of the trees that the pruner was sent back to.
fn redone(
    model: &Model,
    form: &Form,
    (entry, block): (&GoBack, &Block),
    moment: Moment,
) -> Result<Vec<WorkEntry>, Faults> {
    if form.choice("pruner_again") == 0 {
        return Ok(Vec::new());
    }
    let season = model
        .season
        .as_ref()
        .ok_or_else(|| Invalid::new("redone_on", NO_WINTER))?;
    let pruner = chosen_pruner(model, form, "pruner_again")?;
    let day = parse_day("redone_on", form.value("redone_on"))?;
    if day < entry.day {
        let problem = format!("{day} is before the row was sent back, {}", entry.day);
        return Err(Invalid::new("redone_on", problem).into());
    }
    let places = season.places_of((entry.block, entry.row), entry.pruner, entry.day);
    let work = |(at, (first, last)): (u128, (u16, u16))| {
        let draft = WorkDraft {
            winter: entry.winter,
            pruner,
            block: entry.block,
            row: entry.row,
            first,
            last,
            day,
            minutes: None,
            how: How {
                kind: WorkKind::Rework,
                ..How::default()
            },
        };
        let id = moment.id.as_u128().wrapping_add(1 + at);
        WorkEntry::known(WorkId(uuid::Uuid::from_u128(id)), draft, block)
    };
    (0..).zip(places).map(work).collect()
}

/// Fields for what came of a row, and who did it over.
pub(crate) fn outcome_fields(model: &Model, known: Option<&GoBack>) -> [Field; 4] {
    let settled = known.and_then(|entry| entry.settled);
    let mut outcomes = vec!["not known yet".to_owned()];
    outcomes.extend(Outcome::ALL.map(|outcome| outcome.word().to_owned()));
    let chosen = settled
        .and_then(|s| Outcome::ALL.iter().position(|o| *o == s.outcome))
        .map_or(0, |at| at + 1);
    let day = settled.map_or(model.now.day, |settled| settled.day);
    let [who, when] = redone_fields(model, known);
    [
        Field::choice_of("outcome", "What came of it", outcomes)
            .chosen(chosen)
            .hint("mended: count trees there again; the draw offers them"),
        Field::day("settled_day", "Seen on")
            .with(day.to_string())
            .hint("such as 2027-01-14; counts only once something came of it"),
        who,
        when,
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
