//! What an action does on the Outlook screen.

use super::view::rooms;
use super::{Line, Opened, Part, brief, entries, figures, keep, this_year, winters};
use crate::orchard::{BlockId, Invalid};
use crate::outlook::Scenario;
use crate::report::{Period, Taken};
use crate::tui::app::{Effect, Model, Moment};
use crate::tui::features::parts::body;
use crate::tui::widgets::table_lines;
use crate::tui::{Action, Screen};

/// What an action does here.
pub fn update(model: &mut Model, action: Action, _moment: Moment) -> Vec<Effect> {
    let Some(opened) = model.outlook.open.clone() else {
        in_list(model, action);
        return Vec::new();
    };
    if action == Action::Back {
        model.outlook.close();
        return Vec::new();
    }
    if action == Action::Keep {
        return keep::keep(model, &opened);
    }
    in_block(model, opened, action);
    Vec::new()
}

fn in_list(model: &mut Model, action: Action) {
    let lines = model.outlook.lines.len();
    if action == Action::Open {
        if let Some(line) = model.outlook.selected() {
            open(model, line.block);
        }
        return;
    }
    let room = table_lines(rooms(body(model)).body.height, lines);
    model.outlook.selected.act(lines, room, action);
}

fn open(model: &mut Model, block: BlockId) {
    let gone = || Invalid::new("block", "is not worked out yet");
    let mut opened = Opened {
        block,
        part: Part::default(),
        at: Default::default(),
        scenario: 0,
        what_if: Taken::default(),
        brief: Err(gone()),
        outlook: Err(gone()),
    };
    if figures(model, &mut opened) {
        model.outlook.open = Some(opened);
    }
}

fn in_block(model: &mut Model, mut opened: Opened, action: Action) {
    match action {
        Action::NextSection => opened.part = opened.part.further(1),
        Action::PrevSection => opened.part = opened.part.further(Part::ALL.len() - 1),
        Action::NextScenario => {
            opened.scenario = (opened.scenario + 1) % Scenario::ALL.len();
            opened.part = Part::Winters;
        }
        Action::Choose(step) if opened.part == Part::Brief => {
            let step = f64::from(step);
            let Some(number) = brief::Number::chosen(&opened, model.size.0) else {
                model.note("numbers are changed in the first four lines");
                model.outlook.open = Some(opened);
                return;
            };
            let what_if = number.moved(&opened, step);
            let before = opened.what_if;
            opened.what_if = what_if;
            figures(model, &mut opened);
            if let Err(refused) = &opened.brief {
                // a number beyond what can be is not taken
                let words = refused.to_string();
                opened.what_if = before;
                figures(model, &mut opened);
                model.note(words);
            }
        }
        Action::Choose(_) => {
            model.note("numbers are changed in place on the brief: go there by the arrow keys");
        }
        Action::Undo => {
            opened.what_if = Taken::default();
            figures(model, &mut opened);
        }
        Action::New | Action::Edit | Action::Remove => {
            entries::act(model, &opened, action);
        }
        other => {
            step(model, &mut opened, other);
        }
    }
    model.outlook.open = Some(opened);
}

/// Moves through the part that is shown.
fn step(model: &Model, opened: &mut Opened, action: Action) {
    let room = rooms(body(model)).body;
    let shown = usize::from(room.height);
    let mut cursor = opened.line();
    match opened.part {
        Part::Brief => {
            let lines = usize::from(brief::lines(opened, room.width));
            cursor.act(lines, shown, action);
        }
        Part::Crop => {
            let lines = this_year::lines(opened, room.width).len();
            cursor.scroll(lines, shown, action);
        }
        Part::Winters => {
            let lines = usize::from(winters::lines(opened, room.width));
            cursor.scroll(lines, shown, action);
        }
        Part::Entries => {
            let lines = entries::lines(model, opened.block).len();
            cursor.act(lines, table_lines(room.height, lines), action);
        }
    }
    opened.at[opened.part as usize] = cursor;
}

/// The screen was gone to: its figures are made.
pub fn entered(model: &mut Model) {
    model.outlook.close();
    refreshed(model);
}

/// The winter changed: what is shown is made afresh; nothing is where another screen is shown, so that counting does
/// not wait for it.
pub fn refreshed(model: &mut Model) {
    if model.screen != Screen::Outlook {
        model.outlook.close();
        return;
    }
    let Some(season) = &model.season else {
        model.outlook.lines = Vec::new();
        model.outlook.close();
        return;
    };
    let day = model.now.day;
    let wood = season.wood(Period::so_far(day));
    let line = |block: &crate::orchard::Block| Line {
        block: block.id,
        brief: season.brief(block.id, &wood, &Taken::default(), day),
        crop: season.crop_of(block.id, &wood),
    };
    model.outlook.lines = season.blocks.iter().map(line).collect();
    model.outlook.wood = wood;
    if let Some(mut opened) = model.outlook.open.take()
        && figures(model, &mut opened)
    {
        model.outlook.open = Some(opened);
    }
}

/// A number was stored: it is no longer taken on trial.
pub(super) fn stored(model: &mut Model, forget: impl Fn(&mut Taken)) {
    if let Some(mut opened) = model.outlook.open.take() {
        forget(&mut opened.what_if);
        figures(model, &mut opened);
        model.outlook.open = Some(opened);
    }
}
