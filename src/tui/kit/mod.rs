//! What any screen is made of: keys, touch, colours, text, forms and pictures.
//!
//! A widget is given plain numbers and words and a [`Pen`]; it draws, and records what a touch on
//! it would mean. Keys and touches both become an [`Action`]; the table in [`keymap`] says which
//! key is which. Nothing here knows of an orchard's screens.

pub mod action;
pub mod cursor;
pub mod form;
pub mod hit;
pub mod key;
pub mod keymap;
pub mod pen;
pub mod room;
pub mod text;
pub mod theme;
pub mod widgets;

pub use action::{Action, Screen};
pub use cursor::Cursor;
pub use form::{Field, Form, FormEvent};
pub use hit::HitMap;
pub use key::Key;
pub use keymap::{BudKeys, Context, Mode};
pub use pen::Pen;
pub use room::is_small;
pub use theme::Theme;

/// What a person works with.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Hand {
    /// The keyboard.
    #[default]
    Keys,
    /// Touch, or a mouse.
    Touch,
    /// Touch, and letters typed in a form: by a keyboard on the screen that comes and goes.
    Typing,
}
