//! What an action does on the lists of pruners and of blocks.

use super::{At, Of, Opened, Part, block_of, map, sent_back, table};
use crate::orchard::GoBackId;
use crate::report::document::sheets;
use crate::report::papers::Paper;
use crate::report::{Standing, Subject};
use crate::tui::Action;
use crate::tui::app::{Effect, FormKind, Layer, Model};
use crate::tui::features::marks;
use crate::tui::features::parts::body;
use crate::tui::forms;
use crate::tui::widgets::table_lines;

/// What an action does here. Forms write what they ask for; marks alone are taken back from here.
pub fn update(model: &mut Model, of: Of, action: Action) -> Vec<Effect> {
    match (action, of, of.state(model).open.clone()) {
        (Action::DaySheet, Of::Crew, opened) => day_sheet(model, opened.as_ref()),
        (Action::Settle, Of::Blocks, opened) => settle(model, opened),
        (Action::MarkTrees, Of::Blocks, opened) => mark(model, opened),
        (Action::SendBack, of, opened) => rework(model, of, opened.as_ref()),
        (Action::Undo, Of::Blocks, _) => return take_back(model),
        (Action::Back, _, Some(_)) => of.state_mut(model).close(),
        (action, _, Some(mut opened)) => {
            let area = body(model);
            let mut at = opened.at.clone();
            if let Some(sheet) = of.sheet(model, &opened) {
                at.act(&sheet, area, action);
            }
            opened.at = at;
            of.state_mut(model).open = Some(opened);
        }
        (Action::Open, _, None) => {
            if let Some(like) = of.selected(model).cloned() {
                open(model, of, like, At::default());
            }
        }
        (action, _, None) => {
            let lines = of.all(model).len();
            let room = table_lines(table::rooms(body(model)).table.height, lines);
            of.state_mut(model).cursor.act(lines, room, action);
        }
    }
    Vec::new()
}

/// Asks for marks on trees of the opened block, or the selected one.
fn mark(model: &mut Model, opened: Option<Opened>) {
    let standing = opened.map(|opened| opened.like);
    let standing = standing.as_ref().or_else(|| Of::Blocks.selected(model));
    match standing.and_then(block_of) {
        Some(block) => forms::open(model, FormKind::MarkTrees(block)),
        None => model.note("no block is on this list yet"),
    }
}

/// Asks for rework of the one that is opened or selected; on the rows, of the chosen row.
fn rework(model: &mut Model, of: Of, opened: Option<&Opened>) {
    let like = opened.map(|opened| &opened.like);
    let Some(standing) = like.or_else(|| of.selected(model)) else {
        model.note("there is nothing on this list yet");
        return;
    };
    let block = block_of(standing);
    // a team is chosen by the log, or one of them by hand
    let crew = &model.house.pruners;
    let pruner = standing.subject.pruner_id();
    let pruner = pruner.filter(|id| crew.iter().any(|known| known.id == *id));
    let row = opened.and_then(Opened::chosen_row);
    forms::open(model, FormKind::Rework(block, row, pruner));
}

/// Trees were marked here.
pub fn marked(model: &mut Model) {
    model.blocks.unmark = marks::taken_back(model);
}

fn take_back(model: &mut Model) -> Vec<Effect> {
    let changes = std::mem::take(&mut model.blocks.unmark);
    if changes.is_empty() {
        model.note("nothing was marked here since: Mark (m) marks trees, and takes marks away");
        return Vec::new();
    }
    model.note("the marks are as they were");
    vec![Effect::Write(changes)]
}

fn open(model: &mut Model, of: Of, like: Standing, at: At) {
    let map = map(model, &like);
    of.state_mut(model).open = Some(Opened { like, map, at });
}

/// The figures were made afresh: an open block is made afresh too, and closed where it is gone or where it is not looked
/// at, so that counting does not wait for it. A pruner has no picture that takes its time, and stays open.
pub fn refreshed(model: &mut Model) {
    let of = Of::Blocks;
    let Some(opened) = of.state_mut(model).open.take() else {
        return;
    };
    if model.screen == of.screen() && of.fresh(model, &opened.like).is_some() {
        open(model, of, opened.like, opened.at);
    }
}

/// Shows the day sheet of today of the opened or the selected pruner.
fn day_sheet(model: &mut Model, opened: Option<&Opened>) {
    let shown = opened.map(|opened| &opened.like);
    let Some(standing) = shown.or_else(|| Of::Crew.selected(model)) else {
        model.note("no pruner is on this list yet");
        return;
    };
    let (Some(season), Subject::Pruner { id, .. }) = (&model.season, &standing.subject) else {
        return;
    };
    let sheets = season.day_sheet(*id, model.now.day);
    let title = format!("Day sheet: {}", standing.subject.shown());
    let sheets = sheets::day_sheets(&sheets);
    model.show(Layer::sheets(title, sheets, Some(Paper::DaySheets)));
}

/// Opens the form of the chosen row where the go-back list is shown, else of the one that is open; where several are,
/// the list to choose from.
fn settle(model: &mut Model, opened: Option<Opened>) {
    let (standing, at) = match opened {
        Some(opened) => (Some(opened.like), opened.at),
        None => (Of::Blocks.selected(model).cloned(), At::default()),
    };
    let Some(standing) = standing else {
        model.note("no block is on this list yet");
        return;
    };
    let lines = sent_back(model, &standing);
    if at.part(Part::OF_BLOCK) == Part::GoBacks {
        match lines.get(at.line(Part::GoBacks).at(lines.len())) {
            Some(line) => forms::open(model, FormKind::Settle(line.id)),
            None => model.note("no row of this block was sent back"),
        }
        return;
    }
    let open_ones = lines.iter().filter(|line| line.outcome.is_none());
    let open_ones: Vec<GoBackId> = open_ones.map(|line| line.id).collect();
    match open_ones[..] {
        [] => {
            model.note("no row of this block is sent back and open: Rework (7) on Count sends one");
        }
        [only] => forms::open(model, FormKind::Settle(only)),
        [..] => {
            let mut at = at;
            at.turn_to(Part::OF_BLOCK, Part::GoBacks);
            open(model, Of::Blocks, standing, at);
            model.note("several rows are open: choose one and ask again (g)");
        }
    }
}
