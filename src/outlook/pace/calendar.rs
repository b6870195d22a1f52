//! Which days the crew works.

use std::collections::BTreeSet;

use chrono::{Datelike, NaiveDate, Weekday};
use schemars::JsonSchema;
use serde::Serialize;

use crate::orchard::Invalid;
use crate::orchard::limits::CALENDAR_YEARS;

/// The most days that one list (off, rain) may hold.
pub const MAX_LISTED_DAYS: usize = 1_000;

const WEEKDAYS: [Weekday; 7] = [
    Weekday::Mon,
    Weekday::Tue,
    Weekday::Wed,
    Weekday::Thu,
    Weekday::Fri,
    Weekday::Sat,
    Weekday::Sun,
];

/// The days of the week that are worked, the orchard's days off, and the days that rain took.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct WorkCalendar {
    weekdays: [bool; 7],
    off: BTreeSet<NaiveDate>,
    rain: BTreeSet<NaiveDate>,
}

impl Default for WorkCalendar {
    /// Monday to Saturday, no day off, no rain.
    fn default() -> Self {
        Self {
            weekdays: [true, true, true, true, true, true, false],
            off: BTreeSet::new(),
            rain: BTreeSet::new(),
        }
    }
}

impl WorkCalendar {
    /// A calendar; `weekdays` from Monday to Sunday. A day may be both off and rainy: then it is off. No weekday at
    /// all is allowed, and means that the crew never comes.
    ///
    /// Refused: more than [`MAX_LISTED_DAYS`] in a list, or a day outside [`CALENDAR_YEARS`].
    pub fn new(
        weekdays: [bool; 7],
        off: BTreeSet<NaiveDate>,
        rain: BTreeSet<NaiveDate>,
    ) -> Result<Self, Invalid> {
        check_days("days_off", &off)?;
        check_days("rain_days", &rain)?;
        Ok(Self {
            weekdays,
            off,
            rain,
        })
    }

    /// Which weekdays are worked, Monday first.
    pub fn weekdays(&self) -> [bool; 7] {
        self.weekdays
    }

    /// The days off.
    pub fn off(&self) -> &BTreeSet<NaiveDate> {
        &self.off
    }

    /// The days that rain took.
    pub fn rain(&self) -> &BTreeSet<NaiveDate> {
        &self.rain
    }

    /// Whether work is planned: a worked weekday, and not off. Rain is not looked at.
    pub fn planned(&self, day: NaiveDate) -> bool {
        self.weekdays[day.weekday().num_days_from_monday() as usize] && !self.off.contains(&day)
    }

    /// Whether work is planned and no rain is entered.
    pub fn works(&self, day: NaiveDate) -> bool {
        self.planned(day) && !self.rain.contains(&day)
    }

    /// What became of the planned days from `start` to the day before `today`; `worked` are the days that hold work.
    ///
    /// A day with work counts as worked even where it was off or rain was entered as well.
    pub fn seen(
        &self,
        start: NaiveDate,
        today: NaiveDate,
        worked: &BTreeSet<NaiveDate>,
    ) -> DaysSeen {
        let past = |day: &&NaiveDate| **day < today;
        let days_worked = worked.iter().filter(past).count() as u32;
        let lost =
            |day: &&NaiveDate| **day >= start && self.planned(**day) && !worked.contains(*day);
        let rain = self.rain.iter().filter(past).filter(lost).count() as u32;
        let first = worked.first().copied().unwrap_or(today);
        let idle = first
            .iter_days()
            .take_while(|day| *day < today)
            .take(MAX_LISTED_DAYS)
            .filter(|day| self.works(*day) && !worked.contains(day))
            .count() as u32;
        DaysSeen {
            worked: days_worked,
            rain,
            idle,
            rain_chance: (f64::from(rain) + 0.5) / (f64::from(days_worked + rain) + 1.0),
        }
    }
}

/// What became of the planned days so far.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct DaysSeen {
    /// Days before today that hold work.
    pub worked: u32,
    /// Planned days that rain took.
    pub rain: u32,
    /// Planned days since the first work with neither work nor rain: something was not entered. A forecast leaves
    /// them out, so it is too early if the crew in truth stood still.
    pub idle: u32,
    /// Chance that rain takes a planned day, 0 to 1: (rain + ½) / (worked + rain + 1), the mean under Jeffreys' prior.
    pub rain_chance: f64,
}

fn check_days(field: &'static str, days: &BTreeSet<NaiveDate>) -> Result<(), Invalid> {
    if days.len() > MAX_LISTED_DAYS {
        let problem = format!("holds {} days, at most {MAX_LISTED_DAYS} fit", days.len());
        return Err(Invalid::new(field, problem));
    }
    match days
        .iter()
        .find(|day| !CALENDAR_YEARS.contains(&day.year()))
    {
        Some(day) => Err(Invalid::new(
            field,
            format!(
                "{day} is not in {} to {}",
                CALENDAR_YEARS.start(),
                CALENDAR_YEARS.end()
            ),
        )),
        None => Ok(()),
    }
}

/// Reads weekdays as `Mon..Fri, Sun` in English, short or long; `none` or empty means no day.
pub fn parse_weekdays(raw: &str) -> Result<[bool; 7], Invalid> {
    let mut worked = [false; 7];
    if raw.trim().eq_ignore_ascii_case("none") {
        return Ok(worked);
    }
    let read = |name: &str| {
        let day = name.trim().parse::<Weekday>().map_err(|_| {
            let problem = format!("{:?} is not a weekday such as Mon", name.trim());
            Invalid::new("weekdays", problem)
        });
        day.map(|day| day.num_days_from_monday() as usize)
    };
    for part in raw
        .split(',')
        .map(str::trim)
        .filter(|part| !part.is_empty())
    {
        let (first, last) = part.split_once("..").unwrap_or((part, part));
        let (first, last) = (read(first)?, read(last)?);
        // Sat..Mon goes round the end of the week
        for step in 0..=(last + 7 - first) % 7 {
            worked[(first + step) % 7] = true;
        }
    }
    Ok(worked)
}

/// Weekdays as [`parse_weekdays`] reads them.
pub fn weekdays_text(weekdays: [bool; 7]) -> String {
    let mut parts = Vec::new();
    let mut from = 0;
    while from < 7 {
        let run = weekdays[from..].iter().take_while(|on| **on).count();
        match run {
            0 => {}
            1 => parts.push(WEEKDAYS[from].to_string()),
            _ => parts.push(format!("{}..{}", WEEKDAYS[from], WEEKDAYS[from + run - 1])),
        }
        from += run.max(1);
    }
    if parts.is_empty() {
        "none".to_owned()
    } else {
        parts.join(", ")
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn day(raw: &str) -> NaiveDate {
        raw.parse().unwrap()
    }

    fn workdays(off: &[&str], rain: &[&str]) -> WorkCalendar {
        let days = |list: &[&str]| list.iter().map(|raw| day(raw)).collect();
        let week = parse_weekdays("Mon..Fri").unwrap();
        WorkCalendar::new(week, days(off), days(rain)).unwrap()
    }

    #[test]
    fn a_list_holds_so_many_days_of_this_age() {
        let start = day("2027-01-01");
        let days = |n: usize| -> BTreeSet<NaiveDate> { start.iter_days().take(n).collect() };
        let with = |off| WorkCalendar::new([true; 7], off, BTreeSet::new());
        assert!(with(days(MAX_LISTED_DAYS)).is_ok());
        let wrong = with(days(MAX_LISTED_DAYS + 1)).unwrap_err();
        assert_eq!(wrong.field, "days_off");
        assert!(with(BTreeSet::from([day("1989-12-31")])).is_err());
    }

    #[test]
    fn weekdays_are_read_and_written() {
        let week = parse_weekdays("Mon..fri, Sunday").unwrap();
        assert_eq!(week, [true, true, true, true, true, false, true]);
        assert_eq!(weekdays_text(week), "Mon..Fri, Sun");
        assert_eq!(
            weekdays_text(parse_weekdays("Sat..Mon").unwrap()),
            "Mon, Sat..Sun"
        );
        assert_eq!(parse_weekdays("none").unwrap(), [false; 7]);
        assert_eq!(parse_weekdays("Monday-ish").unwrap_err().field, "weekdays");
    }

    #[test]
    fn a_day_off_is_not_planned_and_a_rain_day_is_not_worked() {
        // 2027-01-12 is a Tuesday
        let calendar = workdays(&["2027-01-12"], &["2027-01-12", "2027-01-13"]);
        assert!(!calendar.planned(day("2027-01-12")));
        assert!(calendar.planned(day("2027-01-13")) && !calendar.works(day("2027-01-13")));
        assert!(calendar.works(day("2027-01-14")) && !calendar.works(day("2027-01-16")));
    }

    #[test]
    fn seen_days_are_worked_rained_off_or_idle() {
        let calendar = workdays(&[], &["2027-01-13", "2027-01-16"]);
        let worked = BTreeSet::from([day("2027-01-11"), day("2027-01-12"), day("2027-01-18")]);
        let seen = calendar.seen(day("2027-01-11"), day("2027-01-18"), &worked);
        // Thursday and Friday idle; Saturday's rain took no planned day; today is not over
        assert_eq!((seen.worked, seen.rain, seen.idle), (2, 1, 2));
        assert!((seen.rain_chance - 1.5 / 4.0).abs() < 1e-12);
    }

    proptest! {
        #[test]
        fn written_weekdays_read_back(weekdays in any::<[bool; 7]>()) {
            prop_assert_eq!(parse_weekdays(&weekdays_text(weekdays)).unwrap(), weekdays);
        }
    }
}
