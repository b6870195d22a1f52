//! What happens to the program.

use uuid::Uuid;

use super::model::{House, Message, Tablets};
use super::{FormKind, Question, Working};
use crate::orchard::{Stamp, TreeCount};
use crate::report::Season;
use crate::store::Counted;
use crate::store::backup::{Contents, Shelved};
use crate::tui::{Action, Key};

/// When something happened, and an identity for what it may make: both come from outside, so that
/// [`super::update()`] is a pure function.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Moment {
    /// The moment.
    pub now: Stamp,
    /// A fresh identity.
    pub id: Uuid,
}

/// What happened.
#[derive(Debug, Clone)]
pub enum Event {
    /// A key was pressed.
    Key(Key),
    /// Something was touched that asks for this.
    Act(Action),
    /// Text was pasted.
    Paste(String),
    /// The terminal has this many columns and lines now.
    Resize(u16, u16),
    /// Time passed.
    Tick,
    /// A change of a count is on disk; this is the count now.
    Counted(Box<TreeCount>, Counted),
    /// The file was read again.
    Loaded(Box<House>, Option<Box<Season>>),
    /// A backup was made, or could not be; these there are now.
    BackedUp(Vec<Shelved>, Option<Message>),
    /// What a form chooses from was read anew; for backups, with what the file holds now.
    Fresh(FormKind, Option<(Vec<Shelved>, Contents)>),
    /// A long work has come so far.
    Working(Working),
    /// A long work is over, with this to tell.
    WorkEnded(Message),
    /// What would be taken in was looked at: this is to be asked.
    Asked(Question),
    /// What there is of other tablets was read.
    Tablets(Box<Tablets>),
    /// A change could not be written; nothing of it was kept.
    Failed(String),
}
