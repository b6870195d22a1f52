//! What the person wants done: the one vocabulary of keys and touch.

use crate::orchard::{Size, Tap};

/// A place of the house.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Screen {
    /// Which tree next, and who stands where.
    Today,
    /// What is on this tree.
    Count,
    /// How each pruner stands.
    Crew,
    /// How each block and row stands.
    Blocks,
    /// Done and left, pace, finish and cost.
    Winter,
    /// What the wood carries, this year and in the years after.
    Outlook,
    /// Blocks, crew, rules, work and settings.
    SetUp,
}

impl Screen {
    /// All places in the order of the house.
    pub const ALL: [Self; 7] = [
        Self::Today,
        Self::Count,
        Self::Crew,
        Self::Blocks,
        Self::Winter,
        Self::Outlook,
        Self::SetUp,
    ];

    /// The name on the tab.
    pub fn title(self) -> &'static str {
        match self {
            Self::Today => "Today",
            Self::Count => "Count",
            Self::Crew => "Crew",
            Self::Blocks => "Blocks",
            Self::Winter => "Winter",
            Self::Outlook => "Outlook",
            Self::SetUp => "Set-up",
        }
    }

    /// The next place; after the last comes the first.
    #[must_use]
    pub fn next(self) -> Self {
        Self::ALL[(self.place() + 1) % Self::ALL.len()]
    }

    /// The place before; before the first comes the last.
    #[must_use]
    pub fn prev(self) -> Self {
        Self::ALL[(self.place() + Self::ALL.len() - 1) % Self::ALL.len()]
    }

    fn place(self) -> usize {
        Self::ALL.iter().position(|s| *s == self).unwrap_or(0)
    }
}

/// One thing that a key or a touch asks for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Action {
    /// To a place of the house.
    Go(Screen),
    /// To the next place.
    NextScreen,
    /// To the place before.
    PrevScreen,
    /// Show what a small screen has no room for.
    Menu,
    /// Show what the keys do.
    Help,
    /// Show the first steps and which of them are done.
    FirstSteps,
    /// Take the message at the foot away: it was read.
    Read,
    /// End the first round through the house.
    EndRound,
    /// Leave the program.
    Quit,
    /// Stand still until the shell continues the program.
    Stop,
    /// One line up, or one field up.
    Up,
    /// One line down, or one field down.
    Down,
    /// One page up.
    PageUp,
    /// One page down.
    PageDown,
    /// To the first line, or the start of a field.
    First,
    /// To the last line, or the end of a field.
    Last,
    /// Open the selected line; on Today, count the selected tree.
    Open,
    /// Close what is open, back to where it was opened from.
    Back,
    /// Count one thing seen on the tree.
    Tap(Tap),
    /// Show the pads of units of this size, where a small screen has room for one size alone.
    Pads(Size),
    /// Take back the last tap.
    Undo,
    /// The next tap takes one off instead.
    Less,
    /// The tree is done: close its count and go to the next drawn one.
    CloseTree,
    /// The leader in hand has no further piece: on to the next that was drawn.
    EndLeader,
    /// Another number of leaders on this tree, by so many.
    Leaders(i8),
    /// Leave the count as it stands, open.
    LeaveCount,
    /// Say what is recorded with the count: stems, before or after pruning, note.
    TreeDetails,
    /// Count a tree that was not drawn.
    OtherTree,
    /// Mark the tree in hand, or trees of the block.
    MarkTrees,
    /// Send the pruner back to this row.
    SendBack,
    /// Pass over this drawn tree.
    SkipTree,
    /// Log who pruned what.
    LogWork,
    /// Log what the whole crew did on a day.
    LogEvening,
    /// Draw trees to look at.
    DrawTrees,
    /// Count some of the counted trees again, blind.
    CountAgain,
    /// Take a pruner's name away.
    ForgetName,
    /// Show the winter review.
    Review,
    /// Make a new entry.
    New,
    /// Change the selected entry.
    Edit,
    /// Remove the selected entry.
    Remove,
    /// To the next section of the screen.
    NextSection,
    /// To the section before.
    PrevSection,
    /// To the touched section.
    Section(usize),
    /// Say what came of a row sent back.
    Settle,
    /// Change between the day, the last days and the whole winter.
    TogglePeriod,
    /// Store the numbers that were taken.
    Keep,
    /// The next way of going on with the wood.
    NextScenario,
    /// Show the day sheet; on Today, the supervisor's page.
    DaySheet,
    /// Look at the pictures of what is shown.
    Pictures,
    /// Write reports to files.
    Papers,
    /// Select the touched line of a list.
    Select(usize),
    /// To the touched field of a form.
    Field(usize),
    /// The next (1) or previous (-1) choice of a field.
    Choose(i8),
    /// The touched choice of a field.
    Pick(usize),
    /// A number or a day one more (1) or one less (-1).
    Step(i8),
    /// Type this, as a key would.
    Type(char),
    /// Take the last letter away, as a key would.
    Erase,
    /// Save the form, and open it for the next one.
    SaveNext,
    /// The next field; on the last one, save.
    NextField,
    /// Save the form.
    Save,
    /// Leave the form without saving.
    Cancel,
    /// Yes, do it.
    Confirm,
}

#[cfg(test)]
mod tests {
    use super::Screen;

    #[test]
    fn the_house_is_a_round() {
        for screen in Screen::ALL {
            assert_eq!(screen.next().prev(), screen);
        }
        assert_eq!(Screen::SetUp.next(), Screen::Today);
        assert_eq!(Screen::Today.next(), Screen::Count);
    }
}
