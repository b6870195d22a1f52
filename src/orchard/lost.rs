//! Days without work: days off, and days that rain took.

use chrono::NaiveDate;

use super::limits::LOST_DAYS;
use super::{Invalid, LostDaysId, WinterId};

/// Why nobody works.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum LostKind {
    /// A day off: known beforehand, a holiday say.
    Off,
    /// Rain, or another weather that stops the work.
    Rain,
}

impl LostKind {
    /// Both.
    pub const ALL: [Self; 2] = [Self::Off, Self::Rain];

    /// The word for it, in the file too.
    pub fn word(self) -> &'static str {
        match self {
            Self::Off => "off",
            Self::Rain => "rain",
        }
    }

    /// What [`LostKind::word`] gives, read back.
    pub fn parse(raw: &str) -> Result<Self, Invalid> {
        let found = Self::ALL.into_iter().find(|kind| kind.word() == raw.trim());
        found.ok_or_else(|| Invalid::new("kind", format!("{raw:?} is neither off nor rain")))
    }
}

/// A stretch of days without work, both ends included.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct LostDays {
    /// `UUIDv7`, made when it was entered; the same on every tablet.
    pub id: LostDaysId,
    /// The winter whose calendar they change.
    pub winter: WinterId,
    /// First day without work.
    pub first: NaiveDate,
    /// Last day without work; not before `first`.
    pub last: NaiveDate,
    /// Why.
    pub kind: LostKind,
}

impl LostDays {
    /// Checks the stretch: it does not end before it starts, and is at most [`LOST_DAYS`] long.
    pub fn check(self) -> Result<Self, Invalid> {
        match self.last.signed_duration_since(self.first).num_days() {
            ..0 => Err(Invalid::new(
                "last",
                format!("{} is before the first day, {}", self.last, self.first),
            )
            .against(&["first"])),
            days if !LOST_DAYS.contains(&(days + 1)) => Err(Invalid::new(
                "last",
                format!("more than {} days from {}", LOST_DAYS.end(), self.first),
            )
            .against(&["first"])),
            _ => Ok(self),
        }
    }

    /// The days.
    pub fn days(&self) -> impl Iterator<Item = NaiveDate> + use<> {
        let last = self.last;
        self.first.iter_days().take_while(move |day| *day <= last)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use uuid::Uuid;

    #[test]
    fn a_stretch_has_its_days_in_order() {
        let day = |d| NaiveDate::from_ymd_opt(2027, 1, d).unwrap();
        let lost = |first, last| LostDays {
            id: LostDaysId(Uuid::nil()),
            winter: WinterId(Uuid::nil()),
            first,
            last,
            kind: LostKind::Rain,
        };
        let three = lost(day(12), day(14)).check().unwrap();
        assert_eq!(
            three.days().collect::<Vec<_>>(),
            [day(12), day(13), day(14)]
        );
        assert_eq!(lost(day(12), day(11)).check().unwrap_err().field, "last");
        let late = NaiveDate::from_ymd_opt(2027, 6, 1).unwrap();
        assert_eq!(lost(day(12), late).check().unwrap_err().field, "last");
        for kind in LostKind::ALL {
            assert_eq!(LostKind::parse(kind.word()), Ok(kind));
        }
        assert!(LostKind::parse("snow").is_err());
    }
}
