//! What is to be written to the file.

use std::path::PathBuf;

use uuid::Uuid;

use crate::orchard::{
    Block, BlockId, CountHead, CountId, Draw, DrawId, GoBack, GoBackId, LostDays, LostDaysId,
    Pruner, PrunerId, Rule, Stint, Tap, Winter, WinterId, WorkEntry, WorkId,
};
use crate::outlook::pace::Pay;
use crate::outlook::{Factor, FactorKind, Growing, HarvestEntry, SetCount, Target};
use crate::report::papers::Wanted;
use crate::store::Setting;
use crate::store::bundle::{Joinable, Since};

use super::Job;

/// One change of the file, or the end of the program.
#[derive(Debug, Clone, PartialEq)]
pub enum Effect {
    /// Record a tap; `begin` is the head of a count that is not in the file yet.
    Tap(CountId, Option<Box<CountHead>>, Tap),
    /// Take the last tap back.
    TakeBack(CountId),
    /// Take the last tap of this kind off, wherever it stands among the taps.
    TakeOff(CountId, Tap),
    /// Put a tap that was taken off back, behind so many others.
    PutBack(CountId, usize, Tap),
    /// Say that a count is done, or open it again.
    Close(CountId, bool),
    /// Say that a tree is bare: its count is closed with nothing on it, and begun with this head where it is not in the file.
    CloseBare(CountId, Option<Box<CountHead>>),
    /// Change what is recorded with a count.
    Head(CountId, Box<CountHead>),
    /// Take a count out of the figures, or bring it back.
    RemoveCount(CountId, bool),
    /// Add or change.
    Save(Box<Thing>),
    /// Remove.
    Remove(ThingId),
    /// Note why a drawn tree is left out, or put it back on the list.
    SkipDrawn(DrawId, usize, Option<String>),
    /// Change a setting.
    Set(Setting, String),
    /// Look at another winter from now on.
    UseWinter(WinterId),
    /// Read anew what the form of this job chooses from, and open it.
    Fresh(Job),
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
    /// A record that was changed on two tablets is what this change set left it.
    Settle(String, String, Uuid),
    /// Make two entries one: the first one goes.
    Join(Joinable, Uuid, Uuid),
    /// Undo that.
    Part(Joinable, Uuid),
    /// Leave the program.
    Quit,
    /// Stand still until the shell continues the program.
    Stop,
}

/// Something to be saved.
#[derive(Debug, Clone, PartialEq)]
pub enum Thing {
    /// A block.
    Block(Block),
    /// A pruner.
    Pruner(Pruner),
    /// A winter.
    Winter(Winter),
    /// The rule of a winter, or of one block in it.
    Rule(WinterId, Option<BlockId>, Rule),
    /// Entries of the work log, all or none.
    Work(Vec<WorkEntry>),
    /// A row of the go-back list.
    GoBack(GoBack),
    /// A new draw.
    Draw(Draw),
    /// The weekdays worked in a winter, Monday first.
    Weekdays(WinterId, [bool; 7]),
    /// Days without work.
    LostDays(LostDays),
    /// When a pruner comes and goes.
    Stint(Stint),
    /// What everybody, or one pruner, is paid in a winter.
    Pay(WinterId, Option<PrunerId>, Pay),
    /// What a block is to bear after a winter.
    Aim(WinterId, BlockId, Target),
    /// A factor of a block.
    Factor(BlockId, Factor),
    /// Growth and losses of a block.
    Growth(BlockId, Growing),
    /// The tagged units of a block and season.
    SetCount(BlockId, SetCount),
    /// A harvest of a block.
    Harvest(BlockId, HarvestEntry),
}

/// Something to be removed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ThingId {
    /// A block.
    Block(BlockId),
    /// A pruner.
    Pruner(PrunerId),
    /// A winter.
    Winter(WinterId),
    /// The rule of a winter, or of one block in it: the more general one holds again.
    Rule(WinterId, Option<BlockId>),
    /// An entry of the work log.
    Work(WorkId),
    /// A row of the go-back list.
    GoBack(GoBackId),
    /// The weekdays of a winter: Monday to Saturday are worked again.
    Weekdays(WinterId),
    /// Days without work.
    LostDays(LostDaysId),
    /// When a pruner comes and goes.
    Stint(WinterId, PrunerId),
    /// What everybody, or one pruner, is paid in a winter.
    Pay(WinterId, Option<PrunerId>),
    /// What a block is to bear after a winter.
    Aim(WinterId, BlockId),
    /// A factor of a block: the default holds again.
    Factor(BlockId, FactorKind),
    /// Growth and losses of a block.
    Growth(BlockId),
    /// The tagged units of a block and season.
    SetCount(BlockId, i32),
    /// The harvest of a block and season.
    Harvest(BlockId, i32),
}
