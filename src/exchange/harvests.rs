//! The table of harvests: what a block bore in a year. A harvest is known by its block and year.

use std::collections::HashMap;

use super::ExchangeError;
use super::cells::{Cells, whole};
use super::import::{Became, Import};
use super::out::{Labels, Out};
use super::sheet::Sheet;
use super::table::{Column, needed, optional};
use crate::orchard::{Block, BlockId, Invalid};
use crate::outlook::{HarvestEntry, Weighed, Yield, season_year};
use crate::store::{Store, StoreError};

pub(super) const COLUMNS: &[Column] = &[
    needed("block"),
    needed("season"),
    optional("t_per_ha"),
    optional("kg_per_tree"),
    optional("mean_g"),
    optional("weighed"),
];

pub(super) fn export(
    store: &Store,
    labels: &Labels,
    out: &mut Out<'_>,
) -> Result<(), ExchangeError> {
    let mut rows: Vec<_> = (store.harvests()?.into_iter())
        .map(|(block, entry)| (labels.block(block), entry))
        .collect();
    rows.sort_by(|a, b| (&a.0, a.1.season).cmp(&(&b.0, b.1.season)));
    for (block, entry) in rows {
        let (tonnes, kg) = match entry.amount {
            Yield::TonnesPerHa(tonnes) => (tonnes.to_string(), String::new()),
            Yield::KgPerTree(kg) => (String::new(), kg.to_string()),
        };
        let weighed = |of: fn(Weighed) -> String| entry.weighed.map_or_else(String::new, of);
        out.row(&[
            block,
            entry.season.to_string(),
            tonnes,
            kg,
            weighed(|w| w.mean_g.to_string()),
            weighed(|w| w.fruit.to_string()),
        ])?;
    }
    Ok(())
}

pub(super) fn import(import: &mut Import<'_>, sheet: &Sheet) -> Result<(), StoreError> {
    let known = import.store.harvests()?.into_iter();
    let known: HashMap<_, _> = known
        .map(|(block, entry)| ((block, entry.season), entry))
        .collect();
    let mut lines: HashMap<(BlockId, i32), u64> = HashMap::new();
    for line in &sheet.lines {
        let mut cells = Cells::new(sheet, line);
        let season = cells.must("season", season_year);
        let block = import.block(&mut cells);
        if let (Some(block), Some(season)) = (block.as_deref(), season) {
            let block = &block.now;
            let place = (block.id, season);
            if let Some(before) = lines.insert(place, cells.line()) {
                let reason =
                    format!("this block's harvest of that year stands on line {before} already");
                cells.wrong("season", &reason);
            }
            if let Some(entry) = entry(&mut cells, season, block, known.get(&place)) {
                import.note(keep(import.store, block.id, &entry, known.get(&place))?);
            }
        }
        import.accept(cells);
    }
    Ok(())
}

fn keep(
    store: &Store,
    block: BlockId,
    entry: &HarvestEntry,
    old: Option<&HarvestEntry>,
) -> Result<Became, StoreError> {
    let change = match old {
        None => Became::Added,
        Some(old) if old == entry => return Ok(Became::Unchanged),
        Some(_) => Became::Changed,
    };
    store.save_harvest(block, entry)?;
    Ok(change)
}

fn entry(
    cells: &mut Cells<'_>,
    season: i32,
    block: &Block,
    old: Option<&HarvestEntry>,
) -> Option<HarvestEntry> {
    let given = ["t_per_ha", "kg_per_tree"].map(|column| cells.maybe_number(column));
    let (column, amount) = match given {
        [Some(tonnes), None] => ("t_per_ha", Yield::TonnesPerHa(tonnes)),
        [None, Some(kg)] => ("kg_per_tree", Yield::KgPerTree(kg)),
        [Some(_), Some(_)] => {
            cells.wrong(
                "kg_per_tree",
                "is given beside t_per_ha: leave one of them empty",
            );
            return None;
        }
        [None, None] => {
            cells.wrong(
                "t_per_ha",
                "is empty, and so is kg_per_tree: one of them says what was harvested",
            );
            return None;
        }
    };
    let weighed = weighed(cells, old);
    let entry = HarvestEntry {
        season,
        amount,
        weighed,
    };
    let checked = if old == Some(&entry) {
        // as it stands in the file: the block's spacing may have been changed since
        entry.checked()
    } else {
        entry.checked_at(block.trees_per_ha())
    };
    let named = |fault: Invalid| match fault.field {
        "amount" => Invalid::new(column, fault.problem),
        _ => fault,
    };
    cells.judge(checked.map_err(|faults| faults.told(named)))
}

/// The fruit weighed: mean weight and how many, both or neither.
fn weighed(cells: &mut Cells<'_>, old: Option<&HarvestEntry>) -> Option<Weighed> {
    if !cells.has("mean_g") && !cells.has("weighed") {
        return old.and_then(|old| old.weighed);
    }
    match (cells.maybe_number("mean_g"), cells.maybe("weighed", whole)) {
        (Some(mean_g), Some(fruit)) => Some(Weighed { mean_g, fruit }),
        (None, None) => None,
        (Some(_), None) => {
            cells.wrong(
                "weighed",
                "is empty, but a mean weight is given: how many fruit were weighed?",
            );
            None
        }
        (None, Some(_)) => {
            cells.wrong("mean_g", "is empty, but a number of weighed fruit is given");
            None
        }
    }
}
