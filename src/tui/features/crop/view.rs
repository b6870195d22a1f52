//! What the Outlook screen shows.

use ratatui::layout::Rect;

use super::{Line, Opened, Part, brief, entries, this_year, winters};
use crate::report::words;
use crate::tui::app::Model;
use crate::tui::features::parts::{keyed, turn_back};
use crate::tui::pen::{below, line_of};
use crate::tui::widgets::{Button, Cell, Column, Table, Width, actions, table};
use crate::tui::{Action, Pen, is_small};

/// Lines of the buttons.
const BAR: u16 = 3;

/// Draws the screen.
pub fn view(model: &Model, pen: &mut Pen, area: Rect) {
    let rooms = rooms(pen.clip(area));
    match &model.outlook.open {
        Some(opened) => block(model, opened, pen, &rooms),
        None => list(model, pen, &rooms),
    }
    actions(pen, rooms.buttons, &buttons(model));
}

/// How the height is shared.
pub(super) struct Rooms {
    title: Rect,
    /// The list, or the part of an opened block.
    pub body: Rect,
    buttons: Rect,
}

pub(super) fn rooms(area: Rect) -> Rooms {
    let foot = area.height.saturating_sub(BAR);
    Rooms {
        title: line_of(area, 0),
        body: Rect {
            height: foot.saturating_sub(1),
            ..below(area, 1)
        },
        buttons: below(area, foot),
    }
}

fn list(model: &Model, pen: &mut Pen, rooms: &Rooms) {
    pen.text(
        rooms.title,
        "What to leave a tree for the aim; what the counted trees carry (likely range)",
        pen.theme.title(),
    );
    let rows: Vec<Vec<Cell>> = (model.outlook.lines.iter())
        .map(|line| cells(model, line))
        .collect();
    let columns = [
        Column::new("Block", Width::Share(1)),
        Column::new("Aim", Width::Fixed(17)),
        Column::right("Fruit", Width::Fixed(5)),
        Column::right("Units", Width::Fixed(5)),
        Column::right("Counted", Width::Fixed(7)).goes(2),
        Column::right("Left", Width::Fixed(5)),
        Column::right("t/ha", Width::Fixed(5)),
        Column::right("likely", Width::Fixed(11)).goes(1),
    ];
    table(
        pen,
        rooms.body,
        &Table {
            columns: &columns,
            rows: &rows,
            cursor: Some(model.outlook.selected),
            empty: if model.season.is_none() {
                "No winter is set up yet: Set-up (F8), Winters, New (n). Then the blocks and the crew."
            } else {
                "No block is entered yet: Set-up (F8), Blocks, New (n)."
            },
        },
    );
}

fn cells(model: &Model, line: &Line) -> Vec<Cell> {
    let name = model
        .season
        .as_ref()
        .map_or("?", |season| season.block_name(line.block));
    let none = || "-".to_owned();
    let sheet = line.brief.as_ref().ok();
    let tree = sheet.and_then(|sheet| sheet.brief).map(|brief| brief.tree);
    let crop = line.crop.as_ref().ok().copied().flatten();
    let range = crop.map(|crop| crop.potential.tonnes_per_ha);
    let aim = sheet.and_then(|sheet| sheet.aim);
    let aim = match (aim, &line.brief) {
        (_, Err(why)) => why.to_string(),
        (aim, Ok(_)) => aim.map_or_else(none, words::aim),
    };
    [
        name.to_owned(),
        aim,
        tree.map_or_else(none, |tree| words::figure(tree.fruit)),
        tree.map_or_else(none, |tree| words::figure(tree.units)),
        crop.map_or_else(none, |crop| crop.units.n.to_string()),
        crop.map_or_else(none, |crop| words::figure(crop.units.mean)),
        range.map_or_else(none, |range| words::figure(range.mean)),
        range.map_or_else(none, |range| {
            format!("{}-{}", words::figure(range.lo), words::figure(range.hi))
        }),
    ]
    .map(Cell::new)
    .to_vec()
}

fn block(model: &Model, opened: &Opened, pen: &mut Pen, rooms: &Rooms) {
    let season = model.season.as_ref();
    let name = season.map_or("?", |season| season.block_name(opened.block));
    let place = opened.part as usize + 1;
    let title = format!(
        "{name}: {} ({place} of {})",
        opened.part.title(),
        Part::ALL.len()
    );
    pen.text(rooms.title, &title, pen.theme.title());
    let room = rooms.body;
    match opened.part {
        Part::Brief => brief::view(opened, pen, room),
        Part::Crop => this_year::view(opened, pen, room),
        Part::Winters => winters::view(opened, pen, room),
        Part::Entries => entries::view(model, opened, pen, room),
    }
}

fn buttons(model: &Model) -> Vec<Button<'static>> {
    let Some(opened) = &model.outlook.open else {
        let none = model.outlook.lines.is_empty();
        return vec![
            keyed(model, "Open", Action::Open).off(none),
            keyed(model, "Up", Action::Up).off(none),
            keyed(model, "Down", Action::Down).off(none),
            keyed(model, "Pictures", Action::Pictures).off(none).rare(),
            keyed(model, "Papers", Action::Papers).off(none).rare(),
        ];
    };
    let mut buttons = vec![
        keyed(model, "Back", Action::Back),
        turn_back(model),
        keyed(model, "Part >", Action::NextSection),
    ];
    let up_and_down = [
        keyed(model, "Up", Action::Up),
        keyed(model, "Down", Action::Down),
    ];
    match opened.part {
        Part::Brief => {
            let taken = opened.what_if.is_any();
            buttons.extend(up_and_down);
            buttons.extend([
                keyed(model, "Less", Action::Choose(-1)),
                keyed(model, "More", Action::Choose(1)),
                keyed(model, "Keep", Action::Keep).off(!taken).rare(),
                keyed(model, "As was", Action::Undo).off(!taken).rare(),
                keyed(model, "Type", Action::Edit).rare(),
            ]);
        }
        Part::Crop => {
            buttons.extend(up_and_down);
            buttons.push(keyed(model, "Pictures", Action::Pictures));
        }
        Part::Winters => {
            if is_small(model.size) {
                buttons.extend(up_and_down);
            }
            buttons.push(keyed(model, "Way on", Action::NextScenario));
            buttons.push(keyed(model, "Pictures", Action::Pictures));
        }
        Part::Entries => {
            buttons.extend(up_and_down);
            buttons.extend([
                keyed(model, "New", Action::New),
                keyed(model, "Edit", Action::Edit),
                keyed(model, "Remove", Action::Remove).rare(),
                keyed(model, "Pictures", Action::Pictures).rare(),
            ]);
        }
    }
    // of what the part has no button for, the menu has one
    buttons.extend([
        keyed(model, "Way on", Action::NextScenario).spare(),
        keyed(model, "Pictures", Action::Pictures).spare(),
        keyed(model, "Papers", Action::Papers).spare(),
    ]);
    buttons
}
