//! Pictures as plain shapes: the same ones become SVG, PDF, or dots on a screen.

/// Width of the outline of a shape that is not given one, in points.
pub const OUTLINE: f64 = 0.75;

/// A picture: shapes on a field, drawn in order. Lengths are in points (1/72 inch), x to the right, y downwards from the
/// top left corner.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Drawing {
    /// Width of the field, above 0.
    pub width: f64,
    /// Height of the field, above 0.
    pub height: f64,
    /// The shapes, the lowest first.
    pub shapes: Vec<Shape>,
}

/// What something is drawn with, by what it means. Each is told apart in black and white by its [`Fill`] or its dashes too.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Ink {
    /// Letters, axes and outlines.
    Text,
    /// Grid lines and small print.
    Faint,
    /// One-year wood.
    One,
    /// Two-year wood.
    Two,
    /// Three-year wood.
    Three,
    /// Four-plus wood.
    FourPlus,
    /// What the rule asks for, and its tolerance.
    Rule,
    /// What was seen: a mean, a line of days.
    Seen,
    /// What is out of the rule.
    Out,
}

impl Ink {
    /// All inks.
    pub const ALL: [Self; 9] = [
        Self::Text,
        Self::Faint,
        Self::One,
        Self::Two,
        Self::Three,
        Self::FourPlus,
        Self::Rule,
        Self::Seen,
        Self::Out,
    ];
}

/// How a closed shape is filled. The hatches keep shapes apart where there is no colour.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Fill {
    /// With nothing.
    Empty,
    /// Evenly.
    Solid,
    /// Evenly, a quarter as strong.
    Light,
    /// With strokes rising to the right.
    Rising,
    /// With strokes falling to the right.
    Falling,
    /// With dots.
    Dotted,
}

/// Which point of a text stands at its x.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Anchor {
    /// Its start.
    Start,
    /// Its middle.
    Middle,
    /// Its end.
    End,
}

impl Anchor {
    /// How much of a text of a width stands before its x.
    pub fn before(self, width: f64) -> f64 {
        match self {
            Self::Start => 0.0,
            Self::Middle => width / 2.0,
            Self::End => width,
        }
    }
}

/// One shape.
#[derive(Debug, Clone, PartialEq)]
pub enum Shape {
    /// A line through points. An open one is not filled.
    Path {
        /// The points, at least two.
        points: Vec<(f64, f64)>,
        /// Whether the last point is joined to the first.
        closed: bool,
        /// Width of the stroke in points; 0 for none.
        stroke: f64,
        /// Whether the stroke is dashed.
        dashed: bool,
        /// What it is drawn with.
        ink: Ink,
        /// How a closed one is filled.
        fill: Fill,
    },
    /// A circle.
    Circle {
        /// Its middle.
        at: (f64, f64),
        /// Its radius.
        radius: f64,
        /// What it is drawn with.
        ink: Ink,
        /// How it is filled; its outline is always drawn, [`OUTLINE`] wide.
        fill: Fill,
    },
    /// One line of text, standing on y.
    Text {
        /// Where.
        at: (f64, f64),
        /// Which point of it stands there.
        anchor: Anchor,
        /// Height of the letters in points.
        size: f64,
        /// Whether the letters are bold.
        bold: bool,
        /// What it is drawn with.
        ink: Ink,
        /// The words.
        words: String,
    },
}

impl Drawing {
    /// An empty field.
    pub fn new(width: f64, height: f64) -> Self {
        Self {
            width,
            height,
            shapes: Vec::new(),
        }
    }

    /// A rectangle by its top left corner, width and height.
    pub fn rect(&mut self, at: (f64, f64), size: (f64, f64), ink: Ink, fill: Fill) {
        self.closed(corners(at, size), OUTLINE, ink, fill);
    }

    /// A rectangle without an outline.
    pub fn area(&mut self, at: (f64, f64), size: (f64, f64), ink: Ink, fill: Fill) {
        self.closed(corners(at, size), 0.0, ink, fill);
    }

    /// A closed line with an outline of a width, 0 for none; nothing where it has fewer than three points.
    pub fn closed(&mut self, points: Vec<(f64, f64)>, stroke: f64, ink: Ink, fill: Fill) {
        if points.len() < 3 {
            return;
        }
        self.shapes.push(Shape::Path {
            points,
            closed: true,
            stroke,
            dashed: false,
            ink,
            fill,
        });
    }

    /// A circle.
    pub fn circle(&mut self, at: (f64, f64), radius: f64, ink: Ink, fill: Fill) {
        self.shapes.push(Shape::Circle {
            at,
            radius,
            ink,
            fill,
        });
    }

    /// An open line.
    pub fn line(&mut self, points: Vec<(f64, f64)>, stroke: f64, dashed: bool, ink: Ink) {
        self.shapes.push(Shape::Path {
            points,
            closed: false,
            stroke,
            dashed,
            ink,
            fill: Fill::Empty,
        });
    }

    /// A line of text of a size, in the ink of text.
    pub fn text(&mut self, at: (f64, f64), anchor: Anchor, size: f64, words: impl Into<String>) {
        self.shapes.push(Shape::Text {
            at,
            anchor,
            size,
            bold: false,
            ink: Ink::Text,
            words: words.into(),
        });
    }
}

/// The corners of a rectangle by its top left one, width and height.
fn corners((x, y): (f64, f64), (w, h): (f64, f64)) -> Vec<(f64, f64)> {
    vec![(x, y), (x + w, y), (x + w, y + h), (x, y + h)]
}
