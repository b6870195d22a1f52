//! The table of fruit-set counts: a line for each tagged unit. The lines of one block and year are one count, as a whole.

use std::collections::BTreeMap;

use super::ExchangeError;
use super::cells::{Cells, whole};
use super::import::{Became, Import};
use super::out::{Labels, Out};
use super::sheet::Sheet;
use super::table::{Column, needed, optional};
use crate::orchard::{BlockId, Faults};
use crate::outlook::{MAX_TAGGED, SetCount, TaggedUnit, season_year};
use crate::store::{Store, StoreError};

pub(super) const COLUMNS: &[Column] = &[
    needed("block"),
    needed("season"),
    needed("buds"),
    optional("fruit_buds"),
    needed("clusters"),
    needed("fruit"),
];

pub(super) fn export(
    store: &Store,
    labels: &Labels,
    out: &mut Out<'_>,
) -> Result<(), ExchangeError> {
    let book = store.crop_of_blocks()?.0.into_iter();
    let mut counts: Vec<_> = book
        .map(|(block, book)| (labels.block(block), book.sets))
        .collect();
    counts.sort_by(|a, b| a.0.cmp(&b.0));
    for (block, sets) in counts {
        for set in sets {
            for unit in set.units {
                out.row(&[
                    block.clone(),
                    set.season.to_string(),
                    unit.buds.to_string(),
                    unit.fruit_buds.map_or_else(String::new, |n| n.to_string()),
                    unit.clusters.to_string(),
                    unit.fruit.to_string(),
                ])?;
            }
        }
    }
    Ok(())
}

pub(super) fn import(import: &mut Import<'_>, sheet: &Sheet) -> Result<(), StoreError> {
    let known = import.store.crop_of_blocks()?;
    let mut sets: BTreeMap<(BlockId, i32), Vec<TaggedUnit>> = BTreeMap::new();
    for line in &sheet.lines {
        let mut cells = Cells::new(sheet, line);
        let block = import.block(&mut cells).map(|block| block.now.id);
        let season = cells.must("season", season_year);
        let unit = unit(&mut cells);
        if let (Some(block), Some(season)) = (block, season) {
            let units = sets.entry((block, season)).or_default();
            if units.len() == MAX_TAGGED {
                let reason = format!("at most {MAX_TAGGED} units of a block in a year");
                cells.wrong("season", &reason);
            }
            units.extend(unit);
        }
        import.accept(cells);
    }
    if !import.report.problems.is_empty() {
        return Ok(());
    }
    for ((block, season), units) in sets {
        let set = SetCount { season, units };
        let book = known.of(block);
        let old = book.sets.iter().find(|old| old.season == season);
        let change = Became::of(old, &set);
        if change != Became::Unchanged {
            import.store.save_set_count(block, &set)?;
        }
        import.note(change);
    }
    Ok(())
}

fn unit(cells: &mut Cells<'_>) -> Option<TaggedUnit> {
    let [buds, clusters, fruit] =
        ["buds", "clusters", "fruit"].map(|column| cells.must(column, whole::<u32>));
    let unit = TaggedUnit {
        buds: buds?,
        fruit_buds: cells.maybe("fruit_buds", whole),
        clusters: clusters?,
        fruit: fruit?,
    };
    let made = unit.checked().map_err(|wrong| {
        // which of them is wrong stands in the reason
        Faults::from(crate::orchard::Invalid::new("buds", wrong.problem))
    });
    cells.judge(made)
}
