//! The work log: who pruned what, and how long it took.

use std::ops::Deref;

use chrono::NaiveDate;

use schemars::JsonSchema;
use serde::Serialize;

use super::limits::{MINUTES, SHARES, within};
use super::words::words;
use super::{Block, BlockId, Faults, Invalid, PrunerId, WinterId, WorkId};

/// The part of each tree that a pruner does.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Default)]
pub enum Zone {
    /// All of it.
    #[default]
    Whole,
    /// The side towards the row before.
    SideA,
    /// The side towards the next row.
    SideB,
    /// What is reached from the ground.
    Base,
    /// What is reached from a ladder or platform.
    Top,
}

words!(
    Zone,
    "zone",
    Whole = "whole",
    SideA = "side A",
    SideB = "side B",
    Base = "base",
    Top = "top"
);

impl Zone {
    /// The quarters of a tree that it covers, a bit each: base and top of side A, base and top of side B.
    pub fn quarters(self) -> u8 {
        match self {
            Self::Whole => 0b1111,
            Self::SideA => 0b0011,
            Self::SideB => 0b1100,
            Self::Base => 0b0101,
            Self::Top => 0b1010,
        }
    }

    /// Whether two zones have a part of the tree in common.
    pub fn meets(self, other: Self) -> bool {
        self.quarters() & other.quarters() != 0
    }
}

/// What kind of work was done.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Default, Serialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum WorkKind {
    /// The winter pruning, in one go.
    #[default]
    Pruning,
    /// The first of two passes: the tree is not done yet.
    FirstPass,
    /// The last of two passes.
    SecondPass,
    /// Hedging by machine, before the winter pruning.
    Hedging,
    /// Large cuts by saw, as work of its own.
    SawWork,
    /// A row done over after it was sent back.
    Rework,
}

words!(
    WorkKind,
    "kind",
    Pruning = "pruning",
    FirstPass = "first pass",
    SecondPass = "second pass",
    Hedging = "hedging",
    SawWork = "saw work",
    Rework = "rework"
);

impl WorkKind {
    /// Whether the tree is left as it will bear: what is judged, and makes a tree done.
    pub fn leaves_pruned(self) -> bool {
        match self {
            Self::Pruning | Self::SecondPass | Self::Rework => true,
            Self::FirstPass | Self::Hedging | Self::SawWork => false,
        }
    }

    /// The kind under which a tree counts once; none where only hours are counted.
    pub fn counted_as(self) -> Option<Self> {
        match self {
            Self::Pruning | Self::SecondPass => Some(Self::Pruning),
            Self::FirstPass | Self::Hedging | Self::SawWork => Some(self),
            Self::Rework => None,
        }
    }

    /// Whether it is part of pruning the orchard: the pace and the forecast rest on it.
    pub fn is_winter_pruning(self) -> bool {
        match self {
            Self::Pruning | Self::FirstPass | Self::SecondPass | Self::Rework => true,
            Self::Hedging | Self::SawWork => false,
        }
    }
}

/// A piece of a day's work, before it is checked.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WorkDraft {
    /// The winter that it counts in.
    pub winter: WinterId,
    /// Who pruned.
    pub pruner: PrunerId,
    /// Where it was done.
    pub block: BlockId,
    /// The row's number.
    pub row: u16,
    /// The first tree place pruned.
    pub first: u16,
    /// The last tree place pruned; not before `first`.
    pub last: u16,
    /// The orchard's local day on which it was done.
    pub day: NaiveDate,
    /// Time taken, minutes, 1 to 1,440; `None` where it was not noted.
    pub minutes: Option<u16>,
    /// What was done of the trees, and with whom.
    pub how: How,
}

/// What was done of each tree, and how it is shared. As it begins: the whole of the winter pruning, alone.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct How {
    /// What was done.
    pub kind: WorkKind,
    /// The part of each tree.
    pub zone: Zone,
    /// The share of each tree for pay, 1 to 99 %, where others did it too; `None`: an equal share.
    pub share: Option<u8>,
    /// Those who did the same trees together have the same mark here: that they stand in the log beside each other is
    /// meant so. `None` for one who worked alone.
    pub team: Option<WorkId>,
}

/// A checked entry of the work log. Reads like its [`WorkDraft`].
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WorkEntry {
    /// `UUIDv7`, made when it was entered; the same on every tablet.
    pub id: WorkId,
    draft: WorkDraft,
}

impl Deref for WorkEntry {
    type Target = WorkDraft;
    fn deref(&self) -> &WorkDraft {
        &self.draft
    }
}

impl WorkEntry {
    /// Checks a draft against its block: the row exists, the places lie in it, a tree stands there.
    pub fn new(id: WorkId, draft: WorkDraft, block: &Block) -> Result<Self, Faults> {
        let mut faults = faults(&draft, block);
        let row = block.rows.row(draft.row);
        if row.is_some_and(|row| row.trees_between(draft.first, draft.last) == 0) {
            let problem = "no tree stands at these places: all are listed as missing";
            faults.add(Invalid::new("first", problem).against(&["last"]));
        }
        faults.or(Self { id, draft })
    }

    /// As [`WorkEntry::new`], for an entry made earlier: its trees may have died since.
    pub fn known(id: WorkId, draft: WorkDraft, block: &Block) -> Result<Self, Faults> {
        faults(&draft, block).or(Self { id, draft })
    }

    /// The entry's data, to be changed and checked again.
    pub fn draft(&self) -> &WorkDraft {
        &self.draft
    }

    /// The same work, marked as done together with others.
    #[must_use]
    pub fn marked(&self, team: Option<WorkId>) -> Self {
        let mut marked = self.clone();
        marked.draft.how.team = team;
        marked
    }

    /// Whether two entries name a tree in common.
    pub fn overlaps(&self, other: &Self) -> bool {
        self.block == other.block
            && self.row == other.row
            && self.first <= other.last
            && other.first <= self.last
    }

    /// Whether two entries of one day claim the same part of the same trees, and nobody said that this is meant: one of
    /// them may be a mistake. Both count until somebody says so.
    pub fn disputes(&self, other: &Self) -> bool {
        self.id != other.id
            && self.day == other.day
            && self.overlaps(other)
            && self.how.zone.meets(other.how.zone)
            && self.how.kind.counted_as().is_some()
            && self.how.kind.counted_as() == other.how.kind.counted_as()
            && (self.how.team.is_none()
                || self.how.team != other.how.team
                || self.pruner == other.pruner)
    }
}

/// What is wrong with an entry whatever became of its trees.
fn faults(draft: &WorkDraft, block: &Block) -> Faults {
    let mut faults = Faults::default();
    if block.id != draft.block {
        faults.add(Invalid::new("block", "is another block"));
        return faults;
    }
    match block.rows.row(draft.row) {
        None => {
            let problem = format!("block {} has no row {}", block.name, draft.row);
            faults.add(Invalid::new("row", problem));
        }
        Some(row) => {
            let first = within("first", draft.first, &(1..=row.places));
            let from = *first.as_ref().unwrap_or(&1);
            faults.take(first);
            faults.take(within("last", draft.last, &(from..=row.places)));
        }
    }
    if let Some(minutes) = draft.minutes {
        faults.take(within("hours", minutes, &MINUTES));
    }
    if let Some(share) = draft.how.share {
        faults.take(within("share", share, &SHARES));
    }
    faults
}

/// Reads hours as `7.5`, `7,5` or `7:30`; empty means not noted. Gives minutes.
///
/// Many write 7:30 with a point. So two figures after one are read only where they are quarters of an hour: 7.30 is
/// refused.
pub fn parse_hours(raw: &str) -> Result<Option<u16>, Invalid> {
    let text = raw.trim();
    if text.is_empty() {
        return Ok(None);
    }
    let wrong = || {
        Invalid::new(
            "hours",
            format!("{text:?} is no time such as 7.5 or 7:30, more than 0 and at most 24 hours"),
        )
    };
    let minutes = if let Some((hours, minutes)) = text.split_once(':') {
        let hours: u16 = hours.parse().map_err(|_| wrong())?;
        let minutes: u16 = minutes.parse().ok().filter(|m| *m < 60).ok_or_else(wrong)?;
        f64::from(hours) * 60.0 + f64::from(minutes)
    } else {
        let text = text.replace(',', ".");
        let part = text.split_once('.').map_or("", |(_, part)| part);
        let minutes_meant = part.len() == 2 && part.bytes().all(|b| b.is_ascii_digit());
        if minutes_meant && !["00", "25", "50", "75"].contains(&part) {
            let problem =
                format!("{text} may be hours and minutes, or parts of an hour: write 7:30, or 7.5");
            return Err(Invalid::new("hours", problem));
        }
        let hours: f64 = text.parse().map_err(|_| wrong())?;
        (hours * 60.0).round()
    };
    // what is no number, or beyond its type, becomes 0 or the most that the type holds: neither is in the limits
    Some(minutes as u16)
        .filter(|minutes| MINUTES.contains(minutes))
        .map(Some)
        .ok_or_else(wrong)
}

/// Minutes as [`parse_hours`] reads them: `7:30`, or nothing.
pub fn hours_text(minutes: Option<u16>) -> String {
    minutes.map_or_else(String::new, |m| format!("{}:{:02}", m / 60, m % 60))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::drafts::block_draft;
    use crate::orchard::BlockDraft;
    use uuid::Uuid;

    fn block() -> Block {
        let draft = BlockDraft {
            stems: 1,
            ..block_draft("River", "1-2x20", "1:3-5")
        };
        Block::new(BlockId(Uuid::nil()), draft).unwrap()
    }

    fn draft() -> WorkDraft {
        WorkDraft {
            winter: WinterId(Uuid::nil()),
            pruner: PrunerId(Uuid::nil()),
            block: BlockId(Uuid::nil()),
            row: 1,
            first: 1,
            last: 20,
            day: NaiveDate::from_ymd_opt(2027, 1, 12).unwrap(),
            minutes: Some(450),
            how: How::default(),
        }
    }

    #[test]
    fn work_lies_within_its_row() {
        let id = WorkId(Uuid::nil());
        assert!(WorkEntry::new(id, draft(), &block()).is_ok());
        for (field, wrong) in [
            ("row", WorkDraft { row: 3, ..draft() }),
            (
                "first",
                WorkDraft {
                    first: 0,
                    ..draft()
                },
            ),
            (
                "last",
                WorkDraft {
                    first: 9,
                    last: 8,
                    ..draft()
                },
            ),
            (
                "last",
                WorkDraft {
                    last: 21,
                    ..draft()
                },
            ),
            (
                "first",
                WorkDraft {
                    first: 3,
                    last: 5,
                    ..draft()
                },
            ),
            (
                "hours",
                WorkDraft {
                    minutes: Some(0),
                    ..draft()
                },
            ),
        ] {
            assert_eq!(
                WorkEntry::new(id, wrong, &block()).unwrap_err()[0].field,
                field
            );
        }
    }

    #[test]
    fn overlap_needs_a_common_tree() {
        let id = WorkId(Uuid::nil());
        let whole = WorkEntry::new(id, draft(), &block()).unwrap();
        let head = WorkEntry::new(id, WorkDraft { last: 9, ..draft() }, &block()).unwrap();
        let tail = WorkEntry::new(
            id,
            WorkDraft {
                first: 10,
                ..draft()
            },
            &block(),
        )
        .unwrap();
        assert!(whole.overlaps(&head) && !head.overlaps(&tail));
    }

    #[test]
    fn hours_are_read_as_people_write_them() {
        for (raw, minutes) in [
            ("7.5", Some(450)),
            ("7,5", Some(450)),
            ("7:30", Some(450)),
            (" ", None),
            ("24", Some(1440)),
        ] {
            assert_eq!(parse_hours(raw).unwrap(), minutes);
        }
        for wrong in ["0", "25", "7:60", "x", "-1", "NaN", "inf"] {
            assert!(parse_hours(wrong).is_err(), "{wrong}");
        }
        for (raw, minutes) in [("7.25", 435), ("7,50", 450), ("7.00", 420), ("0.333", 20)] {
            assert_eq!(parse_hours(raw), Ok(Some(minutes)));
        }
        for two_ways in ["7.30", "7,30", "8.15", "7.05"] {
            let problem = parse_hours(two_ways).unwrap_err().problem;
            assert!(
                problem.contains("7:30") && problem.contains("7.5"),
                "{problem}"
            );
        }
        assert_eq!(hours_text(Some(65)), "1:05");
    }
}
