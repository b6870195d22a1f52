//! Text that stays in its place, on screens and on sheets: cut where a letter ends, and unable to steer the terminal.

use std::borrow::Cow;

use crate::orchard::{steers, unsafe_in_text};
use unicode_segmentation::UnicodeSegmentation;
use unicode_width::UnicodeWidthStr;

/// Where a text stands within its width.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Align {
    /// At the left.
    #[default]
    Left,
    /// At the right, as numbers are.
    Right,
    /// In the middle.
    Centre,
}

/// Stands where a character was that must not reach a terminal.
const BAD: char = '\u{fffd}';
const CUT: &str = "…";

/// The text without what could steer a terminal or hide in it: a control character leaves `\u{fffd}`, and what nobody
/// sees anyway leaves nothing. What people type is checked before it is stored; this guards what comes from elsewhere.
pub fn safe(text: &str) -> Cow<'_, str> {
    if !plain(text) && text.contains(unsafe_in_text) {
        let shown = |c| match c {
            c if steers(c) => Some(BAD),
            c if unsafe_in_text(c) => None,
            c => Some(c),
        };
        Cow::Owned(text.chars().filter_map(shown).collect())
    } else {
        Cow::Borrowed(text)
    }
}

/// A number with at most so many decimals (1 or more), without the zeros at the end.
pub fn decimals(value: f64, most: usize) -> String {
    let long = format!("{value:.most$}");
    let short = long.trim_end_matches('0').trim_end_matches('.');
    if short == "-0" { "0" } else { short }.to_owned()
}

/// A number with so many decimals behind this sign; `-` where it is none.
pub fn decimal(value: f64, places: usize, sign: char) -> String {
    if value.is_finite() {
        with_sign(format!("{value:.places$}"), sign)
    } else {
        "-".to_owned()
    }
}

/// A number that is written with a point, with another sign for it.
pub fn with_sign(number: String, sign: char) -> String {
    match sign {
        '.' => number,
        sign => number.replace('.', &sign.to_string()),
    }
}

/// As many decimals as a number deserves: `195`, `32.5`, `0.60`.
pub fn places(value: f64) -> usize {
    match value.abs() {
        small if small < 10.0 => 2,
        middle if middle < 100.0 => 1,
        _ => 0,
    }
}

/// Printable ASCII, of which each byte takes a column: most of what is drawn, and quick to measure.
pub fn plain(text: &str) -> bool {
    text.bytes().all(|byte| (b' '..=b'~').contains(&byte))
}

/// Columns that a text takes. Letters are measured one by one, as the terminal's cells hold them.
pub fn width(text: &str) -> usize {
    if plain(text) {
        return text.len();
    }
    text.graphemes(true).map(UnicodeWidthStr::width).sum()
}

/// The text if it fits in `columns`, else as much as fits with `…` at its end, cut where a letter ends.
pub fn cut(text: &str, columns: usize) -> String {
    let text = safe(text);
    if width(&text) <= columns {
        return text.into_owned();
    }
    let Some(room) = columns.checked_sub(width(CUT)) else {
        return String::new();
    };
    let mut used = 0;
    let mut short = String::new();
    for letter in text.graphemes(true) {
        used += letter.width();
        if used > room {
            break;
        }
        short.push_str(letter);
    }
    short + CUT
}

/// The text in exactly `columns`: cut if too long, filled with blanks if short.
pub fn fit(text: &str, columns: usize) -> String {
    align(text, columns, Align::Left)
}

/// As [`fit`], with the blanks where `align` asks for them.
pub fn align(text: &str, columns: usize, align: Align) -> String {
    let text = cut(text, columns);
    let spare = columns.saturating_sub(width(&text));
    let before = match align {
        Align::Left => 0,
        Align::Right => spare,
        Align::Centre => spare / 2,
    };
    format!("{}{text}{}", " ".repeat(before), " ".repeat(spare - before))
}

/// The text broken between words into lines of at most `columns`. A word too long for a line, such as a path or a
/// sentence in a script without blanks, is broken where it has to be.
pub fn wrap(text: &str, columns: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    if columns == 0 {
        return lines;
    }
    for word in safe(text).split_whitespace() {
        match lines.last_mut() {
            Some(line) if width(line) + 1 + width(word) <= columns => {
                line.push(' ');
                line.push_str(word);
            }
            _ if width(word) <= columns => lines.push(word.to_owned()),
            _ => lines.extend(broken(word, columns)),
        }
    }
    lines
}

/// A long word in pieces of at most `columns`, 1 or more; a letter wider than that is left out for `…`.
fn broken(word: &str, columns: usize) -> Vec<String> {
    let mut pieces = vec![String::new()];
    let mut used = 0;
    for letter in word.graphemes(true) {
        let letter = if letter.width() > columns {
            CUT
        } else {
            letter
        };
        used += letter.width();
        if used > columns {
            pieces.push(String::new());
            used = letter.width();
        }
        if let Some(piece) = pieces.last_mut() {
            piece.push_str(letter);
        }
    }
    pieces
}

/// A share as a whole percentage, such as `33 %`; `-` where there is none.
pub fn percent(share: f64) -> String {
    if share.is_finite() {
        format!("{:.0} %", share * 100.0)
    } else {
        "-".to_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn long_names_are_cut_where_a_letter_ends() {
        assert_eq!(fit("Abendrot", 5), "Aben…");
        assert_eq!(fit("Abend", 5), "Abend");
        assert_eq!(fit("ab", 5), "ab   ");
        assert_eq!(fit("梨園の北", 4), "梨… ", "half a wide letter is none");
        assert_eq!(cut("e\u{301}e\u{301}e\u{301}", 2), "e\u{301}…");
        assert_eq!(fit("abc", 0), "");
        assert_eq!(fit("abc", 1), "…");
    }

    #[test]
    fn texts_are_aligned() {
        assert_eq!(align("ab", 5, Align::Right), "   ab");
        assert_eq!(align("ab", 5, Align::Centre), " ab  ");
    }

    #[test]
    fn nothing_steers_the_terminal() {
        assert_eq!(safe("a\u{1b}[2J\u{202e}b"), "a\u{fffd}[2J\u{fffd}b");
        assert_eq!(safe("two\nlines"), "two\u{fffd}lines");
        assert_eq!(safe("\u{200f}עלי\u{200e} 7"), "עלי 7");
        assert!(matches!(safe("plain"), Cow::Borrowed(_)));
    }

    #[test]
    fn lines_break_between_words() {
        assert_eq!(wrap("one two three", 7), ["one two", "three"]);
        assert_eq!(wrap("an incredibly", 4), ["an", "incr", "edib", "ly"]);
        assert_eq!(wrap("梨園の北", 5), ["梨園", "の北"]);
        assert_eq!(wrap("梨園", 1), ["…", "…"]);
        assert!(wrap("", 4).is_empty());
        assert!(wrap("a", 0).is_empty());
    }

    #[test]
    fn shares_are_whole_percentages() {
        assert_eq!(percent(0.334), "33 %");
        assert_eq!(percent(f64::NAN), "-");
    }

    proptest! {
        #[test]
        fn a_fitted_text_has_just_its_width(text in "\\PC{0,20}|.{0,20}", columns in 0usize..30) {
            prop_assert_eq!(width(&fit(&text, columns)), columns);
            prop_assert_eq!(width(&align(&text, columns, Align::Centre)), columns);
            for line in wrap(&text, columns) {
                prop_assert!(width(&line) <= columns);
            }
        }
    }
}
