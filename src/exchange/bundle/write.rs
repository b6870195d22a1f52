//! Writing a bundle.

use std::io::{self, BufWriter, Write};
use std::path::Path;

use flate2::Compression;
use flate2::write::GzEncoder;
use serde_json::json;
use sha2::{Digest, Sha256};
use uuid::Uuid;

use super::{BundleError, FORMAT};
use crate::store::bundle::{Change, Parcel, Since};
use crate::store::kept::Kept;
use crate::store::whole::write_whole_with;
use crate::store::{Store, schema};

/// What was written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Written {
    /// Records.
    pub records: usize,
    /// Change sets.
    pub sets: usize,
    /// Bytes of the file.
    pub bytes: u64,
}

/// Gathers what is to be carried and writes it, readable by its owner only. A file of the same name is replaced once
/// the new one is whole. Without names where only numbers are shown ([`Store::numbers_only`]).
pub fn write(store: &Store, since: &Since, path: &Path) -> Result<Written, BundleError> {
    let with_names = !store.numbers_only()?;
    write_as(store, since, with_names, path)
}

/// As [`write`], with names or without them, whatever is shown.
pub fn write_as(
    store: &Store,
    since: &Since,
    with_names: bool,
    path: &Path,
) -> Result<Written, BundleError> {
    let parcel = if with_names {
        store.parcel(since)?
    } else {
        store.parcel_without_names(since)?
    };
    let fail = |source| BundleError::Write {
        what: path.display().to_string(),
        source,
    };
    let kept = Kept::of(store.path());
    let bytes = write_whole_with(&kept, path, |out| {
        let mut out = Counted {
            out: BufWriter::new(out),
            bytes: 0,
        };
        write_to(&parcel, &mut out)?;
        out.flush()?;
        Ok(out.bytes)
    })
    .map_err(fail)?;
    store.bundle_written(&parcel)?;
    Ok(Written {
        records: parcel.changes.len(),
        sets: parcel.sets.len(),
        bytes,
    })
}

/// Writes a parcel as a bundle.
pub fn write_to(parcel: &Parcel, writer: impl Write) -> io::Result<()> {
    let mut out = Lines {
        zip: GzEncoder::new(writer, Compression::default()),
        hash: Sha256::new(),
    };
    out.line(&header(parcel).to_string())?;
    for set in &parcel.sets {
        let mut line = json!({
            "set": simple(set.id), "parents": ids(&set.parents), "height": set.height, "tablet": set.tablet,
        });
        if set.names {
            line["names"] = true.into();
        }
        out.line(&line.to_string())?;
    }
    for change in &parcel.changes {
        out.line(&record(change))?;
    }
    let sum = super::hex(&out.hash.clone().finalize());
    out.line(&json!({ "sha256": sum }).to_string())?;
    out.zip.finish()?.flush()
}

fn header(parcel: &Parcel) -> serde_json::Value {
    json!({
        "thirdwood_bundle": FORMAT,
        "schema": schema(),
        "orchards": ids(&parcel.orchards),
        "tablet": parcel.tablet,
        "base": ids(&parcel.base),
        "heads": ids(&parcel.heads),
        "sets": parcel.sets.len(),
        "records": parcel.changes.len(),
    })
}

fn record(change: &Change) -> String {
    let mut line = json!({ "kind": change.kind, "key": change.key, "set": change.set });
    if change.removed {
        line["removed"] = true.into();
    }
    if !change.beside.is_empty() {
        line["beside"] = ids(&change.beside).into();
    }
    // the body is JSON text already
    let head = line.to_string();
    format!("{},\"body\":{}}}", &head[..head.len() - 1], change.body)
}

fn ids(ids: &[Uuid]) -> Vec<String> {
    ids.iter().copied().map(simple).collect()
}

fn simple(id: Uuid) -> String {
    id.simple().to_string()
}

/// Counts what it passes on.
struct Counted<W: Write> {
    out: W,
    bytes: u64,
}

impl<W: Write> Write for Counted<W> {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        let written = self.out.write(bytes)?;
        self.bytes += written as u64;
        Ok(written)
    }

    fn flush(&mut self) -> io::Result<()> {
        self.out.flush()
    }
}

/// Lines that are summed and packed.
struct Lines<W: Write> {
    zip: GzEncoder<W>,
    hash: Sha256,
}

impl<W: Write> Lines<W> {
    fn line(&mut self, text: &str) -> io::Result<()> {
        for part in [text.as_bytes(), b"\n"] {
            self.hash.update(part);
            self.zip.write_all(part)?;
        }
        Ok(())
    }
}
