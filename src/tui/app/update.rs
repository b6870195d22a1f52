//! From an event to the next state of the model and what is to be written.

use super::filling::form_event;
use super::menu;
use super::round;
use super::shown::{help_lines, page_lines};
use super::view::fits;
use super::{Effect, Event, FormKind, Hand, Layer, Model, Moment, Question, Tone, Working};
use crate::orchard::TreeCount;
use crate::store::Counted;
use crate::tui::features::crew_blocks::{self, Of};
use crate::tui::form::Then;
use crate::tui::keymap::{resolve, stack};
use crate::tui::{Action, Context, Key, Screen, features, forms, is_small};

/// Takes in one event.
pub fn update(model: &mut Model, event: Event, moment: Moment) -> Vec<Effect> {
    let new_day = moment.now.day != model.now.day;
    model.now = moment.now;
    if new_day {
        model.refresh();
    }
    match event {
        Event::Act(_) => model.hand = Hand::Touch,
        Event::Key(_) => {
            let in_form = matches!(model.layers.last(), Some(Layer::Form(..)));
            model.hand = if in_form && model.hand != Hand::Keys {
                Hand::Typing
            } else {
                Hand::Keys
            };
        }
        Event::Paste(_)
        | Event::Resize(..)
        | Event::Tick
        | Event::Counted(..)
        | Event::Loaded(..)
        | Event::BackedUp(..)
        | Event::Fresh(..)
        | Event::Working(_)
        | Event::WorkEnded(_)
        | Event::Asked(_)
        | Event::Tablets(_)
        | Event::Failed(_) => {}
    }
    let effects = happened(model, event, moment);
    round::follow(model);
    effects
}

fn happened(model: &mut Model, event: Event, moment: Moment) -> Vec<Effect> {
    match event {
        Event::Key(key) => on_key(model, key, moment),
        Event::Act(action) if menu::leaves(model, action) => {
            happened(model, Event::Act(action), moment)
        }
        Event::Act(Action::Quit) if model.layers.is_empty() => {
            // a touch slips more easily than two keys
            let words = "Leave the program? All that was counted is on disk.".to_owned();
            let yes = vec![Effect::Quit];
            model.show(Layer::Question(Question { words, yes }));
            Vec::new()
        }
        Event::Act(action) => act(model, action, moment),
        Event::Paste(text) => {
            let Some(Layer::Form(form, _)) = model.layers.last_mut() else {
                return Vec::new();
            };
            let event = form.paste(&text);
            form_event(model, event, moment)
        }
        Event::Resize(columns, lines) => {
            model.size = (columns, lines);
            Vec::new()
        }
        Event::Tick => Vec::new(),
        Event::Failed(words) => {
            failed(model, words);
            Vec::new()
        }
        Event::BackedUp(backups, message) => {
            model.backups = backups;
            model.message = message.or(model.message.take());
            Vec::new()
        }
        Event::Loaded(house, season) => {
            if !model.look.theme_fixed {
                model.look.theme = house.look.theme;
            }
            model.look.bud_keys = house.look.bud_keys;
            model.look.extras = house.look.extras;
            model.look.counter.clone_from(&house.look.counter);
            model.house = *house;
            let before = std::mem::replace(&mut model.season, season.map(|season| *season));
            model.marks_before = before.map(|season| season.marks).unwrap_or_default();
            model
                .layers
                .retain(|layer| !matches!(layer, Layer::Reading));
            model.refresh();
            saved(model);
            features::crop::kept(model);
            features::count::reloaded(model);
            forms::renew(model, moment);
            Vec::new()
        }
        Event::Fresh(kind, shelf) => {
            if let Some((backups, holds)) = shelf {
                (model.backups, model.holds) = (backups, Some(holds));
            }
            forms::open(model, kind);
            Vec::new()
        }
        Event::Working(state) => {
            if let Some(Layer::Working(working)) = model.layers.last_mut() {
                *working = Working {
                    doing: working.doing,
                    ..state
                };
            }
            Vec::new()
        }
        Event::WorkEnded(message) => {
            let working = |layer: &mut Layer| matches!(layer, Layer::Working(_));
            if model.layers.pop_if(working).is_some() && message.tone == Tone::Note {
                // the form that began it is done with
                model.layers.clear();
            }
            model.message = Some(message);
            Vec::new()
        }
        Event::Asked(question) => {
            model.show(Layer::Question(question));
            Vec::new()
        }
        Event::Tablets(tablets) => {
            features::setup::tablets_read(model, *tablets);
            Vec::new()
        }
        Event::Counted(count, what) => {
            on_count(model, *count, what);
            Vec::new()
        }
    }
}

/// Takes in what came of a count.
fn on_count(model: &mut Model, count: TreeCount, what: Counted) {
    let id = count.id;
    match what {
        // what follows with it is told by itself
        Counted::Begun => {}
        Counted::Tapped(tap) => features::count::tapped(model, count, tap),
        Counted::TakenBack(tap) => features::count::taken_back(model, count, tap),
        Counted::TakenOff(off) => features::count::taken_off(model, count, off),
        Counted::PutBack(tap) => features::count::put_back(model, count, tap),
        Counted::Changed => {
            features::count::changed(model, count);
            features::setup::count_is_back(model, id);
            saved(model);
        }
        Counted::Removed => {
            features::setup::count_goes(model, id);
            if let Some(season) = &mut model.season {
                let touched = season.touched_by(id);
                season.take(id);
                model.refresh_touched(&touched);
            }
            features::count::removed(model, id);
        }
    }
}

/// Closes the form that was being saved: what it asked for is on disk.
fn saved(model: &mut Model) {
    let saving = |layer: &mut Layer| matches!(layer, Layer::Form(form, _) if form.saving.is_some());
    if let Some(Layer::Form(form, kind)) = model.layers.pop_if(saving) {
        forms::kept(model, kind, &form);
        if form.saving == Some(Then::OpenNext) {
            forms::open(model, kind);
        }
    }
}

/// Shows a failure where the person looks: in the form that was to be saved, or at the foot.
fn failed(model: &mut Model, words: String) {
    features::crop::not_kept(model);
    match model.layers.last_mut() {
        Some(Layer::Form(form, _)) if form.saving.is_some() => {
            form.saving = None;
            form.problem = Some(words);
            return;
        }
        Some(Layer::Working(_)) => {
            // it was not begun, or broke off: nothing else would end it; the form that asked for it is there again
            model.layers.pop();
        }
        Some(
            Layer::Reading
            | Layer::Form(..)
            | Layer::Question(_)
            | Layer::Help(_)
            | Layer::Pictures(_)
            | Layer::Menu(_)
            | Layer::Page { .. },
        )
        | None => {}
    }
    model.problem(words);
}

fn on_key(model: &mut Model, key: Key, moment: Moment) -> Vec<Effect> {
    if !fits(model, model.size) {
        // nothing is shown but how large the window must be: no key counts blindly
        let leave = resolve(&[Context::Anywhere], key, &model.look.bud_keys);
        return match leave {
            Some(Action::Quit) => vec![Effect::Quit],
            Some(Action::Stop) => vec![Effect::Stop],
            _ => Vec::new(),
        };
    }
    if let Some(Layer::Form(form, _)) = model.layers.last_mut() {
        // F1 and Ctrl-Q hold in forms too
        let general = resolve(&[Context::Anywhere], key, &model.look.bud_keys);
        if let Some(action) = general {
            return act(model, action, moment);
        }
        let event = form.key(key);
        model.message = None;
        return form_event(model, event, moment);
    }
    let here = stack(model.screen, model.mode());
    let small = is_small(model.size).then_some(&[Context::Small][..]);
    let keys = &model.look.bud_keys;
    let found = resolve(here, key, keys).or_else(|| resolve(small?, key, keys));
    match found {
        Some(action) => act(model, action, moment),
        None => Vec::new(),
    }
}

fn act(model: &mut Model, action: Action, moment: Moment) -> Vec<Effect> {
    if action == Action::Stop {
        return vec![Effect::Stop];
    }
    model.message = None;
    menu::leaves(model, action);
    if action == Action::Quit {
        return quit(model);
    }
    match (action, model.layers.last_mut()) {
        (Action::Read, _) => return Vec::new(),
        (Action::EndRound, _) => {
            model.tour = None;
            return Vec::new();
        }
        (Action::Help, Some(Layer::Form(..))) => {
            // the form comes back as it was
            model.layers.push(Layer::help());
            return Vec::new();
        }
        (_, Some(Layer::Form(form, _))) => {
            let event = form.act(action);
            return form_event(model, event, moment);
        }
        (Action::Menu, _) => {
            menu::open(model);
            return Vec::new();
        }
        (_, Some(Layer::Menu(_))) => {
            menu::act(model, action);
            return Vec::new();
        }
        (_, Some(Layer::Question(_))) => return answer(model, action),
        (_, Some(Layer::Working(_))) => {
            let stop = action == Action::Cancel;
            return stop.then_some(Effect::StopWork).into_iter().collect();
        }
        (_, Some(Layer::Pictures(_))) => {
            features::pictures::update(model, action);
            return Vec::new();
        }
        (_, Some(Layer::Help(_) | Layer::Page { .. })) => {
            scroll(model, action);
            return Vec::new();
        }
        (_, Some(Layer::Reading) | None) => {}
    }
    on_screen(model, action, moment)
}

/// Leaves the program; a form that holds what is not saved is shown first, whatever lies over it.
fn quit(model: &mut Model) -> Vec<Effect> {
    while model.layers.len() > 1
        && matches!(
            model.layers.last(),
            Some(Layer::Help(_) | Layer::Question(_))
        )
    {
        model.layers.pop();
    }
    if let Some(Layer::Form(form, _)) = model.layers.last_mut()
        && !form.may_leave()
    {
        return Vec::new();
    }
    vec![Effect::Quit]
}

/// An action where nothing lies over the screen.
#[allow(clippy::wildcard_enum_match_arm)] // all other actions are the screen's own
fn on_screen(model: &mut Model, action: Action, moment: Moment) -> Vec<Effect> {
    match action {
        Action::Help => model.show(Layer::help()),
        Action::Go(screen) => return go(model, screen),
        Action::NextScreen => return go(model, model.screen.next()),
        Action::PrevScreen => return go(model, model.screen.prev()),
        Action::LogEvening => forms::open(model, FormKind::Evening),
        Action::LogWork => forms::open(model, FormKind::Work(None)),
        Action::DrawTrees => forms::open(model, FormKind::Draw),
        Action::Papers => forms::open(model, FormKind::Papers),
        Action::Pictures => features::pictures::open(model),
        Action::CountAgain => forms::open(model, FormKind::CountAgain),
        Action::TogglePeriod => {
            model.span = model.span.next();
            model.refresh();
        }
        other => match model.screen {
            Screen::Crew => return crew_blocks::update(model, Of::Crew, other),
            Screen::Blocks => return crew_blocks::update(model, Of::Blocks, other),
            Screen::Today => return features::today::update(model, other, moment),
            Screen::Count => return features::count::update(model, other, moment),
            Screen::Winter => return features::winter::update(model, other, moment),
            Screen::Outlook => return features::crop::update(model, other, moment),
            Screen::SetUp => return features::setup::update(model, other, moment),
        },
    }
    Vec::new()
}

fn go(model: &mut Model, screen: Screen) -> Vec<Effect> {
    model.screen = screen;
    match screen {
        Screen::Count => features::count::entered(model),
        Screen::Crew => model.crew.close(),
        Screen::Blocks => model.blocks.close(),
        Screen::Outlook => features::crop::entered(model),
        Screen::Today => model.refresh_walk(),
        Screen::Winter => features::winter::entered(model),
        Screen::SetUp => return features::setup::entered(model),
    }
    Vec::new()
}

fn answer(model: &mut Model, action: Action) -> Vec<Effect> {
    if action == Action::Cancel {
        model.layers.pop();
    }
    if action == Action::Confirm
        && let Some(Layer::Question(question)) = model.layers.pop()
    {
        model.layers.clear();
        if let [Effect::TakeIn(..) | Effect::ReadTables(..)] = question.yes[..] {
            model.show(Layer::Working(Working::doing("Taking in")));
        }
        return question.yes;
    }
    Vec::new()
}

#[allow(clippy::wildcard_enum_match_arm)] // a page takes few of all actions
fn scroll(model: &mut Model, action: Action) {
    let room = page_lines(model.size);
    // a form that is not saved is not left from its help
    let alone = model.layers.len() == 1;
    let lines = match model.layers.last() {
        Some(Layer::Help(_)) => help_lines(model).len(),
        Some(Layer::Page { text, .. }) => text.lines(model.size.0).len(),
        _ => return,
    };
    let is_help = matches!(model.layers.last(), Some(Layer::Help(_)));
    let Some(Layer::Help(place) | Layer::Page { scroll: place, .. }) = model.layers.last_mut()
    else {
        return;
    };
    place.scroll(lines, room, action);
    match action {
        Action::Back | Action::Cancel | Action::Open | Action::Help => {
            model.layers.pop();
        }
        Action::Papers if alone => forms::open(model, FormKind::Papers),
        Action::FirstSteps if is_help && alone => {
            let lines = features::setup::guide::page(model);
            model.show(Layer::page("First steps", lines, None));
        }
        Action::Go(screen) if alone => {
            model.layers.clear();
            go(model, screen);
        }
        _ => {}
    }
}
