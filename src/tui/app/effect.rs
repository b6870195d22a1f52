//! What is to be done outside of the model.

use std::path::PathBuf;

use crate::exchange::Table;
use crate::orchard::{PrunerId, WinterId};
use crate::report::papers::Wanted;
use crate::store::Change;
use crate::store::bundle::Since;

use super::FormKind;

/// Something to be done with the file, on a thread of its own, or with the program.
#[derive(Debug, Clone, PartialEq)]
pub enum Effect {
    /// Write these changes, all or none.
    Write(Vec<Change>),
    /// Look at another winter from now on.
    UseWinter(WinterId),
    /// Read anew what the form of this job chooses from, and open it.
    Fresh(FormKind),
    /// Put the backup of this number back.
    Restore(u32),
    /// Take a pruner's name away for good; and then, if so, make a fresh backup in place of those that hold it.
    ForgetName(PrunerId, bool),
    /// Write these papers of the winter looked at into a folder, on a thread of its own.
    Papers(Box<Wanted>, PathBuf),
    /// End that work before it is through.
    StopWork,
    /// Read what there is of other tablets: bundles at hand, what is to be settled, what was entered twice.
    ReadTablets,
    /// Write a bundle into a folder, on a thread of its own; `true`: with names, though numbers only are shown.
    WriteBundle(Since, bool, PathBuf),
    /// Look what would come in with a bundle, or with all of a folder, on a thread of its own.
    LookInto(PathBuf),
    /// Take these bundles in, on a thread of its own; `true`: though they are of an orchard begun by itself.
    TakeIn(Vec<PathBuf>, bool),
    /// Write a table, or all of them, into a folder, on a thread of its own.
    WriteTables(Option<Table>, PathBuf),
    /// Look what would come of a table's file, or of a folder of all tables, on a thread of its own.
    LookAtTables(Option<Table>, PathBuf),
    /// Read it in, on a thread of its own.
    ReadTables(Option<Table>, PathBuf),
    /// Leave the program.
    Quit,
    /// Stand still until the shell continues the program.
    Stop,
}
