//! A form that is being filled in: checked at each change, and what comes of saving it.

use super::{Cover, Effect, Job, Model, Moment};
use crate::orchard::Invalid;
use crate::tui::forms::{self, Reading};
use crate::tui::{Form, FormEvent, Screen, features};

/// Takes in what came of a key or a touch in the form that is open.
pub(super) fn form_event(
    model: &mut Model,
    event: FormEvent,
    job: Job,
    moment: Moment,
) -> Vec<Effect> {
    match event {
        FormEvent::None => Vec::new(),
        FormEvent::Cancel => {
            model.cover = None;
            Vec::new()
        }
        FormEvent::Changed => {
            check_form(model, job, moment);
            Vec::new()
        }
        FormEvent::Save => {
            model.goes_on = false;
            save_form(model, job, moment)
        }
        FormEvent::SaveNext => {
            model.goes_on = true;
            save_form(model, job, moment)
        }
    }
}

/// Shows what is wrong as far as the form was filled in; later fields are not found fault with yet.
fn check_form(model: &mut Model, job: Job, moment: Moment) {
    let Some(Cover::Form(form, _)) = &model.cover else {
        return;
    };
    let reading = forms::read(model, form, job, moment);
    let summary = forms::summary(model, &reading);
    let Some(Cover::Form(form, _)) = &mut model.cover else {
        return;
    };
    form.clear_errors();
    if form.summary.is_some() {
        form.summary = Some(summary);
    }
    if let Err(faults) = reading {
        show_if_visited(form, &faults);
    }
}

/// Shows each fault beside its field, where one has come so far. The focus stays: what is typed there goes on.
fn show_if_visited(form: &mut Form, faults: &[Invalid]) {
    let visited = form.focus() + 1;
    for field in form.fields.iter_mut().take(visited) {
        let fault = faults.iter().find(|fault| fault.field == field.key);
        field.error = fault.map(|fault| fault.problem.clone());
    }
}

fn save_form(model: &mut Model, job: Job, moment: Moment) -> Vec<Effect> {
    let Some(Cover::Form(form, _)) = &model.cover else {
        return Vec::new();
    };
    match forms::read(model, form, job, moment) {
        Ok(Reading::Write(changes)) if changes.is_empty() => {
            model.cover = None;
            model.note("nothing was changed");
            Vec::new()
        }
        Ok(Reading::Write(changes)) => {
            // the form stays until the change is on disk: nothing typed is lost if that fails
            model.saving = true;
            vec![Effect::Write(changes)]
        }
        Ok(Reading::Do(effect)) => {
            model.saving = true;
            vec![effect]
        }
        Ok(Reading::Ask(question)) => {
            // on no, the form is as it was
            let form = model.cover.replace(Cover::Question(question));
            model.under = form.map(Box::new);
            Vec::new()
        }
        Ok(Reading::Work(working, effect)) => {
            // the form comes back if the work fails: nothing typed is lost
            let form = model.cover.replace(Cover::Working(working));
            model.under = form.map(Box::new);
            vec![*effect]
        }
        Ok(Reading::Tree(head, drawn)) => {
            model.cover = None;
            model.screen = Screen::Count;
            features::count::begin(model, *head, drawn);
            Vec::new()
        }
        Ok(Reading::Again(firsts, counter)) => {
            model.cover = None;
            features::today::count_again(model, firsts, counter);
            Vec::new()
        }
        Ok(Reading::Details(head)) => {
            model.cover = None;
            features::count::details(model, *head)
        }
        Err(faults) => {
            if let Some(Cover::Form(form, _)) = &mut model.cover {
                form.clear_errors();
                form.set_faults(&faults);
            }
            Vec::new()
        }
    }
}
