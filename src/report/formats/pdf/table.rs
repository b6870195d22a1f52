//! Tables set as strips: a head and a strip a row, in columns as wide as their content.

use super::columns::{Wish, widths};
use super::lines::{Line, Style, widest_word, wrap};
use super::set::{BASE, CAPTION, LINE, Setter};
use super::strip::{Mark, Role, Strip, Thing};
use crate::report::document::Table;
use crate::report::fit::{Align, safe};

/// Heights of letters to try until every word fits.
const SIZES: [f32; 4] = [9.0, 8.2, 7.4, 6.6];
/// Room between columns, for letters of height 1.
const BETWEEN: f32 = 1.2;
/// Room above and below the text of a row, in points.
const PAD: f32 = 2.2;
/// A column of words asks for this much, in points, if it has as much to say; its letters get smaller before it gets
/// narrower. Wider words may be broken.
const WORDS: f32 = 110.0;
/// Tables of no more rows stay on one page; of others the first two rows stay together, and the last two.
const ROWS_TOGETHER: usize = 12;
/// Lines of a row that stay together.
const LINES_TOGETHER: usize = 12;

/// Where and how the cells of a table stand.
struct Plan<'t> {
    table: &'t Table,
    size: f32,
    /// Left edge and width of each column.
    columns: Vec<(f32, f32)>,
    /// From the first column's left edge to the last one's right.
    width: f32,
}

/// A row to be set.
struct Row<'r> {
    cells: Vec<&'r str>,
    /// The piece it is in.
    within: usize,
    head: bool,
}

impl<'a> Setter<'_, 'a> {
    /// The table with its caption.
    pub fn table(&mut self, table: &'a Table) {
        if table.columns.is_empty() {
            return;
        }
        let caption = safe(table.caption.trim());
        let node = self
            .flow
            .node(None, Role::Table(caption.clone().into_owned()));
        if !caption.is_empty() {
            self.paragraph(&caption, CAPTION, Some(node), Role::Caption);
            self.glue = true;
        }
        let plan = self.plan(table);
        let head = self.flow.node(Some(node), Role::Head);
        let first = self.flow.strips.len();
        self.row(
            &plan,
            &Row {
                cells: table
                    .columns
                    .iter()
                    .map(|column| column.title.as_str())
                    .collect(),
                within: head,
                head: true,
            },
        );
        let number = self.flow.heads.len();
        self.flow.heads.push(first..self.flow.strips.len());
        self.glue = true;
        let rows = self.flow.node(Some(node), Role::Rows);
        let count = table.rows.len();
        for (at, cells) in table.rows.iter().enumerate() {
            let first = self.flow.strips.len();
            self.glue |= at > 0 && (count <= ROWS_TOGETHER || at == 1 || at + 1 == count);
            let cells = (0..table.columns.len())
                .map(|at| cells.get(at).map_or("", String::as_str))
                .collect();
            self.row(
                &plan,
                &Row {
                    cells,
                    within: rows,
                    head: false,
                },
            );
            for strip in &mut self.flow.strips[first..] {
                strip.table = Some(number);
            }
        }
        self.glue = false;
    }

    fn style(&self, plan_size: f32, head: bool) -> Style<'_> {
        Style {
            face: self.faces.face(head),
            size: plan_size,
        }
    }

    fn plan<'t>(&self, table: &'t Table) -> Plan<'t> {
        let room = |size: f32| self.width - BETWEEN * size * (table.columns.len() - 1) as f32;
        let mut tried = SIZES.iter().map(|size| (*size, self.wishes(table, *size)));
        let fits = |(size, wishes): &(f32, Vec<Wish>)| {
            wishes.iter().map(|wish| wish.least).sum::<f32>() <= room(*size)
        };
        let last = SIZES[SIZES.len() - 1];
        let (size, wishes) = tried
            .find(fits)
            .unwrap_or_else(|| (last, self.wishes(table, last)));
        let mut left = 0.0;
        let mut columns = Vec::new();
        for width in widths(&wishes, room(size).max(1.0)) {
            // a hair more, so that what was measured as fitting fits
            columns.push((left, width + 0.01));
            left += width + BETWEEN * size;
        }
        Plan {
            table,
            size,
            columns,
            width: left - BETWEEN * size,
        }
    }

    fn wishes(&self, table: &Table, size: f32) -> Vec<Wish> {
        let of = |text: &str, head: bool| {
            let style = self.style(size, head);
            Wish {
                full: style.width(safe(text).trim()),
                least: widest_word(text, style),
            }
        };
        let mut wishes: Vec<Wish> = Vec::new();
        for (at, column) in table.columns.iter().enumerate() {
            let mut wish = of(&column.title, true);
            for cells in &table.rows {
                let cell = of(cells.get(at).map_or("", String::as_str), false);
                wish.full = wish.full.max(cell.full);
                wish.least = wish.least.max(cell.least);
            }
            wish.full = wish.full.max(wish.least);
            if column.align == Align::Left {
                wish.least = wish.full.min(WORDS);
            }
            wishes.push(wish);
        }
        wishes
    }

    fn row(&mut self, plan: &Plan<'_>, row: &Row<'_>) {
        let node = self.flow.node(Some(row.within), Role::Row);
        let style = self.style(plan.size, row.head);
        let cells: Vec<Vec<Line>> = row
            .cells
            .iter()
            .zip(&plan.columns)
            .map(|(text, (_, width))| wrap(text, style, *width))
            .collect();
        let nodes: Vec<usize> = (0..cells.len())
            .map(|at| {
                let role = match (row.head, at) {
                    (true, _) => Role::ColumnHead,
                    (false, 0) => Role::RowHead,
                    (false, _) => Role::Cell,
                };
                self.flow.node(Some(node), role)
            })
            .collect();
        let most = cells.iter().map(Vec::len).max().unwrap_or(1);
        for from in (0..most).step_by(LINES_TOGETHER) {
            let to = most.min(from + LINES_TOGETHER);
            let height = 2.0 * PAD + (to - from) as f32 * LINE * plan.size;
            let mut marks: Vec<Mark<'_>> = edge(from == 0, row.head, (plan.width, height))
                .into_iter()
                .collect();
            for (at, lines) in cells.iter().enumerate() {
                let shown = lines.get(from..to.min(lines.len())).unwrap_or_default();
                for (below, line) in shown.iter().enumerate() {
                    marks.push(plan.cell(at, below, line, row.head, nodes[at]));
                }
            }
            self.push(Strip {
                gap: if row.head { 3.0 } else { 0.0 },
                height,
                marks,
                glued: row.head && from > 0,
                ..Strip::default()
            });
        }
    }
}

/// The line above a row, or the heavier one below the head.
fn edge(first: bool, head: bool, (width, height): (f32, f32)) -> Option<Mark<'static>> {
    match (head, first) {
        (true, _) => Some(Mark::bar((0.0, height - 0.8), (width, 0.8), 1.0)),
        (false, true) => Some(Mark::bar((0.0, 0.0), (width, 0.3), 0.45)),
        (false, false) => None,
    }
}

impl Plan<'_> {
    fn cell<'m>(&self, at: usize, below: usize, line: &Line, bold: bool, node: usize) -> Mark<'m> {
        let (left, width) = self.columns[at];
        let spare = (width - line.width).max(0.0);
        let before = match self.table.columns[at].align {
            Align::Left => 0.0,
            Align::Centre => spare / 2.0,
            Align::Right => spare,
        };
        // an empty cell is a blank, so that the cells after it keep their column for who hears them
        let text = if line.text.is_empty() {
            " "
        } else {
            &line.text
        };
        let base = PAD + (below as f32 * LINE + BASE) * self.size;
        let thing = Thing::Words {
            at: (left + before, base),
            text: text.to_owned(),
            size: self.size,
            bold,
            dark: 1.0,
        };
        Mark {
            node: Some(node),
            thing,
        }
    }
}
