//! The form of a row on the go-back list, with all that is recorded of it.

use crate::orchard::{Faults, GoBack, GoBackId, parse_day};
use crate::tui::app::{Model, Moment};
use crate::tui::features::crew_blocks::goback::{find, kept, note_field, outcome_fields, settled};
use crate::tui::features::crew_blocks::rework::{reason, reason_fields};
use crate::tui::features::forms::{
    FormSpec, NO_BLOCK, NO_CREW, NO_WINTER, Reading, block_field, chosen_block, chosen_pruner,
    crew, crew_field, whole, winter,
};
use crate::tui::{Field, Form};

pub fn spec(entry: Option<GoBackId>) -> FormSpec {
    let spec = FormSpec::new(
        move |model| form(model, entry),
        move |model, form, moment| read(model, form, entry, moment),
    )
    .says("the row is saved");
    if entry.is_some() {
        return spec;
    }
    spec.new_entry()
}

/// The form: a row sent back today, or filled with an entry.
fn form(model: &Model, entry: Option<GoBackId>) -> Result<Form, String> {
    model.season.as_ref().ok_or(NO_WINTER)?;
    let known = match entry {
        Some(id) => Some(find(model, id).ok_or("this row is no longer on the list")?),
        None => None,
    };
    if model.house.blocks.is_empty() {
        return Err(NO_BLOCK.to_owned());
    }
    let who = known.map(|entry| entry.pruner);
    let pruners = crew(model, who);
    if pruners.is_empty() {
        return Err(NO_CREW.to_owned());
    }
    let day = known.map_or(model.now.day, |entry| entry.day);
    let mut fields = vec![
        crew_field(&pruners, who),
        block_field(model, known.map(|entry| entry.block)),
        Field::whole("row", "Row")
            .with(known.map_or_else(String::new, |entry| entry.row.to_string()))
            .hint("the row's number"),
        Field::day("day", "Sent back on")
            .with(day.to_string())
            .hint("such as 2027-01-12"),
    ];
    match known {
        Some(entry) => fields.push(note_field(&entry.reason)),
        None => fields.extend(reason_fields()),
    }
    fields.extend(outcome_fields(model, known));
    let title = if known.is_some() {
        "Change a row of the go-back list"
    } else {
        "Send a pruner back to a row"
    };
    Ok(Form::new(title, fields))
}

/// Reads the form.
fn read(
    model: &Model,
    form: &Form,
    entry: Option<GoBackId>,
    moment: Moment,
) -> Result<Reading, Faults> {
    let pruner = chosen_pruner(model, form, "pruner")?;
    let block = chosen_block(model, form)?;
    let mut faults = Faults::default();
    let read = GoBack {
        id: entry.unwrap_or(GoBackId(moment.id)),
        winter: winter(model)?,
        block: block.id,
        row: faults.take(whole(form, "row")),
        pruner,
        day: faults.take(parse_day("day", form.value("day"))),
        reason: match entry {
            Some(_) => form.value("reason").to_owned(),
            None => faults.take(reason(form)),
        },
        settled: faults.take(settled(form)),
    };
    let checked = faults.made(read.check(block))?;
    kept(model, form, (checked, block), moment)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::orchard::Outcome;
    use crate::store::Thing;
    use crate::tui::app::FormKind;
    use crate::tui::trial::{fill, orchard, refusal, saved};

    #[test]
    fn an_entry_reads_back_and_can_be_settled() {
        let model = orchard();
        let entry = model.season.as_ref().unwrap().go_backs[0].clone();
        let job = FormKind::GoBack(Some(entry.id));
        let mut form = form(&model, Some(entry.id)).unwrap();
        assert_eq!(saved(&model, &form, job), Thing::GoBack(entry));
        fill(
            &mut form,
            &[("outcome", "mended"), ("settled_day", "2027-01-14")],
        );
        let Thing::GoBack(entry) = saved(&model, &form, job) else {
            panic!("not a row");
        };
        assert_eq!(entry.settled.unwrap().outcome, Outcome::Mended);
    }

    #[test]
    fn each_wrong_field_is_named() {
        let model = orchard();
        for (key, wrong) in [
            ("row", ""),
            ("row", "99"),
            ("day", "yesterday"),
            ("settled_day", "2026-01-01"),
            ("settled_day", ""),
            ("reason", "a\u{202e}b"),
            ("why", "choose one"),
        ] {
            let mut form = form(&model, None).unwrap();
            fill(
                &mut form,
                &[
                    ("row", "1"),
                    ("why", "old wood left"),
                    ("outcome", "mended"),
                    (key, wrong),
                ],
            );
            let refused = refusal(&model, &form, FormKind::GoBack(None));
            assert_eq!(refused.field, key, "{wrong}: {refused}");
        }
    }
}
