//! A form that is being filled in: checked at each change, and what comes of saving it.

use super::{Effect, FormKind, Layer, Model, Moment};
use crate::orchard::Invalid;
use crate::tui::form::Then;
use crate::tui::forms::{self, Reading};
use crate::tui::{Form, FormEvent, Screen, features};

/// Takes in what came of a key or a touch in the form that is uppermost.
pub(super) fn form_event(model: &mut Model, event: FormEvent, moment: Moment) -> Vec<Effect> {
    if event == FormEvent::None {
        return Vec::new();
    }
    let Some(Layer::Form(form, kind)) = model.layers.pop() else {
        return Vec::new();
    };
    match event {
        FormEvent::None | FormEvent::Cancel => Vec::new(),
        FormEvent::Changed => {
            check(model, form, kind, moment);
            Vec::new()
        }
        FormEvent::Save => save(model, (form, kind), Then::Close, moment),
        FormEvent::SaveNext => save(model, (form, kind), Then::OpenNext, moment),
    }
}

/// Shows what is wrong as far as the form was filled in; later fields are not found fault with yet.
fn check(model: &mut Model, mut form: Box<Form>, kind: FormKind, moment: Moment) {
    let reading = forms::check(model, &mut form, kind, moment);
    form.clear_errors();
    if let Err(faults) = reading {
        show_if_visited(&mut form, &faults);
    }
    model.layers.push(Layer::Form(form, kind));
}

/// Shows each fault beside its field, where one has come so far. The focus stays: what is typed there goes on.
fn show_if_visited(form: &mut Form, faults: &[Invalid]) {
    let visited = form.focus() + 1;
    for field in form.fields.iter_mut().take(visited) {
        let fault = faults.iter().find(|fault| fault.field == field.key);
        if let Some(fault) = fault {
            field.error = Some(fault.problem.clone());
        }
    }
}

fn save(
    model: &mut Model,
    (mut form, kind): (Box<Form>, FormKind),
    then: Then,
    moment: Moment,
) -> Vec<Effect> {
    if form.is_gone() {
        form.is_removed();
        model.layers.push(Layer::Form(form, kind));
        return Vec::new();
    }
    let effect = match forms::read(model, &form, kind, moment) {
        Ok(Reading::Write(changes)) if changes.is_empty() => {
            model.note("nothing was changed");
            return Vec::new();
        }
        Ok(Reading::Write(changes)) => Effect::Write(changes),
        Ok(Reading::Do(effect)) => effect,
        Ok(Reading::Ask(question)) => {
            // on no, the form is as it was
            let layers = [Layer::Form(form, kind), Layer::Question(question)];
            model.layers.extend(layers);
            return Vec::new();
        }
        Ok(Reading::Work(working, effect)) => {
            // the form is there again if the work fails: nothing typed is lost
            let layers = [Layer::Form(form, kind), Layer::Working(working)];
            model.layers.extend(layers);
            return vec![effect];
        }
        Ok(Reading::Tree(head, drawn)) => {
            model.screen = Screen::Count;
            features::count::begin(model, *head, drawn);
            return Vec::new();
        }
        Ok(Reading::Again(firsts, counter)) => {
            features::today::count_again(model, firsts, counter);
            return Vec::new();
        }
        Ok(Reading::Details(head)) => return features::count::details(model, *head),
        Err(faults) => {
            form.clear_errors();
            form.set_faults(&faults);
            model.layers.push(Layer::Form(form, kind));
            return Vec::new();
        }
    };
    // the form stays until the change is on disk: nothing typed is lost if that fails
    form.saving = Some(then);
    model.layers.push(Layer::Form(form, kind));
    vec![effect]
}
