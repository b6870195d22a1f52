//! The list of blocks, and the buttons of both views.

use ratatui::layout::Rect;

use super::{block_of, sheet};
use crate::report::{Standing, StandingLine, words};
use crate::tui::app::Model;
use crate::tui::screens::parts::keyed;
use crate::tui::screens::standing::{self, list};
use crate::tui::text::percent;
use crate::tui::widgets::{Button, Cell, Column, Table, Width, button_bar, table};
use crate::tui::{Action, Pen};

/// Draws the screen.
pub fn view(model: &Model, pen: &mut Pen, area: Rect) {
    let area = pen.clip(area);
    let opened = model.blocks.open.as_ref();
    match opened.and_then(|opened| Some((opened, sheet(model, opened)?))) {
        Some((opened, sheet)) => {
            let still = !opened.at.part(sheet.parts).has_lines();
            let buttons = detail_buttons(model, still);
            standing::view(&sheet, &opened.at, pen, area, &buttons);
        }
        None => lines(model, pen, area),
    }
}

fn lines(model: &Model, pen: &mut Pen, area: Rect) {
    let rooms = list::rooms(area);
    let title = format!("Blocks by name, {}", model.span.words());
    list::title(
        pen,
        rooms.title,
        &title,
        "% on the average tree, counted (drawn)",
    );
    let wide = area.width >= list::WIDE;
    let blocks = &model.figures.blocks;
    let rows: Vec<Vec<Cell>> = (blocks.iter())
        .map(|standing| cells(model, standing, pen, wide))
        .collect();
    let selected = model.blocks.selected.min(rows.len().saturating_sub(1));
    table(
        pen,
        rooms.table,
        &Table {
            columns: &columns(wide),
            rows: &rows,
            selected: Some(selected),
            empty: if model.season.is_none() {
                "No winter is set up yet: Set-up (F8), Winters, New (n). Then the blocks and the crew."
            } else {
                "No block is entered yet: Set-up (F8), Blocks, New (n)."
            },
        },
    );
    if let Some(standing) = blocks.get(selected) {
        about(model, pen, rooms.about, standing);
    }
    button_bar(pen, rooms.buttons, &list_buttons(model, rows.is_empty()));
}

fn columns(wide: bool) -> Vec<Column<'static>> {
    use Width::{Fixed, Share};
    let mut columns = vec![
        Column::new("Block", Share(1)),
        Column::right("Pruned", Fixed(6)),
        Column::right("Left", Fixed(5)),
        Column::right("Counted", Fixed(list::COUNTED)),
    ];
    columns.extend(["1y", "2y", "3y", "4+"].map(|age| Column::right(age, Fixed(3))));
    columns.extend([
        Column::right("Buds", Fixed(4)),
        Column::new("Verdict", Fixed(15)),
    ]);
    if wide {
        columns.push(Column::new("Rests on", Fixed(10)));
    }
    columns.push(if wide {
        Column::right("Not looked at", Fixed(13))
    } else {
        Column::right("Not seen", Fixed(8))
    });
    columns
}

fn cells(model: &Model, standing: &Standing, pen: &Pen, wide: bool) -> Vec<Cell> {
    let line = StandingLine::new(standing);
    let left = progress(model, standing).map_or_else(|| "-".to_owned(), |left| left.to_string());
    let mut cells = vec![
        Cell::new(standing.subject.shown()),
        Cell::new(standing.pruned.to_string()),
        Cell::new(left),
        list::counted(&line),
    ];
    cells.extend(list::shares(&line));
    cells.push(list::verdict(&line, pen.theme));
    if wide {
        cells.push(Cell::new(line.lead.map_or("", words::metric_short)));
    }
    cells.push(Cell::new(if standing.pruned == 0 {
        "-".to_owned()
    } else {
        percent(standing.unsampled)
    }));
    cells
}

/// Trees of the block that are not pruned yet.
fn progress(model: &Model, standing: &Standing) -> Option<u32> {
    let block = block_of(standing)?;
    let mut all = model.figures.progress.iter();
    all.find(|known| known.block == block)
        .map(|known| known.left)
}

/// The selected block in words.
fn about(model: &Model, pen: &mut Pen, area: Rect, standing: &Standing) {
    let mut trees = list::trees(standing);
    if let Some(left) = progress(model, standing) {
        trees = format!("{trees}; {left} left to prune");
    }
    if !standing.not_looked_at.is_empty() {
        let names = words::list(&standing.not_looked_at);
        let share = percent(standing.unsampled);
        // first, as a long line is cut at its end
        trees = format!("not looked at: {names} ({share} of the trees); {trees}");
    }
    list::about(pen, area, standing, &trees);
}

fn list_buttons(model: &Model, none: bool) -> [Button<'static>; 7] {
    [
        keyed(model, "Open", Action::Open).off(none),
        keyed(model, "Up", Action::Up).off(none),
        keyed(model, "Down", Action::Down).off(none),
        keyed(model, "Period", Action::TogglePeriod),
        keyed(model, "Pictures", Action::Pictures).off(none),
        keyed(model, "Papers", Action::Papers),
        keyed(model, "Go-back", Action::Settle).off(none),
    ]
}

fn detail_buttons(model: &Model, still: bool) -> [Button<'static>; 8] {
    [
        keyed(model, "Back", Action::Back),
        keyed(model, "Part <", Action::PrevSection),
        keyed(model, "Part >", Action::NextSection),
        keyed(model, "Up", Action::Up).off(still),
        keyed(model, "Down", Action::Down).off(still),
        keyed(model, "Period", Action::TogglePeriod),
        keyed(model, "Pictures", Action::Pictures),
        keyed(model, "Go-back", Action::Settle),
    ]
}
