//! Reports as JSON, in a versioned envelope. [`super::schema`] says what every field is, `assets/json.md` the rest.
//!
//! ```json
//! { "thirdwood": "day_sheets", "version": 5, "made": "2027-01-12T17:40:00+01:00", "data": [] }
//! ```
//!
//! The version grows when a field changes its meaning or goes; new fields may come without it.

use std::fmt::Write as _;

use serde::Serialize;

use crate::orchard::unsafe_in_text;

use crate::report::{
    BriefSheet, DaySheet, DrawList, OutlookSheet, Payroll, Standings, StandingsOf, SupervisorPage,
    WinterProgress, WinterReview,
};

/// The version of the envelope and of all that is in it.
pub const VERSION: u32 = 5;

#[derive(Serialize)]
struct Envelope<'a, T: Serialize + ?Sized> {
    thirdwood: &'static str,
    version: u32,
    made: &'a str,
    data: &'a T,
}

/// `made` is the moment of making, as the caller wants it written. The text ends with a line end.
fn envelope<T: Serialize + ?Sized>(
    kind: &'static str,
    made: &str,
    data: &T,
) -> serde_json::Result<String> {
    let whole = Envelope {
        thirdwood: kind,
        version: VERSION,
        made,
        data,
    };
    serde_json::to_string_pretty(&whole).map(|text| escaped(text) + "\n")
}

/// The same data, with each unsafe character as `\u009b`: JSON lets some of them stand as they are.
fn escaped(text: String) -> String {
    let bad = |c: char| c != '\n' && unsafe_in_text(c);
    if !text.contains(bad) {
        return text;
    }
    let mut out = String::new();
    for c in text.chars() {
        if bad(c) {
            // all of them have one unit in UTF-16; writing to a text does not fail
            let _ = write!(out, "\\u{:04x}", u32::from(c));
        } else {
            out.push(c);
        }
    }
    out
}

/// Day sheets: kind `day_sheets`.
pub fn day_sheets(sheets: &[DaySheet], made: &str) -> serde_json::Result<String> {
    envelope("day_sheets", made, sheets)
}

/// The supervisor's page: kind `supervisor`.
pub fn supervisor(page: &SupervisorPage, made: &str) -> serde_json::Result<String> {
    envelope("supervisor", made, page)
}

/// Standings: kind `crew` or `blocks`.
pub fn standings(report: &Standings, made: &str) -> serde_json::Result<String> {
    let kind = match report.of {
        StandingsOf::Crew => "crew",
        StandingsOf::Blocks => "blocks",
    };
    envelope(kind, made, report)
}

/// A draw: kind `draw`.
pub fn draw(list: &DrawList, made: &str) -> serde_json::Result<String> {
    envelope("draw", made, list)
}

/// Pace and finish: kind `winter`.
pub fn winter(progress: &WinterProgress, made: &str) -> serde_json::Result<String> {
    envelope("winter", made, progress)
}

/// Hours and pay: kind `payroll`.
pub fn payroll(payroll: &Payroll, made: &str) -> serde_json::Result<String> {
    envelope("payroll", made, payroll)
}

/// The winter review: kind `review`.
pub fn review(review: &WinterReview, made: &str) -> serde_json::Result<String> {
    envelope("review", made, review)
}

/// Briefs: kind `brief`.
pub fn briefs(sheets: &[BriefSheet], made: &str) -> serde_json::Result<String> {
    envelope("brief", made, sheets)
}

/// Outlooks: kind `outlook`.
pub fn outlooks(sheets: &[OutlookSheet], made: &str) -> serde_json::Result<String> {
    envelope("outlook", made, sheets)
}
