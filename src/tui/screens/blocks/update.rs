//! What an action does on the Blocks screen.

use super::{Opened, go_backs, selected, sheet};
use crate::orchard::BlockId;
use crate::report::GoBackLine;
use crate::tui::app::{Effect, Job, Model, Moment};
use crate::tui::forms;
use crate::tui::screens::parts::{body, moved};
use crate::tui::screens::standing::{At, Part, list};
use crate::tui::{Action, Screen};

/// What an action does here. What came of a row is written by its form.
pub fn update(model: &mut Model, action: Action, _moment: Moment) -> Vec<Effect> {
    match (action, model.blocks.open.clone()) {
        (Action::Settle, Some(opened)) => settle_in(model, &opened),
        (Action::Settle, None) => match selected(model) {
            Some(block) => settle(model, block),
            None => model.note("no block is on this list yet"),
        },
        (Action::Back, Some(_)) => model.blocks.close(),
        (action, Some(mut opened)) => {
            let area = body(model.size);
            let mut at = opened.at.clone();
            if let Some(sheet) = sheet(model, &opened) {
                at.act(&sheet, area, action);
            }
            opened.at = at;
            model.blocks.open = Some(opened);
        }
        (Action::Open, None) => {
            if let Some(block) = selected(model) {
                open(model, block, At::default());
            }
        }
        (action, None) => {
            let lines = model.figures.blocks.len();
            let page = list::page(body(model.size), lines);
            let line = model.blocks.selected;
            model.blocks.selected = moved(line, lines, page, action);
        }
    }
    Vec::new()
}

fn open(model: &mut Model, block: BlockId, at: At) {
    let season = model.season.as_ref();
    let map = season.and_then(|season| season.row_map(block, model.now.day));
    model.blocks.open = Some(Opened { block, map, at });
}

/// The figures were made afresh: what is open is made afresh too, and closed where its block is gone
/// or where it is not looked at, so that counting does not wait for it.
pub fn refreshed(model: &mut Model) {
    let Some(opened) = model.blocks.open.take() else {
        return;
    };
    if model.screen == Screen::Blocks && sheet(model, &opened).is_some() {
        open(model, opened.block, opened.at);
    }
}

/// The chosen row where the go-back list is shown, else the one that is open.
fn settle_in(model: &mut Model, opened: &Opened) {
    if opened.at.part(Part::OF_BLOCK) != Part::GoBacks {
        settle(model, opened.block);
        return;
    }
    let lines = go_backs(model, opened.block);
    let last = lines.len().saturating_sub(1);
    match lines.get(opened.at.line(Part::GoBacks).min(last)) {
        Some(line) => forms::open(model, Job::Settle(line.id)),
        None => model.note("no row of this block was sent back"),
    }
}

/// Opens the form where one row is open; where several are, the list to choose from.
fn settle(model: &mut Model, block: BlockId) {
    let lines = go_backs(model, block);
    let mut open_ones = lines
        .iter()
        .filter(|line: &&GoBackLine| line.outcome.is_none());
    match (open_ones.next(), open_ones.next()) {
        (None, _) => {
            model
                .note("no row of this block is sent back and open: Go-back (7) on Count sends one");
        }
        (Some(only), None) => forms::open(model, Job::Settle(only.id)),
        (Some(_), Some(_)) => {
            let known = model.blocks.open.take().map(|opened| opened.at);
            let mut at = known.unwrap_or_default();
            at.turn_to(Part::OF_BLOCK, Part::GoBacks);
            open(model, block, at);
            model.note("several rows are open: choose one and ask again (g)");
        }
    }
}
