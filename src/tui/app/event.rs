//! What happens to the program.

use std::path::PathBuf;

use uuid::Uuid;

use super::cover::{Job, Working};
use super::model::{House, Message, Tablets};
use crate::orchard::{CountId, Stamp, Tap, TreeCount};
use crate::report::Season;
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
    /// A tap is on disk; this is the count now.
    Tapped(Box<TreeCount>, Tap),
    /// The last tap was taken back, if there was one; this is the count now.
    TakenBack(Box<TreeCount>, Option<Tap>),
    /// This tap was taken off, behind so many others, or none of its kind was there; this is the count now.
    TakenOff(Box<TreeCount>, Option<(usize, Tap)>),
    /// A tap that was taken off is back; this is the count now.
    PutBack(Box<TreeCount>, Tap),
    /// Something else about a count is on disk; this is the count now.
    CountChanged(Box<TreeCount>),
    /// A count was taken out of the figures.
    CountRemoved(CountId),
    /// The file was read again.
    Loaded(Box<House>, Option<Box<Season>>),
    /// A backup was made, or could not be; these there are now.
    BackedUp(Vec<Shelved>, Option<Message>),
    /// What a form chooses from was read anew; for backups, with what the file holds now.
    Fresh(Job, Option<(Vec<Shelved>, Contents)>),
    /// A long work has come so far.
    Working(Working),
    /// A long work is over, with this to tell.
    WorkEnded(Message),
    /// These bundles were looked into: what they would bring, and whether two orchards would become one.
    LookedInto(Vec<PathBuf>, bool, String),
    /// What there is of other tablets was read.
    Tablets(Box<Tablets>),
    /// A change could not be written; nothing of it was kept.
    Failed(String),
}
