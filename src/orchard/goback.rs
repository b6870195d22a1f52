//! Rows that were sent back to their pruner.

use chrono::NaiveDate;

use super::words::{as_its_word, words};
use super::{Block, BlockId, Faults, GoBackId, Invalid, PrunerId, WinterId, note};

/// What came of a row that was sent back.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Outcome {
    /// The pruner went back, and the row is fit now.
    Mended,
    /// The pruner went back, and it is still not fit.
    StillWrong,
    /// It was left as it is.
    LeftAsIs,
}

words!(
    Outcome,
    "outcome",
    Mended = "mended",
    StillWrong = "still wrong",
    LeftAsIs = "left as is"
);

as_its_word!(Outcome, "What came of a row that was sent back.");

/// An outcome and the day it was seen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Settled {
    /// What came of it.
    pub outcome: Outcome,
    /// When that was seen.
    pub day: NaiveDate,
}

/// A row on the go-back list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct GoBack {
    /// `UUIDv7`, made when it was entered; the same on every tablet.
    pub id: GoBackId,
    /// The winter that it was seen in.
    pub winter: WinterId,
    /// Where it lies.
    pub block: BlockId,
    /// Number of the row in that block.
    pub row: u16,
    /// Who is to go back.
    pub pruner: PrunerId,
    /// The day the row was sent back.
    pub day: NaiveDate,
    /// What is to be mended; may be empty.
    pub reason: String,
    /// What came of it, once known.
    pub settled: Option<Settled>,
}

impl GoBack {
    /// Checks the entry against its block.
    pub fn check(mut self, block: &Block) -> Result<Self, Faults> {
        if block.id != self.block {
            return Err(Invalid::new("block", "is another block").into());
        }
        let mut faults = Faults::default();
        if block.rows.row(self.row).is_none() {
            let problem = format!("block {} has no row {}", block.name, self.row);
            faults.add(Invalid::new("row", problem));
        }
        self.reason = faults.take(note("reason", &self.reason));
        if let Some(settled) = self.settled
            && settled.day < self.day
        {
            let (day, sent) = (settled.day, self.day);
            let problem = format!("{day} is before the row was sent back, {sent}");
            faults.add(Invalid::new("settled_day", problem).against(&["day"]));
        }
        faults.or(self)
    }
}
