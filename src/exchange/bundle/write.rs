//! Writing a bundle.

use std::io::{self, BufWriter, Write};
use std::path::Path;

use flate2::Compression;
use flate2::write::GzEncoder;
use serde_json::json;
use sha2::{Digest, Sha256};
use uuid::Uuid;

use super::{BundleError, FORMAT};
use crate::store::bundle::{Carrier, Entry, Parcel, Since};
use crate::store::kept::Kept;
use crate::store::whole::write_whole_with;
use crate::store::{Store, StoreError, schema};

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

/// As [`write`], with names or without them, whatever is shown. One record is in memory at a time.
pub fn write_as(
    store: &Store,
    since: &Since,
    with_names: bool,
    path: &Path,
) -> Result<Written, BundleError> {
    let fail = |source| BundleError::Write {
        what: path.display().to_string(),
        source,
    };
    let mut refused = None;
    let kept = Kept::of(store.path());
    let written = write_whole_with(&kept, path, |file| {
        let mut out = LinesOut::new(Counted {
            out: BufWriter::new(file),
            bytes: 0,
        });
        match store.hand_out(since, with_names, &mut out) {
            Ok(head) => out.end().map(|(records, out)| (head, records, out.bytes)),
            Err(Stop::Disk(e)) => Err(e),
            Err(Stop::Store(e)) => {
                refused = Some(e);
                Err(io::Error::other("there is nothing to write"))
            }
        }
    });
    if let Some(refused) = refused {
        return Err(refused.into());
    }
    let (head, records, bytes) = written.map_err(fail)?;
    store.bundle_written(&head)?;
    Ok(Written {
        records,
        sets: head.sets.len(),
        bytes,
    })
}

/// Writes a parcel as a bundle.
pub fn write_to(parcel: &Parcel, writer: impl Write) -> io::Result<()> {
    let mut out = LinesOut::new(writer);
    out.head(parcel, parcel.changes.len() + parcel.replaced.len())?;
    for entry in parcel.entries() {
        out.line(&record(&entry))?;
    }
    out.end().map(drop)
}

fn header(head: &Parcel, records: usize) -> serde_json::Value {
    json!({
        "thirdwood_bundle": FORMAT,
        "schema": schema(),
        "orchards": ids(&head.orchards),
        "tablet": head.tablet,
        "base": ids(&head.base),
        "heads": ids(&head.heads),
        "sets": head.sets.len(),
        "records": records,
    })
}

fn record(entry: &Entry) -> String {
    let (kind, key, set) = entry.name();
    let mut line = json!({ "kind": kind.word(), "key": key, "set": set });
    let change = match entry {
        Entry::Replaced(replaced) => {
            line["replaced"] = super::hex(&replaced.digest).into();
            return line.to_string();
        }
        Entry::There(change) => change,
    };
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

/// Why it was not written to the end.
enum Stop {
    Disk(io::Error),
    Store(StoreError),
}

impl From<StoreError> for Stop {
    fn from(error: StoreError) -> Self {
        Self::Store(error)
    }
}

/// Lines that are summed and packed.
struct LinesOut<W: Write> {
    zip: GzEncoder<W>,
    hash: Sha256,
    records: usize,
}

impl<W: Write> LinesOut<W> {
    fn new(writer: W) -> Self {
        Self {
            zip: GzEncoder::new(writer, Compression::default()),
            hash: Sha256::new(),
            records: 0,
        }
    }

    fn line(&mut self, text: &str) -> io::Result<()> {
        for part in [text.as_bytes(), b"\n"] {
            self.hash.update(part);
            self.zip.write_all(part)?;
        }
        Ok(())
    }

    /// The header, and the change sets.
    fn head(&mut self, head: &Parcel, records: usize) -> io::Result<()> {
        self.records = records;
        self.line(&header(head, records).to_string())?;
        for set in &head.sets {
            let mut line = json!({
                "set": simple(set.id), "parents": ids(&set.parents), "height": set.height, "tablet": set.tablet,
            });
            if set.names {
                line["names"] = true.into();
            }
            self.line(&line.to_string())?;
        }
        Ok(())
    }

    /// The checksum. Gives how many records there are, and what they were written to.
    fn end(mut self) -> io::Result<(usize, W)> {
        let sum = super::hex(&self.hash.clone().finalize());
        self.line(&json!({ "sha256": sum }).to_string())?;
        let mut out = self.zip.finish()?;
        out.flush()?;
        Ok((self.records, out))
    }
}

impl<W: Write> Carrier for LinesOut<W> {
    type Error = Stop;

    fn begin(&mut self, head: &Parcel, entries: usize) -> Result<(), Stop> {
        self.head(head, entries).map_err(Stop::Disk)
    }

    fn entry(&mut self, entry: Entry) -> Result<(), Stop> {
        self.line(&record(&entry)).map_err(Stop::Disk)
    }
}
