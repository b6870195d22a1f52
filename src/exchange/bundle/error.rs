//! Why a bundle was not written or not read.

use std::io;
use std::path::PathBuf;

use thiserror::Error;

use crate::store::{StoreError, why};

/// Why a bundle was not written or not read. Nothing was changed in any case.
#[derive(Debug, Error)]
pub enum BundleError {
    /// The file cannot be read.
    #[error("cannot read {what}: {}", why(source))]
    Read {
        /// Which.
        what: String,
        /// What the system said.
        source: io::Error,
    },
    /// The file cannot be written.
    #[error("cannot write {what}: {}; nothing of it was kept", why(source))]
    Write {
        /// Which.
        what: String,
        /// What the system said.
        source: io::Error,
    },
    /// The file is something else.
    #[error("{what} is not a bundle of thirdwood: choose a file that `thirdwood bundle` wrote")]
    NotABundle {
        /// Which.
        what: String,
    },
    /// The file was written by a later version.
    #[error(
        "{what} was written by a newer thirdwood: install the newer program on this tablet as well; nothing was changed"
    )]
    Newer {
        /// Which.
        what: String,
    },
    /// The file is larger than any orchard.
    #[error(
        "{what} is refused: it has more than {limit} ({of}), which no orchard needs; nothing was changed"
    )]
    TooLarge {
        /// Which.
        what: String,
        /// The most.
        limit: u64,
        /// Of what.
        of: &'static str,
    },
    /// The file is damaged.
    #[error(
        "{what} is damaged at line {line}: {problem}; nothing was changed, copy it or have it written once more"
    )]
    Damaged {
        /// Which.
        what: String,
        /// The line of the unpacked text, from 1.
        line: u64,
        /// What is wrong.
        problem: String,
    },
    /// The file was written anew while it was read.
    #[error("{what} was changed while it was read: nothing was changed, take it in once more")]
    Changed {
        /// Which.
        what: String,
    },
    /// The orchard file refused it.
    #[error("{path}: {source}", path = path.display())]
    Refused {
        /// The bundle.
        path: PathBuf,
        /// Why.
        source: StoreError,
    },
    /// The orchard file.
    #[error(transparent)]
    Store(#[from] StoreError),
}
