//! Counting the fruiting wood that pear pruners left.
//!
//! The parts, from the ground up; each uses only those above it: [`orchard`] (the trade),
//! [`judge`] (the statistics), [`store`] (the file), [`report`] (what is shown), [`tui`] (the screens).

pub mod judge;
pub mod orchard;
pub mod report;
pub mod store;
pub mod tui;
