//! From the model to the cells of the terminal.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

use super::{Cover, Model, Question, Tone, Working};
use crate::tui::keymap::{footer, help, stack};
use crate::tui::pen::{below, line_of};
use crate::tui::widgets::{Button, button_bar, tabs};
use crate::tui::{Action, HitMap, Layer, Pen, Screen, form, screens, text};

/// The fewest columns that the screens need.
pub const MIN_COLUMNS: u16 = 80;
/// The fewest lines that the screens need.
pub const MIN_LINES: u16 = 24;

/// Draws everything, and gives what can be touched.
pub fn view(model: &Model, buf: &mut Buffer) -> HitMap {
    let mut hits = HitMap::new();
    let area = buf.area;
    let mut pen = Pen::new(buf, model.look.theme, &mut hits);
    pen.clear(area);
    if area.width < MIN_COLUMNS || area.height < MIN_LINES {
        too_small(&mut pen, area);
        return hits;
    }
    let (body, foot) = split_foot(area);
    match &model.cover {
        Some(Cover::Form(form, _)) => form::view(form, &mut pen, body),
        Some(Cover::Question(question)) => ask(&mut pen, body, question),
        Some(Cover::Working(working)) => work(&mut pen, body, working),
        Some(Cover::Pictures(pictures)) => screens::pictures::view(pictures, &mut pen, body),
        Some(Cover::Help(scroll)) => page(
            &mut pen,
            body,
            "What the keys do here",
            &help_lines(model),
            *scroll,
        ),
        Some(Cover::Page {
            title,
            lines,
            scroll,
        }) => page(&mut pen, body, title, lines, *scroll),
        None => screen(model, &mut pen, body),
    }
    draw_foot(model, &mut pen, foot);
    hits
}

fn too_small(pen: &mut Pen, area: Rect) {
    let words = format!(
        "{} x {} is too small: {MIN_COLUMNS} columns x {MIN_LINES} lines are needed. Make the window larger or the letters smaller.",
        area.width, area.height
    );
    pen.wrapped(area, &words, pen.theme.text());
}

fn split_foot(area: Rect) -> (Rect, Rect) {
    let body = Rect {
        height: area.height - 1,
        ..area
    };
    (body, below(area, area.height - 1))
}

fn screen(model: &Model, pen: &mut Pen, area: Rect) {
    if model.screen == Screen::Count {
        // the hand counts here: the whole room is for pads, and one of them leads back
        screens::count::view(model, pen, area);
        return;
    }
    tabs(pen, Rect { height: 3, ..area }, model.screen);
    let body = below(area, 3);
    match model.screen {
        Screen::Today => screens::today::view(model, pen, body),
        Screen::Crew => screens::crew::view(model, pen, body),
        Screen::Blocks => screens::blocks::view(model, pen, body),
        Screen::Winter => screens::winter::view(model, pen, body),
        Screen::Outlook => screens::outlook::view(model, pen, body),
        Screen::SetUp => screens::setup::view(model, pen, body),
        Screen::Count => {}
    }
}

fn draw_foot(model: &Model, pen: &mut Pen, area: Rect) {
    let Some(message) = &model.message else {
        let keys = footer(stack(model.screen, model.layer()), usize::from(area.width));
        pen.text(area, &keys, pen.theme.faint());
        return;
    };
    let style = match message.tone {
        Tone::Note => pen.theme.text(),
        Tone::Problem => pen.theme.error(),
    };
    let mark = if message.tone == Tone::Problem {
        "! "
    } else {
        ""
    };
    pen.text(
        area,
        &format!("{mark}{}", text::safe(&message.words)),
        style,
    );
}

fn ask(pen: &mut Pen, area: Rect, question: &Question) {
    pen.wrapped(below(area, 2), &question.words, pen.theme.text());
    let bar = below(area, area.height.saturating_sub(3));
    let buttons = [
        Button::new("Yes", Action::Confirm).key("Enter"),
        Button::new("No", Action::Cancel).key("Esc"),
    ];
    button_bar(pen, bar, &buttons);
}

/// How far a long work has come, and the button that ends it.
fn work(pen: &mut Pen, area: Rect, working: &Working) {
    pen.text(line_of(area, 1), "Writing", pen.theme.title());
    let said = format!("{} of {}  {}", working.done, working.of, working.last);
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

fn page(pen: &mut Pen, area: Rect, title: &str, lines: &[String], scroll: usize) {
    pen.text(line_of(area, 0), title, pen.theme.title());
    let room = Rect {
        height: area.height.saturating_sub(5),
        ..below(area, 2)
    };
    let last = lines.len().saturating_sub(usize::from(room.height));
    let from = scroll.min(last);
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
    button_bar(pen, bar, &buttons);
}

/// The keys of the screen under the help.
fn help_lines(model: &Model) -> Vec<String> {
    let layer = match model.screen {
        Screen::Crew if model.crew.is_open() => Layer::Detail,
        Screen::Blocks if model.blocks.is_open() => Layer::Detail,
        Screen::Outlook if model.outlook.is_open() => Layer::Detail,
        _ => Layer::Base,
    };
    let lines = help(stack(model.screen, layer), &model.look.bud_keys);
    lines
        .into_iter()
        .map(|line| format!("{:<18} {}", line.keys, line.doc))
        .collect()
}
