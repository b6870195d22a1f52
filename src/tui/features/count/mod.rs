//! The Count screen: what is on this tree.

mod after;
pub(in crate::tui) mod in_full;
mod next;
mod runs;
mod said;
mod small;
pub(in crate::tui) mod tree;
mod update;
mod view;

use std::collections::HashMap;

use ratatui::layout::Rect;

use crate::orchard::{
    BlockId, CountHead, CountId, DrawId, Invalid, Part, PieceRuns, Size, Tally, Tap, TreeMark,
};
use crate::tui::Pen;
use crate::tui::app::Model;

pub use after::{changed, marked, put_back, reloaded, removed, taken_back, taken_off, tapped};
pub use next::{begin, entered, look_at, pick, pick_again, resume};
pub use update::{details, update};

/// State of the screen.
#[derive(Debug)]
pub struct State {
    current: Option<Current>,
    /// What undo takes back where the tree in hand has no taps.
    last: Option<Last>,
    /// A drawn tree that was left out and is to come back into the hand.
    back: Option<DrawnPlace>,
    /// What the last tap was, in words.
    echo: String,
    /// The next tap takes one off.
    less: bool,
    /// The size of the units whose pads a small screen shows.
    pads: Size,
    /// Which part was counted last, by block, where none is drawn.
    parts: HashMap<BlockId, Part>,
}

/// A tree's place in a draw.
type DrawnPlace = (DrawId, usize);

/// Where a tree stands.
type Place = (BlockId, u16, u16);

/// What was done with the tree before the one in hand.
#[derive(Debug, Clone, PartialEq, Eq)]
enum Last {
    /// It was closed: undo opens it again.
    Closed(CountId),
    /// It was left out: undo puts it on the list again.
    LeftOut(DrawnPlace),
    /// It was marked, and is out of the draw by that: undo gives it the mark that it had.
    Marked(DrawnPlace, Place, Option<TreeMark>),
}

/// The tree in hand.
#[derive(Debug, Clone)]
struct Current {
    id: CountId,
    head: CountHead,
    tally: Tally,
    /// It has a count in the file.
    begun: bool,
    /// Its place in a draw.
    drawn: Option<DrawnPlace>,
    /// What was done since it came into the hand, for undo.
    acts: Vec<Act>,
    /// Its count is closed and only looked at: the first change opens it again.
    closed: bool,
    /// It was opened from the list of counts, and goes back there.
    listed: bool,
}

/// What was done with the tree in hand.
#[derive(Debug, Clone, PartialEq, Eq)]
enum Act {
    /// One was added at the end.
    Tapped,
    /// This one was taken off, behind so many others.
    TookOff(usize, Tap),
    /// Its mark was changed from this one.
    Marked(Option<TreeMark>),
    /// A leader was said to have no more, or the tree another number of them; the part before that.
    Ended(Part),
}

/// Draws the screen.
pub fn view(model: &Model, pen: &mut Pen, area: Rect) {
    if pen.small {
        small::view(model, pen, area);
    } else {
        view::view(model, pen, area);
    }
}

impl Default for State {
    fn default() -> Self {
        Self {
            current: None,
            last: None,
            back: None,
            echo: String::new(),
            less: false,
            pads: Size::Medium,
            parts: HashMap::new(),
        }
    }
}

impl State {
    /// What is recorded with the tree in hand.
    pub fn place(&self) -> Option<&CountHead> {
        self.current.as_ref().map(|current| &current.head)
    }

    /// Where the tree in hand stands in a draw.
    pub fn drawn(&self) -> Option<(DrawId, usize)> {
        self.current.as_ref().and_then(|current| current.drawn)
    }

    /// The leaders and pieces that were drawn for the tree in hand.
    fn drawn_runs(&self, model: &Model) -> Option<PieceRuns> {
        runs::drawn(model, self.current.as_ref()?)
    }

    /// The part to count, were there so many leaders on the tree in hand.
    fn with_leaders(&self, model: &Model, of: u8) -> Result<Part, Invalid> {
        let none = || Invalid::new("leaders", "no tree is chosen");
        runs::with_leaders(model, self.current.as_ref().ok_or_else(none)?, of)
    }

    /// Whether leaders and pieces are drawn for the tree in hand, and not all counted.
    fn leads(&self) -> bool {
        self.current.as_ref().and_then(runs::next).is_some()
    }

    /// The count of the tree in hand, if it is in the file.
    pub fn begun(&self) -> Option<CountId> {
        let begun = self.current.as_ref().filter(|current| current.begun);
        begun.map(|current| current.id)
    }

    /// What was tapped on the tree in hand.
    pub fn tally(&self) -> Option<&Tally> {
        self.current.as_ref().map(|current| &current.tally)
    }
}

#[cfg(test)]
mod few_tests;
