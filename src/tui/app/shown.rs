//! Layers, and the screen where there is none, as cells of the terminal.

use std::iter::repeat;

use ratatui::layout::Rect;

use super::{Layer, Model, Question, Working};
use crate::tui::features::crew_blocks::{self, Of};
use crate::tui::keymap::{HelpLine, help, stack};
use crate::tui::pen::{below, line_of};
use crate::tui::widgets::{Button, button_bar, page_actions, tab_lines, tabs};
use crate::tui::{Action, Context, Cursor, Pen, Screen, features, form, is_small, text};

/// Draws a layer, or the screen where there is none.
pub(super) fn shown(model: &Model, layer: Option<&Layer>, pen: &mut Pen, body: Rect) {
    match layer {
        Some(Layer::Form(form, _)) => form::view(form, model.hand, pen, body),
        Some(Layer::Question(question)) => ask(pen, body, question),
        Some(Layer::Working(working)) => work(pen, body, working),
        Some(Layer::Pictures(pictures)) => features::pictures::view(pictures, pen, body),
        Some(Layer::Help(scroll)) => page(
            pen,
            body,
            "What the keys do here",
            &help_lines(model),
            *scroll,
            &ways_on(model),
        ),
        Some(Layer::Page {
            title,
            text,
            scroll,
            paper,
        }) => {
            let ways: Vec<_> = paper.map(|_| papers_button()).into_iter().collect();
            page(pen, body, title, &text.lines(body.width), *scroll, &ways);
        }
        Some(Layer::Reading) | None => screen(model, pen, body),
        // it lies over one of the others
        Some(Layer::Menu(_)) => {}
    }
}

fn screen(model: &Model, pen: &mut Pen, area: Rect) {
    if model.screen == Screen::Count {
        // the hand counts here: the whole room is for pads, and one of them leads back
        features::count::view(model, pen, area);
        return;
    }
    let height = tab_lines(pen.small);
    tabs(pen, Rect { height, ..area }, model.screen);
    let body = below(area, height);
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
    let form = |layer: &Layer| matches!(layer, Layer::Form(..));
    let form = model.layers.iter().any(form);
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
    page_actions(pen, bar, &[&buttons, ways_on].concat());
}

/// Columns that the names of keys have in the help.
const KEY_NAMES: usize = 18;

/// The keys of the screen under the help; what they do is broken to the room.
pub(super) fn help_lines(model: &Model) -> Vec<String> {
    let is_help = |layer: &Layer| matches!(layer, Layer::Help(_));
    let at = model.layers.iter().rposition(is_help).unwrap_or(0);
    let below = model.layers[..at].last().and_then(Layer::mode);
    let here = stack(model.screen, below.unwrap_or_else(|| model.screen_mode()));
    let mut lines = help(here, &model.look.bud_keys);
    if is_small(model.size) {
        lines.extend(help(&[Context::Small], &model.look.bud_keys));
    }
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
