//! From the model to the cells of the terminal.

use std::iter::repeat;

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

use super::{Layer, Message, Model, Question, Tone, Working};
use crate::tui::features::crew_blocks::{self, Of};
use crate::tui::keymap::{HelpLine, footer, help, stack};
use crate::tui::pen::{below, line_of, right_of};
use crate::tui::tour::{self, Tour};
use crate::tui::widgets::{Button, button_bar, tabs};
use crate::tui::{Action, Cursor, HitMap, Pen, Screen, features, form, text};

/// The fewest columns that the screens need.
pub const MIN_COLUMNS: u16 = 80;
/// The fewest lines that the screens need.
pub const MIN_LINES: u16 = 24;

/// The fewest lines of a form, and of what is read or asked over it: as much as is left above a keyboard on the screen.
const MIN_FORM_LINES: u16 = 12;
/// The fewest columns of what breaks its lines to the room: those of a screen held upright.
const MIN_FORM_COLUMNS: u16 = 60;

/// Whether what is shown now can be drawn at this size.
pub(super) fn fits(model: &Model, (columns, lines): (u16, u16)) -> bool {
    let (least_columns, least_lines) = match model.layers.last() {
        Some(Layer::Form(..) | Layer::Question(_) | Layer::Help(_)) => {
            (MIN_FORM_COLUMNS, MIN_FORM_LINES)
        }
        // sheets are as wide as the screen
        Some(Layer::Page { .. }) => (MIN_COLUMNS, MIN_FORM_LINES),
        _ => (MIN_COLUMNS, MIN_LINES),
    };
    columns >= least_columns && lines >= least_lines
}

/// Draws everything, and gives what can be touched.
pub fn view(model: &Model, buf: &mut Buffer) -> HitMap {
    let mut hits = HitMap::new();
    let area = buf.area;
    let mut pen = Pen::new(buf, model.look.theme, &mut hits);
    pen.clear(area);
    if !fits(model, (area.width, area.height)) {
        too_small(&mut pen, area);
        return hits;
    }
    let (body, foot) = split_foot(area, model.tour.is_some());
    match model.layers.last() {
        Some(Layer::Form(form, _)) => form::view(form, model.hand, &mut pen, body),
        Some(Layer::Question(question)) => ask(&mut pen, body, question),
        Some(Layer::Working(working)) => work(&mut pen, body, working),
        Some(Layer::Pictures(pictures)) => features::pictures::view(pictures, &mut pen, body),
        Some(Layer::Help(scroll)) => page(
            &mut pen,
            body,
            "What the keys do here",
            &help_lines(model),
            *scroll,
            &ways_on(model),
        ),
        Some(Layer::Page {
            title,
            lines,
            scroll,
            paper,
        }) => {
            let ways: Vec<_> = paper.map(|_| papers_button()).into_iter().collect();
            page(&mut pen, body, title, lines, *scroll, &ways);
        }
        Some(Layer::Reading) | None => screen(model, &mut pen, body),
    }
    draw_foot(model, &mut pen, foot);
    hits
}

fn too_small(pen: &mut Pen, area: Rect) {
    let words = format!(
        "{} x {} is too small: {MIN_COLUMNS} columns x {MIN_LINES} lines are needed. Make the window larger or the letters smaller, or put the keyboard on the screen away.",
        area.width, area.height
    );
    pen.wrapped(area, &words, pen.theme.text());
}

/// On the first round its step has a line of its own, so that no message hides what is to be done next.
fn split_foot(area: Rect, round: bool) -> (Rect, Rect) {
    let height = area.height - 1 - u16::from(round);
    (Rect { height, ..area }, below(area, height))
}

fn screen(model: &Model, pen: &mut Pen, area: Rect) {
    if model.screen == Screen::Count {
        // the hand counts here: the whole room is for pads, and one of them leads back
        features::count::view(model, pen, area);
        return;
    }
    tabs(pen, Rect { height: 3, ..area }, model.screen);
    let body = below(area, 3);
    match model.screen {
        Screen::Today => features::today::view(model, pen, body),
        Screen::Crew => crew_blocks::view(model, Of::Crew, pen, body),
        Screen::Blocks => crew_blocks::view(model, Of::Blocks, pen, body),
        Screen::Winter => features::winter::view(model, pen, body),
        Screen::Outlook => features::crop::view(model, pen, body),
        Screen::SetUp => features::setup::view(model, pen, body),
        Screen::Count => {}
    }
}

fn draw_foot(model: &Model, pen: &mut Pen, area: Rect) {
    let mut area = area;
    if let Some(tour) = &model.tour {
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

fn ask(pen: &mut Pen, area: Rect, question: &Question) {
    let bar = below(area, area.height.saturating_sub(3));
    let room = Rect {
        height: area.height.saturating_sub(2 + bar.height + 1),
        ..below(area, 2)
    };
    let (columns, most) = (usize::from(room.width), usize::from(room.height));
    let lines = question_lines(&question.words, columns, most);
    for (y, line) in (0..room.height).zip(&lines) {
        pen.text(line_of(room, y), line, pen.theme.text());
    }
    let buttons = [
        Button::new("Yes", Action::Confirm).key("Enter"),
        Button::new("No", Action::Cancel).key("Esc"),
    ];
    button_bar(pen, bar, &buttons);
}

/// A question in lines. Where there are too many, what stands before the sentence that asks is cut.
fn question_lines(words: &str, columns: usize, most: usize) -> Vec<String> {
    let all = text::wrap(words, columns);
    let end = words.rfind('?').unwrap_or(words.len());
    let Some(stop) = words[..end].rfind(". ").filter(|_| all.len() > most) else {
        return all;
    };
    let (before, asks) = words.split_at(stop + 2);
    let last = text::wrap(asks, columns);
    let mut lines = text::wrap(before, columns);
    lines.truncate(most.saturating_sub(last.len() + 1));
    lines.push("…".to_owned());
    lines.extend(last);
    lines
}

/// How far a long work has come, and the button that ends it.
fn work(pen: &mut Pen, area: Rect, working: &Working) {
    pen.text(line_of(area, 1), working.doing, pen.theme.title());
    let said = match working.of {
        0 => String::new(),
        of => format!("{} of {of}  {}", working.done, working.last),
    };
    pen.text(line_of(area, 3), &said, pen.theme.text());
    let room = usize::from(area.width.saturating_sub(2).min(60));
    let full = (room * working.done.min(working.of))
        .checked_div(working.of)
        .unwrap_or(0);
    let bar = format!("{}{}", "█".repeat(full), "░".repeat(room - full));
    pen.text(line_of(area, 4), &bar, pen.theme.text());
    let bar = below(area, area.height.saturating_sub(3));
    button_bar(pen, bar, &[Button::new("Stop", Action::Cancel).key("Esc")]);
}

/// Lines of a page around those to read: the heading and a blank line above, the buttons below.
const AROUND: u16 = 5;

/// How many lines of a page are seen at once.
pub(super) fn page_lines((_, lines): (u16, u16)) -> usize {
    usize::from(lines.saturating_sub(1 + AROUND)).max(1)
}

/// Where the help leads to, not away from a form that is not saved; and a button that ends the first round, whose line
/// at the foot is low.
fn ways_on(model: &Model) -> Vec<Button<'static>> {
    let form = model.layers.len() > 1;
    let end = || Button::new("End round", Action::EndRound).key("F9");
    let ways = [
        Button::new("First steps", Action::FirstSteps)
            .key("s")
            .off(form),
        papers_button().off(form),
    ];
    let end = model.tour.is_some().then(end);
    ways.into_iter().chain(end).collect()
}

fn papers_button() -> Button<'static> {
    Button::new("Papers", Action::Papers).key("Ctrl-P")
}

fn page(
    pen: &mut Pen,
    area: Rect,
    title: &str,
    lines: &[String],
    scroll: Cursor,
    ways_on: &[Button],
) {
    pen.text(line_of(area, 0), title, pen.theme.title());
    let room = Rect {
        height: area.height.saturating_sub(AROUND),
        ..below(area, 2)
    };
    let shown = usize::from(room.height);
    let last = lines.len().saturating_sub(shown);
    let from = scroll.top(lines.len(), shown);
    for (y, line) in (0..room.height).zip(&lines[from..]) {
        pen.text(line_of(room, y), line, pen.theme.text());
    }
    if last > 0 {
        let place = format!("line {} of {}", from + 1, lines.len());
        pen.aligned(
            line_of(area, 0),
            &place,
            text::Align::Right,
            pen.theme.faint(),
        );
    }
    let bar = below(area, area.height.saturating_sub(3));
    let buttons = [
        Button::new("Back", Action::Back).key("Esc"),
        Button::new("Up", Action::PageUp)
            .key("PageUp")
            .off(from == 0),
        Button::new("Down", Action::PageDown)
            .key("PageDown")
            .off(from == last),
    ];
    button_bar(pen, bar, &[&buttons, ways_on].concat());
}

/// Columns that the names of keys have in the help.
const KEY_NAMES: usize = 18;

/// The keys of the screen under the help; what they do is broken to the room.
pub(super) fn help_lines(model: &Model) -> Vec<String> {
    let below = model.layers.iter().rev().nth(1).and_then(Layer::mode);
    let here = stack(model.screen, below.unwrap_or_else(|| model.screen_mode()));
    let lines = help(here, &model.look.bud_keys);
    let columns = usize::from(model.size.0).saturating_sub(KEY_NAMES + 1);
    let said = |line: HelpLine| {
        let names = [line.keys].into_iter().chain(repeat(String::new()));
        let doc = text::wrap(&line.doc, columns);
        let lines = names.zip(doc);
        lines
            .map(|(names, doc)| format!("{names:<KEY_NAMES$} {doc}"))
            .collect::<Vec<_>>()
    };
    lines.into_iter().flat_map(said).collect()
}
