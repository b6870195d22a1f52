//! The Outlook screen: what a block's wood carries this year and in the winters after, and what to leave for its aim.

mod brief;

mod entries;
pub(in crate::tui) mod factors;
mod keep;
pub(in crate::tui) mod seasons;
mod this_year;
mod update;
mod view;
mod winters;

#[cfg(test)]
mod tests;

use crate::orchard::{BlockId, Invalid};
use crate::outlook::Scenario;
use crate::report::{BriefSheet, CropLine, OutlookSheet, Taken, Wood};
use crate::tui::Cursor;
use crate::tui::app::Model;

pub use keep::{kept, not_kept};
use update::stored;
pub use update::{entered, refreshed, update};
pub use view::view;

/// A part of an opened block.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Part {
    /// What to leave, with the numbers that can be changed in place.
    #[default]
    Brief,
    /// The crop of the counted wood, what was kept, and how to mend it.
    Crop,
    /// The age classes over the winters ahead.
    Winters,
    /// All that is stored for the block.
    Entries,
}

impl Part {
    /// All, in the order of the screen.
    pub const ALL: [Self; 4] = [Self::Brief, Self::Crop, Self::Winters, Self::Entries];

    fn title(self) -> &'static str {
        match self {
            Self::Brief => "brief",
            Self::Crop => "crop and what was kept",
            Self::Winters => "winters ahead",
            Self::Entries => "entries",
        }
    }

    #[must_use]
    fn further(self, step: usize) -> Self {
        Self::ALL[(self as usize + step) % Self::ALL.len()]
    }
}

/// State of the screen.
#[derive(Debug, Default)]
pub struct State {
    selected: Cursor,
    wood: Wood,
    /// A line for each block, by name.
    lines: Vec<Line>,
    open: Option<Opened>,
    /// What was tried is being stored.
    keeping: bool,
}

/// A block in the list.
#[derive(Debug, Clone)]
struct Line {
    block: BlockId,
    brief: Result<BriefSheet, Invalid>,
    crop: Result<Option<CropLine>, Invalid>,
}

/// The block that is open, and where one stands in it.
#[derive(Debug, Clone)]
struct Opened {
    block: BlockId,
    part: Part,
    /// The chosen line, or the lines scrolled down, of each part.
    at: [Cursor; Part::ALL.len()],
    scenario: usize,
    what_if: Taken,
    brief: Result<BriefSheet, Invalid>,
    outlook: Result<OutlookSheet, Invalid>,
}

impl Opened {
    fn line(&self) -> Cursor {
        self.at[self.part as usize]
    }

    fn scenario(&self) -> Scenario {
        Scenario::ALL[self.scenario % Scenario::ALL.len()]
    }
}

impl State {
    fn selected(&self) -> Option<&Line> {
        self.lines.get(self.selected.at(self.lines.len()))
    }

    /// Whether a block is open.
    pub fn is_open(&self) -> bool {
        self.open.is_some()
    }

    /// Back to the list.
    pub fn close(&mut self) {
        self.open = None;
    }
}

/// Makes the figures of an open block; none where it is gone.
fn figures(model: &Model, opened: &mut Opened) -> bool {
    let Some(season) = &model.season else {
        return false;
    };
    let (wood, day) = (&model.outlook.wood, model.now.day);
    opened.brief = season.brief(opened.block, wood, &opened.what_if, day);
    opened.outlook = season.outlook(opened.block, wood, &opened.what_if, day);
    season.block(opened.block).is_some()
}

/// What there are pictures of: the opened block as it stands with what is taken, or the selected line.
pub fn pictured(model: &Model) -> Option<OutlookSheet> {
    if let Some(opened) = &model.outlook.open {
        return opened.outlook.clone().ok();
    }
    let line = model.outlook.selected()?;
    let season = model.season.as_ref()?;
    let taken = Taken::default();
    season
        .outlook(line.block, &model.outlook.wood, &taken, model.now.day)
        .ok()
}
