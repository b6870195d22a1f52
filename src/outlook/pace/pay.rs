//! How work is paid.

use std::collections::BTreeMap;

use serde::Serialize;

use super::money::Rate;
use crate::orchard::{BlockId, PrunerId, WorkKind};

/// How somebody is paid.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Pay {
    /// So much an hour.
    Hour(Rate),
    /// So much a tree.
    Tree(Rate),
    /// So much a tree, and at least so much for the hours of a day.
    AtLeast {
        /// For a tree.
        tree: Rate,
        /// For an hour.
        hour: Rate,
    },
}

/// Where a pay holds that is not the general one: in a block, for a kind of work, or for both. Never neither.
pub type PaySpot = (Option<BlockId>, Option<WorkKind>);

/// One pay for all, and what is paid otherwise.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize)]
pub struct PayPlan {
    /// For everybody without one of their own, newcomers included.
    pub all: Option<Pay>,
    /// By pruner.
    pub own: BTreeMap<PrunerId, Pay>,
    /// By block and kind of work.
    #[serde(skip)]
    pub special: BTreeMap<PaySpot, Pay>,
}

impl PayPlan {
    /// How this pruner is paid for the winter pruning anywhere; `None` where nothing is known.
    pub fn of(&self, pruner: PrunerId) -> Option<Pay> {
        self.own.get(&pruner).copied().or(self.all)
    }

    /// How a kind of work is paid in a block: what is the pruner's own, then of the kind in the block, of the block, of the
    /// kind, and of all. A pay by the tree is for trees pruned: another kind has its own, or one by the hour.
    pub fn of_work(&self, pruner: Option<PrunerId>, block: BlockId, kind: WorkKind) -> Option<Pay> {
        let special = |spot: PaySpot| self.special.get(&spot).copied();
        let general = |pay: Option<Pay>| {
            let counts_trees = matches!(kind.counted_as(), None | Some(WorkKind::Pruning));
            pay.filter(|pay| matches!(pay, Pay::Hour(_)) || counts_trees)
        };
        let own = pruner.and_then(|pruner| self.own.get(&pruner).copied());
        general(own)
            .or_else(|| special((Some(block), Some(kind))))
            .or_else(|| general(special((Some(block), None))))
            .or_else(|| special((None, Some(kind))))
            .or_else(|| general(self.all))
    }
}
