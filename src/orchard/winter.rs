//! A winter: the weeks from leaf fall to budburst.

use std::collections::BTreeMap;
use std::ops::{Deref, RangeInclusive};

use chrono::{NaiveDate, TimeDelta};

use super::limits::{BUDBURST_DAYS, COUNT_DAYS, WINTER_DAYS};
use super::{BlockId, Faults, Invalid, WinterId, name};

/// A winter, before it is checked.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WinterDraft {
    /// What it is called, such as `2026/27`; unique.
    pub label: String,
    /// The first day of pruning.
    pub start: NaiveDate,
    /// The day by which all pruning must be done: budburst, where a block has no day of its own.
    pub budburst: NaiveDate,
    /// Blocks whose buds burst on another day.
    pub block_budburst: BTreeMap<BlockId, NaiveDate>,
}

/// A checked winter. Reads like its [`WinterDraft`].
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Winter {
    /// `UUIDv7`, made when it was entered; the same on every tablet.
    pub id: WinterId,
    draft: WinterDraft,
}

impl Deref for Winter {
    type Target = WinterDraft;
    fn deref(&self) -> &WinterDraft {
        &self.draft
    }
}

impl Winter {
    /// Checks a draft: budburst comes after the start, within 300 days.
    pub fn new(id: WinterId, mut draft: WinterDraft) -> Result<Self, Faults> {
        let mut faults = Faults::default();
        draft.label = faults.take(name("label", &draft.label));
        let own = draft.block_budburst.values().map(|day| (*day, true));
        for (day, of_block) in std::iter::once((draft.budburst, false)).chain(own) {
            let days = day.signed_duration_since(draft.start).num_days();
            if !BUDBURST_DAYS.contains(&days) {
                let mut problem = format!(
                    "{day} is not within {} to {} days after the start, {}",
                    BUDBURST_DAYS.start(),
                    BUDBURST_DAYS.end(),
                    draft.start
                );
                // names of blocks are not known here
                if of_block {
                    problem.push_str(": it is the budburst of one block");
                }
                faults.add(Invalid::new("budburst", problem).against(&["start"]));
            }
        }
        faults.or(Self { id, draft })
    }

    /// The winter's data, to be changed and checked again.
    pub fn draft(&self) -> &WinterDraft {
        &self.draft
    }

    /// Checks that a day of work lies in the winter: from its start to 300 days after.
    pub fn check_day(&self, day: NaiveDate) -> Result<(), Invalid> {
        self.check_within(day, &WINTER_DAYS)
    }

    /// Checks that a count's day belongs to the winter: from 90 days before its start to 300 days after.
    pub fn check_count_day(&self, day: NaiveDate) -> Result<(), Invalid> {
        self.check_within(day, &COUNT_DAYS)
    }

    fn check_within(&self, day: NaiveDate, days: &RangeInclusive<i64>) -> Result<(), Invalid> {
        let since = day.signed_duration_since(self.start).num_days();
        if days.contains(&since) {
            return Ok(());
        }
        let side = if since < 0 { "before" } else { "long after" };
        Err(Invalid::new(
            "day",
            format!(
                "{day} is {side} winter {} began, {}: days from {} to {} belong to it",
                self.label,
                self.start,
                self.start + TimeDelta::days(*days.start()),
                self.start + TimeDelta::days(*days.end())
            ),
        ))
    }

    /// The day by which this block must be pruned.
    pub fn deadline(&self, block: BlockId) -> NaiveDate {
        self.block_budburst
            .get(&block)
            .copied()
            .unwrap_or(self.budburst)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use uuid::Uuid;

    #[test]
    fn budburst_is_by_block_and_after_the_start() {
        let day = |m, d| NaiveDate::from_ymd_opt(2027, m, d).unwrap();
        let early = BlockId(Uuid::from_u128(1));
        let draft = WinterDraft {
            label: "2027".into(),
            start: day(6, 1),
            budburst: day(9, 10),
            block_budburst: BTreeMap::from([(early, day(9, 1))]),
        };
        let winter = Winter::new(WinterId(Uuid::nil()), draft.clone()).unwrap();
        assert_eq!(winter.deadline(early), day(9, 1));
        assert_eq!(winter.deadline(BlockId(Uuid::nil())), day(9, 10));
        assert!(winter.check_day(day(6, 1)).is_ok() && winter.check_day(day(9, 20)).is_ok());
        assert_eq!(winter.check_day(day(5, 31)).unwrap_err().field, "day");
        // trees are counted before pruning begins, too
        assert!(
            winter.check_count_day(day(5, 31)).is_ok() && winter.check_count_day(day(3, 3)).is_ok()
        );
        assert!(winter.check_count_day(day(3, 2)).is_err());
        let refused = |draft| Winter::new(WinterId(Uuid::nil()), draft).unwrap_err()[0].clone();
        let wrong = refused(WinterDraft {
            budburst: day(5, 31),
            ..draft.clone()
        });
        assert_eq!(wrong.field, "budburst");
        assert!(!wrong.problem.contains("block"), "{wrong}");
        let wrong = refused(WinterDraft {
            start: day(9, 5),
            ..draft
        });
        assert!(wrong.problem.starts_with("2027-09-01") && wrong.problem.contains("block"));
    }
}
