//! The table of blocks. A block is known by its name.

use std::collections::HashMap;

use super::cells::{Cells, whole};
use super::import::{Became, Import};
use super::out::{Labels, Out};
use super::sheet::Sheet;
use super::table::{Column, needed, optional};
use super::text::safe;
use super::{ExchangeError, Table};
use crate::orchard::{Block, BlockDraft, BlockId, RowPlan, Sides};
use crate::store::{Store, StoreError};

pub(super) const COLUMNS: &[Column] = &[
    needed("name"),
    optional("variety"),
    optional("rootstock"),
    optional("planted"),
    optional("row_spacing_m"),
    optional("tree_spacing_m"),
    optional("stems"),
    optional("sides"),
    optional("lean_deg"),
    optional("rows"),
    optional("missing"),
];

pub(super) fn export(store: &Store, _: &Labels, out: &mut Out<'_>) -> Result<(), ExchangeError> {
    for block in store.blocks()? {
        out.row(&[
            safe(&block.name),
            safe(&block.variety),
            safe(&block.rootstock),
            block.planted.map_or_else(String::new, |y| y.to_string()),
            block.row_spacing_m.to_string(),
            block.tree_spacing_m.to_string(),
            block.stems.to_string(),
            block.sides.word().to_owned(),
            block.lean_deg.to_string(),
            block.rows.rows_text(),
            no_time(block.rows.missing_text()),
        ])?;
    }
    Ok(())
}

/// A single missing tree such as `3:40` would be taken for a time of day by a spreadsheet, and
/// `3:75` come back as `04:15`; with a comma after it, which reads the same here, it stays text.
fn no_time(mut missing: String) -> String {
    if !missing.is_empty() && !missing.contains([',', '-']) {
        missing.push(',');
    }
    missing
}

/// The most rows and missing trees of a table: a short line can name thousands of them.
const MOST_PLACES: usize = 200_000;

pub(super) fn import(import: &mut Import<'_>, sheet: &Sheet) -> Result<(), StoreError> {
    if let Some(cells) = too_many(import, sheet) {
        import.accept(cells);
        return Ok(());
    }
    let mut lines: HashMap<String, u64> = HashMap::new();
    for line in &sheet.lines {
        let mut cells = Cells::new(sheet, line);
        let name = cells.text("name");
        if let Some(before) = lines.insert(name.clone(), cells.line()) {
            cells.wrong("name", &format!("stands on line {before} already"));
        }
        let old = import.known.blocks.get(&name);
        let old = old.map(|known| known.now.clone());
        let id = match &old {
            Some(old) => old.id,
            None => BlockId((import.new_id)()),
        };
        let draft = read(&mut cells, old.as_ref());
        let block = cells.judge(Block::new(id, draft));
        if let Some(block) = block {
            let change = change(old.as_ref(), &block);
            if change != Became::Unchanged {
                Import::saved(&mut cells, "rows", import.store.save_block(&block))?;
            }
            import.note(change);
        }
        import.accept_named(Table::Blocks, name, cells);
    }
    Ok(())
}

/// The line with which a table names more than it may, looked for before anything is written.
fn too_many<'s>(import: &Import<'_>, sheet: &'s Sheet) -> Option<Cells<'s>> {
    let mut room = MOST_PLACES;
    for line in &sheet.lines {
        let mut cells = Cells::new(sheet, line);
        let old = import.known.blocks.get(&cells.text("name"));
        let draft = read(&mut cells, old.map(|known| &known.now));
        let Some(left) = room.checked_sub(named(&draft)) else {
            let mut cells = Cells::new(sheet, line);
            let reason = format!(
                "the table names more than {MOST_PLACES} rows and missing trees: part it into several files"
            );
            cells.wrong("rows", &reason);
            return Some(cells);
        };
        room = left;
    }
    None
}

/// Rows and missing trees that a line names: each is a record of its own in the file.
fn named(draft: &BlockDraft) -> usize {
    let rows = draft.rows.rows().iter();
    rows.map(|row| 1 + row.missing.len()).sum()
}

fn change(old: Option<&Block>, new: &Block) -> Became {
    match old {
        None => Became::Added,
        Some(old) if old == new => Became::Unchanged,
        Some(_) => Became::Changed,
    }
}

/// The block of a line; what the table does not hold is as it was.
fn read(cells: &mut Cells<'_>, old: Option<&Block>) -> BlockDraft {
    let mut draft = old.map_or_else(BlockDraft::default, |old| old.draft().clone());
    draft.name = cells.text("name");
    draft.variety = cells.text_or("variety", &draft.variety);
    draft.rootstock = cells.text_or("rootstock", &draft.rootstock);
    draft.planted = cells.get("planted", draft.planted, None, |raw| whole(raw).map(Some));
    draft.row_spacing_m = spacing(cells, "row_spacing_m", old.map(|old| old.row_spacing_m));
    draft.tree_spacing_m = spacing(cells, "tree_spacing_m", old.map(|old| old.tree_spacing_m));
    draft.stems = cells.get("stems", draft.stems, 1, whole);
    draft.sides = cells.get("sides", draft.sides, Sides::Flat, |raw| {
        Sides::parse(&raw.to_lowercase())
    });
    if cells.has("lean_deg") {
        draft.lean_deg = cells.number("lean_deg", 0.0);
    }
    draft.rows = rows(cells, old);
    draft
}

/// A spacing; a new block must have it.
fn spacing(cells: &mut Cells<'_>, column: &str, old: Option<f64>) -> f64 {
    match old {
        Some(old) if !cells.has(column) => old,
        _ if cells.raw(column).is_empty() => {
            cells.wrong(column, "is empty");
            0.0
        }
        _ => cells.number(column, 0.0),
    }
}

fn rows(cells: &mut Cells<'_>, old: Option<&Block>) -> RowPlan {
    let places = cells.text_or(
        "rows",
        &old.map_or(String::new(), |old| old.rows.rows_text()),
    );
    let missing = old.map_or(String::new(), |old| old.rows.missing_text());
    let missing = cells.text_or("missing", &missing);
    let plan = RowPlan::typed(&places, "").and_then(|_| RowPlan::typed(&places, &missing));
    plan.unwrap_or_else(|invalid| {
        cells.refused(&invalid);
        RowPlan::default()
    })
}
