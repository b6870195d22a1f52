//! The table of rows that were sent back.

use super::ExchangeError;
use super::cells::{Cells, identity, whole};
use super::identity::{Present, key};
use super::import::{Became, Import};
use super::out::{Labels, Out};
use super::sheet::Sheet;
use super::table::{Column, needed, optional};
use super::text::safe;
use crate::orchard::{GoBack, GoBackId, Outcome, Settled};
use crate::store::{Store, StoreError};

pub(super) const COLUMNS: &[Column] = &[
    optional("winter"),
    needed("block"),
    needed("row"),
    needed("pruner"),
    needed("day").of_day(),
    optional("reason"),
    optional("outcome"),
    optional("settled_day").of_day(),
    optional("id"),
];

pub(super) fn export(
    store: &Store,
    labels: &Labels,
    out: &mut Out<'_>,
) -> Result<(), ExchangeError> {
    for winter in &labels.winters {
        for entry in store.go_backs(winter.id)? {
            let settled = entry.settled;
            out.row(&[
                safe(&winter.label),
                labels.block(entry.block),
                entry.row.to_string(),
                labels.pruner(entry.pruner),
                entry.day.to_string(),
                safe(&entry.reason),
                settled.map_or_else(String::new, |s| s.outcome.word().to_owned()),
                settled.map_or_else(String::new, |s| s.day.to_string()),
                entry.id.to_string(),
            ])?;
        }
    }
    Ok(())
}

fn spot(entry: &GoBack) -> String {
    key(&[&entry.winter, &entry.block, &entry.row, &entry.day])
}

pub(super) fn import(import: &mut Import<'_>, sheet: &Sheet) -> Result<(), StoreError> {
    let mut known = Vec::new();
    for winter in &import.known.winters {
        known.extend(import.store.go_backs(winter.id)?);
    }
    let known = known.into_iter();
    let mut present = Present::new(known.map(|entry| (entry.id.0, spot(&entry), entry)));
    for line in &sheet.lines {
        let mut cells = Cells::new(sheet, line);
        if let Some(change) = one(import, &mut cells, &mut present)? {
            import.note(change);
        }
        import.accept(cells);
    }
    Ok(())
}

fn one(
    import: &Import<'_>,
    cells: &mut Cells<'_>,
    present: &mut Present<GoBack>,
) -> Result<Option<Became>, StoreError> {
    let given = cells.maybe("id", identity);
    let old = given.and_then(|id| present.get(id)).cloned();
    let day = cells.must_day("day");
    let winter = import.winter(cells, day);
    let block = import.block(cells);
    let row: Option<u16> = cells.must("row", whole);
    let pruner = cells.must("pruner", whole::<u16>);
    let pruner = pruner.and_then(|_| import.pruner(cells));
    let reason = cells.text_or("reason", old.as_ref().map_or("", |old| &old.reason));
    let settled = settled(cells, old.as_ref());
    let (Some(winter), Some(pruner), Some(block), Some(row), Some(day)) =
        (winter, pruner, block, row, day)
    else {
        return Ok(None);
    };
    let entry = GoBack {
        id: GoBackId(uuid::Uuid::nil()),
        winter: winter.id,
        block: block.now.id,
        row,
        pruner: pruner.id,
        day,
        reason,
        settled,
    };
    let Some(mut entry) = cells.judge(entry.check(&block.now)) else {
        return Ok(None);
    };
    let says = key(&[
        &"go-back",
        &winter.label,
        &block.now.name,
        &row,
        &pruner.number,
        &day,
        &entry.reason,
    ]);
    let same = |old: &GoBack| {
        let id = old.id;
        let entry = entry.clone();
        *old == GoBack { id, ..entry }
    };
    let id = present.settle(cells, given, &says, &spot(&entry), same);
    if !cells.good() {
        return Ok(None);
    }
    entry.id = GoBackId(id);
    let change = match present.get(id) {
        None => Became::Added,
        Some(old) if *old == entry => Became::Unchanged,
        Some(_) => Became::Changed,
    };
    if change != Became::Unchanged {
        import.store.save_go_back(&entry)?;
    }
    Ok(Some(change))
}

/// The outcome and its day: both or neither.
fn settled(cells: &mut Cells<'_>, old: Option<&GoBack>) -> Option<Settled> {
    if !cells.has("outcome") && !cells.has("settled_day") {
        return old.and_then(|old| old.settled);
    }
    let outcome = cells.maybe("outcome", |raw| Outcome::parse(&raw.to_lowercase()));
    let day = cells.day("settled_day", None, None);
    match (outcome, day) {
        (Some(outcome), Some(day)) => Some(Settled { outcome, day }),
        (Some(_), None) => {
            cells.wrong("settled_day", "is empty, but an outcome is given");
            None
        }
        (None, Some(_)) => {
            cells.wrong("outcome", "is empty, but the day it was seen is given");
            None
        }
        (None, None) => None,
    }
}
