//! Text cells that a spreadsheet must not run.
//!
//! A spreadsheet takes a cell that begins with one of `= + - @` (in some of them the full-width forms too), a tab or a
//! line break for a formula. Such cells are written with an apostrophe before them, and read without it. So that
//! the way back is exact, a text that begins with an apostrophe gets a second one.
//!
//! A spreadsheet that parts cells by another sign than the file does sees further cells within a text: what stands
//! behind such a sign is guarded too, where it would be a formula. Quotation marks before it may be dropped by whoever
//! reads, and are looked through.

/// Signs that part cells somewhere.
const SEPARATORS: [char; 6] = [',', ';', '\t', '|', '\r', '\n'];

/// What begins a formula.
fn begins_formula(first: char) -> bool {
    matches!(first, '=' | '+' | '-' | '@')
        || matches!(first, '\u{ff1d}' | '\u{ff0b}' | '\u{ff0d}' | '\u{ff20}')
}

/// What a text must not begin with unguarded.
fn is_guarded_first(text: &str) -> bool {
    text.starts_with(|first| begins_formula(first) || matches!(first, '\t' | '\r' | '\n' | '\''))
}

/// What must not stand behind a separator unguarded.
fn is_guarded_within(rest: &str) -> bool {
    let bare = rest.trim_start_matches('\'').trim_start_matches('"');
    bare.starts_with(begins_formula)
}

/// Whether what begins here gets an apostrophe, by what stands before it.
fn is_guarded(before: Option<char>, rest: &str) -> bool {
    match before {
        None => is_guarded_first(rest),
        Some(before) => SEPARATORS.contains(&before) && is_guarded_within(rest),
    }
}

/// A text as it is written: with an apostrophe wherever a spreadsheet would take it for a formula.
pub fn safe(text: &str) -> String {
    let mut written = String::with_capacity(text.len());
    let mut before = None;
    for (at, sign) in text.char_indices() {
        if is_guarded(before, &text[at..]) {
            written.push('\'');
        }
        written.push(sign);
        before = Some(sign);
    }
    written
}

/// What [`safe`] was given. An apostrophe that guards nothing, as in `'t Veld`, stays.
pub(super) fn plain(cell: &str) -> String {
    let mut text = String::with_capacity(cell.len());
    let mut before = None;
    let mut signs = cell.char_indices();
    while let Some((at, mut sign)) = signs.next() {
        let behind = cell[at..].strip_prefix('\'');
        if behind.is_some_and(|behind| is_guarded(before, behind)) {
            // the guard is left out; what it guards is not looked at once more
            let Some((_, guarded)) = signs.next() else {
                break;
            };
            sign = guarded;
        }
        text.push(sign);
        before = Some(sign);
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn formulas_are_written_as_text() {
        for (text, written) in [
            ("=cmd()", "'=cmd()"),
            ("'t Veld", "''t Veld"),
            ("a=b", "a=b"),
            ("Ann;=1+1", "Ann;'=1+1"),
            ("Ann\t@SUM", "Ann\t'@SUM"),
            ("Ann|\"\"-1", "Ann|'\"\"-1"),
            ("Ann\r\n+1", "Ann\r\n'+1"),
            ("cold; -2", "cold; -2"),
            ("Ann; 's row", "Ann; 's row"),
            ("Ann;'=1", "Ann;''=1"),
        ] {
            assert_eq!(safe(text), written);
            assert_eq!(plain(written), text);
        }
        // written by hand, or by an earlier version
        for cell in ["'t Veld", "Ann;=1+1", "Ann;'s row"] {
            assert_eq!(plain(cell), cell);
        }
    }

    /// Cells as a reader sees them that parts at `separator`, and takes marks of quotation as it likes.
    fn seen(line: &str, separator: char) -> Vec<String> {
        let cells = line
            .split(['\r', '\n'])
            .flat_map(|line| line.split(separator));
        cells
            .map(|cell| cell.trim_start_matches('"').to_owned())
            .collect()
    }

    proptest! {
        #[test]
        fn the_way_back_is_exact(text in "['=+@\t\r\n ;,|\"＝＋－＠a-]{0,9}") {
            prop_assert_eq!(plain(&safe(&text)), text);
        }

        #[test]
        fn no_cell_begins_a_formula_whatever_parts_them(text in "['=+@\t\n ;,|\"＝＋－＠a-]{0,9}") {
            let written = safe(&text);
            for separator in SEPARATORS {
                for cell in seen(&written, separator).iter().skip(1) {
                    prop_assert!(!cell.starts_with(begins_formula), "{cell:?} in {written:?}");
                }
            }
            prop_assert!(!written.starts_with(begins_formula), "{written:?}");
        }
    }
}
