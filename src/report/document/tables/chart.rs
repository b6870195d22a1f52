//! What a workbook draws of a table.

use std::ops::Range;

use super::{Cell, DataTable};

/// A chart over some rows of its table.
#[derive(Debug, Clone, PartialEq)]
pub struct TableChart {
    /// How it is drawn.
    pub form: ChartForm,
    /// What it shows.
    pub title: Title,
    /// What is measured upwards.
    pub measure: &'static str,
    /// The rows, from 0.
    pub rows: Range<usize>,
    /// The column that names each row.
    pub label: usize,
    /// The columns that are drawn, in the order of drawing.
    pub series: Vec<usize>,
}

/// How a chart is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ChartForm {
    /// A bar for each row, the series stacked to 100 %.
    MixBars,
    /// A line for each series by day, shares from 0 to 1.
    ShareLines,
    /// Columns for the first series by day, a line on a scale of its own for the second.
    DoneByDay,
    /// A column for each row, the series stacked.
    Stacked,
}

/// A chart's title. Words that a user gave are never taken as words of a formula: they stay in their cell.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Title {
    /// Words of the program's own.
    Words(&'static str),
    /// What a cell of the table says: row from 0, column.
    Cell(usize, usize),
}

impl DataTable {
    /// With a chart over `rows`; nothing is added where a column is not there, or there is no row.
    #[must_use]
    pub(super) fn with_chart(
        mut self,
        form: ChartForm,
        (title, measure): (Title, &'static str),
        rows: Range<usize>,
        label: &str,
        series: &[&str],
    ) -> Self {
        let found: Option<Vec<usize>> = series.iter().map(|title| self.column(title)).collect();
        if let (Some(series), Some(label), false) = (found, self.column(label), rows.is_empty()) {
            self.charts.push(TableChart {
                form,
                title,
                measure,
                rows,
                label,
                series,
            });
        }
        self
    }

    /// Neighbouring rows that have the same cells in some columns.
    pub(super) fn runs(&self, columns: &[&str]) -> Vec<Range<usize>> {
        let places: Vec<usize> = columns
            .iter()
            .filter_map(|title| self.column(title))
            .collect();
        let key = |row: &[Cell]| -> Vec<Cell> {
            places
                .iter()
                .filter_map(|at| row.get(*at).cloned())
                .collect()
        };
        let mut runs: Vec<Range<usize>> = Vec::new();
        let mut last = None;
        for (at, row) in self.rows.iter().enumerate() {
            let own = Some(key(row));
            match runs.last_mut() {
                Some(run) if own == last => run.end = at + 1,
                _ => runs.push(at..at + 1),
            }
            last = own;
        }
        runs
    }
}
