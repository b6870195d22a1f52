//! The forms of a winter, and of budburst in one block of it.

use chrono::{Datelike, Days, NaiveDate};

use crate::orchard::{
    BlockId, Faults, Invalid, Winter, WinterDraft, WinterId, optional_name, parse_day,
};
use crate::report::words;
use crate::store::Thing;
use crate::tui::app::{Model, Moment};
use crate::tui::features::forms::{FormSpec, NO_WINTER, Reading};
use crate::tui::{Field, Form};

pub fn spec(winter: Option<WinterId>) -> FormSpec {
    let spec = FormSpec::new(
        move |model| form(model, winter),
        move |model, form, moment| read(model, form, winter, moment),
    )
    .summary(|_, reading| match reading.thing() {
        Some(Thing::Winter(winter)) => summary(winter),
        _ => String::new(),
    })
    .says("the winter is saved")
    .guided();
    if winter.is_some() {
        return spec;
    }
    spec.new_entry()
}

pub fn budburst_spec(block: BlockId) -> FormSpec {
    FormSpec::new(
        move |model| budburst(model, block),
        move |model, form, _| read_budburst(model, form, block),
    )
    .summary(|_, reading| match reading.thing() {
        Some(Thing::Winter(winter)) => summary(winter),
        _ => String::new(),
    })
    .says("budburst is saved")
}

/// Days from the start to budburst that a new winter proposes: from memory, to be set by the house.
const DAYS: u64 = 100;

/// The form: from today on, or filled with a winter.
fn form(model: &Model, winter: Option<WinterId>) -> Result<Form, String> {
    let known = match winter {
        Some(id) => Some(find(model, id).ok_or("this winter is gone")?),
        None => None,
    };
    let start = known.map_or(model.now.day, |winter| winter.start);
    let budburst = known.map_or_else(|| later(start), |winter| winter.budburst);
    let fields = vec![
        Field::day("start", "First day of pruning")
            .with(start.to_string())
            .hint("such as 2027-01-12"),
        Field::day("budburst", "Budburst")
            .with(budburst.to_string())
            .hint("by this day all must be pruned; a block can have a day of its own"),
        Field::text("label", "Name")
            .with(known.map_or("", |winter| winter.label.as_str()))
            .hint("empty: named after its years, such as 2026/27"),
    ];
    let title = known.map_or_else(
        || "New winter".to_owned(),
        |winter| format!("Change winter {}", winter.label),
    );
    Ok(Form::new(title, fields).with_summary())
}

fn find(model: &Model, winter: WinterId) -> Option<&Winter> {
    model.house.winters.iter().find(|known| known.id == winter)
}

fn later(start: NaiveDate) -> NaiveDate {
    start.checked_add_days(Days::new(DAYS)).unwrap_or(start)
}

/// `2027`, or `2026/27` where the winter lies in two years.
fn label_of(start: NaiveDate, budburst: NaiveDate) -> String {
    if start.year() == budburst.year() {
        start.year().to_string()
    } else {
        format!("{}/{:02}", start.year(), budburst.year() % 100)
    }
}

/// Reads the form of [`form`].
fn read(
    model: &Model,
    form: &Form,
    winter: Option<WinterId>,
    moment: Moment,
) -> Result<Reading, Faults> {
    let id = winter.unwrap_or(WinterId(moment.id));
    let mut faults = Faults::default();
    let start = faults.take(parse_day("start", form.value("start")));
    let budburst = faults.take(parse_day("budburst", form.value("budburst")));
    let label = free_label(model, form, id, &label_of(start, budburst));
    let draft = WinterDraft {
        label: faults.take(label),
        start,
        budburst,
        block_budburst: find(model, id)
            .map(|winter| winter.block_budburst.clone())
            .unwrap_or_default(),
    };
    let winter = faults.made(Winter::new(id, draft))?;
    Ok(Reading::save(Thing::Winter(winter)))
}

/// The name typed, or else the one after its years, if no other winter has it.
fn free_label(model: &Model, form: &Form, id: WinterId, years: &str) -> Result<String, Invalid> {
    let typed = optional_name("label", form.value("label"))?;
    let label = if typed.is_empty() {
        years.to_owned()
    } else {
        typed
    };
    let taken = |winter: &Winter| winter.id != id && winter.label == label;
    if model.house.winters.iter().any(taken) {
        return Err(Invalid::new(
            "label",
            format!("there is another winter called {label}: give this one another name"),
        ));
    }
    Ok(label)
}

/// What the days make of it.
fn summary(winter: &Winter) -> String {
    let days = winter
        .budburst
        .signed_duration_since(winter.start)
        .num_days();
    format!(
        "Winter {}: {} from {} to budburst on {}.",
        winter.label,
        words::plural(days.unsigned_abs() as u32, "day", "days"),
        winter.start,
        winter.budburst
    )
}

/// Asks for the budburst of a block in the winter looked at.
fn budburst(model: &Model, block: BlockId) -> Result<Form, String> {
    let season = model.season.as_ref().ok_or(NO_WINTER)?;
    let winter = &season.winter;
    let own = winter.block_budburst.get(&block);
    let day = Field::day("budburst", "Budburst")
        .with(own.map_or_else(String::new, NaiveDate::to_string))
        .hint(format!(
            "such as {}; empty: as the winter, {}",
            winter.budburst, winter.budburst
        ));
    let title = format!(
        "Budburst in {}, winter {}",
        season.block_name(block),
        winter.label
    );
    Ok(Form::new(title, vec![day]))
}

/// Reads the form of [`budburst`].
fn read_budburst(model: &Model, form: &Form, block: BlockId) -> Result<Reading, Faults> {
    let typed = form.value("budburst").trim();
    let day = if typed.is_empty() {
        None
    } else {
        Some(parse_day("budburst", typed)?)
    };
    Ok(Reading::save(Thing::Winter(with_budburst(
        model, block, day,
    )?)))
}

/// The winter looked at, with this budburst in a block; with none, its own day holds there.
pub fn with_budburst(
    model: &Model,
    block: BlockId,
    day: Option<NaiveDate>,
) -> Result<Winter, Faults> {
    let season = model.season.as_ref();
    let winter = &season
        .ok_or_else(|| Invalid::new("winter", NO_WINTER))?
        .winter;
    let mut draft = winter.draft().clone();
    match day {
        Some(day) => draft.block_budburst.insert(block, day),
        None => draft.block_budburst.remove(&block),
    };
    Winter::new(winter.id, draft)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tui::app::FormKind;
    use crate::tui::trial::{fill, model, orchard, refusal, saved};

    fn winter(model: &Model, form: &Form, job: FormKind) -> Winter {
        match saved(model, form, job) {
            Thing::Winter(winter) => winter,
            other => panic!("not a winter: {other:?}"),
        }
    }

    #[test]
    fn a_new_winter_proposes_all() {
        let model = model();
        let form = form(&model, None).unwrap();
        let winter = winter(&model, &form, FormKind::Winter(None));
        assert_eq!(winter.start, model.now.day);
        assert_eq!(
            summary(&winter),
            "Winter 2027: 100 days from 2027-01-12 to budburst on 2027-04-22."
        );
    }

    #[test]
    fn a_winter_is_named_after_its_years() {
        let model = model();
        let mut form = form(&model, None).unwrap();
        fill(
            &mut form,
            &[("start", "2026-11-20"), ("budburst", "2027-03-25")],
        );
        assert_eq!(
            winter(&model, &form, FormKind::Winter(None)).label,
            "2026/27".to_owned()
        );
        fill(&mut form, &[("label", "冬")]);
        assert_eq!(
            winter(&model, &form, FormKind::Winter(None)).label,
            "冬".to_owned()
        );
    }

    #[test]
    fn each_wrong_field_is_named() {
        let model = orchard();
        let taken = model.house.winters[0].label.clone();
        for (key, wrong) in [
            ("start", ""),
            ("start", "12.1.2027"),
            ("budburst", "2027-01-12"),
            ("budburst", "2029-01-12"),
            ("budburst", "soon"),
            ("label", "a\u{202e}b"),
            ("label", taken.as_str()),
        ] {
            let mut form = form(&model, None).unwrap();
            fill(
                &mut form,
                &[("start", "2027-01-12"), ("label", "another"), (key, wrong)],
            );
            let refused = refusal(&model, &form, FormKind::Winter(None));
            assert_eq!(refused.field, key, "{wrong}: {refused}");
        }
    }

    #[test]
    fn a_block_can_have_its_own_budburst() {
        let mut model = orchard();
        let block = model.house.blocks[0].id;
        let job = FormKind::Budburst(block);
        let mut form = budburst(&model, block).unwrap();
        fill(&mut form, &[("budburst", "2027-03-01")]);
        let own = winter(&model, &form, job);
        assert_eq!(own.deadline(block).to_string(), "2027-03-01");
        model.season.as_mut().unwrap().winter = own;
        let mut form = budburst(&model, block).unwrap();
        assert_eq!(form.value("budburst"), "2027-03-01");
        fill(&mut form, &[("budburst", " ")]);
        assert!(winter(&model, &form, job).block_budburst.is_empty());
        fill(&mut form, &[("budburst", "2026-03-01")]);
        assert_eq!(refusal(&model, &form, job).field, "budburst");
    }
}
