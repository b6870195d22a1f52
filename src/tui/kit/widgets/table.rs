//! Tables: columns, a chosen line, and lines that stay still under a finger.

use crate::tui::pen::{below, line_of, right_of};
use crate::tui::text::{self, Align};
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
    /// On a small screen, the one with the highest number goes first.
    goes: u8,
}

impl<'a> Column<'a> {
    /// A column of text.
    pub fn new(title: &'a str, width: Width) -> Self {
        let align = Align::Left;
        Self {
            title,
            width,
            align,
            goes: 0,
        }
    }

    /// One that goes where a small screen lacks room, the highest number first; its cell of the chosen line is told in the
    /// menu.
    #[must_use]
    pub fn goes(mut self, nth: u8) -> Self {
        self.goes = nth;
        self
    }

    /// A column of numbers.
    pub fn right(title: &'a str, width: Width) -> Self {
        let align = Align::Right;
        Self {
            title,
            width,
            align,
            goes: 0,
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

    /// What stands in it.
    pub fn text(&self) -> &str {
        &self.text
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
    let columns = shown(table.columns, area.width, pen.small);
    pen.hushed(|pen| {
        for one in &columns {
            let (cell, style) = (at(line_of(area, 0), one.place), pen.theme.title());
            pen.aligned(cell, one.column.title, one.column.align, style);
        }
    });
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
        pen.hushed(|pen| draw_row(pen, line, row, &columns, chosen == Some(place)));
        if chosen.is_some() {
            pen.touch_row(line, Action::Select(place));
        }
    }
    if let Some(row) = chosen.and_then(|chosen| table.rows.get(chosen)) {
        tell(pen, table.columns, row, &columns);
    }
    if lines > room {
        let where_ = format!("{} to {} of {lines}", first + 1, (first + room).min(lines));
        place_line(pen, line_of(body, room as u16), &where_);
    }
}

/// Where the words on pages stand on the line below a list.
const PAGES: [(u16, &str, Action); 2] = [
    (26, "Page ↑", Action::PageUp),
    (40, "Page ↓", Action::PageDown),
];

/// Which lines are in sight; where there is no room for buttons, a touch here turns the pages.
fn place_line(pen: &mut Pen, line: Rect, words: &str) {
    let faint = pen.theme.faint();
    pen.text(line, words, faint);
    if pen.small && line.width > 52 {
        for (x, words, action) in PAGES {
            let place = Rect {
                width: 12,
                ..right_of(line, x)
            };
            pen.text(place, words, faint);
            pen.touch_row(place, action);
        }
    }
}

/// A column that is shown.
struct Shown<'t> {
    /// Its place among all.
    at: usize,
    column: &'t Column<'t>,
    /// Where it begins, and its width.
    place: (u16, u16),
}

/// The columns that there is room for: on a small screen, what can go goes until names have their room.
fn shown<'t>(columns: &'t [Column<'t>], width: u16, small: bool) -> Vec<Shown<'t>> {
    let mut kept: Vec<usize> = (0..columns.len()).collect();
    while small && is_tight(kept.iter().map(|at| &columns[*at]), width) {
        let can_go = kept.iter().filter(|at| columns[**at].goes > 0);
        let Some(first) = can_go.max_by_key(|at| columns[**at].goes).copied() else {
            break;
        };
        kept.retain(|at| *at != first);
    }
    let places = places(kept.iter().map(|at| &columns[*at]), width);
    let shown = |(at, place)| Shown {
        at,
        column: &columns[at],
        place,
    };
    kept.into_iter().zip(places).map(shown).collect()
}

/// Columns that a name wants.
const NAME: u64 = 12;

fn is_tight<'t>(columns: impl Iterator<Item = &'t Column<'t>> + Clone, width: u16) -> bool {
    let gaps = columns.clone().count() as u64;
    let wanted = columns.map(|column| match column.width {
        Width::Fixed(own) => u64::from(own),
        Width::Share(shares) => u64::from(shares.min(1)) * NAME,
    });
    wanted.sum::<u64>() + gaps > u64::from(width)
}

/// Tells the chosen line in full where not all of it is in sight.
fn tell(pen: &mut Pen, all: &[Column], row: &[Cell], shown: &[Shown]) {
    let Some(folded) = pen.folded() else { return };
    let cells = all.iter().zip(row).enumerate();
    let cells = cells.filter(|(_, (_, cell))| !cell.text.trim().is_empty());
    let is_whole = |at: usize, cell: &Cell| {
        let mut own = shown.iter().filter(|one| one.at == at);
        own.any(|one| text::width(&cell.text) <= usize::from(one.place.1))
    };
    if !cells.clone().all(|(at, (_, cell))| is_whole(at, cell)) {
        let told = cells.map(|(_, (column, cell))| {
            let words = format!("{} {}", column.title.trim(), cell.text.trim());
            words.trim().to_owned()
        });
        folded.tell(&told.collect::<Vec<_>>().join("; "));
    }
}

fn draw_row(pen: &mut Pen, line: Rect, row: &[Cell], columns: &[Shown], selected: bool) {
    let style = if selected {
        pen.theme.selected()
    } else {
        pen.theme.text()
    };
    pen.fill(line, ' ', style);
    if selected {
        pen.mark(line.x, line.y, '▸', style);
    }
    for one in columns {
        if let Some(cell) = row.get(one.at) {
            let own = cell.style.unwrap_or(style);
            pen.aligned(at(line, one.place), &cell.text, one.column.align, own);
        }
    }
}

fn at(line: Rect, (x, width): (u16, u16)) -> Rect {
    Rect::new(line.x + x, line.y, width, line.height)
}

/// Start and width of each column: one column for the mark of the selected line, one blank between.
fn places<'t>(
    columns: impl Iterator<Item = &'t Column<'t>> + Clone,
    width: u16,
) -> Vec<(u16, u16)> {
    let gaps = columns.clone().count() as u64;
    let fixed = |c: &Column| match c.width {
        Width::Fixed(w) => u64::from(w),
        Width::Share(_) => 0,
    };
    let shares = |c: &Column| match c.width {
        Width::Fixed(_) => 0,
        Width::Share(s) => u64::from(s),
    };
    let taken: u64 = columns.clone().map(fixed).sum::<u64>() + gaps;
    let mut spare = u64::from(width).saturating_sub(taken);
    let mut parts: u64 = columns.clone().map(shares).sum();
    let mut x = 1.min(width);
    let mut places = Vec::new();
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
