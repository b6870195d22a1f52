//! Counting the fruiting wood that pear pruners left.
//!
//! The parts, from the ground up; each uses only those above it: [`orchard`] (the trade).

pub mod orchard;
pub mod tui;
