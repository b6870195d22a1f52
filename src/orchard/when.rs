//! Moments and days.

use chrono::{DateTime, Datelike, Days, FixedOffset, NaiveDate, TimeZone};

use super::Invalid;
use super::limits::{DAY_YEARS, OFFSET_MIN};

/// A moment as it was recorded: UTC, the local offset then in force, and the orchard's local day.
///
/// The three are fixed when recorded, so that a later change of time zone moves no count to
/// another day.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Stamp {
    /// Milliseconds since 1970-01-01 UTC.
    pub utc_ms: i64,
    /// Local offset from UTC, minutes east.
    pub offset_min: i32,
    /// The local day.
    pub day: NaiveDate,
}

impl Stamp {
    /// The stamp of a moment that carries its offset.
    pub fn of(moment: DateTime<FixedOffset>) -> Self {
        Self {
            utc_ms: moment.timestamp_millis(),
            offset_min: moment.offset().local_minus_utc() / 60,
            day: moment.date_naive(),
        }
    }

    /// Checks a stamp that came from a file: offset within ±14 h, day within one day of the moment.
    pub fn new(utc_ms: i64, offset_min: i32, day: NaiveDate) -> Result<Self, Invalid> {
        let moment = Some(offset_min)
            .filter(|offset| OFFSET_MIN.contains(offset))
            .and_then(|offset| FixedOffset::east_opt(offset * 60))
            .and_then(|offset| offset.timestamp_millis_opt(utc_ms).single())
            .ok_or_else(|| {
                Invalid::new(
                    "at",
                    format!("no such moment: {utc_ms} ms, offset {offset_min} min"),
                )
            })?;
        let local = moment.date_naive();
        let near = local == day
            || local.checked_add_days(Days::new(1)) == Some(day)
            || local.checked_sub_days(Days::new(1)) == Some(day);
        if !near {
            return Err(Invalid::new(
                "day",
                format!("{day} is not the day of {moment}"),
            ));
        }
        Ok(Self {
            utc_ms,
            offset_min,
            day,
        })
    }

    /// The moment in local time, as RFC 3339 (such as `2027-01-12T09:30:00.000+10:00`).
    pub fn rfc3339(&self) -> String {
        FixedOffset::east_opt(self.offset_min * 60)
            .and_then(|offset| offset.timestamp_millis_opt(self.utc_ms).single())
            .map_or_else(
                || format!("{} (no such moment)", self.day),
                |moment| moment.to_rfc3339_opts(chrono::SecondsFormat::Millis, false),
            )
    }

    /// Reads what [`Stamp::rfc3339`] writes.
    pub fn parse_rfc3339(raw: &str) -> Result<Self, Invalid> {
        let stamp = DateTime::parse_from_rfc3339(raw.trim()).map(Self::of);
        let stamp = stamp.map_err(|_| {
            Invalid::new(
                "at",
                format!("{raw:?} is not a moment such as 2027-01-12T09:30:00+10:00"),
            )
        })?;
        if !OFFSET_MIN.contains(&stamp.offset_min) {
            let problem = format!("{raw} is more than 14 hours from UTC");
            return Err(Invalid::new("at", problem));
        }
        Ok(stamp)
    }
}

/// A calendar day as `YYYY-MM-DD`, in [`DAY_YEARS`]: whatever a clock says, and the day before the first that one can
/// say, which is that day west of Greenwich. So a count made by a clock that is wrong can be read.
pub fn parse_day(field: &'static str, raw: &str) -> Result<NaiveDate, Invalid> {
    // by hand: chrono's own reading of a pattern takes most of the time of opening a winter
    let digits = |text: Option<&str>, length: usize| {
        let text = text.filter(|t| t.len() == length && t.bytes().all(|b| b.is_ascii_digit()));
        text.and_then(|t| t.parse::<u32>().ok())
    };
    let text = raw.trim();
    let mut parts = text.split('-');
    let (year, month, day) = (parts.next(), parts.next(), parts.next());
    let read = || {
        let year = digits(year, 4)?;
        let day = NaiveDate::from_ymd_opt(year as i32, digits(month, 2)?, digits(day, 2)?)?;
        Some((day, DAY_YEARS.contains(&day.year())))
    };
    let problem = match parts.next().map_or_else(read, |_| None) {
        Some((day, true)) => return Ok(day),
        Some((_, false)) => format!(
            "{text} is outside {}-01-01 to {}-12-31",
            DAY_YEARS.start(),
            DAY_YEARS.end()
        ),
        None => format!("{text:?} is not a day such as 2027-01-12"),
    };
    Err(Invalid::new(field, problem))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_stamp_survives_the_written_form() {
        let stamp = Stamp::parse_rfc3339("2027-01-12T00:10:00.250+10:30").expect("valid");
        assert_eq!(
            stamp.day,
            NaiveDate::from_ymd_opt(2027, 1, 12).expect("valid")
        );
        assert_eq!(stamp.offset_min, 630);
        assert_eq!(stamp.rfc3339(), "2027-01-12T00:10:00.250+10:30");
        assert_eq!(
            Stamp::new(stamp.utc_ms, stamp.offset_min, stamp.day),
            Ok(stamp)
        );
    }

    #[test]
    fn impossible_moments_are_refused() {
        let day = NaiveDate::from_ymd_opt(2027, 1, 12).expect("valid");
        assert!(Stamp::new(i64::MAX, 0, day).is_err());
        assert!(Stamp::new(0, 0, day).is_err());
        assert!(Stamp::new(0, 9_000, day).is_err());
        assert!(parse_day("day", "12/01/2027").is_err());
        let told = |raw| parse_day("day", raw).expect_err(raw).problem;
        for raw in ["0027-01-12", "1500-01-01", "2300-01-01"] {
            let problem = format!("{raw} is outside 1900-01-01 to 2299-12-31");
            assert_eq!(told(raw), problem);
        }
        assert!(told("1500-02-30").ends_with("is not a day such as 2027-01-12"));
    }
}
