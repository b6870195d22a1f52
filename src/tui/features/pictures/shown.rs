//! What there are pictures of, and which of them is shown.

use crate::report::document::Picture;
use crate::report::document::pictures::{self, Labels, Room};
use crate::report::{OutlookSheet, RowMap, Standing, WinterProgress};
use crate::tui::Cursor;
use crate::tui::features::crew_blocks::Part;

/// What there are pictures of. The figures are those of the moment at which it was opened.
#[derive(Debug, Clone)]
pub(super) enum Of {
    /// A pruner, or a block with its rows.
    Standing(Box<Standing>, Option<Box<RowMap>>),
    /// The winter's work.
    Winter(Box<WinterProgress>),
    /// A block's wood in the winters ahead.
    Outlook(Box<OutlookSheet>),
}

/// Pictures to page through.
#[derive(Debug, Clone)]
pub struct Pictures {
    pub(super) of: Of,
    pub(super) at: usize,
    /// Lines of the words scrolled down.
    pub(super) scroll: Cursor,
}

/// The pictures of a standing, in the order of its parts.
pub(super) const OF_STANDING: [Part; 5] = [
    Part::Mix,
    Part::Buds,
    Part::Days,
    Part::Triangle,
    Part::Rows,
];

impl Pictures {
    pub(super) fn many(&self) -> usize {
        match &self.of {
            Of::Standing(_, None) => OF_STANDING.len() - 1,
            Of::Standing(_, Some(_)) => OF_STANDING.len(),
            Of::Winter(_) => 1,
            Of::Outlook(_) => 2,
        }
    }

    pub(super) fn drawn(&self, room: Room) -> Picture {
        let labels = Labels::english();
        match (&self.of, self.at) {
            (Of::Standing(standing, map), at) => match (OF_STANDING.get(at), map) {
                (Some(Part::Buds), _) => pictures::buds(standing, &labels, room),
                (Some(Part::Days), _) => pictures::trend(standing, &labels, room),
                (Some(Part::Triangle), _) => pictures::ternary(standing, &labels, room),
                (Some(Part::Rows), Some(map)) => pictures::rows(map, &labels, room),
                _ => pictures::mix(standing, &labels, room),
            },
            (Of::Winter(progress), _) => pictures::progress(progress, &labels, room),
            (Of::Outlook(sheet), 0) => pictures::ages_ahead(sheet, &labels, room),
            (Of::Outlook(sheet), _) => pictures::crop_ahead(sheet, &labels, room),
        }
    }
}
