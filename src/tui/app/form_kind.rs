//! The forms by name.

use uuid::Uuid;

use crate::orchard::{BlockId, CountId, DrawId, GoBackId, LostDaysId, PrunerId, WinterId, WorkId};
use crate::outlook::FactorKind;
use crate::outlook::pace::PaySpot;
use crate::store::bundle::{Joinable, Unsettled};

/// What a form is for; the id names what it changes, and none makes a new one.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FormKind {
    /// Count a tree that was not drawn.
    OtherTree,
    /// What is recorded with the count on the Count screen.
    TreeDetails,
    /// How many pieces one leader of the tree on the Count screen has.
    LeaderInFull,
    /// Leave a drawn tree out.
    SkipTree,
    /// Mark the tree on the Count screen, or take its mark away.
    MarkTree,
    /// The same of trees of a block.
    MarkTrees(BlockId),
    /// Send the row of the tree on the Count screen back.
    SendBack,
    /// Send a row back, of this block and pruner where they are known.
    Rework(Option<BlockId>, Option<u16>, Option<PrunerId>),
    /// Say what came of a row that was sent back.
    Settle(GoBackId),
    /// A row of the go-back list with all that is recorded of it.
    GoBack(Option<GoBackId>),
    /// Log work.
    Work(Option<WorkId>),
    /// Log what the whole crew did on a day.
    Evening,
    /// Draw trees.
    Draw,
    /// Count trees again, blind.
    CountAgain,
    /// Put a tree of a draw that was left out back on the list.
    PutBack(DrawId),
    /// A block.
    Block(Option<BlockId>),
    /// A pruner.
    Pruner(Option<PrunerId>),
    /// A winter.
    Winter(Option<WinterId>),
    /// Budburst of one block in the present winter.
    Budburst(BlockId),
    /// The rule of the present winter, or of one block in it.
    Rule(Option<BlockId>),
    /// The head of a count in the list of counts.
    Count(CountId),
    /// What a block is to bear after this winter.
    Aim(BlockId),
    /// A factor of a block.
    Factor(BlockId, FactorKind),
    /// Growth and losses of a block.
    Growth(BlockId),
    /// The tagged units of a block, of a season.
    SetCount(BlockId, Option<i32>),
    /// A harvest of a block, of a season.
    Harvest(BlockId, Option<i32>),
    /// Settings of this tablet.
    Settings,
    /// Put a backup back.
    Restore,
    /// Write a bundle for other tablets.
    BundleOut,
    /// Take bundles of other tablets in.
    BundlesIn,
    /// Write tables for a spreadsheet.
    TablesOut,
    /// Read tables of a spreadsheet.
    TablesIn,
    /// Settle what was changed on two tablets.
    SettleTwo(Unsettled),
    /// Join what was entered twice, named by one of the entries.
    Join(Joinable, Uuid),
    /// Take a pruner's name away.
    ForgetName(PrunerId),
    /// Write reports to files.
    Papers,
    /// The weekdays worked in the present winter.
    Weekdays,
    /// Days without work.
    LostDays(Option<LostDaysId>),
    /// When a pruner comes and goes.
    Stint(Option<PrunerId>),
    /// What everybody is paid.
    Pay,
    /// What one pruner is paid.
    OwnPay(Option<PrunerId>),
    /// What is paid in a block, or for a kind of work.
    SpecialPay(Option<PaySpot>),
}

impl FormKind {
    /// Whether it changes what is there already, so that others may change or remove it meanwhile.
    pub fn changes(self) -> bool {
        match self {
            Self::GoBack(entry) => entry.is_some(),
            Self::Work(entry) => entry.is_some(),
            Self::Block(block) => block.is_some(),
            Self::Pruner(pruner) | Self::Stint(pruner) | Self::OwnPay(pruner) => pruner.is_some(),
            Self::Winter(winter) => winter.is_some(),
            Self::SpecialPay(spot) => spot.is_some(),
            Self::LostDays(lost) => lost.is_some(),
            Self::SetCount(_, season) | Self::Harvest(_, season) => season.is_some(),
            Self::TreeDetails
            | Self::LeaderInFull
            | Self::Settle(_)
            | Self::Budburst(_)
            | Self::Rule(_)
            | Self::Count(_)
            | Self::Aim(_)
            | Self::Factor(..)
            | Self::Growth(_)
            | Self::Settings
            | Self::Weekdays
            | Self::Pay => true,
            Self::OtherTree
            | Self::SkipTree
            | Self::MarkTree
            | Self::MarkTrees(_)
            | Self::SendBack
            | Self::Rework(..)
            | Self::Evening
            | Self::Draw
            | Self::CountAgain
            | Self::PutBack(_)
            | Self::Restore
            | Self::BundleOut
            | Self::BundlesIn
            | Self::TablesOut
            | Self::TablesIn
            | Self::SettleTwo(_)
            | Self::Join(..)
            | Self::ForgetName(_)
            | Self::Papers => false,
        }
    }
}
