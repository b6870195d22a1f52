//! Pictures of the reports: a file for each, a pure function from what `report` made to a [`Picture`].
//!
//! A picture is laid out for the [`Room`] it gets, so that its letters keep their size and nothing lies over them: the
//! same function serves a sheet of paper and the cells of a terminal. In a smaller room than it can do with, it is
//! drawn in the least one it can.

mod ages_ahead;
mod axis;
mod buds;
mod crop_ahead;
#[cfg(test)]
pub(crate) mod inspect;
mod labels;
mod legend;
mod mix;
mod progress;
#[cfg(test)]
mod properties;
mod rows;
mod ternary;
mod trend;

pub use ages_ahead::ages_ahead;
pub use buds::buds;
pub use crop_ahead::crop_ahead;
pub use labels::{Labels, Word};
pub use mix::{mix, mix_of};
pub use progress::progress;
pub use rows::{rows, rows_on_paper};
pub use ternary::ternary;
pub use trend::trend;

use super::letters::{self, ADVANCE, LINE};
use super::{Anchor, Drawing, Fill, Ink, Picture};
use crate::judge::{Band, BandKind, Interval};
use crate::report::fit;

/// Width and height that a picture is laid out for, in points.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Room {
    /// Width.
    pub width: f64,
    /// Height.
    pub height: f64,
}

/// Width of all pictures on paper, in points: at a telephone's 360 pixels the letters are still 9 pixels high.
const PAPER_WIDTH: f64 = 360.0;

impl Room {
    /// A room on paper of a height.
    pub const fn paper(height: f64) -> Self {
        Self {
            width: PAPER_WIDTH,
            height,
        }
    }

    /// The room of so many columns and lines of a terminal: one letter a cell.
    pub fn cells(columns: u16, lines: u16) -> Self {
        Self {
            width: f64::from(columns) * ADVANCE,
            height: f64::from(lines) * LINE,
        }
    }

    /// This room, made as large as a picture needs at least.
    #[must_use]
    fn at_least(self, width: f64, height: f64) -> Self {
        let grown = |is: f64, least: f64| if is.is_finite() { is.max(least) } else { least };
        Self {
            width: grown(self.width, width),
            height: grown(self.height, height),
        }
    }

    /// This room, made as high as it takes for so many lines below `top`, where the legend ends; the field grows with it.
    #[must_use]
    fn below(self, drawing: &mut Drawing, top: f64, lines: f64) -> Self {
        let room = self.at_least(0.0, top + lines * LINE);
        drawing.height = room.height;
        room
    }

    fn field(self) -> Drawing {
        Drawing::new(self.width, self.height)
    }
}

/// The rooms that pictures want on paper; [`rows_on_paper`] tells that of a row map.
pub mod on_paper {
    use super::Room;

    /// Of [`super::mix()`].
    pub const MIX: Room = Room::paper(150.0);
    /// Of [`super::ternary()`].
    pub const TERNARY: Room = Room::paper(300.0);
    /// Of [`super::buds()`].
    pub const BUDS: Room = Room::paper(260.0);
    /// Of [`super::trend()`].
    pub const TREND: Room = Room::paper(300.0);
    /// Of [`super::progress()`].
    pub const PROGRESS: Room = Room::paper(230.0);
    /// Of [`super::ages_ahead()`].
    pub const AGES_AHEAD: Room = Room::paper(190.0);
    /// Of [`super::crop_ahead()`].
    pub const CROP_AHEAD: Room = Room::paper(180.0);
}

/// The fill of an age class, youngest first: each is told apart without colour.
pub fn age_look(age: usize) -> (Ink, Fill) {
    match age {
        0 => (Ink::One, Fill::Light),
        1 => (Ink::Two, Fill::Rising),
        2 => (Ink::Three, Fill::Dotted),
        _ => (Ink::FourPlus, Fill::Solid),
    }
}

/// A title with whom or what it is about.
fn titled(title: &str, about: &str) -> String {
    format!("{title}: {}", fit::safe(about))
}

/// What the rule accepts, without words: `23-43 %`, `≤ 5 %`, `≥ 80 %`.
fn band_words(band: Band) -> String {
    let whole = |share: f64| format!("{:.0}", share * 100.0);
    match band.kind {
        BandKind::Kept => format!("{}-{} %", whole(band.lo), whole(band.hi)),
        BandKind::TooOld => format!("≤ {} %", whole(band.hi)),
        BandKind::Compliance => format!("≥ {} %", whole(band.lo)),
    }
}

/// An interval of shares: `10-22 %`.
fn interval_words(interval: Interval) -> String {
    format!("{:.0}-{:.0} %", interval.lo * 100.0, interval.hi * 100.0)
}

/// A cross of two strokes.
fn cross(drawing: &mut Drawing, (x, y): (f64, f64), arm: f64, ink: Ink) {
    drawing.line(vec![(x - arm, y), (x + arm, y)], 1.5, false, ink);
    drawing.line(vec![(x, y - arm), (x, y + arm)], 1.5, false, ink);
}

/// A picture of nothing but the word for it.
fn nothing(title: String, labels: &Labels, room: Room) -> Picture {
    let mut drawing = room.field();
    let at = (room.width / 2.0, (room.height / LINE / 2.0).floor() * LINE);
    let words = letters::cut(&labels.nothing, room.width);
    letters::write(&mut drawing, at, Anchor::Middle, Ink::Faint, &words);
    Picture {
        title,
        text: format!("{}.", labels.nothing),
        bars: Vec::new(),
        drawing,
    }
}
