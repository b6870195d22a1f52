//! The forms of worked days, and of comings and goings.

use crate::orchard::{
    Faults, Invalid, LostDays, LostDaysId, LostKind, Pruner, PrunerId, Stint, parse_day,
};
use crate::outlook::pace::{parse_weekdays, weekdays_text};
use crate::store::{Labour, Thing};
use crate::tui::app::{Model, Moment};
use crate::tui::features::forms::{
    FormSpec, NO_CREW, NO_WINTER, Reading, chosen_pruner, crew_field, winter,
};
use crate::tui::{Field, Form};

pub fn weekdays_spec() -> FormSpec {
    FormSpec::new(weekdays, |model, form, _| read_weekdays(model, form))
        .says("the weekdays are saved; every forecast is made afresh")
}

pub fn lost_spec(entry: Option<LostDaysId>) -> FormSpec {
    FormSpec::new(
        move |model| lost(model, entry),
        move |model, form, moment| read_lost(model, form, entry, moment),
    )
    .says("the days are saved; every forecast is made afresh")
}

pub fn stint_spec(pruner: Option<PrunerId>) -> FormSpec {
    FormSpec::new(
        move |model| stint(model, pruner),
        |model, form, _| read_stint(model, form),
    )
    .says("the pruner's days are saved; every forecast is made afresh")
}

pub(super) fn known(model: &Model) -> Result<&Labour, String> {
    let season = model.season.as_ref();
    season
        .map(|season| &season.labour)
        .ok_or_else(|| NO_WINTER.to_owned())
}

/// Asks which weekdays are worked.
fn weekdays(model: &Model) -> Result<Form, String> {
    let week = known(model)?.worked_weekdays();
    let field = Field::text("weekdays", "Worked")
        .with(weekdays_text(week))
        .hint("such as Mon..Sat, or Mon..Fri, Sun");
    Ok(Form::new("Weekdays worked in this winter", vec![field]))
}

/// Reads the form of [`weekdays`].
fn read_weekdays(model: &Model, form: &Form) -> Result<Reading, Faults> {
    let week = parse_weekdays(form.value("weekdays"))?;
    Ok(Reading::save(Thing::Weekdays(winter(model)?, week)))
}

const KINDS: [(&str, LostKind); 2] = [("rain", LostKind::Rain), ("day off", LostKind::Off)];

/// Asks for days without work.
fn lost(model: &Model, lost: Option<LostDaysId>) -> Result<Form, String> {
    let labour = known(model)?;
    let entry = match lost {
        Some(id) => {
            let mut all = labour.lost.iter();
            Some(
                all.find(|known| known.id == id)
                    .ok_or("these days are gone")?,
            )
        }
        None => None,
    };
    let first = entry.map_or(model.now.day, |entry| entry.first);
    let last = entry.filter(|entry| entry.last != entry.first);
    let kind = entry.map_or(LostKind::Rain, |entry| entry.kind);
    let place = KINDS.iter().position(|(_, other)| *other == kind);
    let fields = vec![
        Field::day("first", "First day")
            .with(first.to_string())
            .hint("such as 2027-01-12"),
        Field::day("last", "Last day")
            .with(last.map_or_else(String::new, |entry| entry.last.to_string()))
            .hint("empty: one day"),
        Field::choice_of(
            "kind",
            "Kind",
            KINDS.map(|(word, _)| word.to_owned()).to_vec(),
        )
        .chosen(place.unwrap_or(0))
        .hint("days that rain took tell the forecast how often it will; days off do not"),
    ];
    Ok(Form::new("Days without work: rain, or days off", fields))
}

/// Reads the form of [`lost`].
fn read_lost(
    model: &Model,
    form: &Form,
    lost: Option<LostDaysId>,
    moment: Moment,
) -> Result<Reading, Faults> {
    let mut faults = Faults::default();
    let first = parse_day("first", form.value("first")).and_then(|day| {
        in_winter(model, "first", day)?;
        Ok(day)
    });
    let first = faults.take(first);
    let last = day_or(form, "last").and_then(|day| {
        day.map_or(Ok(()), |day| in_winter(model, "last", day))?;
        Ok(day.unwrap_or(first))
    });
    let last = faults.take(last);
    let entry = LostDays {
        id: lost.unwrap_or(LostDaysId(moment.id)),
        winter: winter(model)?,
        first,
        last,
        kind: KINDS[form.choice("kind").min(1)].1,
    };
    let entry = faults.made(entry.check())?;
    fits_calendar(model, entry)?;
    Ok(Reading::save(Thing::LostDays(entry)))
}

/// A calendar holds so many days.
fn fits_calendar(model: &Model, entry: LostDays) -> Result<(), Invalid> {
    let season = model.season.as_ref();
    let Some(mut labour) = season.map(|season| season.labour.clone()) else {
        return Ok(());
    };
    labour.lost.retain(|other| other.id != entry.id);
    labour.lost.push(entry);
    let fits = labour.calendar().map(|_| ());
    fits.map_err(|wrong| Invalid::new("first", wrong.problem))
}

fn day_or(form: &Form, key: &'static str) -> Result<Option<chrono::NaiveDate>, Invalid> {
    let typed = form.value(key).trim();
    if typed.is_empty() {
        return Ok(None);
    }
    parse_day(key, typed).map(Some)
}

/// A day of another winter would be kept and do nothing: most often the old year, typed in January.
fn in_winter(model: &Model, key: &'static str, day: chrono::NaiveDate) -> Result<(), Invalid> {
    let Some(season) = &model.season else {
        return Ok(());
    };
    let checked = season.winter.check_day(day);
    checked.map_err(|wrong| Invalid::new(key, wrong.problem))
}

/// The first day may lie before the winter: whoever was here earlier is here from its start.
fn joins(model: &Model, form: &Form) -> Result<Option<chrono::NaiveDate>, Invalid> {
    let joins = day_or(form, "joins")?;
    let start = model.season.as_ref().map(|season| season.winter.start);
    if let Some(day) = joins.filter(|day| start.is_some_and(|start| *day > start)) {
        in_winter(model, "joins", day)?;
    }
    Ok(joins)
}

fn leaves(model: &Model, form: &Form) -> Result<Option<chrono::NaiveDate>, Invalid> {
    let leaves = day_or(form, "leaves")?;
    leaves.map_or(Ok(()), |day| in_winter(model, "leaves", day))?;
    Ok(leaves)
}

/// Whom a form is about: the one it was opened for, or all to choose from.
fn choices(model: &Model, pruner: Option<PrunerId>) -> Vec<&Pruner> {
    let crew = model.house.pruners.iter();
    crew.filter(|known| pruner.is_none_or(|id| known.id == id))
        .collect()
}

pub(super) fn some_crew(model: &Model, pruner: Option<PrunerId>) -> Result<Field, String> {
    let crew = choices(model, pruner);
    if crew.is_empty() {
        return Err(NO_CREW.to_owned());
    }
    Ok(crew_field(&crew, pruner))
}

/// Asks when a pruner comes and goes.
fn stint(model: &Model, pruner: Option<PrunerId>) -> Result<Form, String> {
    let labour = known(model)?;
    let stint = pruner.and_then(|id| labour.stints.get(&id));
    let text = |day: Option<chrono::NaiveDate>| day.map_or_else(String::new, |day| day.to_string());
    let fields = vec![
        some_crew(model, pruner)?,
        Field::day("joins", "First day")
            .with(text(stint.and_then(|stint| stint.joins)))
            .hint("empty: here from the start"),
        Field::day("leaves", "Last day")
            .with(text(stint.and_then(|stint| stint.leaves)))
            .hint("empty: stays to the end"),
    ];
    Ok(Form::new("When a pruner comes and goes", fields))
}

/// Reads the form of [`stint`].
fn read_stint(model: &Model, form: &Form) -> Result<Reading, Faults> {
    let mut faults = Faults::default();
    let stint = Stint {
        winter: winter(model)?,
        pruner: chosen_pruner(model, form, "pruner")?,
        joins: faults.take(joins(model, form)),
        leaves: faults.take(leaves(model, form)),
    };
    let stint = faults.made(stint.check())?;
    Ok(Reading::save(Thing::Stint(stint)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tui::app::FormKind;
    use crate::tui::trial::{fill, orchard, refusal, saved};

    #[test]
    fn each_thing_is_read() {
        let model = orchard();
        let mut form = lost(&model, None).unwrap();
        fill(
            &mut form,
            &[("first", "2027-01-11"), ("last", "2027-01-12")],
        );
        let Thing::LostDays(days) = saved(&model, &form, FormKind::LostDays(None)) else {
            panic!("no days");
        };
        assert_eq!((days.kind, days.days().count()), (LostKind::Rain, 2));
        let form = weekdays(&model).unwrap();
        let Thing::Weekdays(_, week) = saved(&model, &form, FormKind::Weekdays) else {
            panic!("no week");
        };
        assert_eq!(weekdays_text(week), "Mon..Sat");
        let mut form = stint(&model, None).unwrap();
        fill(&mut form, &[("leaves", "2027-02-01")]);
        let Thing::Stint(stint) = saved(&model, &form, FormKind::Stint(None)) else {
            panic!("no stay");
        };
        assert_eq!(
            (stint.pruner, stint.joins),
            (model.house.pruners[0].id, None)
        );
    }

    #[test]
    fn each_wrong_field_is_named() {
        let model = orchard();
        let wrong = |mut form: Form, job, key: &'static str, typed: &str| {
            fill(&mut form, &[(key, typed)]);
            assert_eq!(refusal(&model, &form, job).field, key, "{typed}");
        };
        let days = || lost(&model, None).unwrap();
        wrong(days(), FormKind::LostDays(None), "first", "tomorrow");
        wrong(days(), FormKind::LostDays(None), "last", "2026-01-01");
        wrong(
            weekdays(&model).unwrap(),
            FormKind::Weekdays,
            "weekdays",
            "Mo",
        );
        wrong(
            stint(&model, None).unwrap(),
            FormKind::Stint(None),
            "joins",
            "",
        );
        wrong(
            stint(&model, None).unwrap(),
            FormKind::Stint(None),
            "leaves",
            "x",
        );
    }

    /// The winter is 2026/27, from 2026-11-20 on.
    #[test]
    fn days_of_another_winter_are_refused() {
        let model = orchard();
        let days = |values: &[(&str, &str)]| {
            let mut form = lost(&model, None).unwrap();
            fill(&mut form, values);
            refusal(&model, &form, FormKind::LostDays(None))
        };
        let old_year = days(&[("first", "2026-01-14")]);
        assert_eq!(old_year.field, "first");
        assert!(old_year.problem.contains("before winter 2026/27"));
        let late = [("first", "2027-01-14"), ("last", "2027-12-01")];
        assert_eq!(days(&late).field, "last");
        let read = |values: &[(&str, &str)]| {
            let mut form = stint(&model, None).unwrap();
            fill(&mut form, values);
            let read = read_stint(&model, &form);
            read.map(drop).map_err(|wrong| wrong[0].field)
        };
        assert_eq!(read(&[("leaves", "2026-02-10")]), Err("leaves"));
        assert_eq!(read(&[("joins", "2028-01-12")]), Err("joins"));
        assert_eq!(read(&[("joins", "2026-02-10")]), Ok(()));
        assert_eq!(read(&[("leaves", "2027-02-10")]), Ok(()));
    }
}
