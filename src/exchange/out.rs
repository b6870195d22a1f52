//! Writing a table.

use std::collections::HashMap;
use std::io::Write;

use super::ExchangeError;
use super::table::Column;
use crate::orchard::{BlockId, PrunerId, Winter};
use crate::store::{Store, StoreError};

/// A table being written, as RFC 4180 asks: commas, CRLF, quotation marks where needed.
pub(super) struct Out<'w> {
    csv: csv::Writer<&'w mut dyn Write>,
    rows: usize,
    nameless: bool,
}

impl<'w> Out<'w> {
    /// Writes the headings; those of names are left out where it is to be `nameless`.
    pub(super) fn new(
        writer: &'w mut dyn Write,
        columns: &[Column],
        nameless: bool,
    ) -> Result<Self, ExchangeError> {
        let mut csv = csv::WriterBuilder::new()
            .terminator(csv::Terminator::CRLF)
            .from_writer(writer);
        let told = columns
            .iter()
            .filter(|column| !(nameless && column.of_name));
        csv.write_record(told.map(|column| column.name))
            .map_err(failed)?;
        Ok(Self {
            csv,
            rows: 0,
            nameless,
        })
    }

    /// Whether names are left out.
    pub(super) fn is_nameless(&self) -> bool {
        self.nameless
    }

    /// Writes a row; the cells stand in the order of the headings.
    pub(super) fn row(&mut self, cells: &[String]) -> Result<(), ExchangeError> {
        self.rows += 1;
        self.csv.write_record(cells).map_err(failed)
    }

    /// Makes sure that all is written; gives the number of rows.
    pub(super) fn finish(mut self) -> Result<usize, ExchangeError> {
        self.csv.flush().map_err(|e| failed(e.into()))?;
        Ok(self.rows)
    }
}

fn failed(error: csv::Error) -> ExchangeError {
    let source = match error.into_kind() {
        csv::ErrorKind::Io(source) => source,
        other => std::io::Error::other(format!("{other:?}")),
    };
    ExchangeError::Write {
        what: "the table".to_owned(),
        source,
    }
}

/// `yes` or `no`.
pub(super) fn yes_no(yes: bool) -> String {
    if yes { "yes" } else { "no" }.to_owned()
}

/// What blocks and pruners are called in tables.
pub(super) struct Labels {
    pub(super) winters: Vec<Winter>,
    blocks: HashMap<BlockId, String>,
    numbers: HashMap<PrunerId, u16>,
}

impl Labels {
    pub(super) fn read(store: &Store) -> Result<Self, StoreError> {
        let blocks = store.blocks()?.into_iter();
        let pruners = store.pruners()?.into_iter();
        Ok(Self {
            winters: store.winters()?,
            blocks: blocks
                .map(|block| (block.id, super::text::safe(&block.name)))
                .collect(),
            numbers: pruners.map(|pruner| (pruner.id, pruner.number)).collect(),
        })
    }

    pub(super) fn block(&self, block: BlockId) -> String {
        self.blocks.get(&block).cloned().unwrap_or_default()
    }

    /// A pruner's number.
    pub(super) fn number(&self, pruner: PrunerId) -> u16 {
        self.numbers.get(&pruner).copied().unwrap_or_default()
    }

    pub(super) fn pruner(&self, pruner: PrunerId) -> String {
        let number = self.numbers.get(&pruner);
        number.map_or_else(String::new, u16::to_string)
    }
}
