//! Names and notes that people type, and which characters they may hold.

use unicode_width::UnicodeWidthChar;

use super::Invalid;
use super::limits::{MAX_NAME, MAX_NOTE};

/// A name: trimmed, not empty, at most [`MAX_NAME`] characters, all of it as safe and as visible as [`note`] asks.
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

/// A note: one line of at most [`MAX_NOTE`] characters, none of them unsafe ([`unsafe_in_text`]). It may be empty, but
/// where there is something in it, something of it can be seen.
pub fn note(field: &'static str, raw: &str) -> Result<String, Invalid> {
    limited(field, raw, MAX_NOTE)
}

fn limited(field: &'static str, raw: &str, most: usize) -> Result<String, Invalid> {
    let text = raw.trim();
    if let Some(bad) = text.chars().find(|c| unsafe_in_text(*c)) {
        let what = if steers(bad) { "control" } else { "hidden" };
        let problem = format!("holds the {what} character U+{:04X}", u32::from(bad));
        return Err(Invalid::new(field, problem));
    }
    if !text.is_empty() && !text.chars().any(seen) {
        let problem = "holds nothing that can be seen; give it a letter or a number";
        return Err(Invalid::new(field, problem));
    }
    let long = text.chars().count();
    if long > most {
        let problem = format!("has {long} characters, at most {most} fit");
        return Err(Invalid::new(field, problem));
    }
    Ok(text.to_owned())
}

/// Whether a character may steer a terminal, turn or break the text around it, or hide in a name. What people type or
/// bring in holds none of them; whatever shows a text shows none.
pub fn unsafe_in_text(c: char) -> bool {
    steers(c) || hides(c)
}

/// C0 and C1, line and paragraph separators, the bidirectional embeddings, overrides and isolates, the byte order mark.
pub fn steers(c: char) -> bool {
    c.is_control() || matches!(c, '\u{2028}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{feff}')
}

/// Direction marks, soft hyphen, blanks without a width, fillers and the signs of annotations. The joiners U+200C and
/// U+200D are none of them: scripts and pictures are written with them.
fn hides(c: char) -> bool {
    matches!(
        c,
        '\u{ad}' | '\u{61c}' | '\u{115f}' | '\u{1160}' | '\u{180e}' | '\u{200b}' | '\u{200e}' | '\u{200f}'
            | '\u{2060}'..='\u{2065}' | '\u{206a}'..='\u{206f}' | '\u{3164}' | '\u{ffa0}' | '\u{fff9}'..='\u{fffb}'
    )
}

/// Whether a character can be seen by itself; a blank, a joiner or a combining mark cannot, nor can an empty braille cell
/// or an empty note head.
fn seen(c: char) -> bool {
    !unsafe_in_text(c)
        && !c.is_whitespace()
        && !matches!(c, '\u{2800}' | '\u{1d159}')
        && c.width().is_some_and(|width| width > 0)
}

/// The text with each unsafe character written out, such as `\u{1b}`: for messages that tell what somebody wrote.
pub fn visible(text: &str) -> String {
    written_out(text, unsafe_in_text)
}

fn written_out(text: &str, which: impl Fn(char) -> bool) -> String {
    let mut out = String::new();
    for c in text.chars() {
        if which(c) {
            out.extend(c.escape_unicode());
        } else {
            out.push(c);
        }
    }
    out
}

/// A name as earlier versions took it, so that all of it can be seen: what hides in it is written out, and all of it
/// where nothing else is there. Cut to `most` characters.
pub fn readable(name: String, most: usize) -> String {
    if name.is_ascii() || (name.chars().any(seen) && !name.contains(hides)) {
        return name;
    }
    let nothing_seen = !name.chars().any(seen);
    let whole = written_out(name.trim(), |c| hides(c) || nothing_seen);
    if whole.chars().count() <= most {
        return whole;
    }
    let cut: String = whole.chars().take(most.saturating_sub(1)).collect();
    cut + "…"
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_is_trimmed_and_kept_as_typed() {
        for typed in ["Ñandú 梨", "אורי עלי", "می‌خواهم", "क्षि", "👩‍🌾", "7", "안뜰"]
        {
            assert_eq!(name("name", &format!("  {typed} ")), Ok(typed.to_owned()));
        }
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
    fn nothing_hides_in_a_name() {
        for hidden in [
            '\u{200e}', '\u{200f}', '\u{61c}', '\u{ad}', '\u{200b}', '\u{2060}', '\u{3164}',
        ] {
            let told = name("name", &format!("Ri{hidden}ver")).unwrap_err().problem;
            let sign = format!("holds the hidden character U+{:04X}", u32::from(hidden));
            assert_eq!(told, sign);
            assert!(note("note", &format!("a{hidden}")).is_err());
        }
    }

    #[test]
    fn a_name_that_cannot_be_seen_is_refused() {
        for blank in [
            "\u{301}",
            "\u{2800}\u{2800}",
            "\u{115f}",
            "\u{200d}",
            "\u{a0}\u{fe0f}",
            "\u{34f}",
        ] {
            for wrong in [
                name("name", blank),
                optional_name("counter", blank),
                note("note", blank),
            ] {
                assert!(wrong.is_err(), "{blank:?}");
            }
        }
        assert_eq!(name("name", "\u{3000} ").unwrap_err().problem, "is empty");
    }

    #[test]
    fn a_name_of_an_earlier_version_can_be_seen() {
        let now = |name: &str| readable(name.to_owned(), MAX_NAME);
        assert_eq!(now("Ri\u{200e}ver"), r"Ri\u{200e}ver");
        assert_eq!(now("\u{3164}"), r"\u{3164}");
        assert_eq!(now("\u{301}\u{2800}"), r"\u{301}\u{2800}");
        for whole in ["River", "", "e\u{301}te\u{301}", "梨"] {
            assert_eq!(now(whole), whole);
        }
        let long = now(&"\u{200b}".repeat(MAX_NAME));
        assert_eq!(long.chars().count(), MAX_NAME);
        assert!(name("name", &long).is_ok());
    }

    #[test]
    fn empty_and_overlong_names_are_refused() {
        assert!(name("name", "   ").is_err());
        assert!(name("name", &"x".repeat(MAX_NAME)).is_ok());
        assert!(name("name", &"x".repeat(MAX_NAME + 1)).is_err());
    }
}
