//! What is shared out over pages: strips as wide as the text, each of which stays whole.

use std::ops::Range;

use crate::report::document::Drawing;

/// A strip: a line of text, a row of a table, a picture. Lengths in points, from its own top left corner.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Strip<'a> {
    /// Room above it, which falls away at the top of a page.
    pub gap: f32,
    /// Its height.
    pub height: f32,
    /// Whether it stays on one page with the strip before it.
    pub glued: bool,
    /// The table it belongs to, by its place in [`Flow::heads`]; none for a head itself.
    pub table: Option<usize>,
    /// What is on it, in the order of reading.
    pub marks: Vec<Mark<'a>>,
}

/// Something to be printed.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Mark<'a> {
    /// The [`Node`] it belongs to; none for what only adorns.
    pub node: Option<usize>,
    /// What it is.
    pub thing: Thing<'a>,
}

impl Mark<'_> {
    /// A bar that only adorns.
    pub fn bar(at: (f32, f32), size: (f32, f32), dark: f32) -> Self {
        let thing = Thing::Bar { at, size, dark };
        Self { node: None, thing }
    }
}

/// What can be printed.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Thing<'a> {
    /// Text on one line, from its left end on its baseline.
    Words {
        /// Where.
        at: (f32, f32),
        /// The text.
        text: String,
        /// Height of the letters.
        size: f32,
        /// Whether the letters are bold.
        bold: bool,
        /// Darkness, 0 for none to 1 for black.
        dark: f32,
    },
    /// A filled rectangle, also as a line.
    Bar {
        /// Its top left corner.
        at: (f32, f32),
        /// Width and height.
        size: (f32, f32),
        /// Darkness.
        dark: f32,
    },
    /// A drawing.
    Drawing {
        /// Its top left corner.
        at: (f32, f32),
        /// How much it is made smaller.
        scale: f32,
        /// The drawing.
        drawing: &'a Drawing,
    },
}

/// What a piece of a sheet is, for programs that read aloud.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Role {
    /// A heading: its level and its words.
    Heading(u16, String),
    /// A paragraph.
    Para,
    /// A list, numbered or not.
    List(bool),
    /// A line of a list.
    Item,
    /// The number or dot of such a line.
    Label,
    /// Its words.
    Body,
    /// A table and what it shows.
    Table(String),
    /// The title of a table or picture.
    Caption,
    /// The head of a table.
    Head,
    /// The rows below the head.
    Rows,
    /// One row.
    Row,
    /// The heading of a column.
    ColumnHead,
    /// The cell that names its row.
    RowHead,
    /// Another cell.
    Cell,
    /// A picture and its text equivalent.
    Figure(String),
}

/// A piece of a sheet and the piece it is in; none for the sheet itself.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Node {
    /// The piece around it, by its place in [`Flow::nodes`].
    pub within: Option<usize>,
    /// What it is.
    pub role: Role,
}

/// A sheet as strips.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Flow<'a> {
    /// The strips from the top.
    pub strips: Vec<Strip<'a>>,
    /// The pieces they belong to, each after the one around it.
    pub nodes: Vec<Node>,
    /// The strips that are each table's head, repeated where it goes on over the page.
    pub heads: Vec<Range<usize>>,
}

impl Flow<'_> {
    /// Notes a piece; its place is what marks name.
    pub fn node(&mut self, within: Option<usize>, role: Role) -> usize {
        self.nodes.push(Node { within, role });
        self.nodes.len() - 1
    }
}
