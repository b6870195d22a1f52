//! Reading a bundle, within limits: whatever the file says, memory and time stay bounded.

use std::collections::{BTreeMap, BTreeSet};
use std::fs::File;
use std::io::Read;
use std::path::Path;

use serde::Deserialize;
use serde_json::Value;
use uuid::Uuid;

use super::first::NamesOfFirst;
use super::lines::{Limits, LinesIn};
use super::{APART, BundleError};
use crate::store::bundle::{Change, ChangeSet, Digest, Entry, Kind, Parcel, Replaced};

/// Reads a bundle, and checks it whole.
pub fn read(path: &Path) -> Result<Parcel, BundleError> {
    collect(open(path)?)
}

/// Reads a bundle from anywhere. `what` names it in messages.
pub fn read_from(reader: impl Read, what: &str, limits: Limits) -> Result<Parcel, BundleError> {
    collect(Reading::begin(reader, what, limits)?)
}

fn collect(mut reading: Reading<impl Read>) -> Result<Parcel, BundleError> {
    let (mut changes, mut replaced) = (Vec::new(), Vec::new());
    while let Some(entry) = reading.next()? {
        match entry {
            Entry::There(change) => changes.push(change),
            Entry::Replaced(one) => replaced.push(one),
        }
    }
    Ok(Parcel {
        changes,
        replaced,
        ..reading.head
    })
}

/// A bundle that was read to its end and checked, and not kept in memory.
#[derive(Debug)]
pub struct Looked {
    /// What goes before its records.
    pub head: Parcel,
    /// How many records it has.
    pub records: usize,
    /// Pruners whose name it takes away, by key.
    pub names_gone: BTreeSet<String>,
    /// Its checksum.
    pub(super) sum: String,
}

/// Looks a bundle over.
pub fn look(path: &Path) -> Result<Looked, BundleError> {
    let mut reading = open(path)?;
    let mut names_gone = BTreeSet::new();
    let mut records = 0;
    while let Some(entry) = reading.next()? {
        records += 1;
        if let Entry::There(change) = entry
            && change.kind == Kind::NameRemoved
        {
            names_gone.insert(change.key);
        }
    }
    Ok(Looked {
        sum: reading.sum,
        head: reading.head,
        records,
        names_gone,
    })
}

/// Begins to read a file.
pub(super) fn open(path: &Path) -> Result<Reading<File>, BundleError> {
    let what = path.display().to_string();
    let fail = |source| BundleError::Read {
        what: what.clone(),
        source,
    };
    // a pipe or a device has no end to wait for
    let kind = std::fs::metadata(path).map_err(fail)?;
    if !kind.is_file() {
        return Err(BundleError::NotABundle { what });
    }
    Reading::begin(File::open(path).map_err(fail)?, &what, Limits::default())
}

/// A bundle that is read record by record. Its checksum is looked at once the last one was read.
pub(super) struct Reading<R: Read> {
    lines: LinesIn<R>,
    /// What goes before the records; complete once all were read.
    head: Parcel,
    left: usize,
    /// Of the first format: the names that stood with pruners.
    first: Option<NamesOfFirst>,
    /// Names that were put apart, to be read last.
    apart: std::vec::IntoIter<Change>,
    over: bool,
    /// The checksum, once all were read.
    pub sum: String,
}

impl<R: Read> Reading<R> {
    fn begin(reader: R, what: &str, limits: Limits) -> Result<Self, BundleError> {
        let mut lines = LinesIn::new(reader, what, limits);
        let (format, header) = lines.header()?;
        let first = (format < APART).then(NamesOfFirst::default);
        if header.orchards.len() > limits.orchards {
            return Err(lines.too_large(limits.orchards as u64, "orchards made one"));
        }
        if header.records > limits.records {
            return Err(lines.too_large(limits.records as u64, "records"));
        }
        if header.sets > limits.sets {
            return Err(lines.too_large(limits.sets as u64, "change sets"));
        }
        let mut head = Parcel {
            orchards: header.orchards,
            tablet: lines.label(header.tablet)?,
            base: header.base,
            heads: header.heads,
            ..Parcel::default()
        };
        let mut links = 0;
        for _ in 0..header.sets {
            let line: SetLine = lines.typed()?;
            if line.names && first.is_some() {
                return Err(lines.damaged("names apart, which came later"));
            }
            links += line.parents.len();
            if links > limits.links {
                return Err(lines.too_large(limits.links as u64, "links between change sets"));
            }
            head.sets.push(ChangeSet {
                id: line.set,
                parents: line.parents,
                height: line.height,
                tablet: lines.label(line.tablet)?,
                names: line.names,
            });
        }
        Ok(Self {
            lines,
            head,
            left: header.records,
            first,
            apart: Vec::new().into_iter(),
            over: false,
            sum: String::new(),
        })
    }

    /// The next record; none once all were read and the checksum fits.
    pub fn next(&mut self) -> Result<Option<Entry>, BundleError> {
        if self.left > 0 {
            self.left -= 1;
            return self.record().map(Some);
        }
        if !std::mem::replace(&mut self.over, true) {
            self.end()?;
        }
        Ok(self.apart.next().map(Entry::There))
    }

    fn end(&mut self) -> Result<(), BundleError> {
        self.sum = self.lines.end()?;
        let Some(first) = self.first.take() else {
            return Ok(());
        };
        first.put(&mut self.head);
        self.apart = std::mem::take(&mut self.head.changes).into_iter();
        let limits = self.lines.limits;
        if self.head.sets.len() > limits.sets {
            return Err(self.lines.too_large(limits.sets as u64, "change sets"));
        }
        Ok(())
    }

    fn record(&mut self) -> Result<Entry, BundleError> {
        let lines = &mut self.lines;
        let line: RecordLine = lines.typed()?;
        if line.set >= self.head.sets.len() {
            return Err(lines.damaged("a record of no change set"));
        }
        let kind = Kind::parse(&line.kind);
        let kind = kind.ok_or_else(|| lines.damaged("a record of a kind that is not known"))?;
        let (key, set) = (line.key, line.set);
        let mut body = match (line.body, line.replaced) {
            (Some(body), None) => body,
            (None, Some(replaced)) => {
                let digest = digest(&replaced).filter(|_| !line.removed && line.beside.is_empty());
                let digest = digest.ok_or_else(|| lines.damaged("a digest that is none"))?;
                return Ok(Entry::Replaced(Replaced {
                    kind,
                    key,
                    set,
                    digest,
                }));
            }
            _ => return Err(lines.damaged("a record of which nothing is told")),
        };
        if let Some(first) = &mut self.first {
            first
                .part((kind, &key, set, line.removed), &mut body)
                .map_err(|problem| lines.damaged(problem))?;
        }
        Ok(Entry::There(Change {
            kind,
            key,
            set,
            removed: line.removed,
            beside: line.beside,
            body: serde_json::to_string(&body).map_err(|e| lines.damaged(e))?,
        }))
    }
}

/// Reads a digest: 32 small hexadecimal digits.
fn digest(text: &str) -> Option<Digest> {
    let id = Uuid::try_parse(text).ok()?;
    (id.simple().to_string() == text).then_some(id.into_bytes())
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct SetLine {
    set: Uuid,
    parents: Vec<Uuid>,
    height: u64,
    tablet: String,
    #[serde(default)]
    names: bool,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RecordLine {
    kind: String,
    key: String,
    set: usize,
    #[serde(default)]
    removed: bool,
    #[serde(default)]
    beside: Vec<Uuid>,
    body: Option<BTreeMap<String, Value>>,
    replaced: Option<String>,
}
