//! The table of growth: new wood of a block each year, and the share of each age that is still there a winter later.

use super::ExchangeError;
use super::cells::Cells;
use super::import::{Became, Import, Spoken};
use super::out::{Labels, Out};
use super::sheet::Sheet;
use super::table::{Column, needed};
use crate::orchard::Faults;
use crate::outlook::Growing;
use crate::store::{Store, StoreError};

pub(super) const COLUMNS: &[Column] = &[
    needed("block"),
    needed("grown"),
    needed(SURVIVAL[0]),
    needed(SURVIVAL[1]),
    needed(SURVIVAL[2]),
    needed(SURVIVAL[3]),
];

const SURVIVAL: [&str; 4] = [
    "survival_one",
    "survival_two",
    "survival_three",
    "survival_four_plus",
];

pub(super) fn export(
    store: &Store,
    labels: &Labels,
    out: &mut Out<'_>,
) -> Result<(), ExchangeError> {
    let book = store.crop_of_blocks()?.0.into_iter();
    let rows = book.filter_map(|(block, book)| Some((labels.block(block), book.growth?)));
    let mut rows: Vec<_> = rows.collect();
    rows.sort_by(|a, b| a.0.cmp(&b.0));
    for (block, growth) in rows {
        let mut row = vec![block, growth.grown.to_string()];
        row.extend(growth.survival.map(|share| share.to_string()));
        out.row(&row)?;
    }
    Ok(())
}

pub(super) fn import(import: &mut Import<'_>, sheet: &Sheet) -> Result<(), StoreError> {
    let known = import.store.crop_of_blocks()?;
    let mut spoken = Spoken::new();
    for line in &sheet.lines {
        let mut cells = Cells::new(sheet, line);
        let block = import.block(&mut cells).map(|block| block.now.id);
        if let Some(block) = block {
            spoken.of(&mut cells, "block", block);
        }
        let growth = growth(&mut cells);
        if let (Some(block), Some(growth), true) = (block, growth, cells.good()) {
            let change = Became::of(known.of(block).growth.as_ref(), &growth);
            if change != Became::Unchanged {
                import.store.save_growth(block, Some(&growth))?;
            }
            import.note(change);
        }
        import.accept(cells);
    }
    Ok(())
}

fn growth(cells: &mut Cells<'_>) -> Option<Growing> {
    let grown = cells.must_number("grown");
    let survival = SURVIVAL.map(|column| {
        let share = cells.must_number(column)?;
        if (Growing::LEAST_SURVIVAL..=1.0).contains(&share) {
            return Some(share);
        }
        let reason = format!("is outside {} to 1", Growing::LEAST_SURVIVAL);
        cells.wrong(column, &reason);
        None
    });
    let [one, two, three, four] = survival;
    let survival = [one?, two?, three?, four?];
    cells.judge(Growing::new(grown?, survival).map_err(Faults::from))
}
