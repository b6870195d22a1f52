//! The forms: what each asks for, and how the answers become valid things.
//!
//! A form lives by its feature as one [`FormSpec`]; here is the list of them, and what several of them ask for.

pub mod numbers;
mod spec;

use super::count::tree;
use super::crew_blocks::goback;
use super::crop::{factors, seasons};
use super::papers;
use super::setup;
use super::setup::forms::{
    block, count, forget, goback_entry, pruner, put_back, restore, rule, settings, tablets, winter,
};
use super::today::{again, draw, work};
use super::winter::labour;
pub use restore::value as backups_value;
pub use rule::{parts_text, percent, summary as rule_summary, tolerance_text};
pub use settings::{label as setting_label, value as setting_value};
pub use spec::FormSpec;
pub use tablets::{TabletLine, cells as tablet_cells, lines as tablet_lines};
pub use winter::with_budburst;

use crate::orchard::limits::{NUMBERS, PLACES, ROWS, STEMS, YEARS};
use crate::orchard::{
    Block, BlockId, CountHead, CountId, DrawId, Faults, Invalid, Pruner, PrunerId, WinterId,
};
use crate::store::{Change, Thing};
use crate::tui::app::{Effect, FormKind, Layer, Model, Moment, Question, Working};
use crate::tui::{Field, Form, Screen};

/// What a filled form asks for.
#[derive(Debug)]
pub enum Reading {
    /// Write this.
    Write(Vec<Change>),
    /// Do this, which is more than a change of the file.
    Do(Effect),
    /// Count this tree, drawn or not.
    Tree(Box<CountHead>, Option<(DrawId, usize)>),
    /// Count the trees of these counts again, by this counter.
    Again(Vec<CountId>, String),
    /// Ask this first.
    Ask(Question),
    /// Begin a work that takes its time.
    Work(Working, Effect),
    /// Record this with the count on the Count screen.
    Details(Box<CountHead>),
}

impl Reading {
    pub(crate) fn save(thing: Thing) -> Self {
        Self::Write(vec![Change::save(thing)])
    }

    /// What would be saved, where that is one thing or begins with it.
    pub(crate) fn thing(&self) -> Option<&Thing> {
        match self {
            Self::Write(changes) => match changes.first() {
                Some(Change::Save(thing)) => Some(thing),
                _ => None,
            },
            _ => None,
        }
    }
}

/// The form of each kind, by the room that it lives in.
fn spec(kind: FormKind) -> FormSpec {
    match kind {
        FormKind::OtherTree => tree::other_spec(),
        FormKind::TreeDetails => tree::details_spec(),
        FormKind::SkipTree => tree::skip_spec(),
        FormKind::SendBack => goback::send_spec(),
        FormKind::Settle(entry) => goback::settle_spec(entry),
        FormKind::Work(entry) => work::spec(entry),
        FormKind::GoBack(entry) => goback_entry::spec(entry),
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
        FormKind::SettleTwo(at) => tablets::settle_spec(at),
        FormKind::Join(at) => tablets::join_spec(at),
        FormKind::ForgetName(pruner) => forget::spec(pruner),
        FormKind::Papers => papers::spec(),
        FormKind::Weekdays => labour::weekdays_spec(),
        FormKind::LostDays(lost) => labour::lost_spec(lost),
        FormKind::Stint(pruner) => labour::stint_spec(pruner),
        FormKind::Pay => labour::pay_spec(),
        FormKind::OwnPay(pruner) => labour::own_pay_spec(pruner),
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
pub(crate) fn chosen_pruner(model: &Model, form: &Form) -> Result<PrunerId, Invalid> {
    let shown = form.value("pruner");
    let mut pruners = model.house.pruners.iter();
    let chosen = pruners.find(|pruner| pruner.shown() == shown);
    let chosen = chosen.map(|pruner| pruner.id);
    chosen.ok_or_else(|| Invalid::new("pruner", NOT_THERE))
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
