//! The forms for what a block is to bear, for its factors, and for growth and losses.

use super::stored;
use crate::orchard::limits::GIRTH_CM;
use crate::orchard::{Block, BlockId, Faults, Invalid, within};
use crate::outlook::{Factor, FactorKind, Growing, Source, Target};
use crate::report::words;
use crate::store::Thing;
use crate::tui::app::Model;
use crate::tui::features::forms::numbers::decimal;
use crate::tui::features::forms::{FormSpec, NO_WINTER, Reading, winter};
use crate::tui::features::setup::forms::rule::percent;
use crate::tui::{Field, Form};

pub fn aim_spec(block: BlockId) -> FormSpec {
    FormSpec::new(
        move |model| aim(model, block),
        move |model, form, _| read_aim(model, form, block),
    )
    .says("the aim is saved")
    .then(|model| stored(model, |taken| taken.aim = None))
}

pub fn factor_spec(block: BlockId, kind: FactorKind) -> FormSpec {
    FormSpec::new(
        move |model| factor(model, block, kind),
        move |_, form, _| read_factor(form, block, kind),
    )
    .says("the factor is saved")
    .then(move |model| {
        stored(model, |taken| match kind {
            FactorKind::FruitWeight => taken.fruit_weight_g = None,
            FactorKind::Set => taken.set = None,
            FactorKind::FruitPerCluster | FactorKind::Loss | FactorKind::FruitBuds => {}
        });
    })
}

pub fn growth_spec(block: BlockId) -> FormSpec {
    FormSpec::new(
        move |model| growth(model, block),
        move |_, form, _| read_growth(form, block),
    )
    .says("growth and losses are saved")
}

/// The ways of saying an aim.
const KINDS: [&str; 3] = ["t/ha", "fruit a tree", "fruit per cm² of trunk"];
/// The fields of the losses, by age.
const LOSSES: [(&str, &str); 4] = [
    ("one", "One-year, left of 100"),
    ("two", "Two-year, left of 100"),
    ("three", "Three-year, left of 100"),
    ("four", "Four-plus, left of 100"),
];
/// The fewest of 100 pieces of an age that may be left a winter later.
const LEAST_LEFT: f64 = 100.0 * Growing::LEAST_SURVIVAL;

/// The block of a form.
pub(super) fn block(model: &Model, block: BlockId) -> Result<&Block, String> {
    let found = model.house.block(block);
    found.ok_or_else(|| "this block is gone".to_owned())
}

/// The form of an aim.
fn aim(model: &Model, id: BlockId) -> Result<Form, String> {
    let season = model.season.as_ref().ok_or(NO_WINTER)?;
    let (kind, amount, girth) = match season.crop.of(id).aim {
        None => (0, String::new(), String::new()),
        Some(Target::TonnesPerHa(tonnes)) => (0, tonnes.to_string(), String::new()),
        Some(Target::FruitPerTree(fruit)) => (1, fruit.to_string(), String::new()),
        Some(Target::FruitPerTcsa {
            fruit_per_cm2,
            girth_cm,
        }) => (2, fruit_per_cm2.to_string(), girth_cm.to_string()),
    };
    let fields = vec![
        Field::choice_of("kind", "Said in", KINDS.map(str::to_owned).to_vec())
            .chosen(kind)
            .hint("left and right"),
        Field::number("amount", "Aim")
            .with(amount)
            .hint("what is to be harvested: 65 t/ha, 195 fruit a tree, or 4.5 fruit per cm²"),
        Field::number("girth_cm", "Trunk girth, cm")
            .with(girth)
            .hint("around the trunk, 20 cm above the graft; only for fruit per cm²"),
    ];
    let name = &block(model, id)?.name;
    let title = format!(
        "What {name} is to bear after winter {}",
        season.winter.label
    );
    Ok(Form::new(title, fields))
}

/// Reads the form of [`aim`].
fn read_aim(model: &Model, form: &Form, block: BlockId) -> Result<Reading, Faults> {
    let winter = winter(model)?;
    let mut faults = Faults::default();
    let kind = form.choice("kind");
    let amount = faults.take(decimal(form, "amount"));
    let target = match kind {
        0 => Target::TonnesPerHa(amount),
        1 => Target::FruitPerTree(amount),
        _ => Target::FruitPerTcsa {
            fruit_per_cm2: amount,
            girth_cm: faults.take(girth(form)),
        },
    };
    let checked = target.checked().map_err(|e| match e.field {
        "girth_cm" => e,
        _ => Invalid::new("amount", e.problem),
    });
    let target = faults.made(checked)?;
    Ok(Reading::save(Thing::Aim(winter, block, target)))
}

fn girth(form: &Form) -> Result<f64, Invalid> {
    let girth = decimal(form, "girth_cm")?;
    within("girth_cm", girth, &GIRTH_CM)
}

/// The form of a factor: the ends of the range that it falls in four times out of five.
fn factor(model: &Model, id: BlockId, kind: FactorKind) -> Result<Form, String> {
    let season = model.season.as_ref().ok_or(NO_WINTER)?;
    let entered = *season.crop.of(id).entered().get(kind);
    let (least, most) = kind.range().into_inner();
    let text = |value: f64| ((value * 1e4).round() / 1e4).to_string();
    let fields = vec![
        Field::number("value", "Value")
            .with(text(entered.value()))
            .hint(format!("on average over seasons; {least} to {most}")),
        Field::number("sd", "Spread over seasons")
            .with(text(entered.sd()))
            .hint("two seasons of three fall within the value, less or more this much (standard deviation); 0: exact"),
    ];
    let name = &block(model, id)?.name;
    Ok(Form::new(
        format!(
            "{name}: {}. Now {}",
            words::factor(kind),
            words::source(&entered)
        ),
        fields,
    ))
}

/// Reads the form of [`factor`].
fn read_factor(form: &Form, block: BlockId, kind: FactorKind) -> Result<Reading, Faults> {
    let mut faults = Faults::default();
    let value = faults.take(decimal(form, "value"));
    let sd = faults.take(decimal(form, "sd"));
    let told = |e: Invalid| {
        let field = if e.problem.contains("spread") {
            "sd"
        } else {
            "value"
        };
        Invalid::new(field, e.problem)
    };
    let made = Factor::new(kind, value, sd, Source::Entered).map_err(told);
    let factor = faults.made(made)?;
    Ok(Reading::save(Thing::Factor(block, factor)))
}

/// The form of growth and losses.
fn growth(model: &Model, id: BlockId) -> Result<Form, String> {
    let season = model.season.as_ref().ok_or(NO_WINTER)?;
    let own = season.crop.of(id).growth;
    let survival = own.map_or(Growing::SURVIVAL, |own| own.survival);
    let mut fields = vec![
        Field::number("grown", "New one-year pieces")
            .with(own.map_or_else(String::new, |own| own.grown.to_string()))
            .hint("that grow on a tree each year and could be kept, 0 to 10000"),
    ];
    for ((key, label), share) in LOSSES.into_iter().zip(survival) {
        let field = Field::number(key, label).with(percent(share));
        fields.push(field.hint(format!(
            "of 100 pieces left in one winter, how many are there in the next: {LEAST_LEFT} to 100"
        )));
    }
    let name = &block(model, id)?.name;
    Ok(Form::new(
        format!("{name}: new wood and losses between winters"),
        fields,
    ))
}

/// Reads the form of [`growth`].
fn read_growth(form: &Form, block: BlockId) -> Result<Reading, Faults> {
    let mut faults = Faults::default();
    let grown = faults.take(decimal(form, "grown"));
    let mut survival = Growing::SURVIVAL;
    for ((key, _), share) in LOSSES.into_iter().zip(&mut survival) {
        let read = decimal(form, key)
            .and_then(|left| within(key, left, &(LEAST_LEFT..=100.0)).map(|left| left / 100.0));
        *share = faults.take(read);
    }
    let growth = faults.made(Growing::new(grown, survival))?;
    Ok(Reading::save(Thing::Growth(block, growth)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::orchard::BlockDraft;
    use crate::tui::app::FormKind;
    use crate::tui::features::crop::seasons;
    use crate::tui::forms::read;
    use crate::tui::trial::{fill, moment, orchard, refusal};

    #[test]
    fn a_yield_that_no_tree_bears_is_refused() {
        let mut model = orchard();
        let old = &model.house.blocks[0];
        let wide = BlockDraft {
            row_spacing_m: 10.0,
            tree_spacing_m: 10.0,
            ..old.draft().clone()
        };
        let id = old.id;
        model.house.blocks[0] = Block::new(id, wide).unwrap();
        let job = FormKind::Harvest(id, None);
        let mut form = seasons::harvest(&model, id, None).unwrap();
        fill(&mut form, &[("season", "2026"), ("amount", "350")]);
        let wrong = refusal(&model, &form, job);
        assert_eq!(wrong.field, "amount");
        assert!(wrong.problem.contains("3500 kg a tree"), "{wrong}");
        fill(&mut form, &[("amount", "35.0")]);
        assert!(read(&model, &form, job, moment()).is_ok());
    }

    #[test]
    fn losses_leave_five_of_a_hundred() {
        let model = orchard();
        let id = model.house.blocks[0].id;
        let mut form = growth(&model, id).unwrap();
        fill(&mut form, &[("grown", "20"), ("two", "4.9")]);
        let wrong = refusal(&model, &form, FormKind::Growth(id));
        assert_eq!(wrong.to_string(), "two: 4.9 is outside 5 to 100");
        fill(&mut form, &[("two", "5")]);
        assert!(read_growth(&form, id).is_ok());
    }
}
