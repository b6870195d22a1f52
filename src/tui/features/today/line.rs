//! What a line of the evening's form says: rows, and what is unlike the other lines.

use crate::orchard::parse_hours;

/// Which rows.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Said {
    /// Those of the pruner's last day, gone on with.
    Same,
    /// As many more, the next that nobody did.
    Next,
    /// These.
    Rows(String),
}

/// One place of a line.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Part {
    /// Which rows.
    pub rows: Said,
    /// The first letters of a block, or `/` and its place in the list.
    pub block: Option<String>,
    /// The minutes in this place.
    pub minutes: Option<u16>,
    /// The numbers of others who did the same trees.
    pub with: Vec<u16>,
}

/// The places of a line, parted by `;`; none where nothing is typed.
pub(super) fn parts(typed: &str) -> Result<Vec<Part>, String> {
    let places = typed.split(';').map(str::trim);
    places.filter(|place| !place.is_empty()).map(part).collect()
}

fn part(typed: &str) -> Result<Part, String> {
    let (mut rows, mut block, mut minutes, mut with) = (None, None, None, Vec::new());
    for word in words(typed) {
        let first = word.chars().next().unwrap_or_default();
        let known = match first {
            '=' => rows.replace(Said::Same).is_some(),
            '+' => rows.replace(Said::Next).is_some(),
            '&' => {
                with.extend(numbers(&word)?);
                false
            }
            '/' => block.replace(word.clone()).is_some(),
            _ if word.contains(':') || is_hours(&word) => {
                let raw = word.trim_end_matches('h');
                let read = parse_hours(raw).map_err(|wrong| wrong.problem)?;
                std::mem::replace(&mut minutes, read).is_some()
            }
            '0'..='9' => match &mut rows {
                // parted by a space as well as by a comma
                Some(Said::Rows(known)) => {
                    known.push(',');
                    known.push_str(&word);
                    false
                }
                _ => rows.replace(Said::Rows(word.clone())).is_some(),
            },
            _ if first.is_alphabetic() => block.replace(word.clone()).is_some(),
            _ => return Err(format!("{word:?} is no rows, hours, block or &number")),
        };
        if known {
            return Err(format!("{word} is one too many: ; begins another place"));
        }
    }
    let rows = rows.ok_or("which rows? = the same, + the next, or such as 13-14")?;
    Ok(Part {
        rows,
        block,
        minutes,
        with,
    })
}

/// `7h`, `7.5h`.
fn is_hours(word: &str) -> bool {
    word.strip_suffix('h').is_some_and(|number| {
        let digits = number
            .chars()
            .all(|c| c.is_ascii_digit() || c == '.' || c == ',');
        digits && !number.is_empty()
    })
}

/// `&4,7`.
fn numbers(word: &str) -> Result<Vec<u16>, String> {
    let each = word.trim_start_matches('&').split([',', '&']);
    let read = |number: &str| {
        number
            .parse()
            .map_err(|_| format!("{word} is no number of a pruner"))
    };
    each.map(read).collect()
}

/// Words, parted by spaces; `=`, `+`, `&` and `/` begin one wherever they stand, and `=` and `+` end it too.
fn words(typed: &str) -> Vec<String> {
    let mut words = vec![String::new()];
    for letter in typed.chars() {
        let begins = letter.is_whitespace() || matches!(letter, '=' | '+' | '/' | '&');
        let alone = words.last().is_some_and(|word| word == "=" || word == "+");
        let goes_on = letter == '&' && words.last().is_some_and(|word| word.starts_with('&'));
        if (begins && !goes_on) || alone {
            words.push(String::new());
        }
        if let Some(word) = words.last_mut().filter(|_| !letter.is_whitespace()) {
            word.push(letter);
        }
    }
    words.retain(|word| !word.is_empty());
    words
}

/// Rows as people write them: `11-13, 20`.
pub(super) fn rows_text(rows: &[u16]) -> String {
    let runs = rows.chunk_by(|a, b| a + 1 == *b);
    let text = |run: &[u16]| match run {
        [one] => one.to_string(),
        [first, .., last] => format!("{first}-{last}"),
        [] => String::new(),
    };
    runs.map(text).collect::<Vec<_>>().join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn one(typed: &str) -> Part {
        let mut parts = parts(typed).unwrap();
        assert_eq!(parts.len(), 1, "{typed}");
        parts.remove(0)
    }

    #[test]
    fn a_line_says_rows_and_what_is_unlike_the_others() {
        assert_eq!(parts(" ").unwrap(), []);
        assert_eq!(one("=").rows, Said::Same);
        assert_eq!(one("5 7-9").rows, Said::Rows("5,7-9".to_owned()));
        assert_eq!(one("+6:30").minutes, Some(390));
        let full = one("13-14,16 7.5h ri &4,7");
        assert_eq!(full.rows, Said::Rows("13-14,16".to_owned()));
        assert_eq!((full.minutes, full.with), (Some(450), vec![4, 7]));
        assert_eq!(full.block.as_deref(), Some("ri"));
        assert_eq!(one("5/2").block.as_deref(), Some("/2"));
        let two = parts("+; 5 ch 2h").unwrap();
        assert_eq!((two.len(), two[1].minutes), (2, Some(120)));
    }

    #[test]
    fn what_is_not_understood_is_told() {
        for (typed, problem) in [
            ("ri", "which rows"),
            ("= 6", "one too many"),
            ("5 6:00 7:00", "one too many"),
            ("5 7:99", "is no time"),
            ("5 &x", "number of a pruner"),
            ("5 %", "is no rows"),
        ] {
            let told = parts(typed).unwrap_err();
            assert!(told.contains(problem), "{typed}: {told}");
        }
    }

    #[test]
    fn rows_are_told_in_runs() {
        assert_eq!(rows_text(&[1, 2, 3, 7, 9, 10]), "1-3, 7, 9-10");
    }
}
