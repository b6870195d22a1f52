//! A table that is read: what its lines may refer to, and what came of them.

use std::collections::{HashMap, HashSet};
use std::rc::Rc;

use chrono::NaiveDate;
use uuid::Uuid;

use super::cells::{Cells, whole};
use super::outcome::MAX_PROBLEMS;
use super::{ImportReport, Table};
use crate::orchard::limits::STEMS;
use crate::orchard::{Block, BlockDraft, PrunerId, RowPlan, Winter};
use crate::store::{Store, StoreError};

/// What became of the thing that a line speaks of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Became {
    Added,
    Changed,
    Unchanged,
}

impl Became {
    /// What becomes of a thing, by what is stored of it.
    pub(super) fn of<T: PartialEq>(old: Option<&T>, new: &T) -> Self {
        match old {
            None => Self::Added,
            Some(old) if old == new => Self::Unchanged,
            Some(_) => Self::Changed,
        }
    }
}

/// Which things lines of a file have spoken of, each once.
pub(super) struct Spoken<K>(HashMap<K, u64>);

impl<K: Eq + std::hash::Hash> Spoken<K> {
    pub(super) fn new() -> Self {
        Self(HashMap::new())
    }

    /// Notes on a line that an earlier one spoke of the same.
    pub(super) fn of(&mut self, cells: &mut Cells<'_>, field: &str, thing: K) {
        if let Some(before) = self.0.insert(thing, cells.line()) {
            cells.wrong(field, &format!("the same stands on line {before} already"));
        }
    }
}

/// Names (and numbers) of things whose own line was refused, by table: lines that refer to them
/// are refused without a word of their own.
pub(super) type Refused = HashSet<(Table, String)>;

/// A table being read.
pub(super) struct Import<'a> {
    pub(super) store: &'a Store,
    pub(super) today: NaiveDate,
    pub(super) new_id: &'a mut dyn FnMut() -> Uuid,
    pub(super) known: Known,
    pub(super) refused: &'a mut Refused,
    pub(super) report: ImportReport,
}

impl Import<'_> {
    /// Takes over what is wrong with a line. True where nothing is.
    pub(super) fn accept(&mut self, cells: Cells<'_>) -> bool {
        let good = cells.good();
        let room = MAX_PROBLEMS.saturating_sub(self.report.problems.len());
        let named = cells.problems.into_iter().take(room);
        self.report.problems.extend(named);
        good
    }

    /// As [`Import::accept`], for a line that others refer to by `name`.
    pub(super) fn accept_named(&mut self, table: Table, name: String, cells: Cells<'_>) -> bool {
        let good = self.accept(cells);
        if !good {
            self.refuse(table, name);
        }
        good
    }

    /// Lines that refer to this thing are refused without a word.
    pub(super) fn refuse(&mut self, table: Table, name: String) {
        self.refused.insert((table, name));
    }

    /// Counts what became of a thing.
    pub(super) fn note(&mut self, change: Became) {
        match change {
            Became::Added => self.report.added += 1,
            Became::Changed => self.report.changed += 1,
            Became::Unchanged => self.report.unchanged += 1,
        }
    }

    /// Notes on the line what the file refused for the sake of other things in it; passes on
    /// failures of the file itself.
    pub(super) fn saved(
        cells: &mut Cells<'_>,
        field: &str,
        outcome: Result<(), StoreError>,
    ) -> Result<(), StoreError> {
        match outcome {
            Err(StoreError::Taken(words) | StoreError::InUse(words)) => {
                cells.wrong(field, &words);
                Ok(())
            }
            other => other,
        }
    }

    /// The block that a line names.
    pub(super) fn block(&self, cells: &mut Cells<'_>) -> Option<Rc<KnownBlock>> {
        if cells.raw("block").is_empty() {
            cells.wrong("block", "is empty");
            return None;
        }
        let name = cells.text("block");
        let found = self.known.blocks.get(&name).cloned();
        if found.is_none() {
            self.unknown(cells, Table::Blocks, "block", name, "no block is called so");
        }
        found
    }

    /// The pruner whose number stands on a line; may be empty.
    pub(super) fn pruner(&self, cells: &mut Cells<'_>) -> Option<KnownPruner> {
        let number: u16 = cells.maybe("pruner", whole)?;
        let found = self.known.pruners.get(&number).copied();
        if found.is_none() {
            let number = number.to_string();
            let reason = "nobody in the crew has this number";
            self.unknown(cells, Table::Crew, "pruner", number, reason);
        }
        found.map(|id| KnownPruner { id, number })
    }

    /// The winter of a line: the one it names; or the only one; or the one that `day` belongs to,
    /// today where the line has no day.
    pub(super) fn winter(
        &self,
        cells: &mut Cells<'_>,
        day: Option<NaiveDate>,
    ) -> Option<Rc<Winter>> {
        let label = cells.text("winter");
        let winters = &self.known.winters;
        if label.is_empty() {
            let day = day.unwrap_or(self.today);
            let begun = winters.iter().rposition(|winter| winter.start <= day);
            let found = winters.get(begun.unwrap_or(0)).cloned();
            if found.is_none() {
                cells.wrong("winter", "is empty, and no winter was set up yet");
            }
            return found;
        }
        let found = winters.iter().find(|winter| winter.label == label).cloned();
        if found.is_none() {
            let reason = "no winter is called so";
            self.unknown(cells, Table::Winters, "winter", label, reason);
        }
        found
    }

    fn unknown(
        &self,
        cells: &mut Cells<'_>,
        table: Table,
        field: &str,
        name: String,
        reason: &str,
    ) {
        if self.refused.contains(&(table, name)) {
            cells.mute = true;
        } else {
            cells.wrong(field, reason);
        }
    }
}

/// A pruner whom lines name.
#[derive(Debug, Clone, Copy)]
pub(super) struct KnownPruner {
    pub(super) id: PrunerId,
    pub(super) number: u16,
}

/// A block that lines name.
pub(super) struct KnownBlock {
    /// The block as it stands.
    pub(super) now: Block,
    /// The block as it may have stood when an older count or draw was made: a tree at each place,
    /// and any number of stems. A row written by this program was checked when it was made; that
    /// a tree died since, or that the number of stems was put right, must not keep its count out.
    pub(super) once: Block,
}

impl KnownBlock {
    /// The block to check a row against: `recorded` rows carry the id that this program gave them.
    pub(super) fn at_the_time(&self, recorded: bool) -> &Block {
        if recorded { &self.once } else { &self.now }
    }
}

/// What lines may refer to.
pub(super) struct Known {
    pub(super) blocks: HashMap<String, Rc<KnownBlock>>,
    pruners: HashMap<u16, PrunerId>,
    /// In order of start.
    pub(super) winters: Vec<Rc<Winter>>,
}

impl Known {
    pub(super) fn read(store: &Store) -> Result<Self, StoreError> {
        let blocks = store.blocks()?;
        let blocks = blocks.into_iter().map(|now| {
            let once = once(&now);
            (now.name.clone(), Rc::new(KnownBlock { now, once }))
        });
        let pruners = store.pruners()?.into_iter();
        let winters = store.winters()?.into_iter();
        Ok(Self {
            blocks: blocks.collect(),
            pruners: pruners.map(|pruner| (pruner.number, pruner.id)).collect(),
            winters: winters.map(Rc::new).collect(),
        })
    }
}

fn once(now: &Block) -> Block {
    let rows = RowPlan::parse(&now.rows.rows_text(), "");
    let draft = BlockDraft {
        stems: *STEMS.end(),
        rows: rows.unwrap_or_else(|_| now.rows.clone()),
        ..now.draft().clone()
    };
    Block::new(now.id, draft).unwrap_or_else(|_| now.clone())
}
