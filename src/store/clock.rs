//! The clock of this machine, as far as a file can keep what it says: a count whose moment cannot be read again would be
//! lost.

use std::time::{SystemTime, UNIX_EPOCH};

use chrono::{DateTime, Datelike, FixedOffset, Local, Utc};

use super::StoreError;

/// Years that the clock may say.
const YEARS: std::ops::Range<i32> = 1970..2299;
/// The farthest that a time zone lies from UTC, seconds.
const FARTHEST: i32 = 14 * 3_600;

/// The moment in local time.
///
/// # Errors
/// A clock outside of 1970 to 2298, or a time zone more than 14 hours from UTC: what is to be set is told.
pub fn now() -> Result<DateTime<FixedOffset>, StoreError> {
    let local = believed(SystemTime::now())?
        .with_timezone(&Local)
        .fixed_offset();
    if local.offset().local_minus_utc().abs() > FARTHEST {
        return Err(StoreError::Zone);
    }
    Ok(local)
}

/// A moment of the system, where it can be one.
pub(super) fn believed(at: SystemTime) -> Result<DateTime<Utc>, StoreError> {
    let Ok(since) = at.duration_since(UNIX_EPOCH) else {
        return Err(StoreError::Clock("a day before 1970".to_owned()));
    };
    let seconds = i64::try_from(since.as_secs()).unwrap_or(i64::MAX);
    match DateTime::from_timestamp(seconds, since.subsec_nanos()) {
        Some(moment) if YEARS.contains(&moment.year()) => Ok(moment),
        Some(moment) => Err(StoreError::Clock(moment.date_naive().to_string())),
        None => Err(StoreError::Clock("a day beyond all calendars".to_owned())),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::time::Duration;

    #[test]
    fn a_clock_that_no_file_can_keep_is_told_and_nothing_fails() {
        let said = |at: SystemTime| believed(at).unwrap_err().to_string();
        let day = Duration::from_secs(86_400);
        assert!(said(UNIX_EPOCH - day).contains("says a day before 1970"));
        assert!(said(UNIX_EPOCH + day * 366 * 331).contains("says 2301-"));
        assert!(said(UNIX_EPOCH + day * 4_000_000_000).contains("beyond all calendars"));
        for good in [UNIX_EPOCH, UNIX_EPOCH + day * 365 * 328] {
            assert!(believed(good).is_ok());
        }
    }
}
