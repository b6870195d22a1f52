//! Names and notes that people type.

use super::Invalid;

/// The longest name, in characters.
pub const MAX_NAME: usize = 60;
/// The longest note, in characters.
pub const MAX_NOTE: usize = 500;

/// A name: trimmed, not empty, at most [`MAX_NAME`] characters, nothing that steers a terminal.
pub fn name(field: &'static str, raw: &str) -> Result<String, Invalid> {
    let text = optional_name(field, raw)?;
    if text.is_empty() {
        return Err(Invalid::new(field, "is empty"));
    }
    Ok(text)
}

/// A name that may be left empty.
pub fn optional_name(field: &'static str, raw: &str) -> Result<String, Invalid> {
    limited(field, raw, MAX_NAME)
}

/// A note: may be empty, one line, at most [`MAX_NOTE`] characters.
pub fn note(field: &'static str, raw: &str) -> Result<String, Invalid> {
    limited(field, raw, MAX_NOTE)
}

fn limited(field: &'static str, raw: &str, most: usize) -> Result<String, Invalid> {
    let text = raw.trim();
    if let Some(bad) = text.chars().find(|c| steers(*c)) {
        return Err(Invalid::new(
            field,
            format!("holds the control character U+{:04X}", u32::from(bad)),
        ));
    }
    let long = text.chars().count();
    if long > most {
        return Err(Invalid::new(
            field,
            format!("has {long} characters, at most {most} fit"),
        ));
    }
    Ok(text.to_owned())
}

/// Characters that could steer a terminal or turn the text around them: C0, C1, line and
/// paragraph separators, and the bidirectional embeddings, overrides and isolates.
pub fn steers(c: char) -> bool {
    c.is_control() || matches!(c, '\u{2028}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{feff}')
}

/// The text with what could steer a terminal written out, such as `\u{1b}`: for messages that tell what somebody wrote.
pub fn visible(text: &str) -> String {
    let mut out = String::new();
    for c in text.chars() {
        if steers(c) {
            out.extend(c.escape_unicode());
        } else {
            out.push(c);
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_is_trimmed_and_kept_as_typed() {
        assert_eq!(name("name", "  Ñandú 梨 "), Ok("Ñandú 梨".to_owned()));
    }

    #[test]
    fn a_name_cannot_steer_the_terminal() {
        let wrong = name("name", "Kim\u{1b}[2J").map_err(|e| e.to_string());
        assert_eq!(
            wrong,
            Err("name: holds the control character U+001B".to_owned())
        );
        assert!(name("name", "a\u{202e}b").is_err());
        assert!(note("note", "two\nlines").is_err());
    }

    #[test]
    fn empty_and_overlong_names_are_refused() {
        assert!(name("name", "   ").is_err());
        assert!(name("name", &"x".repeat(MAX_NAME)).is_ok());
        assert!(name("name", &"x".repeat(MAX_NAME + 1)).is_err());
    }
}
