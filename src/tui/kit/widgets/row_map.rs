//! A block from above: one line a row, one cell a tree, or several trees a cell where rows are long.

use crate::tui::pen::{below, line_of, right_of};
use crate::tui::theme::Stroke;
use crate::tui::{Action, Cursor, Pen, text};
use ratatui::layout::Rect;

/// What is known of one tree's place.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Place {
    /// No tree stands here.
    Missing,
    /// Not pruned yet.
    Unpruned,
    /// Pruned, not counted.
    Pruned,
    /// Counted.
    Counted,
    /// In a row that the pruner goes back to.
    SentBack,
    /// Marked as outside the rule.
    Outside,
    /// With another mark.
    Marked,
}

impl Place {
    fn mark(self) -> char {
        match self {
            Self::Missing => 'x',
            Self::Unpruned => '·',
            Self::Pruned => '▒',
            Self::Counted => '●',
            Self::SentBack => '!',
            Self::Outside => '◇',
            Self::Marked => '+',
        }
    }
}

/// Stands for several trees of which some are pruned and some are not.
const PARTLY: char = '░';
const LEGEND: &str = "· to prune ▒ pruned ● counted ! go back x missing";
const LEGEND_OF_MANY: &str = "· to do ░ some ▒ pruned ● counted ! go back x missing";

/// Said besides where such trees are in sight.
const LEGEND_OF_MARKS: [(Place, &str); 2] =
    [(Place::Outside, " ◇ outside"), (Place::Marked, " + marked")];

/// One row of the block.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RowLine {
    /// The row's name or number.
    pub label: String,
    /// Its places in order.
    pub places: Vec<Place>,
}

/// The block to draw.
#[derive(Debug, Clone, Copy)]
pub struct RowMap<'a> {
    /// Its rows in order.
    pub rows: &'a [RowLine],
    /// The chosen row.
    pub cursor: Cursor,
}

/// How many rows fit in a height, beside the legend.
pub fn row_map_lines(height: u16) -> usize {
    usize::from(height.saturating_sub(1).max(1))
}

/// Draws the block, all rows to one scale, and records each row for touch as [`Action::Select`].
pub fn row_map(pen: &mut Pen, area: Rect, map: &RowMap) {
    let area = pen.clip(area);
    if area.is_empty() {
        return;
    }
    let shown = row_map_lines(area.height);
    let first = map.cursor.first(map.rows.len(), shown);
    let longest = map.rows.iter().map(|r| r.places.len()).max().unwrap_or(0);
    let label = map.rows.iter().map(|r| text::width(&r.label)).max();
    let label = (label.unwrap_or(0) as u16 + 1).min(area.width / 3);
    let cells = area.width - label;
    let a_cell = longest.div_ceil(usize::from(cells.max(1))).max(1);
    let rows = map.rows.iter().enumerate().skip(first).take(shown);
    for (y, (place, row)) in (0..area.height).zip(rows) {
        let line = line_of(area, y);
        let mut name = line;
        name.width = label.saturating_sub(1);
        let style = pen.theme.text();
        pen.text(name, &row.label, style);
        draw_places(pen, right_of(line, label), &row.places, a_cell);
        pen.touch_row(line, Action::Select(place));
    }
    if area.height > 1 {
        let mut words = LEGEND.to_owned();
        if a_cell > 1 {
            words = format!("{LEGEND_OF_MANY} ({a_cell} each)");
        }
        for (place, meaning) in LEGEND_OF_MARKS {
            if map.rows.iter().any(|row| row.places.contains(&place)) {
                words += meaning;
            }
        }
        if map.rows.len() > shown {
            let last = (first + shown).min(map.rows.len());
            words = format!("{}-{last} of {}  {words}", first + 1, map.rows.len());
        }
        let faint = pen.theme.faint();
        pen.text(line_of(below(area, area.height - 1), 0), &words, faint);
    }
}

fn draw_places(pen: &mut Pen, line: Rect, places: &[Place], a_cell: usize) {
    for (x, group) in (0..line.width).zip(places.chunks(a_cell)) {
        let mark = group_mark(group);
        let style = match mark {
            '!' | '+' => pen.theme.error(),
            '◇' => pen.theme.title(),
            '●' => pen.theme.line(Stroke::Point),
            '▒' | PARTLY => pen.theme.line(Stroke::Band),
            _ => pen.theme.faint(),
        };
        pen.mark(line.x + x, line.y, mark, style);
    }
}

/// The mark of the trees in one cell: what calls for attention is never hidden by its neighbours.
fn group_mark(group: &[Place]) -> char {
    let has = |place: Place| group.contains(&place);
    let strongest = [
        Place::SentBack,
        Place::Marked,
        Place::Outside,
        Place::Counted,
    ]
    .into_iter()
    .find(|p| has(*p));
    match strongest {
        Some(place) => place.mark(),
        None if has(Place::Pruned) && has(Place::Unpruned) => PARTLY,
        None => {
            let rest = [Place::Pruned, Place::Unpruned]
                .into_iter()
                .find(|p| has(*p));
            rest.unwrap_or(Place::Missing).mark()
        }
    }
}
