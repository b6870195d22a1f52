//! Which tables there are, and what a column of one is.

use crate::orchard::Invalid;

/// A table that can be written and read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Table {
    /// Settings of the orchard.
    Settings,
    /// Blocks, their spacing, rows and missing trees.
    Blocks,
    /// The crew.
    Crew,
    /// Winters, with budburst by block.
    Winters,
    /// Rules by winter and block.
    Rules,
    /// Which weekdays are worked.
    Weeks,
    /// Days without work.
    DaysOff,
    /// Comings and goings.
    Stays,
    /// Pay.
    Pay,
    /// What blocks are to bear.
    Aims,
    /// Factors of blocks.
    Factors,
    /// Growth of blocks.
    Growth,
    /// Fruit-set counts, a row for each tagged unit.
    SetCounts,
    /// The work log.
    Work,
    /// Counted trees.
    Counts,
    /// Draws, a row for each drawn tree.
    Draws,
    /// Rows that were sent back.
    GoBacks,
    /// What blocks bore, by year.
    Harvests,
    /// Marked trees.
    Marks,
}

/// A column of a table.
#[derive(Debug, Clone, Copy)]
pub(super) struct Column {
    pub(super) name: &'static str,
    /// Whether a file without it is refused.
    pub(super) needed: bool,
    /// Whether it holds names: left out where only numbers are shown, so that such a table read in again takes no name
    /// away.
    pub(super) of_name: bool,
    /// Whether it holds days: all of a file's tell in which order day and month are written.
    pub(super) of_day: bool,
}

/// A column that every file must have.
pub(super) const fn needed(name: &'static str) -> Column {
    Column {
        name,
        needed: true,
        of_name: false,
        of_day: false,
    }
}

/// A column that may be left out.
pub(super) const fn optional(name: &'static str) -> Column {
    Column {
        name,
        needed: false,
        of_name: false,
        of_day: false,
    }
}

/// A column of names, which may be left out.
pub(super) const fn of_name(name: &'static str) -> Column {
    Column {
        of_name: true,
        ..optional(name)
    }
}

impl Column {
    /// The same, of days.
    pub(super) const fn of_day(self) -> Self {
        Self {
            of_day: true,
            ..self
        }
    }
}

impl Table {
    /// All tables, each after those that it refers to.
    pub const ALL: [Self; 19] = [
        Self::Settings,
        Self::Blocks,
        Self::Crew,
        Self::Winters,
        Self::Rules,
        Self::Weeks,
        Self::DaysOff,
        Self::Stays,
        Self::Pay,
        Self::Aims,
        Self::Factors,
        Self::Growth,
        Self::SetCounts,
        Self::Work,
        Self::Counts,
        Self::Draws,
        Self::GoBacks,
        Self::Harvests,
        Self::Marks,
    ];

    /// The word on the command line, and the file's name before `.csv`.
    pub fn word(self) -> &'static str {
        match self {
            Self::Settings => "settings",
            Self::Blocks => "blocks",
            Self::Crew => "crew",
            Self::Winters => "winters",
            Self::Rules => "rules",
            Self::Weeks => "weeks",
            Self::DaysOff => "days-off",
            Self::Stays => "stays",
            Self::Pay => "pay",
            Self::Aims => "aims",
            Self::Factors => "factors",
            Self::Growth => "growth",
            Self::SetCounts => "set-counts",
            Self::Work => "work",
            Self::Counts => "counts",
            Self::Draws => "draws",
            Self::GoBacks => "go-backs",
            Self::Harvests => "harvests",
            Self::Marks => "marks",
        }
    }

    /// Reads [`Table::word`].
    pub fn parse(raw: &str) -> Result<Self, Invalid> {
        let known = || Self::ALL.map(Self::word).join(", ");
        Self::ALL
            .into_iter()
            .find(|table| table.word() == raw.trim())
            .ok_or_else(|| Invalid::new("table", format!("{raw:?} is none of: {}", known())))
    }

    /// The name of the table's file in a folder of tables.
    pub fn file_name(self) -> String {
        format!("{}.csv", self.word())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_and_headings_are_each_their_own() {
        for table in Table::ALL {
            assert_eq!(Table::parse(table.word()), Ok(table));
            let mut headings: Vec<_> = table.headings().collect();
            headings.sort_unstable();
            headings.dedup();
            assert_eq!(headings.len(), table.headings().count(), "{table:?}");
        }
        assert!(Table::parse("apples").is_err());
    }
}
