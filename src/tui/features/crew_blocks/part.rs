//! The parts of a pruner and of a block.

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
