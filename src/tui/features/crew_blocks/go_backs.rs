//! Rows that were sent back, and what came of them.

use ratatui::layout::Rect;

use super::Sheet;
use crate::report::GoBackLine;
use crate::tui::widgets::{Cell, Column, Table, Width, table};
use crate::tui::{Cursor, Pen};

const NONE: &str = "No row was sent back. On Count (F3), Rework (7) puts a row on this list.";

/// Draws the part with one line chosen.
pub fn view(sheet: &Sheet, pen: &mut Pen, area: Rect, cursor: Cursor) {
    let wide = area.width >= 70;
    let mut columns = vec![
        Column::right("Row", Width::Fixed(4)),
        Column::new(
            if sheet.is_block() { "Pruner" } else { "Block" },
            Width::Share(2),
        ),
    ];
    if wide {
        columns.push(Column::new("Sent back", Width::Fixed(10)));
        columns.push(Column::new("What to mend", Width::Share(3)));
    }
    columns.push(Column::new(
        "What came of it",
        Width::Fixed(if wide { 22 } else { 15 }),
    ));
    if let Some(line) = sheet.go_backs.get(cursor.at(sheet.go_backs.len()))
        && !wide
    {
        let words = format!("Row {} sent back {}: {}", line.row, line.day, line.reason);
        pen.left_out(&words);
    }
    let rows: Vec<Vec<Cell>> = (sheet.go_backs.iter())
        .map(|line| cells(sheet, pen, line, wide))
        .collect();
    table(
        pen,
        area,
        &Table {
            columns: &columns,
            rows: &rows,
            cursor: Some(cursor),
            empty: NONE,
        },
    );
}

fn cells(sheet: &Sheet, pen: &Pen, line: &GoBackLine, wide: bool) -> Vec<Cell> {
    let whose = if sheet.is_block() {
        &line.pruner_shown
    } else {
        &line.block_name
    };
    let mut cells: Vec<Cell> = vec![line.row.to_string().into(), whose.as_str().into()];
    if wide {
        cells.push(line.day.to_string().into());
        cells.push(line.reason.as_str().into());
    }
    cells.push(match (line.outcome, line.settled_on) {
        (Some(outcome), Some(day)) if wide => Cell::new(format!("{} {day}", outcome.word())),
        (Some(outcome), _) => Cell::new(outcome.word()),
        _ => Cell::styled("! open", pen.theme.undecided()),
    });
    cells
}
