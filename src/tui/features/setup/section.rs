//! The sections of the Set-up screen.

use crate::tui::widgets::{Column, Width};

/// A kind of thing that is set up.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Section {
    /// Winters, and budburst by block.
    #[default]
    Winters,
    /// Blocks.
    Blocks,
    /// Pruners.
    Crew,
    /// Rules by block.
    Rules,
    /// The work log.
    Work,
    /// Counts of trees.
    Counts,
    /// Rows that were sent back.
    GoBacks,
    /// Draws of trees.
    Draws,
    /// Settings.
    Settings,
}

impl Section {
    /// All sections, in the order of the screen.
    pub const ALL: [Self; 9] = [
        Self::Winters,
        Self::Blocks,
        Self::Crew,
        Self::Rules,
        Self::Work,
        Self::Counts,
        Self::GoBacks,
        Self::Draws,
        Self::Settings,
    ];

    /// Its place among all, from 0.
    pub fn place(self) -> usize {
        self as usize
    }

    /// The section `step` further, round from the last to the first.
    #[must_use]
    pub fn further(self, step: isize) -> Self {
        let all = Self::ALL.len() as isize;
        Self::ALL[(self.place() as isize + step).rem_euclid(all) as usize]
    }

    /// The word on its button.
    pub fn title(self) -> &'static str {
        match self {
            Self::Winters => "Winters",
            Self::Blocks => "Blocks",
            Self::Crew => "Crew",
            Self::Rules => "Rules",
            Self::Work => "Work",
            Self::Counts => "Counts",
            Self::GoBacks => "Go-back",
            Self::Draws => "Draws",
            Self::Settings => "Settings",
        }
    }

    /// Whether what it shows belongs to one winter.
    pub fn of_winter(self) -> bool {
        !matches!(
            self,
            Self::Winters | Self::Blocks | Self::Crew | Self::Settings
        )
    }

    /// What to do where it has no line yet.
    pub fn empty(self) -> &'static str {
        match self {
            Self::Winters => "No winter yet: New (n) sets up the first.",
            Self::Blocks => "No block yet: New (n) sets up the first.",
            Self::Crew => "Nobody is on the crew list yet: New (n) adds the first.",
            Self::Work => "No work is logged yet: New (n) logs who pruned which row.",
            Self::Counts => {
                "No tree is counted yet: Draw (d) on Today (F2) draws some, or New (n) counts one chosen by eye."
            }
            Self::GoBacks => {
                "No row was sent back. Rework (7) on Count (F3) sends one back, or New (n) here."
            }
            Self::Draws => "No trees are drawn yet: New (n) draws some out of the work logged.",
            // these always have lines
            Self::Rules | Self::Settings => "",
        }
    }

    /// The word for changing a line.
    pub fn edits(self) -> &'static str {
        if self == Self::Draws {
            "Put back"
        } else {
            "Edit"
        }
    }

    /// The word for Enter where it does something other than changing the line.
    pub fn opens(self) -> Option<&'static str> {
        match self {
            Self::Winters => Some("Look at"),
            Self::Counts => Some("Count"),
            Self::Draws => Some("Trees"),
            _ => None,
        }
    }

    /// The columns of its table.
    pub fn columns(self) -> Vec<Column<'static>> {
        use Width::{Fixed, Share};
        let text = Column::new;
        let number = Column::right;
        match self {
            Self::Winters => vec![
                text("Winter", Share(1)),
                text("First day", Fixed(10)),
                text("Budburst", Fixed(10)),
                text("", Fixed(22)),
            ],
            Self::Blocks => vec![
                text("Block", Share(2)),
                text("Variety", Share(1)),
                number("Planted", Fixed(7)).goes(3),
                number("Spacing, m", Fixed(10)).goes(4),
                number("Stems", Fixed(5)).goes(2),
                number("Rows", Fixed(4)),
                number("Trees", Fixed(6)),
                number("ha", Fixed(6)).goes(1),
            ],
            Self::Crew => vec![
                number("Nr", Fixed(4)),
                text("Name", Share(1)),
                text("Label", Fixed(5)),
                text("Works", Fixed(5)),
                text("Shown by", Fixed(11)),
            ],
            Self::Rules => vec![
                text("Block", Share(1)),
                text("Rule", Fixed(6)),
                text("Parts", Fixed(9)),
                text("Within, %", Fixed(11)).goes(1),
                text("Oldest", Fixed(6)),
                text("Buds", Fixed(9)),
                text("mm", Fixed(7)).goes(2),
                number("Right", Fixed(5)),
            ],
            Self::Work => vec![
                text("Day", Fixed(10)),
                text("Pruner", Share(1)),
                text("Block", Share(1)),
                number("Row", Fixed(4)),
                number("Trees", Fixed(9)),
                number("Noted h", Fixed(7)),
                text("Work", Fixed(11)).goes(1),
            ],
            Self::Counts => vec![
                text("Day", Fixed(6)),
                text("Block", Share(1)),
                number("Row", Fixed(3)),
                number("Tree", Fixed(4)),
                text("Pruner", Share(1)),
                text("Pruning", Fixed(7)).goes(1),
                number("Pieces", Fixed(6)),
                number("Units", Fixed(5)).goes(2),
                text("State", Fixed(10)),
                text("Chosen", Fixed(6)).goes(3),
            ],
            Self::GoBacks => vec![
                text("Sent back", Fixed(10)),
                text("Block", Share(1)),
                number("Row", Fixed(3)),
                text("Pruner", Share(1)),
                text("What to mend", Share(1)).goes(1),
                text("Came of it", Fixed(11)),
            ],
            Self::Draws => vec![
                text("Drawn on", Fixed(10)),
                text("From the work of", Share(1)),
                number("Trees", Fixed(5)),
                number("Counted", Fixed(7)),
                number("Left out", Fixed(8)),
                number("Waiting", Fixed(7)),
            ],
            Self::Settings => vec![text("Setting", Fixed(14)), text("Value", Share(1))],
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_sections_are_a_round() {
        for (place, section) in Section::ALL.into_iter().enumerate() {
            assert_eq!(section.place(), place);
            assert_eq!(section.further(1).further(-1), section);
        }
        assert_eq!(Section::Settings.further(1), Section::Winters);
        assert_eq!(Section::Winters.further(-1), Section::Settings);
    }
}
