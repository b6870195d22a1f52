//! What an action does on the Winter screen.

use super::{CHANGES, NO_WINTER, Part, entries, view};
use crate::orchard::Invalid;
use crate::report::document::sheets;
use crate::report::papers::Paper;
use crate::report::{Period, WhatIf, WinterProgress};
use crate::tui::app::{Effect, Layer, Model, Moment, Question, Span};
use crate::tui::{Action, Screen, forms};

/// What an action does here.
pub fn update(model: &mut Model, action: Action, _moment: Moment) -> Vec<Effect> {
    let part = model.winter.part;
    match (action, part) {
        (Action::NextSection, _) => model.winter.show(part.further(1)),
        (Action::PrevSection, _) => model.winter.show(part.further(-1)),
        (Action::Section(place), _) => {
            if let Some(part) = Part::ALL.get(place) {
                model.winter.show(*part);
            }
        }
        (Action::Choose(step), _) => change(model, step),
        (Action::Undo, _) => {
            model.winter.what_if = WhatIf::default();
            make_what_if(model);
        }
        (Action::New, Part::Entries) => {
            let job = entries::new_job(entries::selected(model));
            forms::open(model, job);
        }
        (Action::New, _) => {
            // there is nothing to make on the other parts: go where there is
            model.winter.show(Part::Entries);
            model.note("choose a kind: New (n) makes an entry of it");
        }
        (Action::Edit | Action::Open, Part::Entries) => match entries::selected(model) {
            Some(entry) => forms::open(model, entries::edit_job(entry)),
            None => model.note(NO_WINTER),
        },
        (Action::Remove, Part::Entries) => remove(model),
        (Action::Edit | Action::Remove, _) => {
            model.winter.show(Part::Entries);
            model.note("choose an entry: Edit (e) changes it, Remove (x) removes it");
        }
        (Action::Review, _) => show_review(model),
        (Action::Open, _) => show_all(model),
        (other, _) => {
            let lines = view::lines(model);
            let room = view::in_sight(model, lines);
            model.winter.cursor_mut().act(lines, room, other);
        }
    }
    Vec::new()
}

fn change(model: &mut Model, step: i8) {
    if model.winter.part != Part::WhatIf {
        model.winter.show(Part::WhatIf);
    }
    let Some(known) = &model.figures.winter else {
        model.note(NO_WINTER);
        return;
    };
    let place = model.winter.selected(CHANGES);
    model.winter.what_if = model.winter.what_if.changed(place, step, known.crew);
    make_what_if(model);
}

fn remove(model: &mut Model) {
    let (Some(season), Some(entry)) = (&model.season, entries::selected(model)) else {
        model.note(NO_WINTER);
        return;
    };
    match entries::removal(season, entry) {
        Ok((words, yes)) => {
            let yes = vec![Effect::Write(vec![yes])];
            model.show(Layer::Question(Question { words, yes }));
        }
        Err(why) => model.note(why),
    }
}

/// All figures to read, as they are printed.
fn show_all(model: &mut Model) {
    let Some(progress) = &model.figures.winter else {
        model.note(NO_WINTER);
        return;
    };
    let (title, paper) = ("The winter's work in full", Paper::Winter);
    let page = Layer::sheets(title, sheets::winter(progress), Some(paper));
    model.show(page);
}

/// The winter review to read, as it is printed.
fn show_review(model: &mut Model) {
    let Some(season) = &model.season else {
        model.note(NO_WINTER);
        return;
    };
    let review = sheets::review(&season.review(model.now.day));
    model.show(Layer::sheets(
        "The winter review",
        review,
        Some(Paper::Review),
    ));
}

/// The screen is entered: its figures are made.
pub fn entered(model: &mut Model) {
    refreshed(model);
}

/// The winter changed: the figures are made afresh where they are looked at, so that counting does not wait for them.
pub fn refreshed(model: &mut Model) {
    model.figures.winter = None;
    if model.screen == Screen::Winter {
        // nothing is changed, so nothing is refused
        model.figures.winter = made(model, WhatIf::default()).and_then(Result::ok);
    }
    make_what_if(model);
}

fn make_what_if(model: &mut Model) {
    let what_if = model.winter.what_if;
    model.figures.what_if = None;
    if model.screen == Screen::Winter && what_if.is_something() {
        match made(model, what_if) {
            Some(Ok(progress)) => model.figures.what_if = Some(progress),
            Some(Err(refused)) => model.note(refused.to_string()),
            None => {}
        }
    }
}

fn made(model: &Model, what_if: WhatIf) -> Option<Result<WinterProgress, Invalid>> {
    let season = model.season.as_ref()?;
    let (today, figures) = (model.now.day, &model.figures);
    let crew = &figures.so_far;
    Some(if model.span == Span::Winter {
        season.winter_progress_if(today, crew, &figures.blocks, what_if)
    } else {
        let blocks = season.block_standings(Period::so_far(today));
        season.winter_progress_if(today, crew, &blocks, what_if)
    })
}
