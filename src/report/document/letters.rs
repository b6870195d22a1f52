//! The letters of pictures: one size, and how much room they take.
//!
//! A letter is taken to be as wide as those of wide sans-serif fonts are on average, and as a terminal's cell is when
//! a line of it is [`LINE`] high. So the same layout holds on paper and on a screen.

use super::{Anchor, Drawing, Ink, Shape};
use crate::report::fit;

/// Height of all letters in pictures, in points.
pub const SIZE: f64 = 9.0;
/// Width of a letter.
pub const ADVANCE: f64 = 0.6 * SIZE;
/// From one line to the next.
pub const LINE: f64 = 1.2 * SIZE;
/// From the top of a line down to where its letters stand.
pub const BASE: f64 = 0.78 * LINE;

/// Width of a text.
pub fn width(words: &str) -> f64 {
    fit::width(words) as f64 * ADVANCE
}

/// The text, cut to a width.
pub fn cut(words: &str, room: f64) -> String {
    let columns = (room / ADVANCE + 1e-9).floor();
    fit::cut(words, if columns > 0.0 { columns as usize } else { 0 })
}

/// Writes one line, whose top is `at.1`, in an ink.
pub fn write(drawing: &mut Drawing, at: (f64, f64), anchor: Anchor, ink: Ink, words: &str) {
    if words.is_empty() {
        return;
    }
    drawing.shapes.push(Shape::Text {
        at: (at.0, at.1 + BASE),
        anchor,
        size: SIZE,
        bold: false,
        ink,
        words: fit::safe(words).into_owned(),
    });
}

/// As [`write`], bold: the heading of a part of a picture.
pub fn head(drawing: &mut Drawing, at: (f64, f64), words: &str) {
    if words.is_empty() {
        return;
    }
    drawing.shapes.push(Shape::Text {
        at: (at.0, at.1 + BASE),
        anchor: Anchor::Start,
        size: SIZE,
        bold: true,
        ink: Ink::Text,
        words: fit::safe(words).into_owned(),
    });
}
