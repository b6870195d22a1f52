//! The program behind the screens: what it knows, what happens, what is to be done about it.
//!
//! [`update`] is pure: it takes the model, an event and the moment, changes the model, and says
//! what is to be written. [`view`] is pure too. Only [`super::runtime`] touches the file and the terminal.
#![deny(clippy::wildcard_enum_match_arm)]

mod effect;
mod event;
mod filling;
mod form_kind;
mod layers;
mod menu;
mod model;
mod round;
mod shown;
pub mod tour;
mod update;
mod view;

pub use crate::tui::kit::Hand;
pub use effect::Effect;
pub use event::{Event, Moment};
pub use form_kind::FormKind;
pub use layers::{Layer, Question, Reading, Working};
pub use model::{Figures, House, Look, Message, Model, Span, Tablets, Tone};
pub use update::update;
pub use view::{MIN_COLUMNS, MIN_LINES, view};

#[cfg(test)]
mod tests;
