//! What commands say, and the clock that they take the day from.

use std::io::{self, Write as _};
use std::path::Path;

use chrono::{Local, NaiveDate};

use super::CliError;

/// Writes to standard output.
pub fn say(words: &str) -> Result<(), CliError> {
    say_bytes(words.as_bytes())
}

/// As [`say`], of what is done already: where it cannot be said, the error tells that it is kept all the same.
pub fn say_done(words: &str, kept: &str) -> Result<(), CliError> {
    say(words).map_err(|e| e.midway(kept))
}

/// As [`say`].
pub fn say_bytes(bytes: &[u8]) -> Result<(), CliError> {
    let mut out = io::stdout().lock();
    out.write_all(bytes)?;
    Ok(out.flush()?)
}

/// Whether a place that was named is standard output.
pub fn is_stdout(to: &Path) -> bool {
    to == Path::new("-")
}

/// Tells on standard error what a report could not show.
pub fn caution(words: Option<String>) {
    if let Some(words) = words {
        // nobody may be listening
        let _ = writeln!(io::stderr(), "thirdwood: {words}");
    }
}

/// The moment of making, for data.
pub fn made() -> String {
    Local::now().to_rfc3339_opts(chrono::SecondsFormat::Secs, false)
}

/// The clock's day.
pub fn today() -> NaiveDate {
    Local::now().date_naive()
}
