//! What an action does on the Crew screen.

use super::{Opened, pruner, selected, sheet};
use crate::report::Standing;
use crate::report::papers::Paper;
use crate::report::text::{TextOptions, day_sheets};
use crate::tui::Action;
use crate::tui::app::{Cover, Effect, Model, Moment};
use crate::tui::screens::parts::{body, moved};
use crate::tui::screens::standing::{At, list};

/// What an action does here. Nothing is written from this screen.
pub fn update(model: &mut Model, action: Action, _moment: Moment) -> Vec<Effect> {
    match (action, model.crew.open.clone()) {
        (Action::DaySheet, Some(opened)) => {
            day_sheet(model, &opened.like);
        }
        (Action::DaySheet, None) => match selected(model).cloned() {
            Some(standing) => day_sheet(model, &standing),
            None => model.note("no pruner is on this list yet"),
        },
        (Action::Back, Some(_)) => model.crew.close(),
        (action, Some(mut opened)) => {
            let area = body(model.size);
            let mut at = opened.at.clone();
            if let Some(sheet) = sheet(model, &opened) {
                at.act(&sheet, area, action);
            }
            opened.at = at;
            model.crew.open = Some(opened);
        }
        (Action::Open, None) => {
            model.crew.open = selected(model).cloned().map(|like| Opened {
                like,
                at: At::default(),
            });
        }
        (action, None) => {
            let lines = model.figures.crew.len();
            let page = list::page(body(model.size), lines);
            let line = model.crew.selected;
            model.crew.selected = moved(line, lines, page, action);
        }
    }
    Vec::new()
}

/// Shows the pruner's day sheet of today.
fn day_sheet(model: &mut Model, standing: &Standing) {
    let (Some(season), Some(pruner)) = (&model.season, pruner(standing)) else {
        return;
    };
    let sheets = season.day_sheet(pruner, model.now.day);
    let text = day_sheets(&sheets, TextOptions::default());
    model.cover = Some(Cover::Page {
        title: format!("Day sheet: {}", standing.subject.shown()),
        lines: text.lines().map(str::to_owned).collect(),
        scroll: 0,
        paper: Some(Paper::DaySheets),
    });
}
