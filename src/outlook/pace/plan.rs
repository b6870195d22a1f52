//! What a forecast is made from.

use chrono::NaiveDate;
use serde::Serialize;

use super::calendar::WorkCalendar;
use super::crew::{Member, Newcomers};
use super::pay::PayPlan;
use super::work::DayWork;
use crate::orchard::BlockId;

/// A block of the orchard and where it stands.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct BlockPlan {
    /// The block.
    pub block: BlockId,
    /// Trees pruned this winter.
    pub done: u32,
    /// Trees left.
    pub left: u32,
    /// The last day on which pruning is in time: budburst.
    pub deadline: NaiveDate,
}

/// A winter as it stands, to be carried to its end.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Plan {
    /// The first day of pruning: rain before it is not counted.
    pub start: NaiveDate,
    /// The day it is. Earlier days with work are those seen; what is logged for today is taken off today's work.
    pub today: NaiveDate,
    /// The days worked.
    pub calendar: WorkCalendar,
    /// This winter's work.
    pub work: Vec<DayWork>,
    /// The crew from today on.
    pub crew: Vec<Member>,
    /// Pruners still to come.
    pub newcomers: Vec<Newcomers>,
    /// The blocks.
    pub blocks: Vec<BlockPlan>,
    /// The pay.
    pub pay: PayPlan,
    /// The seed: the same plan and seed give the same forecast.
    pub seed: u64,
    /// How often the winter is run through, 1 to 100,000; [`RUNS`] is plenty.
    pub runs: u32,
}

/// Runs that a forecast is usually made of: the 10 % point is then right within about 1 % of chance (one sd).
pub const RUNS: u32 = 1_000;
/// Days with work before today that a forecast needs at least.
pub const MIN_DAYS_SEEN: u32 = 3;
/// Days that a forecast looks ahead.
pub const HORIZON_DAYS: u16 = 400;
/// The chance with which the crew needed is to be in time.
pub const NEEDED_CHANCE: f64 = 0.8;
