//! The table of marked trees, in walking order. A mark is known by its tree.

use std::collections::HashMap;

use super::ExchangeError;
use super::cells::{Cells, whole};
use super::import::{Became, Import};
use super::out::{Labels, Out};
use super::sheet::Sheet;
use super::table::{Column, needed, optional};
use super::text::safe;
use crate::orchard::{BlockId, Mark, TreeMark, parse_day};
use crate::store::{Store, StoreError};

pub(super) const COLUMNS: &[Column] = &[
    needed("block"),
    needed("row"),
    needed("tree"),
    needed("mark"),
    optional("note"),
    optional("day"),
];

pub(super) fn export(
    store: &Store,
    labels: &Labels,
    out: &mut Out<'_>,
) -> Result<(), ExchangeError> {
    let mut rows: Vec<_> = (store.marks()?.into_iter())
        .map(|mark| (labels.block(mark.block), mark))
        .collect();
    rows.sort_by(|a, b| (&a.0, a.1.row, a.1.tree).cmp(&(&b.0, b.1.row, b.1.tree)));
    for (block, mark) in rows {
        out.row(&[
            block,
            mark.row.to_string(),
            mark.tree.to_string(),
            mark.mark.word().to_owned(),
            safe(&mark.note),
            mark.day.to_string(),
        ])?;
    }
    Ok(())
}

/// Where a tree stands.
type Place = (BlockId, u16, u16);

pub(super) fn import(import: &mut Import<'_>, sheet: &Sheet) -> Result<(), StoreError> {
    let known = import.store.marks()?.into_iter();
    let known: HashMap<Place, TreeMark> = known.map(|mark| (mark.place(), mark)).collect();
    let mut lines: HashMap<Place, u64> = HashMap::new();
    for line in &sheet.lines {
        let mut cells = Cells::new(sheet, line);
        if let Some(mark) = mark(import, &mut cells, &known) {
            match lines.insert(mark.place(), cells.line()) {
                Some(before) => {
                    let reason = format!("this tree stands on line {before} already");
                    cells.wrong("tree", &reason);
                }
                None => import.note(keep(import.store, &mark, known.get(&mark.place()))?),
            }
        }
        import.accept(cells);
    }
    Ok(())
}

fn keep(store: &Store, mark: &TreeMark, old: Option<&TreeMark>) -> Result<Became, StoreError> {
    let change = match old {
        None => Became::Added,
        Some(old) if old == mark => return Ok(Became::Unchanged),
        Some(_) => Became::Changed,
    };
    store.save_mark(mark)?;
    Ok(change)
}

fn mark(
    import: &Import<'_>,
    cells: &mut Cells<'_>,
    known: &HashMap<Place, TreeMark>,
) -> Option<TreeMark> {
    let block = import.block(cells);
    let row: Option<u16> = cells.must("row", whole);
    let tree: Option<u16> = cells.must("tree", whole);
    let mark = cells.must("mark", |raw| Mark::parse(&raw.to_lowercase()));
    let (block, row, tree) = (&block?.now, row?, tree?);
    let old = known.get(&(block.id, row, tree));
    let usual = old.map_or(import.today, |old| old.day);
    let day = cells.get("day", usual, usual, |raw| parse_day("day", raw));
    let note = cells.text_or("note", old.map_or("", |old| &old.note));
    let marked = TreeMark {
        block: block.id,
        row,
        tree,
        mark: mark?,
        note,
        day,
    };
    cells.judge(marked.check(block))
}
