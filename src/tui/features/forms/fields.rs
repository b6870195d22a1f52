//! What several forms ask for: a block, a pruner, a whole number; and what is said where it is missing.

use crate::orchard::limits::{NUMBERS, PLACES, ROWS, STEMS, YEARS};
use crate::orchard::{Block, BlockId, Invalid, Pruner, PrunerId, WinterId};
use crate::tui::app::Model;
use crate::tui::{Field, Form};

/// What to say where a job needs a winter, and none is set up.
pub(crate) const NO_WINTER: &str = "set up a winter first: Set-up (F8), Winters, New (n)";

/// The same of a block, and of the crew.
pub(crate) const NO_BLOCK: &str = "set up a block first: Set-up (F8), Blocks, New (n)";
pub(crate) const NO_CREW: &str = "set up a pruner first: Set-up (F8), Crew, New (n)";

/// The winter looked at.
pub(crate) fn winter(model: &Model) -> Result<WinterId, Invalid> {
    model
        .season
        .as_ref()
        .map(|season| season.winter.id)
        .ok_or_else(|| Invalid::new("winter", NO_WINTER))
}

/// A choice of block.
pub(crate) fn block_field(model: &Model, chosen: Option<BlockId>) -> Field {
    let names = model
        .house
        .blocks
        .iter()
        .map(|block| block.name.clone())
        .collect();
    let place = model
        .house
        .blocks
        .iter()
        .position(|block| Some(block.id) == chosen);
    Field::choice_of("block", "Block", names)
        .hint("left and right, or type its first letters")
        .chosen(place.unwrap_or(0))
}

/// What to say where the chosen entry is in the list no more: the file may have been read again since the form was
/// opened, so that an entry is found by what it says and never by its place.
pub(crate) const NOT_THERE: &str = "is not there any more";

/// The block chosen in [`block_field`].
pub(crate) fn chosen_block<'m>(model: &'m Model, form: &Form) -> Result<&'m Block, Invalid> {
    let name = form.value("block");
    let mut blocks = model.house.blocks.iter();
    let chosen = blocks.find(|block| block.name == name);
    chosen.ok_or_else(|| Invalid::new("block", NOT_THERE))
}

/// Pruners to choose from: those who work this winter, and whoever stands in the entry already.
pub(crate) fn crew(model: &Model, named: Option<PrunerId>) -> Vec<&Pruner> {
    model
        .house
        .pruners
        .iter()
        .filter(|pruner| pruner.active || Some(pruner.id) == named)
        .collect()
}

/// A choice of pruner.
pub(crate) fn crew_field(pruners: &[&Pruner], chosen: Option<PrunerId>) -> Field {
    let names = pruners.iter().map(|pruner| pruner.shown()).collect();
    let place = pruners.iter().position(|known| Some(known.id) == chosen);
    Field::choice_of("pruner", "Pruner", names)
        .hint("left and right, or type the number or the name")
        .chosen(place.unwrap_or(0))
}

/// The pruner chosen in [`crew_field`].
pub(crate) fn chosen_pruner(
    model: &Model,
    form: &Form,
    key: &'static str,
) -> Result<PrunerId, Invalid> {
    let shown = form.value(key);
    let mut pruners = model.house.pruners.iter();
    let chosen = pruners.find(|pruner| pruner.shown() == shown);
    let chosen = chosen.map(|pruner| pruner.id);
    chosen.ok_or_else(|| Invalid::new(key, NOT_THERE))
}

/// A whole number from a field.
pub(crate) fn whole(form: &Form, key: &'static str) -> Result<u16, Invalid> {
    fitting(form, key, limits(key))
}

/// A whole number of `least` to `most` from a field.
pub(crate) fn whole_within(
    form: &Form,
    key: &'static str,
    (least, most): (u16, u16),
) -> Result<u16, Invalid> {
    let number = fitting(form, key, (least, most))?;
    if (least..=most).contains(&number) {
        return Ok(number);
    }
    let problem = format!("{number} is outside {least} to {most}");
    Err(Invalid::new(key, problem))
}

/// A whole number that its type can hold; of others the limits are told.
fn fitting(form: &Form, key: &'static str, (least, most): (u16, u16)) -> Result<u16, Invalid> {
    let text = form.value(key).trim();
    text.parse().map_err(|_| {
        let digits = text.strip_prefix(['-', '+']).unwrap_or(text);
        let problem = if text.is_empty() {
            "fill in a number".to_owned()
        } else if digits.is_empty() || !digits.bytes().all(|byte| byte.is_ascii_digit()) {
            format!("{text:?} is not a whole number")
        } else {
            format!("{text} is outside {least} to {most}")
        };
        Invalid::new(key, problem)
    })
}

/// The limits that `orchard` has for the whole number of a field; it checks them itself once the number is there.
fn limits(key: &str) -> (u16, u16) {
    match key {
        // years are no more than four figures
        "planted" => (*YEARS.start() as u16, *YEARS.end() as u16),
        "stems" | "part" => (u16::from(*STEMS.start()), u16::from(*STEMS.end())),
        "row" => ROWS.into_inner(),
        "tree" | "first" | "last" => PLACES.into_inner(),
        "number" => NUMBERS.into_inner(),
        _ => (1, u16::MAX),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_number_that_no_field_can_hold_is_told_its_limits() {
        for (typed, problem) in [
            ("99999999999", "99999999999 is outside 1 to 24"),
            ("-1", "-1 is outside 1 to 24"),
            ("-", "\"-\" is not a whole number"),
            ("2.5", "\"2.5\" is not a whole number"),
            ("", "fill in a number"),
        ] {
            let form = Form::new("", vec![Field::number("stems", "Stems").with(typed)]);
            assert_eq!(whole(&form, "stems").unwrap_err().problem, problem);
        }
        let form = Form::new("", vec![Field::number("trees", "Trees").with("501")]);
        let told = whole_within(&form, "trees", (1, 500)).unwrap_err();
        assert_eq!(told.problem, "501 is outside 1 to 500");
    }
}
