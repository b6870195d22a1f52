//! From the model to the cells of the terminal.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

use super::shown::shown;
use super::{Layer, Message, Model, Tone, menu};
use crate::tui::keymap::{footer, stack};
use crate::tui::pen::{below, line_of, right_of};
use crate::tui::tour::{self, Tour};
use crate::tui::{Action, HitMap, Pen, form, text};

/// The fewest columns that the screens need.
pub const MIN_COLUMNS: u16 = 60;
/// The fewest lines that the screens need: those of a screen held upright, or above a keyboard.
pub const MIN_LINES: u16 = 16;

/// The fewest lines of a form, and of what is read or asked over it.
const MIN_FORM_LINES: u16 = 12;

/// The fewest lines of what is shown now.
fn least_lines(model: &Model) -> u16 {
    match model.layers.last() {
        Some(Layer::Form(..) | Layer::Question(_) | Layer::Help(_) | Layer::Page { .. }) => {
            MIN_FORM_LINES
        }
        _ => MIN_LINES,
    }
}

/// Whether what is shown now can be drawn at this size.
pub(super) fn fits(model: &Model, (columns, lines): (u16, u16)) -> bool {
    columns >= MIN_COLUMNS && lines >= least_lines(model)
}

/// Draws everything, and gives what can be touched.
pub fn view(model: &Model, buf: &mut Buffer) -> HitMap {
    let mut hits = HitMap::new();
    let area = buf.area;
    let mut pen = Pen::new(buf, model.look.theme, &mut hits);
    pen.clear(area);
    if !fits(model, (area.width, area.height)) {
        too_small(&mut pen, area, least_lines(model));
        return hits;
    }
    let (body, foot) = split_foot(area, model.tour.is_some() && !pen.small);
    match model.layers.split_last() {
        Some((Layer::Menu(at), below)) => menu::view(model, below.last(), *at, &mut pen, body),
        uppermost => shown(model, uppermost.map(|(layer, _)| layer), &mut pen, body),
    }
    draw_foot(model, &mut pen, foot);
    hits
}

fn too_small(pen: &mut Pen, area: Rect, least_lines: u16) {
    let words = format!(
        "{} x {} is too small: {MIN_COLUMNS} columns x {least_lines} lines are needed. Make the window larger or the letters smaller, or put the keyboard on the screen away.",
        area.width, area.height
    );
    pen.wrapped(area, &words, pen.theme.text());
}

/// On the first round its step has a line of its own, so that no message hides what is to be done next.
fn split_foot(area: Rect, round: bool) -> (Rect, Rect) {
    let height = area.height - 1 - u16::from(round);
    (Rect { height, ..area }, below(area, height))
}

fn draw_foot(model: &Model, pen: &mut Pen, area: Rect) {
    let mut area = area;
    if let Some(tour) = model.tour.as_ref().filter(|_| !pen.small) {
        draw_tour(tour, pen, below(area, 1));
        area = line_of(area, 0);
    }
    if let Some(message) = &model.message {
        // what a form is kept and left by stays in sight
        let above = match model.layers.last() {
            Some(Layer::Form(..)) => form::BAR,
            _ => 0,
        };
        draw_message(message, pen, area, above);
        return;
    }
    if let Some(tour) = model.tour.as_ref().filter(|_| pen.small) {
        // it has the line that messages have else, and its end is in the menu
        pen.text(area, &tour.words(), pen.theme.title());
        return;
    }
    let keys = match model.layers.last() {
        Some(Layer::Working(_)) => "Esc stop".to_owned(),
        _ => footer(stack(model.screen, model.mode()), usize::from(area.width)),
    };
    pen.text(area, &keys, pen.theme.faint());
}

/// The most lines that a message takes.
const MOST_FOOT: u16 = 6;

/// A message; a long one grows upwards over what stands there, so that nothing moves under the hand, from so many lines
/// above the foot, and a touch takes it away.
fn draw_message(message: &Message, pen: &mut Pen, foot: Rect, above: u16) {
    let (mark, style) = match message.tone {
        Tone::Note => ("", pen.theme.text()),
        Tone::Problem => ("! ", pen.theme.error()),
    };
    let words = format!("{mark}{}", message.words.replace('\n', " "));
    if text::width(&text::safe(&words)) <= usize::from(foot.width) {
        pen.text(foot, &words, style);
        return;
    }
    let lines = text::wrap(&words, usize::from(foot.width)).len();
    let bottom = if above > 0 {
        foot.y - above
    } else {
        foot.bottom()
    };
    let height = (lines.min(usize::from(MOST_FOOT)) as u16).clamp(1, bottom);
    let area = Rect::new(foot.x, bottom - height, foot.width, height);
    pen.clear(area);
    pen.wrapped(area, &words, style);
    pen.touch_row(area, Action::Read);
}

/// The next step of the first round, and the way out.
fn draw_tour(tour: &Tour, pen: &mut Pen, area: Rect) {
    let (way_out, action) = tour::ENDS;
    let room = text::width(way_out) as u16;
    let right = right_of(area, area.width.saturating_sub(room));
    let left = Rect {
        width: area.width.saturating_sub(room + 1),
        ..area
    };
    pen.text(left, &tour.words(), pen.theme.title());
    pen.text(right, way_out, pen.theme.faint());
    pen.touch_row(right, action);
}
