//! The table of comings and goings: the days between which a pruner is there.

use super::ExchangeError;
use super::cells::Cells;
use super::import::{Became, Import, Spoken};
use super::out::{Labels, Out};
use super::sheet::Sheet;
use super::table::{Column, needed, optional};
use super::text::safe;
use crate::orchard::{Faults, Stint};
use crate::store::{Store, StoreError};

pub(super) const COLUMNS: &[Column] = &[
    optional("winter"),
    needed("pruner"),
    optional("joins").of_day(),
    optional("leaves").of_day(),
];

pub(super) fn export(
    store: &Store,
    labels: &Labels,
    out: &mut Out<'_>,
) -> Result<(), ExchangeError> {
    let text = |day: Option<chrono::NaiveDate>| day.map_or_else(String::new, |day| day.to_string());
    for winter in &labels.winters {
        let stints = store.labour(winter.id)?.stints.into_values();
        let mut stints: Vec<_> = stints
            .map(|stint| (labels.number(stint.pruner), stint))
            .collect();
        stints.sort_by_key(|(number, _)| *number);
        for (number, stint) in stints {
            out.row(&[
                safe(&winter.label),
                number.to_string(),
                text(stint.joins),
                text(stint.leaves),
            ])?;
        }
    }
    Ok(())
}

pub(super) fn import(import: &mut Import<'_>, sheet: &Sheet) -> Result<(), StoreError> {
    let mut spoken = Spoken::new();
    for line in &sheet.lines {
        let mut cells = Cells::new(sheet, line);
        if let Some(change) = one(import, &mut cells, &mut spoken)? {
            import.note(change);
        }
        import.accept(cells);
    }
    Ok(())
}

fn one(
    import: &Import<'_>,
    cells: &mut Cells<'_>,
    spoken: &mut Spoken<(uuid::Uuid, u16)>,
) -> Result<Option<Became>, StoreError> {
    if cells.raw("pruner").is_empty() {
        cells.wrong("pruner", "is empty");
    }
    let pruner = import.pruner(cells);
    let days = ["joins", "leaves"].map(|column| cells.day(column, None, None));
    let [joins, leaves] = days;
    let winter = import.winter(cells, joins.or(leaves));
    let (Some(winter), Some(pruner)) = (winter, pruner) else {
        return Ok(None);
    };
    spoken.of(cells, "pruner", (winter.id.0, pruner.number));
    let stint = Stint {
        winter: winter.id,
        pruner: pruner.id,
        joins,
        leaves,
    };
    // who joined long before the winter began is there from its start
    let late = joins.filter(|day| *day > winter.start);
    for (field, day) in [("joins", late), ("leaves", leaves)] {
        if let Some(Err(wrong)) = day.map(|day| winter.check_day(day)) {
            cells.wrong(field, &wrong.problem);
        }
    }
    if cells.judge(stint.check().map_err(Faults::from)).is_none() {
        return Ok(None);
    }
    let labour = import.store.labour(winter.id)?;
    let change = Became::of(labour.stints.get(&pruner.id), &stint);
    if change != Became::Unchanged {
        import.store.save_stint(&stint)?;
    }
    Ok(Some(change))
}
