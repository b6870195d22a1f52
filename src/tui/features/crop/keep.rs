//! Storing what was tried.

use super::{Opened, figures};
use crate::orchard::Invalid;
use crate::outlook::{Factor, FactorKind, Source};
use crate::report::Taken;
use crate::store::{Change, Thing};
use crate::tui::app::{Effect, Model};

/// Stores the numbers that were taken: the aim for this winter, factors as the block's own. Buds a unit follow from the
/// rule, and stay a trial.
pub(super) fn keep(model: &mut Model, opened: &Opened) -> Vec<Effect> {
    let taken = opened.what_if;
    let storable = Taken {
        buds_per_unit: None,
        ..taken
    };
    if !storable.is_any() {
        model.note(if taken.is_any() {
            "buds a unit follow from the rule: change it in Set-up (F8), Rules"
        } else {
            "nothing was changed: + and - change the chosen number"
        });
        return Vec::new();
    }
    match changes(model, opened, &storable) {
        Ok(changes) => {
            model.outlook.keeping = true;
            vec![Effect::Write(changes)]
        }
        Err(refused) => {
            model.note(refused.to_string());
            Vec::new()
        }
    }
}

/// What was being stored could not be: it stays a trial.
pub fn not_kept(model: &mut Model) {
    model.outlook.keeping = false;
}

/// The file was read again: what was being stored is on disk, and no trial any more.
pub fn kept(model: &mut Model) {
    if !std::mem::take(&mut model.outlook.keeping) {
        return;
    }
    if let Some(mut opened) = model.outlook.open.take() {
        opened.what_if = Taken {
            buds_per_unit: opened.what_if.buds_per_unit,
            ..Taken::default()
        };
        figures(model, &mut opened);
        model.outlook.open = Some(opened);
    }
    model.note("the numbers are stored for this block");
}

fn changes(model: &Model, opened: &Opened, taken: &Taken) -> Result<Vec<Change>, Invalid> {
    let Some(season) = &model.season else {
        return Ok(Vec::new());
    };
    let mut changes = Vec::new();
    if let Some(aim) = taken.aim {
        let winter = season.winter.id;
        let aim = Thing::Aim(winter, opened.block, aim.checked()?);
        changes.push(Change::save(aim));
    }
    let entered = season.crop.of(opened.block).entered();
    for (kind, value) in [
        (FactorKind::FruitWeight, taken.fruit_weight_g),
        (FactorKind::Set, taken.set),
    ] {
        if let Some(value) = value {
            let factor = Factor::new(kind, value, entered.get(kind).sd(), Source::Entered)?;
            changes.push(Change::save(Thing::Factor(opened.block, factor)));
        }
    }
    Ok(changes)
}
