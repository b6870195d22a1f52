//! A word where a clock seems to be wrong: a tablet whose battery was empty begins in 1970.

use chrono::NaiveDate;

use super::plural;
use crate::orchard::Invalid;
use crate::report::Season;

/// Days beyond a winter from which a clock is doubted: the next winter would have begun.
const FAR: i64 = 400;

impl Season {
    /// What to say of the clock of this tablet, or of one that made counts; nothing where there is no doubt. `today` is
    /// what the clock says.
    pub fn clock_doubt(&self, today: NaiveDate) -> Option<String> {
        let winter = &self.winter;
        let before = winter.start.signed_duration_since(today).num_days();
        let after = today.signed_duration_since(winter.budburst).num_days();
        if before > FAR || after > FAR {
            return Some(format!(
                "the clock of this tablet says {today}, far from the winter {}: if it is wrong, set it before you count",
                winter.label
            ));
        }
        let ahead = |day: &NaiveDate| day.signed_duration_since(today).num_days() > 1;
        let days = self.counts().iter().map(|count| count.head.at.day);
        let ahead: Vec<NaiveDate> = days.filter(ahead).collect();
        let Some(latest) = ahead.iter().max() else {
            return self.days_outside();
        };
        let (number, verb) = match ahead.len() {
            1 => ("1 count".to_owned(), "is"),
            many => (format!("{many} counts"), "are"),
        };
        Some(format!(
            "{number} {verb} of days to come, up to {latest}, and in no figure until then: was a clock wrong?"
        ))
    }

    /// Counts and work of days that no winter of this length has, such as they come from a tablet with a wrong clock.
    fn days_outside(&self) -> Option<String> {
        let winter = &self.winter;
        let counts = self.counts().iter().map(|count| count.head.at.day);
        let counts = counts.filter_map(|day| winter.check_count_day(day).err());
        let counts: Vec<Invalid> = counts.collect();
        let work = self
            .work
            .iter()
            .filter_map(|work| winter.check_day(work.day).err());
        let work: Vec<Invalid> = work.collect();
        let far = counts.first().or(work.first())?;
        let told = [
            (counts.len(), "count", "counts"),
            (work.len(), "entry of work", "entries of work"),
        ];
        let told = told.iter().filter(|(number, ..)| *number > 0);
        let told: Vec<String> = told
            .map(|(number, one, many)| plural(*number as u32, one, many))
            .collect();
        Some(format!(
            "{} of days that do not belong to this winter: {}; was a clock wrong?",
            told.join(" and "),
            far.problem
        ))
    }
}
