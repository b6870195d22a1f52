//! The forms for what a season showed: tagged units in spring, and the harvest.

use super::factors::block;
use crate::orchard::{Block, BlockId, Faults, Invalid};
use crate::outlook::{BlockBook, HarvestEntry, SetCount, Weighed, Yield, season_year, tagged};
use crate::report::harvest_year;
use crate::store::Thing;
use crate::tui::app::Model;
use crate::tui::features::forms::numbers::decimal;
use crate::tui::features::forms::{FormSpec, NO_WINTER, Reading, whole};
use crate::tui::{Field, Form};

pub fn set_count_spec(block: BlockId, season: Option<i32>) -> FormSpec {
    FormSpec::new(
        move |model| set_count(model, block, season),
        move |model, form, _| read_set_count(model, form, block, season),
    )
    .says("the set count is saved")
}

pub fn harvest_spec(block: BlockId, season: Option<i32>) -> FormSpec {
    FormSpec::new(
        move |model| harvest(model, block, season),
        move |model, form, _| read_harvest(model, form, block, season),
    )
    .says("the harvest is saved")
}

/// The ways of saying a yield.
const UNITS: [&str; 2] = ["t/ha", "kg a tree"];

fn book(model: &Model, id: BlockId) -> BlockBook {
    let season = model.season.as_ref();
    season.map_or_else(BlockBook::default, |season| season.crop.of(id))
}

/// A field for the year of a new entry; none for one that is changed.
fn season_field(season: Option<i32>, likely: i32) -> Option<Field> {
    season.is_none().then(|| {
        Field::whole("season", "Season")
            .with(likely.to_string())
            .hint("the year of the harvest")
    })
}

/// The season of the form; a new one must not be entered already.
fn season_of(
    form: &Form,
    season: Option<i32>,
    known: impl Fn(i32) -> bool,
) -> Result<i32, Invalid> {
    let Some(season) = season else {
        let year = season_year(form.value("season"))?;
        if known(year) {
            let problem = format!("{year} is entered already: change that entry");
            return Err(Invalid::new("season", problem));
        }
        return Ok(year);
    };
    Ok(season)
}

/// The form of a set count.
fn set_count(model: &Model, id: BlockId, season: Option<i32>) -> Result<Form, String> {
    let winter = &model.season.as_ref().ok_or(NO_WINTER)?.winter;
    let sets = book(model, id).sets;
    let known = sets.iter().find(|set| Some(set.season) == season);
    if season.is_some() && known.is_none() {
        return Err("this entry is gone".to_owned());
    }
    let units = known.map_or_else(String::new, |set| {
        let texts: Vec<String> = set.units.iter().map(|unit| unit.text()).collect();
        texts.join(", ")
    });
    let mut fields: Vec<Field> = season_field(season, harvest_year(winter))
        .into_iter()
        .collect();
    fields.push(Field::note("units", "Tagged units").with(units).hint(
        "two-year pieces that were tagged, each: buds left, clusters kept, fruit on them, with commas between: 4 3 5, \
         3 2 2. Where fruit buds were told apart, they come second: 4 4 3 5",
    ));
    let name = &block(model, id)?.name;
    let year = season.map_or_else(String::new, |season| format!(" of {season}"));
    Ok(Form::new(format!("{name}: set count{year}"), fields))
}

/// Reads the form of [`set_count`].
fn read_set_count(
    model: &Model,
    form: &Form,
    block: BlockId,
    season: Option<i32>,
) -> Result<Reading, Faults> {
    let sets = book(model, block).sets;
    let mut faults = Faults::default();
    let year = season_of(form, season, |year| {
        sets.iter().any(|set| set.season == year)
    });
    let season = faults.take(year);
    let units = faults.take(tagged(form.value("units")));
    let set = faults.or(SetCount { season, units })?;
    Ok(Reading::save(Thing::SetCount(block, set)))
}

/// The form of a harvest.
pub(super) fn harvest(model: &Model, id: BlockId, season: Option<i32>) -> Result<Form, String> {
    let winter = &model.season.as_ref().ok_or(NO_WINTER)?.winter;
    let harvests = book(model, id).harvests;
    let known = harvests.iter().find(|entry| Some(entry.season) == season);
    if season.is_some() && known.is_none() {
        return Err("this entry is gone".to_owned());
    }
    let (unit, amount) = match known.map(|entry| entry.amount) {
        None => (0, String::new()),
        Some(Yield::TonnesPerHa(tonnes)) => (0, tonnes.to_string()),
        Some(Yield::KgPerTree(kg)) => (1, kg.to_string()),
    };
    let weighed = known.and_then(|entry| entry.weighed);
    let likely = harvest_year(winter) - 1;
    let mut fields: Vec<Field> = season_field(season, likely).into_iter().collect();
    fields.extend([
        Field::choice_of("unit", "Yield in", UNITS.map(str::to_owned).to_vec())
            .chosen(unit)
            .hint("left and right"),
        Field::number("amount", "Yield")
            .with(amount)
            .hint("of the block as harvested"),
        Field::number("mean_g", "Mean fruit weight, g")
            .with(weighed.map_or_else(String::new, |weighed| weighed.mean_g.to_string()))
            .hint("of fruit that were weighed; may stay empty"),
        Field::number("weighed", "Fruit weighed")
            .with(weighed.map_or_else(String::new, |weighed| weighed.fruit.to_string()))
            .hint("how many fruit that mean is of; may stay empty"),
    ]);
    let name = &block(model, id)?.name;
    let year = season.map_or_else(String::new, |season| format!(" of {season}"));
    Ok(Form::new(format!("{name}: harvest{year}"), fields))
}

/// Reads the form of [`harvest`].
fn read_harvest(
    model: &Model,
    form: &Form,
    block: BlockId,
    season: Option<i32>,
) -> Result<Reading, Faults> {
    let harvests = book(model, block).harvests;
    let mut faults = Faults::default();
    let year = season_of(form, season, |year| {
        harvests.iter().any(|entry| entry.season == year)
    });
    let season = faults.take(year);
    let amount = faults.take(decimal(form, "amount"));
    let weighed = faults.take(weighed(form));
    let entry = HarvestEntry {
        season,
        amount: if form.choice("unit") == 0 {
            Yield::TonnesPerHa(amount)
        } else {
            Yield::KgPerTree(amount)
        },
        weighed,
    };
    // a slip such as 350 for 35.0 shows in what it would be a tree
    let spacing = super::factors::block(model, block).map(Block::trees_per_ha);
    let checked = spacing.map_or_else(|_| entry.checked(), |trees| entry.checked_at(trees));
    let entry = faults.made(checked)?;
    Ok(Reading::save(Thing::Harvest(block, entry)))
}

/// Both or neither.
fn weighed(form: &Form) -> Result<Option<Weighed>, Invalid> {
    let empty = |key| form.value(key).trim().is_empty();
    if empty("mean_g") && empty("weighed") {
        return Ok(None);
    }
    let mean_g = decimal(form, "mean_g")?;
    if empty("weighed") {
        let problem = "say how many fruit the mean weight is of, or leave both empty";
        return Err(Invalid::new("weighed", problem));
    }
    Ok(Some(Weighed {
        mean_g,
        fruit: u32::from(whole(form, "weighed")?),
    }))
}
