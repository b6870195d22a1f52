//! The places of the house: each with its state, its update, its view and its forms in a room of its own.

pub mod count;
pub mod crew_blocks;
pub mod crop;
pub mod forms;
mod marks;
mod papers;
pub mod parts;
pub mod pictures;
pub mod setup;
pub mod today;
pub mod winter;

#[cfg(test)]
pub(crate) mod testing;
