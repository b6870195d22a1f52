//! Reading a bundle, within limits: whatever the file says, memory and time stay bounded.

use std::collections::BTreeMap;
use std::fs::File;
use std::io::{self, BufRead, BufReader, Read};
use std::path::Path;

use flate2::bufread::GzDecoder;
use serde::Deserialize;
use serde_json::Value;
use sha2::{Digest, Sha256};
use uuid::Uuid;

use super::first::Names;
use super::{BundleError, FORMAT};
use crate::orchard::visible;
use crate::store::bundle::{Change, ChangeSet, Parcel};
use crate::store::schema;

/// The most that a bundle may be. Twenty winters of 12,000 counts with 60 taps each stay within these.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Limits {
    /// Bytes of the file.
    pub file: u64,
    /// Bytes of its text once unpacked.
    pub text: u64,
    /// Bytes of one line.
    pub line: u64,
    /// Records.
    pub records: usize,
    /// Change sets.
    pub sets: usize,
    /// How many times larger the text may be than the file, beyond the first MiB of text.
    pub ratio: u64,
}

impl Default for Limits {
    fn default() -> Self {
        Self {
            file: 128 << 20,
            text: 512 << 20,
            line: 1 << 20,
            records: 2_000_000,
            sets: 50_000,
            ratio: 200,
        }
    }
}

/// Reads a bundle, and checks it whole.
pub fn read(path: &Path) -> Result<Parcel, BundleError> {
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
    read_from(File::open(path).map_err(fail)?, &what, Limits::default())
}

/// Reads a bundle from anywhere. `what` names it in messages.
pub fn read_from(reader: impl Read, what: &str, limits: Limits) -> Result<Parcel, BundleError> {
    let packed = BufReader::new(Counting {
        inner: reader,
        read: 0,
    });
    let mut lines = Lines {
        zip: BufReader::new(GzDecoder::new(packed)),
        what,
        limits,
        hash: Sha256::new(),
        line: 0,
        text: 0,
    };
    let (format, header) = lines.header()?;
    let mut first = (format < FORMAT).then(Names::default);
    let mut parcel = Parcel {
        orchards: header.orchards,
        tablet: header.tablet,
        base: header.base,
        heads: header.heads,
        sets: Vec::new(),
        changes: Vec::new(),
    };
    if header.records > limits.records {
        return Err(lines.too_large(limits.records as u64, "records"));
    }
    if header.sets > limits.sets {
        return Err(lines.too_large(limits.sets as u64, "change sets"));
    }
    for _ in 0..header.sets {
        let line: SetLine = lines.typed()?;
        if line.names && first.is_some() {
            return Err(lines.damaged("names apart, which came later"));
        }
        parcel.sets.push(ChangeSet {
            id: line.set,
            parents: line.parents,
            height: line.height,
            tablet: lines.label(line.tablet)?,
            names: line.names,
        });
    }
    for _ in 0..header.records {
        let mut line: RecordLine = lines.typed()?;
        if line.set >= parcel.sets.len() {
            return Err(lines.damaged("a record of no change set"));
        }
        if let Some(first) = &mut first {
            let change = (&*line.kind, &*line.key, line.set, line.removed);
            first
                .part(change, &mut line.body)
                .map_err(|problem| lines.damaged(problem))?;
        }
        parcel.changes.push(Change {
            kind: line.kind,
            key: line.key,
            set: line.set,
            removed: line.removed,
            beside: line.beside,
            body: serde_json::to_string(&line.body).map_err(|e| lines.damaged(e))?,
        });
    }
    lines.end()?;
    parcel.tablet = lines.label(parcel.tablet)?;
    if let Some(first) = first {
        first.put(&mut parcel);
    }
    if parcel.sets.len() > limits.sets {
        return Err(lines.too_large(limits.sets as u64, "change sets"));
    }
    Ok(parcel)
}

#[derive(Deserialize)]
struct Header {
    orchards: Vec<Uuid>,
    tablet: String,
    base: Vec<Uuid>,
    heads: Vec<Uuid>,
    sets: usize,
    records: usize,
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
    body: BTreeMap<String, Value>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct SumLine {
    sha256: String,
}

/// The lines of a bundle.
struct Lines<'a, R: Read> {
    zip: BufReader<GzDecoder<BufReader<Counting<R>>>>,
    what: &'a str,
    limits: Limits,
    hash: Sha256,
    line: u64,
    text: u64,
}

impl<R: Read> Lines<'_, R> {
    /// The next line, without its end.
    fn next(&mut self) -> Result<Vec<u8>, BundleError> {
        self.line += 1;
        let mut bytes = Vec::new();
        let read = (&mut self.zip)
            .take(self.limits.line + 1)
            .read_until(b'\n', &mut bytes);
        if let Err(source) = read {
            return Err(self.failed(source));
        }
        if bytes.len() as u64 > self.limits.line {
            return Err(self.too_large(self.limits.line, "bytes in a line"));
        }
        self.text += bytes.len() as u64;
        let packed = self.zip.get_ref().get_ref().get_ref().read;
        if packed > self.limits.file {
            return Err(self.too_large(self.limits.file, "bytes"));
        }
        if self.text > self.limits.text {
            return Err(self.too_large(self.limits.text, "bytes of text"));
        }
        if self.text > (1 << 20) + packed * self.limits.ratio {
            return Err(self.too_large(self.limits.ratio, "times its size once unpacked"));
        }
        if bytes.pop() != Some(b'\n') {
            return Err(self.damaged("it ends too early"));
        }
        Ok(bytes)
    }

    fn summed(&mut self) -> Result<Vec<u8>, BundleError> {
        let bytes = self.next()?;
        self.hash.update(&bytes);
        self.hash.update(b"\n");
        Ok(bytes)
    }

    fn typed<T: for<'de> Deserialize<'de>>(&mut self) -> Result<T, BundleError> {
        let bytes = self.summed()?;
        serde_json::from_slice(&bytes).map_err(|e| self.damaged(e))
    }

    /// The format, and the header.
    fn header(&mut self) -> Result<(u64, Header), BundleError> {
        let what = || self.what.to_owned();
        let foreign = BundleError::NotABundle { what: what() };
        let newer = BundleError::Newer { what: what() };
        let bytes = match self.summed() {
            Ok(bytes) => bytes,
            // not even packed as a bundle is
            Err(BundleError::Damaged { .. }) => return Err(foreign),
            Err(other) => return Err(other),
        };
        let Ok(value) = serde_json::from_slice::<Value>(&bytes) else {
            return Err(foreign);
        };
        let number = |name: &str| value.get(name).and_then(Value::as_u64);
        let (Some(format), Some(written)) = (number("thirdwood_bundle"), number("schema")) else {
            return Err(foreign);
        };
        if format > FORMAT || written > schema() {
            return Err(newer);
        }
        if format == 0 {
            return Err(foreign);
        }
        let header = serde_json::from_value(value).map_err(|e| self.damaged(e))?;
        Ok((format, header))
    }

    /// The last line, and then nothing more.
    fn end(&mut self) -> Result<(), BundleError> {
        let bytes = self.next()?;
        let last: SumLine = serde_json::from_slice(&bytes).map_err(|e| self.damaged(e))?;
        let sum = super::hex(&self.hash.clone().finalize());
        if last.sha256 != sum {
            return Err(self.damaged("its checksum does not fit"));
        }
        let mut more = [0];
        // reading to the end checks the packing's own checksum as well
        match self.zip.read(&mut more) {
            Ok(0) => {}
            Ok(_) => return Err(self.damaged("it goes on after its end")),
            Err(source) => return Err(self.failed(source)),
        }
        match self.zip.get_mut().get_mut().fill_buf() {
            Ok([]) => Ok(()),
            Ok(_) => Err(self.damaged("it goes on after its end")),
            Err(source) => Err(self.failed(source)),
        }
    }

    /// A label of a tablet: up to 8 letters and digits.
    fn label(&self, text: String) -> Result<String, BundleError> {
        if text.len() <= 8 && text.bytes().all(|byte| byte.is_ascii_alphanumeric()) {
            Ok(text)
        } else {
            Err(self.damaged("a label of a tablet that is none"))
        }
    }

    fn damaged(&self, problem: impl std::fmt::Display) -> BundleError {
        let problem: String = problem.to_string().chars().take(200).collect();
        BundleError::Damaged {
            what: self.what.to_owned(),
            line: self.line,
            problem: visible(&problem),
        }
    }

    fn failed(&self, source: io::Error) -> BundleError {
        use io::ErrorKind::{InvalidData, InvalidInput, UnexpectedEof};
        match source.kind() {
            InvalidData | InvalidInput | UnexpectedEof => self.damaged(source),
            _ => BundleError::Read {
                what: self.what.to_owned(),
                source,
            },
        }
    }

    fn too_large(&self, limit: u64, of: &'static str) -> BundleError {
        BundleError::TooLarge {
            what: self.what.to_owned(),
            limit,
            of,
        }
    }
}

/// Counts the bytes that were read.
struct Counting<R> {
    inner: R,
    read: u64,
}

impl<R: Read> Read for Counting<R> {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        let read = self.inner.read(buffer)?;
        self.read += read as u64;
        Ok(read)
    }
}
