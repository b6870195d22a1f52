//! What the shapes of a picture mean, in a line or two.

use crate::report::document::letters::{self, ADVANCE, LINE};
use crate::report::document::{Anchor, Drawing, Fill, Ink};

/// How something is drawn.
#[derive(Debug, Clone, Copy)]
pub enum Swatch {
    /// A filled shape.
    Box(Ink, Fill),
    /// A line.
    Line(Ink, bool),
    /// A dot of a radius.
    Dot(Ink, Fill, f64),
    /// A cross.
    Cross(Ink),
    /// A line with an end at either side.
    Whisker(Ink),
}

/// Width of what is shown before its word.
const SHOWN: f64 = 2.0 * ADVANCE;
/// Between it and its word.
const GAP: f64 = ADVANCE;
/// Between one word and the next swatch.
const APART: f64 = 2.0 * ADVANCE;

/// Draws a legend within a width from its top left corner; says how high it is.
pub fn legend(
    drawing: &mut Drawing,
    at: (f64, f64),
    width: f64,
    entries: &[(Swatch, &str)],
) -> f64 {
    let (mut x, mut line) = (0.0, 0.0);
    for (swatch, words) in entries {
        let words = letters::cut(words, width - SHOWN - GAP);
        let wide = SHOWN + GAP + letters::width(&words);
        if x > 0.0 && x + wide > width {
            (x, line) = (0.0, line + 1.0);
        }
        let top = at.1 + line * LINE;
        show(drawing, (at.0 + x, top), *swatch);
        let place = (at.0 + x + SHOWN + GAP, top);
        letters::write(drawing, place, Anchor::Start, Ink::Text, &words);
        x += wide + APART;
    }
    (line + 1.0) * LINE
}

fn show(drawing: &mut Drawing, (x, top): (f64, f64), swatch: Swatch) {
    let middle = (x + SHOWN / 2.0, top + LINE / 2.0);
    let (left, right) = ((x, middle.1), (x + SHOWN, middle.1));
    match swatch {
        Swatch::Box(ink, fill) => {
            drawing.rect((x, top + 2.0), (SHOWN, LINE - 4.0), ink, fill);
        }
        Swatch::Line(ink, dashed) => drawing.line(vec![left, right], 1.5, dashed, ink),
        Swatch::Dot(ink, fill, radius) => drawing.circle(middle, radius, ink, fill),
        Swatch::Cross(ink) => super::cross(drawing, middle, 4.0, ink),
        Swatch::Whisker(ink) => whisker(drawing, (x, x + SHOWN), middle.1, ink),
    }
}

/// A level line with an end at either side.
pub fn whisker(drawing: &mut Drawing, (from, to): (f64, f64), y: f64, ink: Ink) {
    drawing.line(vec![(from, y), (to, y)], 1.25, false, ink);
    for x in [from, to] {
        drawing.line(vec![(x, y - 3.0), (x, y + 3.0)], 1.25, false, ink);
    }
}

/// An upright line with an end above and below.
pub fn upright_whisker(drawing: &mut Drawing, x: f64, (top, bottom): (f64, f64), ink: Ink) {
    drawing.line(vec![(x, top), (x, bottom)], 1.25, false, ink);
    for y in [top, bottom] {
        drawing.line(vec![(x - 2.5, y), (x + 2.5, y)], 1.25, false, ink);
    }
}
