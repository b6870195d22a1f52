//! What the wood that was left is worth: crop, what to leave for a target, and the winters after;
//! and in [`pace`], when the work will be done and what it costs.
//!
//! Pure models: numbers in, numbers out. Nothing here reads a clock, a file or a random device. Every number that a
//! model takes for granted is a [`Factor`] that says where it comes from.

mod bearing;
mod book;
mod calibrate;
mod crop;
mod factor;
mod family;
mod kind;
pub mod pace;
mod potential;
mod size;
mod wood;

pub use bearing::{AlternateBearing, Caution, SeasonYield, alternate_bearing, caution};
pub use book::{BlockBook, CropBook, HarvestEntry, MAX_TAGGED, Yield, season_year, tagged};
pub use calibrate::{SetCount, TaggedUnit, Weighed};
pub use crop::{Brief, BriefInput, BudsRow, Target, Wanted, brief, buds_per_unit, tcsa_cm2};
pub use factor::{Factor, Factors, Source, Z_90};
pub use kind::FactorKind;
pub use potential::{Counted, Mean, Potential, Range, TreeWood, counted, potential};
pub use size::{count_size_weight_g, williams_weight_g};
pub use wood::{
    ByAge, Carries, Dominant, Growing, Habit, Matrix, Mend, Outset, Scenario, Targets,
    WINTERS_AHEAD, Winter, Year, mend, mix, outlook, winter, wrong_age_share,
};
