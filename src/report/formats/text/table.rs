//! Tables in the columns of a page: words that find no room in the grid stand below their row.

use super::page::Page;
use crate::report::document::{Column, Table};
use crate::report::fit::{Align, align, width, wrap};

/// Between two columns.
const GAP: usize = 2;
/// Words are wrapped within a column of at least so many columns of letters.
const READABLE: usize = 24;
/// The column that names the rows is never narrower, however long the others are.
const NAME: usize = 12;

/// Where the columns of a table stand.
struct Grid {
    /// The columns of the page.
    page: usize,
    /// Those beside each other, by place, each with the columns of letters it has.
    beside: Vec<(usize, usize)>,
    /// Those that are told below their row.
    below: Vec<usize>,
}

/// Sets a table: its caption, the headings, the rows.
pub(super) fn set(page: &mut Page, table: &Table) {
    page.para(&table.caption, 0);
    let grid = Grid::of(table, page.width);
    let heads: Vec<&str> = table.columns.iter().map(|of| of.title.as_str()).collect();
    grid.row(page, &table.columns, &heads, true);
    for row in &table.rows {
        let cells: Vec<&str> = row.iter().map(String::as_str).collect();
        grid.row(page, &table.columns, &cells, false);
        for at in &grid.below {
            if let Some(cell) = row.get(*at).filter(|cell| !cell.is_empty()) {
                page.para(&format!("{}: {cell}", table.columns[*at].title), 4);
            }
        }
    }
}

impl Grid {
    fn of(table: &Table, page: usize) -> Self {
        let columns = table.columns.iter().enumerate();
        let mut grid = Self {
            page,
            beside: columns
                .map(|(at, column)| (at, needed(table, at, column)))
                .collect(),
            below: Vec::new(),
        };
        while grid.width() > page {
            grid.narrow(table);
        }
        grid.widen(table);
        grid.below.sort_unstable();
        grid
    }

    fn width(&self) -> usize {
        let gaps = GAP * self.beside.len().saturating_sub(1);
        self.beside.iter().map(|(_, room)| room).sum::<usize>() + gaps
    }

    /// Makes the grid narrower: the longest words are wrapped, or go below their row; after them the names are wrapped.
    fn narrow(&mut self, table: &Table) {
        let over = self.width() - self.page;
        let words = self.beside.iter().enumerate().skip(1);
        let words = words.filter(|(_, (at, _))| table.columns[*at].align == Align::Left);
        if let Some((place, (at, room))) = words.max_by_key(|(_, (_, room))| *room) {
            let (at, left) = (*at, room.saturating_sub(over));
            let longest = table.rows.iter().filter_map(|row| row.get(at));
            let lines = longest.map(|cell| wrap(cell, left).len()).max();
            let is_short = lines.is_none_or(|lines| lines <= 2) || self.beside.len() == 2;
            if left >= READABLE && is_short {
                self.beside[place].1 = left;
            } else {
                self.below.push(at);
                self.beside.remove(place);
            }
            return;
        }
        match self.beside.as_mut_slice() {
            [] => {}
            [(_, room)] => *room = self.page,
            [(_, room), ..] if *room > NAME => *room = room.saturating_sub(over).max(NAME),
            _ => self.below.extend(self.beside.pop().map(|(at, _)| at)),
        }
    }

    /// Gives what is left of the line to headings that are broken.
    fn widen(&mut self, table: &Table) {
        let mut spare = self.page.saturating_sub(self.width());
        for (at, room) in &mut self.beside {
            let wanted = width(&table.columns[*at].title).saturating_sub(*room);
            if wanted <= spare {
                spare -= wanted;
                *room += wanted;
            }
        }
    }

    /// A row of as many lines as its longest cell takes; headings stand at the foot of theirs.
    fn row(&self, page: &mut Page, columns: &[Column], cells: &[&str], at_foot: bool) {
        let cell = |(at, room): &(usize, usize)| {
            let lines = wrap(cells.get(*at).copied().unwrap_or_default(), *room);
            (lines, *room, columns[*at].align)
        };
        let set: Vec<_> = self.beside.iter().map(cell).collect();
        let high = set.iter().map(|(lines, ..)| lines.len()).max().unwrap_or(0);
        for line in 0..high {
            let parts: Vec<String> = (set.iter())
                .map(|(lines, room, side)| {
                    let above = if at_foot { high - lines.len() } else { 0 };
                    let text = line.checked_sub(above).and_then(|line| lines.get(line));
                    align(text.map_or("", String::as_str), *room, *side)
                })
                .collect();
            page.line(&parts.join(&" ".repeat(GAP)));
        }
    }
}

/// The columns of letters that a column needs, so that no cell and no word of its heading is broken.
fn needed(table: &Table, at: usize, column: &Column) -> usize {
    let cells = table.rows.iter().filter_map(|row| row.get(at));
    let head = column.title.split_whitespace();
    let cells = cells.map(|cell| width(cell));
    cells.chain(head.map(width)).max().unwrap_or(0)
}
