//! The screens.
//!
//! [`app`] is pure: what the screens know, what happens, what is drawn. A feature is a place of the house with its state,
//! its update, its view and its forms. [`kit`] is what they are made of. Only [`runtime`] touches the file and the
//! terminal.

pub mod app;
pub mod features;
pub mod kit;
pub mod runtime;

pub use app::tour;
pub use features::forms;
pub use kit::{
    Action, BudKeys, Context, Cursor, Field, Form, FormEvent, HitMap, Key, Mode, Pen, Screen,
    Theme, is_small,
};
pub use kit::{action, form, hit, key, keymap, pen, room, text, theme, widgets};

#[cfg(test)]
mod form_looks;
#[cfg(test)]
mod looks;
#[cfg(test)]
mod odd_tests;
#[cfg(test)]
mod trial;
