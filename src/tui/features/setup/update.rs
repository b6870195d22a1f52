//! What keys and touches do on the Set-up screen.

use super::forms::tablets::{self, TabletLine};
use super::lines::{Line, count, lines, selected};
use super::{Section, remove, view};
use crate::orchard::{CountId, DrawId};
use crate::report::{FateLine, words};
use crate::store::Change;
use crate::tui::app::{Effect, FormKind, Layer, Model, Moment, Tablets};
use crate::tui::{Action, features, forms};

/// What to say where there is no line to act on.
const NO_LINE: &str = "there is no entry yet: New (n) makes one";

/// What an action does here.
pub fn update(model: &mut Model, action: Action, _moment: Moment) -> Vec<Effect> {
    let section = model.setup.section();
    match action {
        Action::NextSection => return show(model, section.further(1)),
        Action::PrevSection => return show(model, section.further(-1)),
        Action::Section(place) => {
            if let Some(section) = Section::ALL.get(place) {
                return show(model, *section);
            }
        }
        Action::New => return new(model),
        Action::Edit => return edit(model),
        Action::Open => return open(model),
        Action::Remove => match selected(model) {
            Some(line) => remove::ask(model, line),
            None => model.note(NO_LINE),
        },
        Action::Undo => return bring_back(model),
        Action::ForgetName => match selected(model) {
            Some(Line::Pruner(id)) => forms::open(model, FormKind::ForgetName(id)),
            _ => model.note("select a pruner under Crew: No name (t) takes the name away for good"),
        },
        other => step(model, other),
    }
    Vec::new()
}

fn show(model: &mut Model, section: Section) -> Vec<Effect> {
    model.setup.show(section);
    entered(model)
}

/// The screen, or another section of it, is looked at: what other tablets have to do with this one is read only then.
pub fn entered(model: &Model) -> Vec<Effect> {
    let section = model.setup.section();
    let looked_at = section == Section::Settings;
    looked_at
        .then_some(Effect::ReadTablets)
        .into_iter()
        .collect()
}

/// Moves the selection.
fn step(model: &mut Model, action: Action) {
    let all = lines(model).len();
    let room = view::in_sight(model, all);
    let section = model.setup.section.place();
    model.setup.selected[section].act(all, room, action);
}

fn new(model: &mut Model) -> Vec<Effect> {
    let job = match model.setup.section() {
        Section::Winters => FormKind::Winter(None),
        Section::Blocks => FormKind::Block(None),
        Section::Crew => FormKind::Pruner(None),
        Section::Rules => {
            own_rule(model);
            return Vec::new();
        }
        Section::Work => FormKind::Work(None),
        Section::Counts => FormKind::OtherTree,
        Section::GoBacks => FormKind::GoBack(None),
        Section::Draws => FormKind::Draw,
        Section::Settings => return edit(model),
    };
    forms::open(model, job);
    Vec::new()
}

/// A rule is made for the block selected.
fn own_rule(model: &mut Model) {
    match selected(model) {
        Some(Line::Rule(Some(block))) => forms::open(model, FormKind::Rule(Some(block))),
        Some(_) => model
            .note("select a block: New (n) gives it a rule of its own; Edit (e) changes this one"),
        None => forms::open(model, FormKind::Rule(None)),
    }
}

fn edit(model: &mut Model) -> Vec<Effect> {
    let Some(line) = selected(model) else {
        model.note(NO_LINE);
        return Vec::new();
    };
    let job = match line {
        Line::Winter(id) => FormKind::Winter(Some(id)),
        Line::Budburst(block) => FormKind::Budburst(block),
        Line::Block(id) => FormKind::Block(Some(id)),
        Line::Pruner(id) => FormKind::Pruner(Some(id)),
        Line::Rule(block) => FormKind::Rule(block),
        Line::Work(id) => FormKind::Work(Some(id)),
        Line::Count(id) if is_out(model, id) => {
            model.note(OUT);
            return Vec::new();
        }
        Line::Count(id) => FormKind::Count(id),
        Line::GoBack(id) => FormKind::GoBack(Some(id)),
        Line::Draw(id) => FormKind::PutBack(id),
        Line::Setting(_) => FormKind::Settings,
        Line::TablesOut => FormKind::TablesOut,
        Line::TablesIn => FormKind::TablesIn,
        // what there is to choose from may have come since the list was read
        Line::Backups => return vec![Effect::Fresh(FormKind::Restore)],
        Line::Tablets(TabletLine::Out) => return vec![Effect::Fresh(FormKind::BundleOut)],
        Line::Tablets(TabletLine::In) => return vec![Effect::Fresh(FormKind::BundlesIn)],
        Line::Tablets(line @ (TabletLine::ToSettle(_) | TabletLine::Twice(_))) => {
            let Some(job) = tablets::decides(model, line) else {
                model.note(NO_LINE);
                return Vec::new();
            };
            job
        }
        Line::Tablets(TabletLine::Joined(_)) => {
            model.note("these are one now: Remove (x) parts them again");
            return Vec::new();
        }
    };
    forms::open(model, job);
    if let (Line::Setting(setting), Some(Layer::Form(form, _))) = (line, model.layers.last_mut()) {
        let place = form.fields.iter().position(|f| f.key == setting.key());
        form.set_focus(place.unwrap_or(0));
    }
    Vec::new()
}

/// What to say of a count that was taken out.
const OUT: &str = "this count is out of the figures: Restore (Backspace) brings it back";

fn is_out(model: &Model, id: CountId) -> bool {
    count(model, id).is_some_and(|(_, removed)| removed)
}

fn open(model: &mut Model) -> Vec<Effect> {
    match selected(model) {
        Some(Line::Winter(winter)) => {
            let known = model.house.winters.iter().find(|known| known.id == winter);
            if let Some(label) = known.map(|known| known.label.clone()) {
                model.note(format!("all screens look at winter {label} now"));
            }
            vec![Effect::UseWinter(winter)]
        }
        Some(Line::Count(id)) => {
            go_on_counting(model, id);
            Vec::new()
        }
        Some(Line::Draw(id)) => {
            show_draw(model, id);
            Vec::new()
        }
        _ => edit(model),
    }
}

/// Takes a count up on the Count screen.
fn go_on_counting(model: &mut Model, id: CountId) {
    if is_out(model, id) {
        model.note(OUT);
    } else {
        features::count::look_at(model, id);
    }
}

/// Shows the trees of a draw and what became of each.
fn show_draw(model: &mut Model, id: DrawId) {
    let Some(season) = &model.season else { return };
    let Some(draw) = season.draws.iter().find(|known| known.id == id) else {
        return;
    };
    let trees = season.draw_lines(draw);
    let lines = trees.iter().map(|tree| {
        let fate = match &tree.fate {
            FateLine::Waiting => "waits".to_owned(),
            FateLine::Counted => "counted".to_owned(),
            FateLine::Skipped { reason } => format!("left out: {reason}"),
        };
        format!("{}, {}: {fate}", tree.place_words(), tree.pruner_shown)
    });
    let title = format!("Draw of {}, in walking order", draw.day);
    let page = Layer::page(title, lines.collect(), None);
    model.show(page);
}

/// Brings back the selected count if it was taken out, or else the last that was.
fn bring_back(model: &mut Model) -> Vec<Effect> {
    if model.setup.section() != Section::Counts {
        return Vec::new();
    }
    let chosen = match selected(model) {
        Some(Line::Count(id)) if is_out(model, id) => Some(id),
        _ => model.house.removed.last().map(|count| count.id),
    };
    let Some(id) = chosen else {
        model.note("no count was taken out of the figures");
        return Vec::new();
    };
    vec![Effect::Write(vec![Change::RemoveCount(id, false)])]
}

fn words_of(model: &Model, id: CountId) -> Option<String> {
    let season = model.season.as_ref()?;
    let head = &count(model, id)?.0.head;
    let block = season.block_name(head.block);
    Some(words::place(block, head.row, head.tree))
}

/// A count is about to leave the figures: it stays in the list.
pub fn count_goes(model: &mut Model, id: CountId) {
    let found = model.season.as_ref().and_then(|season| season.count(id));
    let Some(found) = found.cloned() else { return };
    if let Some(place) = words_of(model, id) {
        model.note(format!(
            "{place} is out of the figures: Restore (Backspace) brings it back"
        ));
    }
    model.house.removed.push(found);
}

/// A count changed; where it had been taken out, it is in the figures again.
pub fn count_is_back(model: &mut Model, id: CountId) {
    let before = model.house.removed.len();
    model.house.removed.retain(|count| count.id != id);
    if model.house.removed.len() < before
        && let Some(place) = words_of(model, id)
    {
        model.note(format!("{place} is in the figures again"));
    }
}

/// What there is of other tablets was read anew: the list of settings stands at what waits for a decision since then, or
/// at the line where it stood.
pub fn tablets_read(model: &mut Model, tablets: Tablets) {
    if model.setup.section() != Section::Settings {
        model.tablets = tablets;
        return;
    }
    let waits = |line: &Line| matches!(line, Line::Tablets(of) if of.waits());
    let waiting = |lines: &[Line]| lines.iter().filter(|line| waits(line)).count();
    let (stood, waited) = (selected(model), waiting(&lines(model)));
    model.tablets = tablets;
    let now = lines(model);
    let place = now.iter().position(|line| Some(*line) == stood);
    if waiting(&now) > waited {
        model.setup.select(0);
    } else if let Some(place) = place {
        model.setup.select(place);
    }
}

/// Selects the entry that was made last.
pub fn select_newest(model: &mut Model) {
    let lines = lines(model);
    let newest = (0..lines.len()).max_by_key(|at| lines[*at].made());
    model.setup.select(newest.unwrap_or(0));
}
