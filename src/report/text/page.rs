//! Lines of text that fit their page and cannot steer a terminal.

use crate::report::fit::{Align, align, cut, safe, width, wrap};
use crate::report::words::Tongue;

/// Columns of a page.
pub const WIDTH: usize = 80;

/// A column of a table: the columns that it takes at least, and its side.
pub type Column = (usize, Align);

/// A cell of a row: its text, its columns, its side.
pub type Cell<'a> = (&'a str, usize, Align);

/// A page that grows line by line. Whatever is put on it is made safe and cut to [`WIDTH`].
#[derive(Debug, Clone, Default)]
pub struct Page {
    text: String,
}

impl Page {
    /// One line.
    pub fn line(&mut self, text: &str) {
        self.text.push_str(cut(&safe(text), WIDTH).trim_end());
        self.text.push('\n');
    }

    /// An empty line.
    pub fn blank(&mut self) {
        self.text.push('\n');
    }

    /// A line across.
    pub fn rule(&mut self) {
        self.line(&"-".repeat(WIDTH));
    }

    /// A line with a text at each side; the left one is cut if they meet.
    pub fn sides(&mut self, left: &str, right: &str) {
        let right = cut(right, WIDTH / 2);
        let room = WIDTH - width(&right);
        self.line(&format!(
            "{}{right}",
            align(&cut(left, room.saturating_sub(1)), room, Align::Left)
        ));
    }

    /// A heading with an empty line before it.
    pub fn heading(&mut self, text: &str) {
        self.blank();
        self.line(text);
    }

    /// A paragraph, `indent` columns in.
    pub fn para(&mut self, text: &str, indent: usize) {
        self.item(&" ".repeat(indent), text);
    }

    /// A paragraph that begins with a mark; its further lines stand below its first word.
    pub fn item(&mut self, mark: &str, text: &str) {
        let indent = width(mark);
        let blanks = " ".repeat(indent);
        for (at, line) in wrap(text, WIDTH.saturating_sub(indent)).iter().enumerate() {
            self.line(&format!("{}{line}", if at == 0 { mark } else { &blanks }));
        }
    }

    /// Cells beside each other.
    pub fn row(&mut self, cells: &[Cell<'_>]) {
        let cells: Vec<_> = (cells.iter())
            .map(|(text, columns, side)| align(text, *columns, *side))
            .collect();
        self.line(&cells.join(" "));
    }

    /// A head and its rows. A column grows with its widest cell, so that no word of any language is cut.
    pub fn table(&mut self, columns: &[Column], rows: &[Vec<String>]) {
        let room = |at: usize, least: usize| {
            let cells = rows.iter().filter_map(|row| row.get(at));
            cells.map(|cell| width(cell)).fold(least, usize::max)
        };
        let columns: Vec<Column> = (columns.iter().enumerate())
            .map(|(at, (least, side))| (room(at, *least), *side))
            .collect();
        for row in rows {
            let cells: Vec<Cell> = (row.iter().zip(&columns))
                .map(|(text, (room, side))| (text.as_str(), *room, *side))
                .collect();
            self.row(&cells);
        }
    }

    /// The page as text.
    pub fn finish(self) -> String {
        self.text
    }
}

/// A heading of two lines and a line across: orchard and winter, title and day.
pub(super) fn head(page: &mut Page, orchard: &str, winter: &str, title: &str, day: &str) {
    head_in(Tongue::english(), page, [orchard, winter, title, day]);
}

/// As [`head`], in a language.
pub(super) fn head_in(words: &Tongue, page: &mut Page, [orchard, winter, title, day]: [&str; 4]) {
    page.sides(
        if orchard.is_empty() {
            words.label("orchard-unnamed")
        } else {
            orchard
        },
        &words.say("winter-named", [("label", winter.into())]),
    );
    page.sides(title, day);
    page.rule();
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn sides_and_items() {
        let mut page = Page::default();
        page.sides("left", "right");
        page.item("1. ", &"word ".repeat(20));
        let text = page.finish();
        let lines: Vec<&str> = text.lines().collect();
        assert!(lines[0].starts_with("left") && lines[0].ends_with("right"));
        assert_eq!(lines[0].len(), WIDTH);
        assert!(lines[1].starts_with("1. word") && lines[2].starts_with("   word"));
    }

    #[test]
    fn a_column_grows_with_its_widest_cell() {
        let mut page = Page::default();
        let rows = [["", "n"], ["cuatro o más", "1"]];
        let rows = rows.map(|row| row.map(str::to_owned).to_vec());
        page.table(&[(4, Align::Left), (3, Align::Right)], &rows);
        assert_eq!(page.finish(), "               n\ncuatro o más   1\n");
    }

    proptest! {
        #[test]
        fn nothing_leaves_the_page(left in ".{0,120}", right in ".{0,120}") {
            let mut page = Page::default();
            page.sides(&left, &right);
            page.item(&right, &left);
            page.row(&[(&left, 30, Align::Left), (&right, 60, Align::Right)]);
            page.line(&left);
            for line in page.finish().split('\n') {
                prop_assert!(width(line) <= WIDTH);
                prop_assert!(!line.contains(char::is_control));
            }
        }
    }
}
