//! The forms: what is asked for each job, and how the answers become valid things.
//!
//! A file per kind of thing: `open` fills the form from the model, `read` makes the checked thing
//! from the form or says which field is wrong.

pub mod numbers;

use super::count::tree;
use super::crew_blocks::goback;
use super::crop::{factors, seasons};
use super::papers;
use super::setup::forms::{
    block, count, forget, goback_entry, pruner, put_back, restore, rule, settings, tablets, winter,
};
use super::today::{again, draw, work};
use super::winter::labour;
pub use restore::value as backups_value;
pub use rule::{parts_text, percent, summary as rule_summary, tolerance_text};
pub use settings::{label as setting_label, value as setting_value};
pub use tablets::{TabletLine, cells as tablet_cells, lines as tablet_lines};
pub use winter::with_budburst;
pub use work::sent_back;

use crate::orchard::limits::{NUMBERS, PLACES, ROWS, STEMS, YEARS};
use crate::orchard::{
    Block, BlockId, CountHead, CountId, DrawId, Faults, Invalid, Pruner, PrunerId, WinterId,
};
use crate::store::{Change, Thing};
use crate::tui::app::{Cover, Effect, Job, Model, Moment, Question, Working};
use crate::tui::{Field, Form};

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
    Work(Working, Box<Effect>),
    /// Record this with the count on the Count screen.
    Details(Box<CountHead>),
}

impl Reading {
    pub(crate) fn save(thing: Thing) -> Self {
        Self::Write(vec![Change::save(thing)])
    }
}

/// Opens the form of a job, or says why it cannot be done yet.
pub fn open(model: &mut Model, job: Job) {
    let form = match job {
        Job::OtherTree => tree::other(model),
        Job::TreeDetails => tree::details(model),
        Job::SkipTree => tree::skip(model),
        Job::SendBack => goback::send(model),
        Job::Settle(entry) => goback::settle(model, entry),
        Job::Work(entry) => work::form(model, entry),
        Job::GoBack(entry) => goback_entry::form(model, entry),
        Job::Draw => draw::form(model),
        Job::CountAgain => again::form(model),
        Job::PutBack(draw) => put_back::form(model, draw),
        Job::Block(block) => block::form(model, block),
        Job::Pruner(pruner) => pruner::form(model, pruner),
        Job::Winter(winter) => winter::form(model, winter),
        Job::Budburst(block) => winter::budburst(model, block),
        Job::Rule(block) => rule::form(model, block),
        Job::Count(count) => count::form(model, count),
        Job::Aim(block) => factors::aim(model, block),
        Job::Factor(block, kind) => factors::factor(model, block, kind),
        Job::Growth(block) => factors::growth(model, block),
        Job::SetCount(block, season) => seasons::set_count(model, block, season),
        Job::Harvest(block, season) => seasons::harvest(model, block, season),
        Job::Settings => Ok(settings::form(model)),
        Job::Restore => restore::form(model),
        Job::BundleOut => Ok(tablets::out(model)),
        Job::BundlesIn => Ok(tablets::into(model)),
        Job::SettleTwo(at) => tablets::settle(model, at),
        Job::Join(at) => tablets::join(model, at),
        Job::ForgetName(pruner) => forget::form(model, pruner),
        Job::Papers => papers::form(model),
        Job::Weekdays => labour::weekdays(model),
        Job::LostDays(lost) => labour::lost(model, lost),
        Job::Stint(pruner) => labour::stint(model, pruner),
        Job::Pay => labour::pay(model),
        Job::OwnPay(pruner) => labour::own_pay(model, pruner),
    };
    match form {
        Ok(mut form) => {
            let follows = matches!(job, Job::Block(None) | Job::Pruner(None) | Job::Work(None));
            form.next = follows.then_some("And next");
            summarise(model, &mut form, job);
            model.cover = Some(Cover::Form(Box::new(form), job));
        }
        Err(why) => model.note(why),
    }
}

/// Reads a filled form.
pub fn read(model: &Model, form: &Form, job: Job, moment: Moment) -> Result<Reading, Faults> {
    match job {
        Job::OtherTree => tree::read_other(model, form, moment),
        Job::TreeDetails => tree::read_details(model, form),
        Job::SkipTree => tree::read_skip(model, form),
        Job::SendBack => goback::read_send(model, form, moment),
        Job::Settle(entry) => goback::read_settle(model, form, entry),
        Job::Work(entry) => work::read(model, form, entry, moment),
        Job::GoBack(entry) => goback_entry::read(model, form, entry, moment),
        Job::Draw => draw::read(model, form, moment),
        Job::CountAgain => again::read(model, form),
        Job::PutBack(draw) => put_back::read(model, form, draw),
        Job::Block(block) => block::read(model, form, block, moment),
        Job::Pruner(pruner) => pruner::read(model, form, pruner, moment),
        Job::Winter(winter) => winter::read(model, form, winter, moment),
        Job::Budburst(block) => winter::read_budburst(model, form, block),
        Job::Rule(block) => rule::read(model, form, block),
        Job::Count(count) => count::read(model, form, count),
        Job::Aim(block) => factors::read_aim(model, form, block),
        Job::Factor(block, kind) => factors::read_factor(form, block, kind),
        Job::Growth(block) => factors::read_growth(form, block),
        Job::SetCount(block, season) => seasons::read_set_count(model, form, block, season),
        Job::Harvest(block, season) => seasons::read_harvest(model, form, block, season),
        Job::Settings => settings::read(model, form),
        Job::Restore => restore::read(model, form),
        Job::BundleOut => tablets::read_out(model, form),
        Job::BundlesIn => tablets::read_into(model, form),
        Job::SettleTwo(at) => tablets::read_settle(model, form, at),
        Job::Join(at) => tablets::read_join(model, form, at),
        Job::ForgetName(pruner) => forget::read(model, form, pruner),
        Job::Papers => papers::read(model, form),
        Job::Weekdays => labour::read_weekdays(model, form),
        Job::LostDays(lost) => labour::read_lost(model, form, lost, moment),
        Job::Stint(_) => labour::read_stint(model, form),
        Job::Pay => labour::read_pay(model, form),
        Job::OwnPay(_) => labour::read_own_pay(model, form),
    }
}

/// What follows from a filled form, to be shown below its fields; empty while something is wrong.
pub fn summary(model: &Model, reading: &Result<Reading, Faults>) -> String {
    let changes = match reading {
        Ok(Reading::Write(changes)) => changes,
        Ok(Reading::Do(effect)) => return of_effect(model, effect),
        Ok(Reading::Work(_, effect)) => return of_effect(model, effect),
        Ok(Reading::Ask(question)) => {
            let first = question.yes.first();
            return first.map_or_else(String::new, |effect| of_effect(model, effect));
        }
        _ => return String::new(),
    };
    let thing = match changes.first() {
        Some(Change::Save(thing)) => thing,
        Some(Change::Settle(kind, key, set)) => return tablets::summary(model, (kind, key), *set),
        Some(Change::Head(id, head)) => return count::summary(model, *id, head),
        _ => return String::new(),
    };
    match &**thing {
        Thing::Block(block) => block::summary(block),
        Thing::Winter(winter) => winter::summary(winter),
        Thing::Rule(_, _, rule) => rule::summary(rule),
        Thing::Work(_) => work::summary(model, changes),
        Thing::Draw(draw) => draw::summary(model, draw),
        _ => String::new(),
    }
}

fn of_effect(model: &Model, effect: &Effect) -> String {
    match effect {
        Effect::Papers(wanted, folder) => papers::summary(wanted, folder),
        Effect::Restore(number) => restore::summary(model, *number),
        Effect::ForgetName(_, backups) => forget::summary(*backups),
        _ => String::new(),
    }
}

/// Shows what follows from a form as it was opened.
fn summarise(model: &Model, form: &mut Form, job: Job) {
    if form.summary.is_some() {
        let moment = Moment {
            now: model.now,
            id: uuid::Uuid::nil(),
        };
        form.summary = Some(summary(model, &read(model, form, job, moment)));
    }
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
