//! The forms of pay.

use super::labour::{known, some_crew};
use crate::orchard::{Faults, Invalid, PrunerId, WorkKind};
use crate::outlook::pace::{Pay, PaySpot};
use crate::store::Thing;
use crate::tui::app::Model;
use crate::tui::features::forms::{FormSpec, Reading, chosen_block, chosen_pruner, winter};
use crate::tui::{Field, Form};

const PAID: &str = "the pay is saved; every forecast is made afresh";

pub fn pay_spec() -> FormSpec {
    FormSpec::new(pay, |model, form, _| read_pay(model, form)).says(PAID)
}

pub fn own_pay_spec(pruner: Option<PrunerId>) -> FormSpec {
    FormSpec::new(
        move |model| own_pay(model, pruner),
        |model, form, _| read_own_pay(model, form),
    )
    .says(PAID)
}

pub fn special_pay_spec(spot: Option<PaySpot>) -> FormSpec {
    FormSpec::new(
        move |model| special_pay(model, spot),
        |model, form, _| read_special_pay(model, form),
    )
    .says(PAID)
}

const BASES: [&str; 2] = ["an hour", "a tree"];

fn pay_fields(model: &Model, pay: Option<Pay>) -> Vec<Field> {
    let currency = &model.house.currency;
    let (basis, rate, least) = match pay {
        Some(Pay::Hour(rate)) => (0, Some(rate), None),
        Some(Pay::Tree(rate)) => (1, Some(rate), None),
        Some(Pay::AtLeast { tree, hour }) => (1, Some(tree), Some(hour)),
        None => (0, None, None),
    };
    let text = |rate: Option<_>| rate.map_or_else(String::new, |rate| currency.show_rate(rate));
    vec![
        Field::choice_of("basis", "Paid for", BASES.map(str::to_owned).to_vec())
            .chosen(basis)
            .hint("an hour: noted hours are paid, of mending too; a tree: each tree once, to who pruned it first"),
        Field::number("rate", format!("Amount, {}", currency.code()))
            .with(text(rate))
            .hint("such as 25.50; the currency is set on F8 Set-up, Settings"),
        Field::number("least", "At least an hour")
            .with(text(least))
            .hint("with pay by the tree: what a day's hours bring at least; may stay empty"),
    ]
}

fn typed_pay(model: &Model, form: &Form) -> Result<Pay, Invalid> {
    let currency = &model.house.currency;
    let rate = currency.parse_rate(form.value("rate"))?;
    rate.stored(currency)?;
    let least = match form.value("least").trim() {
        "" => None,
        typed => Some(
            currency
                .parse_rate(typed)
                .map_err(|fault| fault.of("least"))?,
        ),
    };
    match (form.choice("basis") == 1, least) {
        (true, Some(hour)) => {
            hour.stored(currency)?;
            Ok(Pay::AtLeast { tree: rate, hour })
        }
        (true, None) => Ok(Pay::Tree(rate)),
        (false, None) => Ok(Pay::Hour(rate)),
        (false, Some(_)) => Err(Invalid::new("least", "goes with pay by the tree only")),
    }
}

/// Asks what everybody is paid.
fn pay(model: &Model) -> Result<Form, String> {
    let fields = pay_fields(model, known(model)?.pay.all);
    Ok(Form::new(
        "Pay of everybody without one of their own",
        fields,
    ))
}

/// Reads the form of [`pay`].
fn read_pay(model: &Model, form: &Form) -> Result<Reading, Faults> {
    let pay = typed_pay(model, form)?;
    Ok(Reading::save(Thing::Pay(winter(model)?, None, pay)))
}

/// Asks what one pruner is paid.
fn own_pay(model: &Model, pruner: Option<PrunerId>) -> Result<Form, String> {
    let own = &known(model)?.pay.own;
    let mut fields = vec![some_crew(model, pruner)?];
    fields.extend(pay_fields(
        model,
        pruner.and_then(|id| own.get(&id).copied()),
    ));
    Ok(Form::new("Pay of one pruner", fields))
}

/// Reads the form of [`own_pay`].
fn read_own_pay(model: &Model, form: &Form) -> Result<Reading, Faults> {
    let who = chosen_pruner(model, form, "pruner")?;
    let pay = typed_pay(model, form)?;
    Ok(Reading::save(Thing::Pay(winter(model)?, Some(who), pay)))
}

const ALL_BLOCKS: &str = "(all blocks)";
const ANY_KIND: &str = "(any work)";

/// Asks what is paid in a block, or for a kind of work.
fn special_pay(model: &Model, spot: Option<PaySpot>) -> Result<Form, String> {
    let special = &known(model)?.pay.special;
    let (block, kind) = spot.unwrap_or_default();
    let blocks = &model.house.blocks;
    let names = blocks.iter().map(|block| block.name.clone());
    let names = std::iter::once(ALL_BLOCKS.to_owned()).chain(names);
    let block = blocks.iter().position(|known| Some(known.id) == block);
    let kinds = WorkKind::ALL.map(|kind| kind.word().to_owned());
    let kinds = std::iter::once(ANY_KIND.to_owned()).chain(kinds);
    let kind = WorkKind::ALL.iter().position(|known| Some(*known) == kind);
    let mut fields = vec![
        Field::choice_of("block", "Block", names.collect())
            .hint("left and right, or type its first letters")
            .chosen(block.map_or(0, |place| place + 1)),
        Field::choice_of("kind", "Work", kinds.collect())
            .hint("a block, a kind of work, or both: the pay holds there for all without one of their own")
            .chosen(kind.map_or(0, |place| place + 1)),
    ];
    fields.extend(pay_fields(
        model,
        spot.and_then(|spot| special.get(&spot).copied()),
    ));
    Ok(Form::new("Pay of a block or of a kind of work", fields))
}

/// Reads the form of [`special_pay`].
fn read_special_pay(model: &Model, form: &Form) -> Result<Reading, Faults> {
    let block = match form.value("block") {
        ALL_BLOCKS => None,
        _ => Some(chosen_block(model, form)?.id),
    };
    let kind = WorkKind::parse(form.value("kind")).ok();
    if block.is_none() && kind.is_none() {
        let problem =
            "choose a block, a kind of work, or both: what all are paid stands in another line";
        return Err(Invalid::new("block", problem).into());
    }
    let pay = typed_pay(model, form)?;
    Ok(Reading::save(Thing::SpecialPay(
        winter(model)?,
        (block, kind),
        pay,
    )))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tui::app::FormKind;
    use crate::tui::trial::{fill, orchard, refusal, saved};

    #[test]
    fn the_pay_of_all_and_of_one_is_read() {
        let model = orchard();
        let mut form = own_pay(&model, None).unwrap();
        fill(&mut form, &[("basis", "a tree"), ("rate", "0,41")]);
        let Thing::Pay(_, Some(_), Pay::Tree(rate)) = saved(&model, &form, FormKind::OwnPay(None))
        else {
            panic!("no pay");
        };
        assert_eq!(model.house.currency.show_rate(rate), "0.41");
        let mut form = pay(&model).unwrap();
        fill(&mut form, &[("rate", "-3")]);
        assert_eq!(refusal(&model, &form, FormKind::Pay).field, "rate");
    }

    #[test]
    fn the_pay_of_a_block_or_a_kind_is_read() {
        let model = orchard();
        let kind = FormKind::SpecialPay(None);
        let mut form = special_pay(&model, None).unwrap();
        fill(&mut form, &[("rate", "12")]);
        assert_eq!(refusal(&model, &form, kind).field, "block");
        fill(&mut form, &[("kind", "hedging")]);
        let Thing::SpecialPay(_, spot, Pay::Hour(rate)) = saved(&model, &form, kind) else {
            panic!("no pay");
        };
        assert_eq!(spot, (None, Some(WorkKind::Hedging)));
        assert_eq!(model.house.currency.show_rate(rate), "12.00");
        let block = &model.house.blocks[0];
        fill(
            &mut form,
            &[
                ("block", &block.name),
                ("kind", ANY_KIND),
                ("basis", "a tree"),
                ("least", "9"),
            ],
        );
        let Thing::SpecialPay(_, spot, Pay::AtLeast { .. }) = saved(&model, &form, kind) else {
            panic!("no pay");
        };
        assert_eq!(spot, (Some(block.id), None));
    }
}
