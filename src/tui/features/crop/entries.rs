//! All that is stored for a block, to be made, changed and removed.

use ratatui::layout::Rect;

use super::brief::Number;
use super::{Opened, Part};
use crate::orchard::BlockId;
use crate::outlook::{BlockBook, FactorKind, Yield};
use crate::report::words::{self, Tongue};
use crate::store::{Change, ThingId};
use crate::tui::app::{Effect, FormKind, Layer, Model, Question};
use crate::tui::widgets::{Cell, Column, Table, Width, table};
use crate::tui::{Action, Pen, forms};

/// What a line stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Entry {
    Aim,
    Factor(FactorKind),
    Growth,
    /// A season's tagged units; none: the line that makes one.
    SetCount(Option<i32>),
    /// A season's harvest; none: the line that makes one.
    Harvest(Option<i32>),
}

impl Entry {
    fn job(self, block: BlockId) -> FormKind {
        match self {
            Self::Aim => FormKind::Aim(block),
            Self::Factor(kind) => FormKind::Factor(block, kind),
            Self::Growth => FormKind::Growth(block),
            Self::SetCount(season) => FormKind::SetCount(block, season),
            Self::Harvest(season) => FormKind::Harvest(block, season),
        }
    }
}

fn book(model: &Model, block: BlockId) -> BlockBook {
    let season = model.season.as_ref();
    season.map_or_else(BlockBook::default, |season| season.crop.of(block))
}

/// The lines of a block.
pub(super) fn lines(model: &Model, block: BlockId) -> Vec<Entry> {
    let book = book(model, block);
    let mut lines = vec![Entry::Aim];
    lines.extend(FactorKind::ALL.map(Entry::Factor));
    lines.push(Entry::Growth);
    let harvests = book.harvests.iter().rev();
    lines.extend(harvests.map(|entry| Entry::Harvest(Some(entry.season))));
    lines.push(Entry::Harvest(None));
    let sets = book.sets.iter().rev();
    lines.extend(sets.map(|set| Entry::SetCount(Some(set.season))));
    lines.push(Entry::SetCount(None));
    lines
}

/// What a line is called, what is stored, and what that means.
fn texts(opened: &Opened, book: &BlockBook, entry: Entry) -> [String; 3] {
    let text = |name: &str, value: String, more: String| [name.to_owned(), value, more];
    let none = || "-".to_owned();
    match entry {
        Entry::Aim => text(
            "Aim of this winter",
            book.aim.map_or_else(none, words::aim),
            String::new(),
        ),
        Entry::Factor(kind) => {
            let own = book.factors.iter().find(|factor| factor.kind() == kind);
            let value = own.map_or_else(none, |own| {
                format!(
                    "{} ± {}",
                    words::figure(own.value()),
                    words::figure(own.sd())
                )
            });
            let lines = opened.brief.as_ref().map(|sheet| &sheet.factors);
            let holds = lines.ok().and_then(|lines| {
                let line = lines.iter().find(|line| line.kind == kind)?;
                let source = Tongue::english().factor_source(line);
                Some(format!("{}: {source}", words::figure(line.value)))
            });
            text(words::factor(kind), value, holds.unwrap_or_default())
        }
        Entry::Growth => {
            let holds = opened
                .brief
                .as_ref()
                .map(|sheet| Tongue::english().growth_from(sheet.growth.from));
            let value = book.growth.map_or_else(none, |own| {
                format!("{} new a tree", words::figure(own.grown))
            });
            text("New wood and losses", value, holds.unwrap_or("").to_owned())
        }
        Entry::SetCount(None) => text(
            "Set count: new",
            none(),
            "n or e enters tagged units".to_owned(),
        ),
        Entry::SetCount(Some(season)) => {
            let units = book.sets.iter().find(|set| set.season == season);
            let units = units.map_or(0, |set| set.units.len());
            let units = words::plural(units as u32, "tagged unit", "tagged units");
            text(&format!("Set count {season}"), units, String::new())
        }
        Entry::Harvest(None) => text(
            "Harvest: new",
            none(),
            "n or e enters a season's yield".to_owned(),
        ),
        Entry::Harvest(Some(season)) => {
            let found = book.harvests.iter().find(|known| known.season == season);
            let value = found.map_or_else(none, |found| match found.amount {
                Yield::TonnesPerHa(tonnes) => format!("{tonnes} t/ha"),
                Yield::KgPerTree(kg) => format!("{kg} kg a tree"),
            });
            let weighed = found.and_then(|found| found.weighed);
            let more = weighed.map(|weighed| {
                format!(
                    "{} fruit of {} g",
                    weighed.fruit,
                    words::figure(weighed.mean_g)
                )
            });
            text(
                &format!("Harvest {season}"),
                value,
                more.unwrap_or_default(),
            )
        }
    }
}

/// Draws the part.
pub(super) fn view(model: &Model, opened: &Opened, pen: &mut Pen, area: Rect) {
    let book = book(model, opened.block);
    let rows: Vec<Vec<Cell>> = lines(model, opened.block)
        .into_iter()
        .map(|entry| texts(opened, &book, entry).map(Cell::new).to_vec())
        .collect();
    let columns = [
        Column::new("Entry", Width::Fixed(33)),
        Column::new("Entered", Width::Fixed(19)),
        Column::new("What holds", Width::Share(1)).goes(1),
    ];
    table(
        pen,
        area,
        &Table {
            columns: &columns,
            rows: &rows,
            cursor: Some(opened.line()),
            empty: "",
        },
    );
}

/// The entry chosen, on the part shown.
fn chosen(model: &Model, opened: &Opened) -> Option<Entry> {
    match opened.part {
        Part::Entries => {
            let lines = lines(model, opened.block);
            lines.get(opened.line().at(lines.len())).copied()
        }
        Part::Brief => match Number::chosen(opened, model.size.0)? {
            Number::Aim => Some(Entry::Aim),
            Number::Weight => Some(Entry::Factor(FactorKind::FruitWeight)),
            Number::Set => Some(Entry::Factor(FactorKind::Set)),
            Number::Buds => None,
        },
        Part::Crop | Part::Winters => None,
    }
}

/// Makes, changes or asks whether to remove.
pub(super) fn act(model: &mut Model, opened: &Opened, action: Action) {
    let entry = chosen(model, opened);
    match (action, entry) {
        (Action::New, Some(Entry::SetCount(_))) => {
            forms::open(model, FormKind::SetCount(opened.block, None));
        }
        (Action::New, _) => forms::open(model, FormKind::Harvest(opened.block, None)),
        (Action::Edit, Some(entry)) => forms::open(model, entry.job(opened.block)),
        (Action::Edit, None) if opened.part == Part::Brief => {
            model.note("buds a unit follow from the rule: change it in Set-up (F8), Rules");
        }
        (Action::Remove, Some(entry)) => match question(model, opened.block, entry) {
            Ok(question) => model.show(Layer::Question(question)),
            Err(why) => model.note(why),
        },
        _ => model.note("nothing can be entered on this part: go on to Entries by the arrow keys"),
    }
}

fn question(model: &Model, block: BlockId, entry: Entry) -> Result<Question, &'static str> {
    const NOTHING: &str = "nothing is entered here";
    let season = model.season.as_ref().ok_or(NOTHING)?;
    let book = season.crop.of(block);
    let (words, thing) = match entry {
        Entry::Aim if book.aim.is_some() => (
            "Remove the aim of this winter? The brief then has nothing to go by.".to_owned(),
            ThingId::Aim(season.winter.id, block),
        ),
        Entry::Factor(kind) if book.factors.iter().any(|own| own.kind() == kind) => (
            format!(
                "Remove the block's own {}? The default holds again, moved by the counts.",
                words::factor(kind)
            ),
            ThingId::Factor(block, kind),
        ),
        Entry::Growth if book.growth.is_some() => (
            "Remove the block's own growth and losses?".to_owned(),
            ThingId::Growth(block),
        ),
        Entry::SetCount(Some(season)) => (
            format!("Remove the tagged units of {season}? The factors no longer rest on them."),
            ThingId::SetCount(block, season),
        ),
        Entry::Harvest(Some(season)) => (
            format!("Remove the harvest of {season}?"),
            ThingId::Harvest(block, season),
        ),
        _ => return Err(NOTHING),
    };
    let yes = vec![Effect::Write(vec![Change::Remove(thing)])];
    Ok(Question { words, yes })
}
