//! The lines of a bundle as they stand in the file: unpacked, summed, within limits.

use std::io::{self, BufRead, BufReader, Read};

use flate2::bufread::GzDecoder;
use serde::Deserialize;
use serde_json::Value;
use sha2::{Digest, Sha256};
use uuid::Uuid;

use super::{BundleError, FORMAT};
use crate::orchard::visible;
use crate::store::bundle::MOST_ORCHARDS;
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
    /// Orchards that were made one.
    pub orchards: usize,
    /// Parents of change sets, all together.
    pub links: usize,
    /// How many times larger the text may be than the file, beyond the first MiB of text.
    pub ratio: u64,
}

impl Default for Limits {
    fn default() -> Self {
        Self {
            file: 128 << 20,
            text: 512 << 20,
            line: 1 << 20,
            records: 1_000_000,
            sets: 50_000,
            orchards: MOST_ORCHARDS,
            links: 500_000,
            ratio: 200,
        }
    }
}

/// The first line.
#[derive(Deserialize)]
pub(super) struct Header {
    pub orchards: Vec<Uuid>,
    pub tablet: String,
    pub base: Vec<Uuid>,
    pub heads: Vec<Uuid>,
    pub sets: usize,
    pub records: usize,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct SumLine {
    sha256: String,
}

/// The lines of a bundle.
pub(super) struct LinesIn<R: Read> {
    zip: BufReader<GzDecoder<BufReader<Counting<R>>>>,
    what: String,
    pub limits: Limits,
    hash: Sha256,
    line: u64,
    text: u64,
}

impl<R: Read> LinesIn<R> {
    /// Begins to read. `what` names the bundle in messages.
    pub fn new(reader: R, what: &str, limits: Limits) -> Self {
        let packed = BufReader::new(Counting {
            inner: reader,
            read: 0,
        });
        Self {
            zip: BufReader::new(GzDecoder::new(packed)),
            what: what.to_owned(),
            limits,
            hash: Sha256::new(),
            line: 0,
            text: 0,
        }
    }

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

    /// The next line, as what it is.
    pub fn typed<T: for<'de> Deserialize<'de>>(&mut self) -> Result<T, BundleError> {
        let bytes = self.summed()?;
        serde_json::from_slice(&bytes).map_err(|e| self.damaged(e))
    }

    /// The format, and the header.
    pub fn header(&mut self) -> Result<(u64, Header), BundleError> {
        let what = || self.what.clone();
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

    /// The last line, and then nothing more. Gives the checksum.
    pub fn end(&mut self) -> Result<String, BundleError> {
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
            Ok([]) => Ok(sum),
            Ok(_) => Err(self.damaged("it goes on after its end")),
            Err(source) => Err(self.failed(source)),
        }
    }

    /// A label of a tablet: up to 8 letters and digits.
    pub fn label(&self, text: String) -> Result<String, BundleError> {
        if text.len() <= 8 && text.bytes().all(|byte| byte.is_ascii_alphanumeric()) {
            Ok(text)
        } else {
            Err(self.damaged("a label of a tablet that is none"))
        }
    }

    /// What is wrong with the line that was read last.
    pub fn damaged(&self, problem: impl std::fmt::Display) -> BundleError {
        let problem: String = problem.to_string().chars().take(200).collect();
        BundleError::Damaged {
            what: self.what.clone(),
            line: self.line,
            problem: visible(&problem),
        }
    }

    fn failed(&self, source: io::Error) -> BundleError {
        use io::ErrorKind::{InvalidData, InvalidInput, UnexpectedEof};
        match source.kind() {
            InvalidData | InvalidInput | UnexpectedEof => self.damaged(source),
            _ => BundleError::Read {
                what: self.what.clone(),
                source,
            },
        }
    }

    /// More than a bundle may have.
    pub fn too_large(&self, limit: u64, of: &'static str) -> BundleError {
        BundleError::TooLarge {
            what: self.what.clone(),
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
