//! The parts that screens are made of. Each takes plain numbers and words.

mod button;
mod tabs;

pub use button::{Button, button, button_bar};
pub use tabs::tabs;
