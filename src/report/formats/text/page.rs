//! Lines of text that fit their page and cannot steer a terminal.

use crate::report::fit::{Align, align, cut, safe, width, wrap};

/// Columns of a page that is printed.
pub(super) const WIDTH: usize = 80;

/// A page that grows line by line. Whatever is put on it is made safe and cut to its width.
#[derive(Debug, Clone)]
pub(super) struct Page {
    text: String,
    /// Its columns.
    pub width: usize,
}

impl Page {
    /// An empty page of so many columns.
    pub fn new(width: usize) -> Self {
        let text = String::new();
        Self { text, width }
    }

    /// One line.
    pub fn line(&mut self, text: &str) {
        self.text.push_str(cut(&safe(text), self.width).trim_end());
        self.text.push('\n');
    }

    /// An empty line.
    pub fn blank(&mut self) {
        self.text.push('\n');
    }

    /// A line across.
    pub fn rule(&mut self) {
        self.line(&"-".repeat(self.width));
    }

    /// A line with a text at each side; the left one is cut if they meet.
    pub fn sides(&mut self, left: &str, right: &str) {
        let right = cut(right, self.width / 2);
        let room = self.width - width(&right);
        self.line(&format!(
            "{}{right}",
            align(&cut(left, room.saturating_sub(1)), room, Align::Left)
        ));
    }

    /// A paragraph, `indent` columns in.
    pub fn para(&mut self, text: &str, indent: usize) {
        self.item(&" ".repeat(indent), text);
    }

    /// A paragraph that begins with a mark; its further lines stand below its first word.
    pub fn item(&mut self, mark: &str, text: &str) {
        let indent = width(mark);
        let blanks = " ".repeat(indent);
        for (at, line) in wrap(text, self.width.saturating_sub(indent))
            .iter()
            .enumerate()
        {
            self.line(&format!("{}{line}", if at == 0 { mark } else { &blanks }));
        }
    }

    /// The page as text.
    pub fn finish(self) -> String {
        self.text
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn sides_and_items() {
        let mut page = Page::new(WIDTH);
        page.sides("left", "right");
        page.item("1. ", &"word ".repeat(20));
        let text = page.finish();
        let lines: Vec<&str> = text.lines().collect();
        assert!(lines[0].starts_with("left") && lines[0].ends_with("right"));
        assert_eq!(lines[0].len(), WIDTH);
        assert!(lines[1].starts_with("1. word") && lines[2].starts_with("   word"));
    }

    proptest! {
        #[test]
        fn nothing_leaves_the_page(left in ".{0,120}", right in ".{0,120}") {
            let mut page = Page::new(WIDTH);
            page.sides(&left, &right);
            page.item(&right, &left);
            page.line(&left);
            for line in page.finish().split('\n') {
                prop_assert!(width(line) <= WIDTH);
                prop_assert!(!line.contains(char::is_control));
            }
        }
    }
}
