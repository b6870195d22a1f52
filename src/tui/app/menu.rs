//! The menu of a small screen: the words that are cut on it, and the buttons that found no room.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

use super::shown::shown;
use super::{Layer, Model, tour};
use crate::tui::hit::{MIN_HEIGHT, MIN_WIDTH};
use crate::tui::keymap::{BudKeys, key_name};
use crate::tui::pen::{below, line_of};
use crate::tui::room::{Fold, Folded};
use crate::tui::widgets::{Button, button_bar};
use crate::tui::{Action, Context, Cursor, HitMap, Pen, is_small, text};

/// Lines above the words.
const HEAD: u16 = 1;

/// Opens it, where the screen is small.
pub(super) fn open(model: &mut Model) {
    if !is_small(model.size) || matches!(model.layers.last(), Some(Layer::Menu(_))) {
        return;
    }
    if folded(model, model.layers.last(), room(model)).is_empty() {
        model.note("everything here has its place on the screen");
        return;
    }
    model.layers.push(Layer::Menu(Cursor::default()));
}

/// Whether this closed the menu: what is asked for is done in the place below.
pub(super) fn leaves(model: &mut Model, action: Action) -> bool {
    let own = matches!(
        action,
        Action::Up | Action::Down | Action::Back | Action::Read
    );
    let over = |layer: &mut Layer| matches!(layer, Layer::Menu(_)) && !own;
    model.layers.pop_if(over).is_some()
}

/// What an action does in it.
pub(super) fn act(model: &mut Model, action: Action) {
    if action == Action::Back {
        model.layers.pop();
        return;
    }
    let plan = Plan::of(model, model.layers.iter().rev().nth(1), room(model));
    if let Some(Layer::Menu(at)) = model.layers.last_mut() {
        at.scroll(plan.lines.len(), usize::from(plan.words.height), action);
    }
}

/// All but the foot.
fn room(model: &Model) -> Rect {
    let (columns, lines) = model.size;
    Rect::new(0, 0, columns, lines.saturating_sub(1))
}

/// What it holds, and where.
struct Plan {
    lines: Vec<String>,
    buttons: Vec<Fold>,
    words: Rect,
    grid: Rect,
    /// Buttons side by side.
    across: usize,
}

impl Plan {
    fn of(model: &Model, layer: Option<&Layer>, area: Rect) -> Self {
        let folded = folded(model, layer, area);
        let columns = usize::from(area.width);
        let lines = folded.words.iter();
        let lines = lines.flat_map(|words| text::wrap(words, columns));
        let widest = folded.buttons.iter().map(|one| text::width(&one.label));
        let each = MIN_WIDTH.max(widest.max().unwrap_or(0) as u16 + 2);
        let across = usize::from((area.width / each).max(1));
        // the way back has a place too
        let rows = (folded.buttons.len() + 1).div_ceil(across) as u16;
        let top = area.height.saturating_sub(rows * MIN_HEIGHT).max(HEAD);
        Self {
            lines: lines.collect(),
            buttons: folded.buttons,
            words: Rect {
                height: top - HEAD,
                ..below(area, HEAD)
            },
            grid: below(area, top),
            across,
        }
    }
}

/// What finds no room in a place: it is drawn aside, and what is cut is gathered.
fn folded(model: &Model, layer: Option<&Layer>, area: Rect) -> Folded {
    let whole = Rect {
        height: area.height + 1,
        ..area
    };
    let (mut buf, mut hits) = (Buffer::empty(whole), HitMap::new());
    let mut pen = Pen::new(&mut buf, model.look.theme, &mut hits).gathering();
    shown(model, layer, &mut pen, area);
    let mut folded = pen.gathered();
    if model.tour.is_some() {
        let (_, action) = tour::ENDS;
        folded.fold(Button::new("End round", action).key("F9").fold());
    }
    folded.in_order();
    folded
}

/// Draws it.
pub(super) fn view(model: &Model, layer: Option<&Layer>, at: Cursor, pen: &mut Pen, area: Rect) {
    let plan = Plan::of(model, layer, area);
    let title = line_of(area, 0);
    pen.text(title, "What else there is here", pen.theme.title());
    let room = usize::from(plan.words.height);
    let top = at.top(plan.lines.len(), room);
    for (y, line) in (0..plan.words.height).zip(&plan.lines[top..]) {
        pen.text(line_of(plan.words, y), line, pen.theme.text());
    }
    if plan.lines.len() > room {
        scroll_words(pen, title, (top + 1, plan.lines.len()));
    }
    grid(pen, &plan);
}

/// The buttons, all of one width.
fn grid(pen: &mut Pen, plan: &Plan) {
    let key = key_name(&[Context::Menu], Action::Back, &BudKeys::QWERTY);
    let mut all = vec![Button::new("Back", Action::Back).key(key.unwrap_or_default())];
    all.extend(plan.buttons.iter().map(|one| {
        let button = Button::new(&one.label, one.action).off(one.off);
        match &one.key {
            Some(key) => button.key(key.as_str()),
            None => button,
        }
    }));
    for (row, buttons) in (0..).zip(all.chunks(plan.across)) {
        let bar = Rect {
            height: MIN_HEIGHT,
            width: plan.grid.width / plan.across as u16 * buttons.len() as u16,
            ..below(plan.grid, row * MIN_HEIGHT)
        };
        button_bar(pen, bar, buttons);
    }
}

/// Where the words are longer than their room: how far one is, and where a touch moves them.
fn scroll_words(pen: &mut Pen, line: Rect, (at, of): (usize, usize)) {
    let place = format!("line {at} of {of}");
    pen.aligned(line, &place, text::Align::Right, pen.theme.faint());
    for (x, words, action) in [(25, "Up ↑", Action::Up), (33, "Down ↓", Action::Down)] {
        let place = Rect {
            x: line.x + x,
            width: 7,
            ..line
        };
        pen.text(place, words, pen.theme.faint());
        pen.touch_row(place, action);
    }
}
