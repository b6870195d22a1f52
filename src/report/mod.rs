//! Reports: each is built once as plain data, and shown by one renderer per format.
//!
//! [`Season`] is one winter as it stands in the file. Every figure on a screen, on paper or in a
//! file is made from it by this part, once.

mod season;
mod standing;

pub use season::{Period, Season};
pub use standing::{BudFigures, DayFigures, Standing, Subject};
