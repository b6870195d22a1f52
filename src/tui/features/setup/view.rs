//! What the Set-up screen shows.

use ratatui::layout::Rect;

use super::forms::tablets::TabletLine;
use super::lines::{Line, lines, selected};
use super::{Section, cells, guide};
use crate::report::words;
use crate::tui::app::Model;
use crate::tui::features::parts::body;
use crate::tui::keymap::{key_name, stack};
use crate::tui::pen::{below, line_of, right_of};
use crate::tui::widgets::{
    Button, Cell, Table, actions, button, strip, tab_lines, table, table_lines,
};
use crate::tui::{Action, Mode, Pen, Screen, is_small, text};

/// Lines of the sections and of the buttons.
const BAR: u16 = 3;
/// Lines of the first steps.
const GUIDE: u16 = 5;
/// Fewest columns of a section's button.
const NARROWEST: u16 = 8;

/// Draws the screen.
pub fn view(model: &Model, pen: &mut Pen, area: Rect) {
    let places = Places::share(area, guide::is_shown(model), pen.small);
    sections(model, pen, places.sections);
    steps(model, pen, places.guide);
    pen.text(places.caption, &caption(model), pen.theme.title());
    list(model, pen, places.table);
    buttons(model, pen, places.buttons);
}

/// How the height is shared.
struct Places {
    sections: Rect,
    guide: Rect,
    caption: Rect,
    table: Rect,
    buttons: Rect,
}

impl Places {
    fn share(area: Rect, guided: bool, small: bool) -> Self {
        let part = |y: u16, height: u16| Rect {
            height: height.min(area.height.saturating_sub(y)),
            ..below(area, y)
        };
        let guide = match (guided, small) {
            (true, true) => 1,
            (true, false) => GUIDE,
            (false, _) => 0,
        };
        let sections = tab_lines(small);
        let list = sections + guide + 1;
        let foot = area.height.saturating_sub(BAR).max(list);
        Self {
            sections: part(0, sections),
            guide: part(sections, guide),
            caption: part(sections + guide, 1),
            table: part(list, foot - list),
            buttons: part(foot, BAR),
        }
    }
}

/// Lines of the list that are in sight, of so many.
pub(super) fn in_sight(model: &Model, lines: usize) -> usize {
    let table = Places::share(body(model), guide::is_shown(model), is_small(model.size)).table;
    table_lines(table.height, lines)
}

/// The sections as buttons, each as wide as its word, sharing what is left; by name where there is little room.
fn sections(model: &Model, pen: &mut Pen, area: Rect) {
    if pen.small {
        let of = |section: Section| Action::Section(section.place());
        let names = Section::ALL.map(|section| (section.title(), of(section)));
        return strip(pen, area, &names, of(model.setup.section()));
    }
    let own = |section: Section| NARROWEST.max(text::width(section.title()) as u16 + 2);
    let all: u16 = Section::ALL.into_iter().map(own).sum();
    let mut spare = area.width.saturating_sub(all);
    let mut rest = area;
    for (place, section) in Section::ALL.into_iter().enumerate() {
        let more = spare / (Section::ALL.len() - place) as u16;
        spare -= more;
        let width = (own(section) + more).min(rest.width);
        let place_of = Rect { width, ..rest };
        let shown = section == model.setup.section();
        let one = Button::new(section.title(), Action::Section(place)).active(shown);
        button(pen, place_of, &one);
        rest = right_of(rest, width);
    }
}

fn steps(model: &Model, pen: &mut Pen, area: Rect) {
    if area.is_empty() {
        return;
    }
    if pen.small {
        return next_step(model, pen, area);
    }
    pen.text(line_of(area, 0), "First steps", pen.theme.title());
    if guide::next(model) == Some(0) {
        let else_way = "(or bring in what another tablet has: Settings, Bundles in)";
        pen.text(right_of(line_of(area, 0), 13), else_way, pen.theme.faint());
    }
    let next = guide::next(model);
    let half = area.width / 2;
    for (place, step) in guide::steps(model).into_iter().enumerate() {
        let (column, line) = (place / 3, place % 3);
        let line = line_of(area, 1 + line as u16);
        let cell = Rect {
            width: half,
            ..right_of(line, half * column as u16)
        };
        let (mark, style) = match (step.done, next == Some(place)) {
            (true, _) => (" [x]", pen.theme.faint()),
            (false, true) => ("▸[ ]", pen.theme.title()),
            (false, false) => (" [ ]", pen.theme.text()),
        };
        pen.text(cell, &format!("{mark} {} {}", place + 1, step.words), style);
        pen.touch_row(cell, step.leads);
    }
}

/// The first step that is not done: all are in the menu.
fn next_step(model: &Model, pen: &mut Pen, line: Rect) {
    let steps = guide::steps(model);
    if let Some((at, step)) = guide::next(model).and_then(|at| Some((at, steps.get(at)?))) {
        let words = format!("First steps, {} of {}: {}", at + 1, steps.len(), step.words);
        pen.text(line, &words, pen.theme.title());
        pen.touch_row(line, step.leads);
    }
    for line in guide::page(model) {
        pen.left_out(&line);
    }
}

/// What the list is of.
fn caption(model: &Model) -> String {
    let section = model.setup.section();
    let Some(season) = &model.season else {
        return match section {
            of if of.of_winter() => "No winter is set up yet".to_owned(),
            _ => plain_caption(model).to_owned(),
        };
    };
    let label = &season.winter.label;
    match section {
        Section::Rules => format!(
            "What to leave in winter {label} (1-, 2-, 3-, 4+-year wood; thin, medium, thick)"
        ),
        Section::Work => format!(
            "Who pruned what, winter {label}; (hours): corrected by a later entry, not used"
        ),
        Section::Counts => {
            let open = season.counts().iter().filter(|count| !count.closed).count();
            let all = words::plural(season.counts().len() as u32, "count", "counts");
            let removed = match model.house.removed.len() {
                0 => String::new(),
                out => format!(", and {out} out of the figures"),
            };
            format!("{all} in winter {label}, {open} open{removed}")
        }
        Section::GoBacks => format!("Rows sent back in winter {label}"),
        Section::Draws => format!("Trees drawn at random in winter {label}"),
        _ => plain_caption(model).to_owned(),
    }
}

fn plain_caption(model: &Model) -> &'static str {
    match model.setup.section() {
        Section::Winters => "Winters, and budburst by block in the one looked at",
        Section::Blocks => "Blocks (V: stems lean to two sides)",
        Section::Crew => "The crew",
        _ => "Settings, backups, other tablets",
    }
}

fn list(model: &Model, pen: &mut Pen, area: Rect) {
    let section = model.setup.section();
    let lines = lines(model);
    let cursor = model.setup.cursor();
    let empty = if section.of_winter() && model.season.is_none() {
        "Set up a winter first: Winters above, New (n)."
    } else {
        section.empty()
    };
    table(
        pen,
        area,
        &Table {
            columns: &section.columns(),
            rows: &rows(model, &lines, area.height),
            cursor: Some(cursor),
            empty,
        },
    );
}

/// The lines' cells. Only those in sight are filled: the list may be long.
fn rows(model: &Model, lines: &[Line], height: u16) -> Vec<Vec<Cell>> {
    let room = table_lines(height, lines.len());
    let first = model.setup.cursor().first(lines.len(), room);
    let seen = first..first + room;
    lines
        .iter()
        .enumerate()
        .map(|(place, line)| {
            if seen.contains(&place) {
                cells::cells(model, *line)
            } else {
                Vec::new()
            }
        })
        .collect()
}

fn buttons(model: &Model, pen: &mut Pen, area: Rect) {
    let section = model.setup.section();
    let selected = selected(model);
    let none = selected.is_none();
    let here = stack(Screen::SetUp, Mode::Base);
    let with_key = |label, action| {
        let name = key_name(here, action, &model.look.bud_keys).unwrap_or_default();
        Button::new(label, action).key(name)
    };
    let mut bar = vec![
        with_key("New", Action::New).off(section == Section::Settings),
        with_key(section.edits(), Action::Edit).off(none),
    ];
    if let Some(word) = section.opens() {
        // on budburst of a block, Enter changes it, as Edit does
        let other = matches!(selected, Some(Line::Budburst(_)));
        bar.push(with_key(word, Action::Open).off(none || other).rare());
    }
    let joined = matches!(selected, Some(Line::Tablets(TabletLine::Joined(_))));
    let stays = matches!(section, Section::Draws | Section::Settings) && !joined;
    bar.push(with_key("Remove", Action::Remove).off(none || stays).rare());
    if section == Section::Crew {
        bar.push(with_key("Forget", Action::ForgetName).off(none).rare());
    }
    if section == Section::Counts {
        // the key's name is too long for the button
        let back = Button::new("Restore", Action::Undo).key("Bksp");
        bar.push(back.off(model.house.removed.is_empty()).rare());
    }
    bar.push(Button::new("Up", Action::Up).key("↑").off(none));
    bar.push(Button::new("Down", Action::Down).key("↓").off(none));
    if !pen.small {
        // a small screen has them below the list
        bar.push(Button::new("Page ↑", Action::PageUp).off(none));
        bar.push(Button::new("Page ↓", Action::PageDown).off(none));
    }
    bar.extend([
        with_key("Part <", Action::PrevSection).spare(),
        with_key("Part >", Action::NextSection).spare(),
        with_key("Papers", Action::Papers).spare(),
    ]);
    actions(pen, area, &bar);
}
