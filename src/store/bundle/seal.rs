//! Change sets whose identity follows from all that was changed in them, so that nobody can change a record and keep the
//! identity of its change set.
//!
//! A record is carried only as long as no later version replaces it. Of one that was replaced its digest is carried, so
//! that the identity can be told all the same. Change sets of earlier versions have no digests; what is known of them
//! here is compared with what comes in.

use sha2::{Digest as _, Sha256};
use uuid::Uuid;

use super::body::{self, Body};
use super::kinds::Kind;
use super::layout::Layout;

/// What a record's content comes down to: the first bytes of a SHA-256.
pub type Digest = [u8; 16];

/// The last bytes of each identity of this sort; earlier ones end so once in 16 million.
const MARK: [u8; 3] = [0x5e, 0xa1, 0xed];

/// Whether a change set's identity follows from digests.
pub(super) fn is_sealed(set: Uuid) -> bool {
    set.as_bytes().ends_with(&MARK)
}

/// The digest of a record as a change set left it. `body` has all columns.
pub(super) fn digest(
    layout: &Layout,
    key: &str,
    (removed, beside): (bool, &[Uuid]),
    body: &Body,
) -> Digest {
    let mut hash = Sha256::new();
    hash.update(format!("{} {key} {removed} ", layout.kind.word()));
    for set in beside {
        hash.update(set.as_bytes());
    }
    hash.update(body::text(&layout.told(body)));
    first_bytes(hash)
}

fn first_bytes(hash: Sha256) -> Digest {
    let mut first = [0; 16];
    first.copy_from_slice(&hash.finalize()[..16]);
    first
}

/// An identity in the making: records are added in the order of kind and key.
pub(super) struct Seal {
    hash: Sha256,
    last: (&'static str, String),
}

impl Seal {
    /// Of a change set that follows these.
    pub fn new(parents: &[Uuid], names: bool) -> Self {
        let mut parents = parents.to_vec();
        parents.sort_unstable();
        parents.dedup();
        let mut hash = Sha256::new();
        hash.update(format!("change set {names}"));
        for parent in parents {
            hash.update(parent.as_bytes());
        }
        Self {
            hash,
            last: ("", String::new()),
        }
    }

    /// Adds a record. `false` where it does not come after the one before, by word and key.
    pub fn add(&mut self, kind: Kind, key: &str, digest: &Digest) -> bool {
        let word = kind.word();
        if (word, key) <= (self.last.0, self.last.1.as_str()) {
            return false;
        }
        self.last.0 = word;
        key.clone_into(&mut self.last.1);
        self.hash.update(format!("\n{word} {key} "));
        self.hash.update(digest);
        true
    }

    /// The identity.
    pub fn id(self) -> Uuid {
        let mut bytes = first_bytes(self.hash);
        bytes[16 - MARK.len()..].copy_from_slice(&MARK);
        Uuid::from_bytes(bytes)
    }
}
