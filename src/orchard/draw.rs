//! A draw: trees chosen at random out of what was pruned.

use chrono::NaiveDate;

use super::{BlockId, DrawId, Invalid, PieceRuns, PrunerId, WinterId, note};

/// Whether a drawn tree was left out. That it was counted follows from the counts.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Fate {
    /// Not left out: it waits until it is counted.
    Waiting,
    /// Left out, and why.
    Skipped(String),
}

impl Fate {
    /// A tree left out for a reason; the reason may not be empty.
    pub fn skipped(reason: &str) -> Result<Self, Invalid> {
        let reason = note("reason", reason)?;
        if reason.is_empty() {
            return Err(Invalid::new(
                "reason",
                "is empty; say why the drawn tree is left out",
            ));
        }
        Ok(Self::Skipped(reason))
    }
}

/// One tree of a draw.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DrawnTree {
    /// Where it stands.
    pub block: BlockId,
    /// Number of the row in that block.
    pub row: u16,
    /// Its place in the row.
    pub tree: u16,
    /// Who pruned it.
    pub pruner: PrunerId,
    /// The part of it to count; none: the whole tree.
    pub runs: Option<PieceRuns>,
    /// Whether it was left out.
    pub fate: Fate,
}

/// A draw, in walking order. Its seed repeats it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Draw {
    /// `UUIDv7`, made when it was entered; the same on every tablet.
    pub id: DrawId,
    /// The winter whose work was drawn from.
    pub winter: WinterId,
    /// The day it was made.
    pub day: NaiveDate,
    /// Work from this day on was drawn from.
    pub since: NaiveDate,
    /// Work up to and with this day was drawn from.
    pub until: NaiveDate,
    /// The seed of the random start.
    pub seed: u64,
    /// The trees, in walking order.
    pub trees: Vec<DrawnTree>,
}
