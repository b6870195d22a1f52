//! The table of factors: the numbers between buds and tonnes that a block has of its own.

use super::ExchangeError;
use super::cells::Cells;
use super::import::{Became, Import, Spoken};
use super::out::{Labels, Out};
use super::sheet::Sheet;
use super::table::{Column, needed};
use crate::outlook::{Factor, FactorKind, Source};
use crate::store::{Store, StoreError};

pub(super) const COLUMNS: &[Column] = &[
    needed("block"),
    needed("factor"),
    needed("value"),
    needed("spread"),
];

pub(super) fn export(
    store: &Store,
    labels: &Labels,
    out: &mut Out<'_>,
) -> Result<(), ExchangeError> {
    let mut rows = Vec::new();
    for (block, book) in store.crop_of_blocks()?.0 {
        for factor in book.factors {
            let place = FactorKind::ALL
                .iter()
                .position(|kind| *kind == factor.kind());
            rows.push((labels.block(block), place, factor));
        }
    }
    rows.sort_by(|a, b| (&a.0, a.1).cmp(&(&b.0, b.1)));
    for (block, _, factor) in rows {
        out.row(&[
            block,
            factor.kind().field().to_owned(),
            factor.value().to_string(),
            factor.sd().to_string(),
        ])?;
    }
    Ok(())
}

pub(super) fn import(import: &mut Import<'_>, sheet: &Sheet) -> Result<(), StoreError> {
    let known = import.store.crop_of_blocks()?;
    let mut spoken = Spoken::new();
    for line in &sheet.lines {
        let mut cells = Cells::new(sheet, line);
        let block = import.block(&mut cells).map(|block| block.now.id);
        let kind = cells.must("factor", FactorKind::parse);
        let value = cells.must_number("value");
        let spread = cells.must_number("spread");
        if let (Some(block), Some(kind)) = (block, kind) {
            spoken.of(&mut cells, "factor", (block, kind));
        }
        if let (Some(block), Some(kind), Some(value), Some(spread)) = (block, kind, value, spread) {
            match Factor::new(kind, value, spread, Source::Entered) {
                Ok(factor) if cells.good() => {
                    let own = known.of(block).factors;
                    let old = own.iter().find(|own| own.kind() == kind);
                    let change = Became::of(old, &factor);
                    if change != Became::Unchanged {
                        import.store.save_factor(block, &factor)?;
                    }
                    import.note(change);
                }
                Ok(_) => {}
                Err(wrong) => cells.wrong("value", &wrong.problem),
            }
        }
        import.accept(cells);
    }
    Ok(())
}
