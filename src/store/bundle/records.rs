//! Records by their names, and what they say.

use std::collections::{BTreeMap, BTreeSet};

use super::body::Body;
use super::kinds::Kind;

/// What a record goes by: its kind and key.
pub(super) type RecordName = (Kind, String);

/// Names of records.
pub(super) type Touched = BTreeSet<RecordName>;

/// Something of each record.
pub(super) type Records<T> = BTreeMap<RecordName, T>;

/// What a record says: whether it is removed, and its (last) body.
pub(super) struct Said {
    pub removed: bool,
    pub body: Body,
}

/// The records of one kind.
pub(super) fn of_kind<T>(
    records: &Records<T>,
    kind: Kind,
) -> impl Iterator<Item = (&RecordName, &T)> {
    let from = records.range((kind, String::new())..);
    from.take_while(move |(name, _)| name.0 == kind)
}

/// The keys of one kind.
pub(super) fn keys_of(names: &Touched, kind: Kind) -> impl Iterator<Item = &String> {
    let from = names.range((kind, String::new())..);
    let of_kind = from.take_while(move |name| name.0 == kind);
    of_kind.map(|(_, key)| key)
}
