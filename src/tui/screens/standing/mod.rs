//! How a pruner or a block stands, opened: the same pictures for both, a file for each picture.

mod at;
mod buds;
mod days;
mod facts;
mod go_backs;
pub mod list;
mod mix;
mod plan;
mod rows;
mod triangle;
mod view;

pub use at::At;
pub use view::view;

use crate::report::{GoBackLine, RowMap, Standing, Subject};
use crate::tui::app::Span;

/// One part of what is opened.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Part {
    /// The mix of ages, and the five metrics with their intervals.
    Mix,
    /// Buds left by size of unit.
    Buds,
    /// From day to day.
    Days,
    /// The trees in the triangle of three ages.
    Triangle,
    /// What the figures say, in sentences.
    Words,
    /// Rows that were sent back.
    GoBacks,
    /// A block's rows from above.
    Rows,
}

impl Part {
    /// The parts of a pruner.
    pub const OF_PRUNER: &'static [Self] = &[
        Self::Mix,
        Self::Buds,
        Self::Days,
        Self::Triangle,
        Self::Words,
        Self::GoBacks,
    ];

    /// The parts of a block.
    pub const OF_BLOCK: &'static [Self] = &[
        Self::Mix,
        Self::Buds,
        Self::Days,
        Self::Triangle,
        Self::Words,
        Self::GoBacks,
        Self::Rows,
    ];

    /// The heading.
    pub fn title(self) -> &'static str {
        match self {
            Self::Mix => "mix",
            Self::Buds => "buds",
            Self::Days => "by day",
            Self::Triangle => "triangle",
            Self::Words => "in words",
            Self::GoBacks => "go-backs",
            Self::Rows => "rows",
        }
    }

    /// Whether it has lines to go through.
    pub fn has_lines(self) -> bool {
        matches!(self, Self::Words | Self::GoBacks | Self::Rows)
    }
}

/// What is shown of a pruner or a block.
#[derive(Debug)]
pub struct Sheet<'m> {
    /// The figures.
    pub standing: &'m Standing,
    /// Which parts there are.
    pub parts: &'static [Part],
    /// Rows sent back, in the order of [`in_order`].
    pub go_backs: Vec<GoBackLine>,
    /// The block from above.
    pub map: Option<&'m RowMap>,
    /// The days.
    pub span: Span,
}

impl Sheet<'_> {
    /// Whether it is about a block.
    pub fn is_block(&self) -> bool {
        matches!(self.standing.subject, Subject::Block { .. })
    }
}

/// Open rows first, the longest waiting first; then the settled ones, the latest first.
pub fn in_order(mut lines: Vec<GoBackLine>) -> Vec<GoBackLine> {
    lines.sort_by_key(|line| {
        let age = chrono::NaiveDate::MAX
            .signed_duration_since(line.day)
            .num_days();
        match line.outcome {
            None => (false, -age),
            Some(_) => (true, age),
        }
    });
    lines
}

#[cfg(test)]
mod looks;
#[cfg(test)]
mod odd_tests;
#[cfg(test)]
mod tests;
