//! Text broken into lines that fit a width.

use unicode_segmentation::UnicodeSegmentation;

use super::font::Face;
use crate::report::fit::safe;

/// One line as it is printed.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Line {
    /// Its text; ends with a blank where the text goes on, so that words stay apart when copied.
    pub text: String,
    /// Width in points without that blank.
    pub width: f32,
}

/// How a text is set.
#[derive(Clone, Copy)]
pub(super) struct Style<'a> {
    /// The face.
    pub face: &'a Face,
    /// Height of the letters in points.
    pub size: f32,
}

impl Style<'_> {
    /// Width of a text in points.
    pub fn width(self, text: &str) -> f32 {
        self.face.width(text, self.size)
    }
}

/// Blanks at which a line may break; not those made to hold a figure and its unit together.
fn parts(c: char) -> bool {
    c.is_whitespace() && !matches!(c, '\u{a0}' | '\u{2007}' | '\u{202f}')
}

/// The words of a text; a `%` stays with its figure.
pub(super) fn words(text: &str) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    for word in safe(text).split(parts).filter(|word| !word.is_empty()) {
        match words.last_mut() {
            Some(last) if word.starts_with('%') && last.ends_with(|c: char| c.is_ascii_digit()) => {
                last.push(' ');
                last.push_str(word);
            }
            _ => words.push(word.to_owned()),
        }
    }
    words
}

/// Width of the widest word.
pub(super) fn widest_word(text: &str, style: Style<'_>) -> f32 {
    words(text)
        .iter()
        .map(|word| style.width(word))
        .fold(0.0, f32::max)
}

/// The text in lines of at most `room` points. A word that is wider is broken between letters. Never
/// without a line, so that an empty text keeps its place.
pub(super) fn wrap(text: &str, style: Style<'_>, room: f32) -> Vec<Line> {
    let mut setting = Setting {
        style,
        room,
        lines: Vec::new(),
        open: Line::empty(),
    };
    let blank = style.width(" ");
    for word in words(text) {
        let width = style.width(&word);
        let started = !setting.open.text.is_empty();
        if started && setting.open.width + blank + width <= room {
            setting.add(" ", blank);
        } else if started {
            setting.turn(" ");
        }
        if width <= room {
            setting.add(&word, width);
        } else {
            setting.letters(&word);
        }
    }
    setting.lines.push(setting.open);
    setting.lines
}

impl Line {
    fn empty() -> Self {
        Self {
            text: String::new(),
            width: 0.0,
        }
    }
}

/// Lines in the making.
struct Setting<'a> {
    style: Style<'a>,
    room: f32,
    lines: Vec<Line>,
    open: Line,
}

impl Setting<'_> {
    fn add(&mut self, text: &str, width: f32) {
        self.open.text.push_str(text);
        self.open.width += width;
    }

    /// Begins a new line; the one before ends with `end`.
    fn turn(&mut self, end: &str) {
        self.open.text.push_str(end);
        let full = std::mem::replace(&mut self.open, Line::empty());
        self.lines.push(full);
    }

    /// A word letter by letter, over as many lines as it takes.
    fn letters(&mut self, word: &str) {
        for letter in word.graphemes(true) {
            let width = self.style.width(letter);
            if !self.open.text.is_empty() && self.open.width + width > self.room {
                self.turn("");
            }
            self.add(letter, width);
        }
    }
}
