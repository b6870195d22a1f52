//! Identities: one type for each kind of thing, so that they cannot be mixed up.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use uuid::Uuid;

macro_rules! id {
    ($($(#[$doc:meta])* $name:ident),+ $(,)?) => {$(
        $(#[$doc])*
        ///
        /// A `UUIDv7`: unique without asking any other tablet, and in order of making.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
        #[serde(transparent)]
        pub struct $name(pub Uuid);

        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                self.0.fmt(f)
            }
        }
    )+};
}

id! {
    /// Identifies a block.
    BlockId,
    /// Identifies a pruner.
    PrunerId,
    /// Identifies a winter.
    WinterId,
    /// Identifies an entry of the work log.
    WorkId,
    /// Identifies the count of one tree.
    CountId,
    /// Identifies a draw of trees.
    DrawId,
    /// Identifies a row that was sent back.
    GoBackId,
    /// Identifies days without work.
    LostDaysId,
}
