//! The forms: what each asks for, and how the answers become valid things.
//!
//! A form lives by its feature as one [`FormSpec`]; here is the list of them, and what several of them ask for.

mod fields;
pub mod numbers;
mod spec;

use super::count::{in_full, tree};
use super::crew_blocks::{goback, rework};
use super::crop::{factors, seasons};
use super::marks;
use super::papers;
use super::setup;
use super::setup::forms::{
    block, count, forget, goback_entry, pruner, put_back, restore, rule, settings, tables, tablets,
    winter,
};
use super::today::{again, draw, evening, work};
use super::winter::{labour, pay};
pub(crate) use fields::{
    NO_BLOCK, NO_CREW, NO_WINTER, NOT_THERE, block_field, chosen_block, chosen_pruner, crew,
    crew_field, whole, whole_within, winter,
};
pub use spec::{FormSpec, Reading};

use crate::orchard::Faults;
use crate::tui::app::{FormKind, Layer, Model, Moment};
use crate::tui::{Form, Screen};

/// The form of each kind, by the room that it lives in.
fn spec(kind: FormKind) -> FormSpec {
    match kind {
        FormKind::OtherTree => tree::other_spec(),
        FormKind::TreeDetails => tree::details_spec(),
        FormKind::LeaderInFull => in_full::spec(),
        FormKind::SkipTree => tree::skip_spec(),
        FormKind::MarkTree => marks::tree_spec(),
        FormKind::MarkTrees(block) => marks::trees_spec(block),
        FormKind::SendBack => rework::tree_spec(),
        FormKind::Rework(block, row, pruner) => rework::row_spec(block, row, pruner),
        FormKind::Settle(entry) => goback::settle_spec(entry),
        FormKind::Work(entry) => work::spec(entry),
        FormKind::GoBack(entry) => goback_entry::spec(entry),
        FormKind::Evening => evening::spec(),
        FormKind::Draw => draw::spec(),
        FormKind::CountAgain => again::spec(),
        FormKind::PutBack(draw) => put_back::spec(draw),
        FormKind::Block(block) => block::spec(block),
        FormKind::Pruner(pruner) => pruner::spec(pruner),
        FormKind::Winter(winter) => winter::spec(winter),
        FormKind::Budburst(block) => winter::budburst_spec(block),
        FormKind::Rule(block) => rule::spec(block),
        FormKind::Count(count) => count::spec(count),
        FormKind::Aim(block) => factors::aim_spec(block),
        FormKind::Factor(block, kind) => factors::factor_spec(block, kind),
        FormKind::Growth(block) => factors::growth_spec(block),
        FormKind::SetCount(block, season) => seasons::set_count_spec(block, season),
        FormKind::Harvest(block, season) => seasons::harvest_spec(block, season),
        FormKind::Settings => settings::spec(),
        FormKind::Restore => restore::spec(),
        FormKind::BundleOut => tablets::out_spec(),
        FormKind::BundlesIn => tablets::into_spec(),
        FormKind::TablesOut => tables::out_spec(),
        FormKind::TablesIn => tables::into_spec(),
        FormKind::SettleTwo(record) => tablets::settle_spec(record),
        FormKind::Join(kind, entry) => tablets::join_spec(kind, entry),
        FormKind::ForgetName(pruner) => forget::spec(pruner),
        FormKind::Papers => papers::spec(),
        FormKind::Weekdays => labour::weekdays_spec(),
        FormKind::LostDays(lost) => labour::lost_spec(lost),
        FormKind::Stint(pruner) => labour::stint_spec(pruner),
        FormKind::Pay => pay::pay_spec(),
        FormKind::OwnPay(pruner) => pay::own_pay_spec(pruner),
        FormKind::SpecialPay(spot) => pay::special_pay_spec(spot),
    }
}

/// Opens a form, or says why it cannot be filled in yet.
pub fn open(model: &mut Model, kind: FormKind) {
    let spec = spec(kind);
    match (spec.open)(model) {
        Ok(mut form) => {
            form.next = spec.repeated.then_some("And next");
            let moment = Moment {
                now: model.now,
                id: uuid::Uuid::nil(),
            };
            let reading = (spec.read)(model, &form, moment);
            summarise(model, &spec, &mut form, &reading);
            model.show(Layer::Form(Box::new(form), kind));
        }
        Err(why) => model.note(why),
    }
}

/// What the open forms change may have been changed elsewhere: fields that nobody touched here follow.
pub fn renew(model: &mut Model, moment: Moment) {
    let mut layers = std::mem::take(&mut model.layers);
    for layer in &mut layers {
        if let Layer::Form(form, kind) = layer
            && kind.changes()
            && form.saving.is_none()
        {
            if let Ok(now) = (spec(*kind).open)(model) {
                model.met |= form.renew(now);
                // only what it shows is wanted; it is read once more when it is saved
                let _ = check(model, form, *kind, moment);
            } else {
                model.met |= !form.is_gone();
                form.is_removed();
            }
        }
    }
    model.layers = layers;
}

/// Reads a filled form.
pub fn read(model: &Model, form: &Form, kind: FormKind, moment: Moment) -> Result<Reading, Faults> {
    (spec(kind).read)(model, form, moment)
}

/// Reads a form as far as it is filled in, and says below its fields what follows.
pub fn check(
    model: &Model,
    form: &mut Form,
    kind: FormKind,
    moment: Moment,
) -> Result<Reading, Faults> {
    let spec = spec(kind);
    let reading = (spec.read)(model, form, moment);
    summarise(model, &spec, form, &reading);
    reading
}

/// Empty while something is wrong; a form without such a line has none.
fn summarise(model: &Model, spec: &FormSpec, form: &mut Form, reading: &Result<Reading, Faults>) {
    if let Some(summary) = &mut form.summary {
        let words = reading
            .as_ref()
            .map(|reading| (spec.summary)(model, reading));
        *summary = words.unwrap_or_default();
    }
}

/// What a form asked for is on disk: says so, selects what is new, and says what comes next on the first days.
pub fn kept(model: &mut Model, kind: FormKind, form: &Form) {
    let spec = spec(kind);
    if let Some(then) = &spec.then {
        then(model);
    }
    let Some(says) = &spec.says else { return };
    let mut words = says(model, form);
    if model.screen == Screen::SetUp {
        if spec.new_entry {
            setup::select_newest(model);
        }
        if spec.guided {
            words += setup::guide::go_on(model);
        }
    }
    model.note(words);
}
