//! What the screens are made of: keys, touch, colours, text, forms and pictures.
//!
//! A widget is given plain numbers and words and a [`Pen`]; it draws, and records what a touch on
//! it would mean. Keys and touches both become an [`Action`]; the table in [`keymap`] says which
//! key is which.

pub mod action;
pub mod app;
pub mod form;
pub mod forms;
pub mod hit;
pub mod key;
pub mod keymap;
pub mod pen;
pub mod run;
pub mod screens;
mod stop;
pub mod terminal;
pub mod text;
pub mod theme;
pub mod tour;
pub mod widgets;
mod work;

pub use action::{Action, Screen};
pub use form::{Field, Form, FormEvent};
pub use hit::HitMap;
pub use key::Key;
pub use keymap::{BudKeys, Context, Layer};
pub use pen::Pen;
pub use theme::Theme;

#[cfg(test)]
mod form_looks;
#[cfg(test)]
mod looks;
#[cfg(test)]
mod odd_tests;
#[cfg(test)]
mod trial;
