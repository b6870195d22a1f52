//! Text cells that a spreadsheet must not run.
//!
//! A spreadsheet takes a cell that begins with one of `= + - @` (in some of them the full-width forms too), a tab or a
//! line break for a formula. Such cells are written with an apostrophe before them, and read without it. So that
//! the way back is exact, a text that begins with an apostrophe gets a second one.

/// What a text must not begin with unguarded.
fn guarded(first: char) -> bool {
    matches!(first, '=' | '+' | '-' | '@' | '\t' | '\r' | '\n' | '\'')
        || matches!(first, '\u{ff1d}' | '\u{ff0b}' | '\u{ff0d}' | '\u{ff20}')
}

/// A text as it is written: with an apostrophe before it where a spreadsheet would take it for a formula.
pub fn safe(text: &str) -> String {
    if text.starts_with(guarded) {
        format!("'{text}")
    } else {
        text.to_owned()
    }
}

/// What [`safe`] was given. An apostrophe that guards nothing, as in `'t Veld`, stays.
pub(super) fn plain(cell: &str) -> &str {
    match cell.strip_prefix('\'') {
        Some(rest) if rest.starts_with(guarded) => rest,
        _ => cell,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn formulas_are_written_as_text() {
        assert_eq!(safe("=cmd()"), "'=cmd()");
        assert_eq!(safe("'t Veld"), "''t Veld");
        assert_eq!(plain("'t Veld"), "'t Veld");
        assert_eq!(safe("a=b"), "a=b");
    }

    proptest! {
        #[test]
        fn the_way_back_is_exact(text in "['=+@\t\n ＝＋－＠a-]{0,6}") {
            let written = safe(&text);
            prop_assert!(!written.starts_with(|first| first != '\'' && guarded(first)), "{written:?}");
            prop_assert_eq!(plain(&written), text);
        }
    }
}
