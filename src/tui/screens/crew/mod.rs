//! The Crew screen: how each pruner stands, and whether it is getting better.

mod list;
mod update;

use crate::report::{Standing, Subject};
use crate::tui::app::Model;
use crate::tui::screens::standing::{At, Part, Sheet, in_order};

pub use list::view;
pub use update::update;

/// State of the screen.
#[derive(Debug, Default)]
pub struct State {
    /// The selected line.
    pub selected: usize,
    open: Option<Opened>,
}

/// What is open, and where one stands in it.
#[derive(Debug, Clone)]
struct Opened {
    /// The standing when it was opened: its pruner and rule find it again in fresh figures.
    like: Standing,
    at: At,
}

impl State {
    /// Whether one line is opened.
    pub fn is_open(&self) -> bool {
        self.open.is_some()
    }

    /// Back to the list.
    pub fn close(&mut self) {
        self.open = None;
    }
}

/// The selected line, if there is any.
fn selected(model: &Model) -> Option<&Standing> {
    let last = model.figures.crew.len().checked_sub(1)?;
    model.figures.crew.get(model.crew.selected.min(last))
}

/// The figures of the opened pruner over the days of the model, under the same rule where there are
/// several; none for a pruner of whom nothing is known in these days.
fn sheet<'m>(model: &'m Model, opened: &Opened) -> Option<Sheet<'m>> {
    let same = |standing: &&Standing| same_pruner(standing, &opened.like);
    let crew = model.figures.crew.iter();
    let standing = (crew.clone().filter(same).find(|s| s.is_same(&opened.like)))
        .or_else(|| crew.clone().find(same))?;
    let go_backs = model.season.as_ref().map_or_else(Vec::new, |season| {
        let mut lines = season.go_back_lines(model.now.day);
        lines.retain(|line| Some(line.pruner) == pruner(standing));
        in_order(lines)
    });
    Some(Sheet {
        standing,
        parts: Part::OF_PRUNER,
        go_backs,
        map: None,
        span: model.span,
    })
}

fn pruner(standing: &Standing) -> Option<crate::orchard::PrunerId> {
    match standing.subject {
        Subject::Pruner { id, .. } => Some(id),
        Subject::Block { .. } => None,
    }
}

fn same_pruner(one: &Standing, other: &Standing) -> bool {
    pruner(one) == pruner(other)
}

/// What there are pictures of: the opened pruner with the part shown, or the selected line.
pub fn pictured(model: &Model) -> Option<(Standing, Part)> {
    match &model.crew.open {
        Some(opened) => {
            let sheet = sheet(model, opened)?;
            Some((sheet.standing.clone(), opened.at.part(sheet.parts)))
        }
        None => Some((selected(model)?.clone(), Part::Mix)),
    }
}
