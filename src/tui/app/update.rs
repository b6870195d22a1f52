//! From an event to the next state of the model and what is to be written.

use super::filling::form_event;
use super::view::{fits, help_lines, page_lines};
use super::{Cover, Effect, Event, Hand, Job, Model, Moment, Question, Tone, Working};
use crate::orchard::TreeCount;
use crate::store::Counted;
use crate::tui::features::crew_blocks::{self, Of};
use crate::tui::keymap::{resolve, stack};
use crate::tui::{Action, Key, Screen, features, forms, tour};

/// Takes in one event.
pub fn update(model: &mut Model, event: Event, moment: Moment) -> Vec<Effect> {
    let new_day = moment.now.day != model.now.day;
    model.now = moment.now;
    if new_day {
        model.refresh();
    }
    match event {
        Event::Act(_) => model.hand = Hand::Touch,
        Event::Key(_)
            if model.hand != Hand::Keys && matches!(model.cover, Some(Cover::Form(..))) =>
        {
            model.hand = Hand::Typing;
        }
        Event::Key(_) => model.hand = Hand::Keys,
        _ => {}
    }
    let effects = happened(model, event, moment);
    tour::follow(model);
    effects
}

fn happened(model: &mut Model, event: Event, moment: Moment) -> Vec<Effect> {
    match event {
        Event::Key(key) => on_key(model, key, moment),
        Event::Act(Action::Quit) if model.cover.is_none() => {
            // a touch slips more easily than two keys
            let words = "Leave the program? All that was counted is on disk.".to_owned();
            let yes = vec![Effect::Quit];
            model.cover = Some(Cover::Question(Question { words, yes }));
            Vec::new()
        }
        Event::Act(action) => act(model, action, moment),
        Event::Paste(text) => {
            let Some(Cover::Form(form, job)) = &mut model.cover else {
                return Vec::new();
            };
            let (event, job) = (form.paste(&text), *job);
            form_event(model, event, job, moment)
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
            model.season = season.map(|season| *season);
            model.reading = false;
            model.refresh();
            saved(model);
            features::crop::kept(model);
            features::count::reloaded(model);
            Vec::new()
        }
        Event::Fresh(job, shelf) => {
            if let Some((backups, holds)) = shelf {
                (model.backups, model.holds) = (backups, Some(holds));
            }
            forms::open(model, job);
            Vec::new()
        }
        Event::Working(state) => {
            if let Some(Cover::Working(working)) = &mut model.cover {
                *working = Working {
                    doing: working.doing,
                    ..state
                };
            }
            Vec::new()
        }
        Event::WorkEnded(message) => {
            let form = model.under.take().filter(|_| message.tone == Tone::Problem);
            if matches!(model.cover, Some(Cover::Working(_))) {
                model.cover = form.map(|form| *form);
            }
            model.message = Some(message);
            Vec::new()
        }
        Event::LookedInto(files, join, words) => {
            model.under = None;
            let yes = vec![Effect::TakeIn(files, join)];
            model.cover = Some(Cover::Question(Question { words, yes }));
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
                season.take(id);
            }
            model.refresh();
            features::count::removed(model, id);
        }
    }
}

/// Closes the form that was being saved: what it asked for is on disk.
fn saved(model: &mut Model) {
    if !std::mem::take(&mut model.saving) {
        return;
    }
    if let Some(Cover::Form(form, job)) = model.cover.take() {
        features::setup::saved(model, job, &form);
        features::winter::saved(model, job);
        features::crop::saved(model, job);
        if std::mem::take(&mut model.goes_on) {
            forms::open(model, job);
        }
    }
}

/// Shows a failure where the person looks: in the form that was to be saved, or at the foot.
fn failed(model: &mut Model, words: String) {
    let saving = std::mem::take(&mut model.saving);
    features::crop::not_kept(model);
    match &mut model.cover {
        Some(Cover::Form(form, _)) if saving => form.problem = Some(words),
        Some(Cover::Working(_)) => {
            // it was not begun, or broke off: nothing else would end it
            model.cover = None;
            model.problem(words);
        }
        _ => model.problem(words),
    }
}

fn on_key(model: &mut Model, key: Key, moment: Moment) -> Vec<Effect> {
    if !fits(model, model.size) {
        // nothing is shown but how large the window must be: no key counts blindly
        let leave = resolve(&[crate::tui::Context::Anywhere], key, &model.look.bud_keys);
        return match leave {
            Some(Action::Quit) => vec![Effect::Quit],
            Some(Action::Stop) => vec![Effect::Stop],
            _ => Vec::new(),
        };
    }
    if let Some(Cover::Form(form, job)) = &mut model.cover {
        let job = *job;
        // F1 and Ctrl-Q hold in forms too
        let general = resolve(&[crate::tui::Context::Anywhere], key, &model.look.bud_keys);
        if let Some(action) = general {
            return act(model, action, moment);
        }
        let event = form.key(key);
        model.message = None;
        return form_event(model, event, job, moment);
    }
    match resolve(
        stack(model.screen, model.layer()),
        key,
        &model.look.bud_keys,
    ) {
        Some(action) => act(model, action, moment),
        None => Vec::new(),
    }
}

fn act(model: &mut Model, action: Action, moment: Moment) -> Vec<Effect> {
    if action == Action::Stop {
        return vec![Effect::Stop];
    }
    model.message = None;
    match (action, &mut model.cover) {
        (Action::Read, _) => return Vec::new(),
        (Action::EndRound, _) => {
            model.tour = None;
            return Vec::new();
        }
        (Action::Quit, Some(Cover::Help(_) | Cover::Question(_))) if model.under.is_some() => {
            // the form below may hold what is not saved
            model.cover = model.under.take().map(|form| *form);
            return act(model, action, moment);
        }
        (Action::Quit, cover) => {
            return match cover {
                Some(Cover::Form(form, _)) => {
                    let leave = form.may_leave();
                    leave.then_some(Effect::Quit).into_iter().collect()
                }
                _ => vec![Effect::Quit],
            };
        }
        (_, Some(Cover::Form(form, job))) if action != Action::Help => {
            let job = *job;
            let event = form.act(action);
            return form_event(model, event, job, moment);
        }
        (Action::Help, Some(Cover::Form(..))) => {
            // the form comes back as it was
            let form = model.cover.replace(Cover::Help(0));
            model.under = form.map(Box::new);
            return Vec::new();
        }
        (_, Some(Cover::Question(_))) => return answer(model, action),
        (_, Some(Cover::Working(_))) => {
            let stop = action == Action::Cancel;
            return stop.then_some(Effect::StopWork).into_iter().collect();
        }
        (_, Some(Cover::Pictures(_))) => {
            features::pictures::update(model, action);
            return Vec::new();
        }
        (_, Some(Cover::Help(_) | Cover::Page { .. })) => {
            scroll(model, action);
            return Vec::new();
        }
        _ => {}
    }
    match action {
        Action::Help => model.cover = Some(Cover::Help(0)),
        Action::Go(screen) => return go(model, screen),
        Action::NextScreen => return go(model, model.screen.next()),
        Action::PrevScreen => return go(model, model.screen.prev()),
        Action::LogWork => forms::open(model, Job::Work(None)),
        Action::DrawTrees => forms::open(model, Job::Draw),
        Action::Papers => forms::open(model, Job::Papers),
        Action::Pictures => features::pictures::open(model),
        Action::CountAgain => forms::open(model, Job::CountAgain),
        Action::TogglePeriod => {
            model.span = model.span.next();
            model.refresh();
        }
        other => match model.screen {
            Screen::Crew => crew_blocks::update(model, Of::Crew, other),
            Screen::Blocks => crew_blocks::update(model, Of::Blocks, other),
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
    match (action, model.cover.take()) {
        (Action::Confirm, Some(Cover::Question(question))) => {
            model.under = None;
            if let [Effect::TakeIn(..)] = question.yes[..] {
                model.cover = Some(Cover::Working(Working::doing("Taking in")));
            }
            question.yes
        }
        (Action::Cancel, _) => {
            model.cover = model.under.take().map(|form| *form);
            Vec::new()
        }
        (_, cover) => {
            model.cover = cover;
            Vec::new()
        }
    }
}

fn scroll(model: &mut Model, action: Action) {
    let page = page_lines(model.size);
    let lines = match &model.cover {
        Some(Cover::Help(_)) => help_lines(model).len(),
        Some(Cover::Page { lines, .. }) => lines.len(),
        _ => return,
    };
    let end = lines.saturating_sub(page);
    let is_help = matches!(model.cover, Some(Cover::Help(_)));
    let Some(Cover::Help(place) | Cover::Page { scroll: place, .. }) = &mut model.cover else {
        return;
    };
    // the window may have grown
    let at = (*place).min(end);
    match action {
        Action::Up => *place = at.saturating_sub(1),
        Action::Down => *place = (at + 1).min(end),
        Action::PageUp => *place = at.saturating_sub(page),
        Action::PageDown => *place = (at + page).min(end),
        Action::First => *place = 0,
        Action::Last => *place = end,
        Action::Back | Action::Cancel | Action::Open | Action::Help => {
            model.cover = model.under.take().map(|form| *form);
        }
        // a form that is not saved is not left this way
        Action::Papers if model.under.is_none() => forms::open(model, Job::Papers),
        Action::FirstSteps if is_help && model.under.is_none() => {
            model.cover = Some(Cover::Page {
                title: "First steps".to_owned(),
                lines: features::setup::guide::page(model),
                scroll: 0,
                paper: None,
            });
        }
        Action::Go(screen) if model.under.is_none() => {
            model.cover = None;
            go(model, screen);
        }
        _ => {}
    }
}
