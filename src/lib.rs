//! Counting the fruiting wood that pear pruners left.
//!
//! The parts, from the ground up; each uses only those above it: [`orchard`] (the trade),
//! [`judge`] (the statistics), [`outlook`] (crop, coming winters, pace), [`store`] (the file),
//! [`exchange`] (tables in and out), [`report`] (what is shown), [`demo`] (an invented orchard),
//! [`tui`] (the screens), [`cli`] (the command line).
#![warn(missing_docs)]
// what input, disk or terminal can make fail says so; a test may fail on the spot
#![cfg_attr(not(test), warn(clippy::unwrap_used, clippy::missing_panics_doc))]

pub mod cli;
pub mod demo;
pub mod exchange;
pub mod judge;
pub mod orchard;
pub mod outlook;
pub mod report;
pub mod store;
pub mod tui;

// what tests begin with, shared with those beside the library
#[cfg(test)]
#[path = "../tests/common/drafts.rs"]
mod drafts;
#[cfg(test)]
extern crate self as thirdwood;
