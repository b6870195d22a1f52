//! The command line, the settings, and all that is typed as a day, a span, a name or a list of rows.

use clap::Parser;
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use thirdwood::cli::Cli;
use thirdwood::exchange::Table;
use thirdwood::orchard::{Language, RowPlan, Stamp, parse_day};
use thirdwood::store::{Setting, Store};
use thirdwood::tui::app::view;
use thirdwood::tui::{Key, Screen};

use super::checks::{cells, harmless, note_kept, sheets};
use super::hands::Hands;
use super::orchard::scratch;

/// Words parted by line ends. The first byte says what they are.
pub fn run(bytes: &[u8]) {
    let Some((what, rest)) = bytes.split_first() else {
        return;
    };
    let text = String::from_utf8_lossy(rest);
    let words: Vec<&str> = text.split('\n').collect();
    match what % 3 {
        0 => command(rest, &words),
        1 => typed(&words),
        _ => scratch(|store| settings(store, &words)),
    }
}

/// Read as a command, by whatever bytes it is given.
fn command(bytes: &[u8], words: &[&str]) {
    use std::os::unix::ffi::OsStrExt;
    let raw = bytes
        .split(|byte| *byte == b'\n')
        .map(std::ffi::OsStr::from_bytes);
    let once = || std::iter::once(std::ffi::OsStr::new("thirdwood"));
    let by_bytes = Cli::try_parse_from(once().chain(raw));
    let by_words =
        Cli::try_parse_from(once().chain(words.iter().map(|word| std::ffi::OsStr::new(*word))));
    if std::str::from_utf8(bytes).is_ok() {
        assert_eq!(by_bytes.is_ok(), by_words.is_ok(), "{words:?}");
    }
    match by_bytes {
        Ok(_) => note_kept(),
        Err(error) => harmless(&thirdwood::cli::refusal(&error)),
    }
}

/// What is accepted reads the same once it was written out; what is refused is refused with a harmless word.
fn typed(words: &[&str]) {
    for word in words {
        match parse_day("day", word) {
            Ok(day) => assert_eq!(parse_day("day", &day.to_string()), Ok(day)),
            Err(e) => harmless(&e.to_string()),
        }
        match Stamp::parse_rfc3339(word) {
            Ok(stamp) => assert_eq!(Stamp::parse_rfc3339(&stamp.rfc3339()), Ok(stamp)),
            Err(e) => harmless(&e.to_string()),
        }
        if let Err(e) = Language::parse("lang", word) {
            harmless(&e.to_string());
        }
        if let Err(e) = Table::parse(word) {
            harmless(&e.to_string());
        }
    }
    let missing = words.get(1).copied().unwrap_or_default();
    match RowPlan::parse(words[0], missing) {
        Ok(plan) => {
            let again = RowPlan::parse(&plan.rows_text(), &plan.missing_text());
            assert_eq!(again.as_ref(), Ok(&plan));
        }
        Err(e) => harmless(&e.to_string()),
    }
}

/// Settings that no form would have let through: the screens open all the same, and the sheets are made.
fn settings(store: &Store, words: &[&str]) {
    for (setting, word) in Setting::ALL.into_iter().zip(words) {
        store.set(setting, word).unwrap();
    }
    let mut hands = match Hands::on(store) {
        Ok(hands) => hands,
        Err(e) => return harmless(&e.to_string()),
    };
    for screen in Screen::ALL {
        hands.go(screen);
        hands.key(Key::F(1));
        hands.key(Key::Esc);
        let mut buffer = Buffer::empty(Rect::new(0, 0, 80, 24));
        view(&hands.desk.model, &mut buffer);
        cells(&buffer);
    }
    sheets(store);
}
