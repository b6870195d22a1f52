//! The forms of what is set up: one for each section of the screen.

pub mod block;
pub mod count;
pub mod forget;
pub mod goback_entry;
pub mod pruner;
pub mod put_back;
pub mod restore;
pub mod rule;
pub mod settings;
pub mod tables;
pub mod tablets;
pub mod winter;
