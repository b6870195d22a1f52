//! The table of working weeks: which weekdays are worked in a winter, such as `Mon..Fri`.

use super::ExchangeError;
use super::cells::Cells;
use super::import::{Became, Import, Spoken};
use super::out::{Labels, Out};
use super::sheet::Sheet;
use super::table::{Column, needed, optional};
use super::text::safe;
use crate::outlook::pace::{parse_weekdays, weekdays_text};
use crate::store::{Store, StoreError};

pub(super) const COLUMNS: &[Column] = &[optional("winter"), needed("weekdays")];

pub(super) fn export(
    store: &Store,
    labels: &Labels,
    out: &mut Out<'_>,
) -> Result<(), ExchangeError> {
    for winter in &labels.winters {
        if let Some(week) = store.labour(winter.id)?.weekdays {
            out.row(&[safe(&winter.label), weekdays_text(week)])?;
        }
    }
    Ok(())
}

pub(super) fn import(import: &mut Import<'_>, sheet: &Sheet) -> Result<(), StoreError> {
    let mut spoken = Spoken::new();
    for line in &sheet.lines {
        let mut cells = Cells::new(sheet, line);
        let winter = import.winter(&mut cells, None);
        let week = cells.must("weekdays", parse_weekdays);
        if let Some(winter) = &winter {
            spoken.of(&mut cells, "winter", winter.id);
        }
        if let (Some(winter), Some(week), true) = (winter, week, cells.good()) {
            let old = import.store.labour(winter.id)?.weekdays;
            let change = Became::of(old.as_ref(), &week);
            if change != Became::Unchanged {
                import.store.save_weekdays(winter.id, Some(week))?;
            }
            import.note(change);
        }
        import.accept(cells);
    }
    Ok(())
}
