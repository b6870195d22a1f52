//! All pruners, or all blocks, of a day as one report.

use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::Serialize;

use super::season::{Period, Season};
use super::standing::Standing;

/// What the standings are of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum StandingsOf {
    /// Pruners, by number.
    Crew,
    /// Blocks, by name.
    Blocks,
}

/// How all pruners or all blocks stand, over a period.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Standings {
    /// The orchard's name; may be empty.
    pub orchard: String,
    /// The winter's label.
    pub winter: String,
    /// The first day counted; none: from the start of the winter.
    pub since: Option<NaiveDate>,
    /// The last day.
    pub day: NaiveDate,
    /// What they are of.
    pub of: StandingsOf,
    /// By number (pruners; one for each rule) or by name (blocks).
    pub standings: Vec<Standing>,
}

impl Season {
    /// The report of [`Season::crew_standings`] or [`Season::block_standings`].
    pub fn standings(&self, of: StandingsOf, period: Period) -> Standings {
        Standings {
            orchard: self.orchard.clone(),
            winter: self.winter.label.clone(),
            since: period.since,
            day: period.until,
            of,
            standings: match of {
                StandingsOf::Crew => self.crew_standings(period),
                StandingsOf::Blocks => self.block_standings(period),
            },
        }
    }
}
