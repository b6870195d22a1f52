//! Counting the fruiting wood that pear pruners left.
//!
//! The parts, from the ground up; each uses only those above it: [`orchard`] (the trade),
//! [`judge`] (the statistics), [`store`] (the file), [`report`] (what is shown), [`tui`] (the screens).

pub mod cli;
pub mod judge;
pub mod orchard;
pub mod report;
pub mod store;
pub mod tui;
/// placeholder until merge
pub mod demo {
    /// placeholder
    pub fn fill(
        _: &crate::store::Store,
        _: u64,
        _: chrono::NaiveDate,
    ) -> Result<(), crate::store::StoreError> {
        Ok(())
    }
}
