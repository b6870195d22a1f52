//! Tables: columns, a chosen line, and lines that stay still under a finger.

use crate::tui::pen::{below, line_of};
use crate::tui::text::Align;
use crate::tui::{Action, Cursor, Pen};
use ratatui::layout::Rect;
use ratatui::style::Style;

/// How wide a column is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Width {
    /// So many columns of the terminal.
    Fixed(u16),
    /// So many shares of what the fixed ones leave.
    Share(u16),
}

/// A column and its heading.
#[derive(Debug, Clone)]
pub struct Column<'a> {
    title: &'a str,
    width: Width,
    align: Align,
}

impl<'a> Column<'a> {
    /// A column of text.
    pub fn new(title: &'a str, width: Width) -> Self {
        let align = Align::Left;
        Self {
            title,
            width,
            align,
        }
    }

    /// A column of numbers.
    pub fn right(title: &'a str, width: Width) -> Self {
        let align = Align::Right;
        Self {
            title,
            width,
            align,
        }
    }
}

/// One cell.
#[derive(Debug, Clone)]
pub struct Cell {
    text: String,
    style: Option<Style>,
}

impl Cell {
    /// A cell in the style of its line.
    pub fn new(text: impl Into<String>) -> Self {
        let text = text.into();
        Self { text, style: None }
    }

    /// A cell in a style of its own.
    pub fn styled(text: impl Into<String>, style: Style) -> Self {
        let text = text.into();
        let style = Some(style);
        Self { text, style }
    }
}

impl<T: Into<String>> From<T> for Cell {
    fn from(text: T) -> Self {
        Self::new(text)
    }
}

/// A table to draw.
#[derive(Debug, Clone, Copy)]
pub struct Table<'a> {
    /// Its columns.
    pub columns: &'a [Column<'a>],
    /// Its lines; cells beyond the columns are not drawn.
    pub rows: &'a [Vec<Cell>],
    /// The chosen line; a table without one is for reading only.
    pub cursor: Option<Cursor>,
    /// What to do where there is no line yet.
    pub empty: &'a str,
}

/// How many lines a table of that height shows: it has its heading, and a line that tells the place where not all fit.
pub fn table_lines(height: u16, lines: usize) -> usize {
    let room = usize::from(height.saturating_sub(1));
    let paged = lines > room && room > 1;
    room - usize::from(paged)
}

/// Draws a table and records its lines for touch.
pub fn table(pen: &mut Pen, area: Rect, table: &Table) {
    let area = pen.clip(area);
    if area.is_empty() {
        return;
    }
    let places = places(table.columns, area.width);
    let heading = pen.theme.title();
    for (column, place) in table.columns.iter().zip(&places) {
        let cell = at(line_of(area, 0), *place);
        pen.aligned(cell, column.title, column.align, heading);
    }
    let body = below(area, 1);
    if table.rows.is_empty() {
        let faint = pen.theme.faint();
        pen.wrapped(body, table.empty, faint);
        return;
    }
    let lines = table.rows.len();
    let room = table_lines(area.height, lines);
    let cursor = table.cursor.unwrap_or_default();
    let first = cursor.first(lines, room);
    let chosen = table.cursor.map(|cursor| cursor.at(lines));
    for (y, (place, row)) in (0..room as u16).zip(table.rows.iter().enumerate().skip(first)) {
        let line = line_of(body, y);
        let columns = (table.columns, &places[..]);
        draw_row(pen, line, row, columns, chosen == Some(place));
        if chosen.is_some() {
            pen.touch_row(line, Action::Select(place));
        }
    }
    if lines > room {
        let last = (first + room).min(lines);
        let where_ = format!("{} to {last} of {lines}", first + 1);
        let faint = pen.theme.faint();
        pen.text(line_of(body, room as u16), &where_, faint);
    }
}

fn draw_row(
    pen: &mut Pen,
    line: Rect,
    row: &[Cell],
    (columns, places): (&[Column], &[(u16, u16)]),
    selected: bool,
) {
    let style = if selected {
        pen.theme.selected()
    } else {
        pen.theme.text()
    };
    pen.fill(line, ' ', style);
    if selected {
        pen.mark(line.x, line.y, '▸', style);
    }
    for ((cell, column), place) in row.iter().zip(columns).zip(places) {
        pen.aligned(
            at(line, *place),
            &cell.text,
            column.align,
            cell.style.unwrap_or(style),
        );
    }
}

fn at(line: Rect, (x, width): (u16, u16)) -> Rect {
    Rect::new(line.x + x, line.y, width, line.height)
}

/// Start and width of each column: one column for the mark of the selected line, one blank between.
fn places(columns: &[Column], width: u16) -> Vec<(u16, u16)> {
    let gaps = columns.len() as u64;
    let fixed = |c: &Column| match c.width {
        Width::Fixed(w) => u64::from(w),
        Width::Share(_) => 0,
    };
    let shares = |c: &Column| match c.width {
        Width::Fixed(_) => 0,
        Width::Share(s) => u64::from(s),
    };
    let taken: u64 = columns.iter().map(fixed).sum::<u64>() + gaps;
    let mut spare = u64::from(width).saturating_sub(taken);
    let mut parts: u64 = columns.iter().map(shares).sum();
    let mut x = 1.min(width);
    let mut places = Vec::with_capacity(columns.len());
    for column in columns {
        let share = (spare * shares(column)).checked_div(parts).unwrap_or(0);
        spare -= share;
        parts -= shares(column);
        let own = (fixed(column) + share).min(u64::from(width - x)) as u16;
        places.push((x, own));
        x = (x + own + 1).min(width);
    }
    places
}
