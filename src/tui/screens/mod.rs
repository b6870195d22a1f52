//! The screens: each a state, an update and a view, in a room of its own.

pub mod count;
pub mod outlook;
pub mod parts;
pub mod pictures;
pub mod setup;
pub mod standing;
pub mod today;
pub mod winter;

#[cfg(test)]
pub(crate) mod testing;
