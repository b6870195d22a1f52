//! The table of days without work: days off, and days that rain took.

use std::collections::HashMap;
use std::collections::hash_map::Entry;

use super::ExchangeError;
use super::cells::{Cells, identity};
use super::identity::{Present, key};
use super::import::{Became, Import};
use super::out::{Labels, Out};
use super::sheet::Sheet;
use super::table::{Column, needed, optional};
use super::text::safe;
use crate::orchard::{Faults, LostDays, LostDaysId, LostKind, WinterId};
use crate::store::{Labour, Store, StoreError};

pub(super) const COLUMNS: &[Column] = &[
    optional("winter"),
    needed("first").of_day(),
    optional("last").of_day(),
    needed("kind"),
    optional("id"),
];

pub(super) fn export(
    store: &Store,
    labels: &Labels,
    out: &mut Out<'_>,
) -> Result<(), ExchangeError> {
    for winter in &labels.winters {
        for lost in store.labour(winter.id)?.lost {
            out.row(&[
                safe(&winter.label),
                lost.first.to_string(),
                lost.last.to_string(),
                lost.kind.word().to_owned(),
                lost.id.to_string(),
            ])?;
        }
    }
    Ok(())
}

fn spot(lost: &LostDays) -> String {
    key(&[&lost.winter, &lost.first])
}

pub(super) fn import(import: &mut Import<'_>, sheet: &Sheet) -> Result<(), StoreError> {
    let mut all = Vec::new();
    for winter in &import.known.winters {
        all.extend(import.store.labour(winter.id)?.lost);
    }
    let mut present = Present::new(all.into_iter().map(|lost| (lost.id.0, spot(&lost), lost)));
    let mut calendars = HashMap::new();
    for line in &sheet.lines {
        let mut cells = Cells::new(sheet, line);
        if let Some(change) = one(import, &mut cells, &mut present, &mut calendars)? {
            import.note(change);
        }
        import.accept(cells);
    }
    Ok(())
}

fn one(
    import: &Import<'_>,
    cells: &mut Cells<'_>,
    present: &mut Present<LostDays>,
    calendars: &mut HashMap<WinterId, Labour>,
) -> Result<Option<Became>, StoreError> {
    let given = cells.maybe("id", identity);
    let first = cells.must_day("first");
    let last = cells.day("last", first, first);
    let winter = import.winter(cells, first);
    let kind = cells.must("kind", LostKind::parse);
    let (Some(winter), Some(first), Some(last), Some(kind)) = (winter, first, last, kind) else {
        return Ok(None);
    };
    let mut lost = LostDays {
        id: LostDaysId(uuid::Uuid::nil()),
        winter: winter.id,
        first,
        last,
        kind,
    };
    let mut faults = Faults::default();
    for (field, day) in [("first", first), ("last", last)] {
        if let Err(wrong) = winter.check_day(day) {
            cells.wrong(field, &wrong.problem);
        }
    }
    faults.take(lost.check().map(drop));
    if cells.judge(faults.or(())).is_none() {
        return Ok(None);
    }
    let says = key(&[&"days off", &winter.label, &first, &last, &kind.word()]);
    let same = |old: &LostDays| {
        LostDays {
            id: lost.id,
            ..*old
        } == lost
    };
    lost.id = LostDaysId(present.settle(cells, given, &says, &spot(&lost), same));
    let calendar = match calendars.entry(winter.id) {
        Entry::Occupied(known) => known.into_mut(),
        Entry::Vacant(unread) => unread.insert(import.store.labour(winter.id)?),
    };
    calendar.lost.retain(|known| known.id != lost.id);
    calendar.lost.push(lost);
    if let Err(full) = calendar.calendar() {
        cells.wrong("first", &full.problem);
    }
    if !cells.good() {
        return Ok(None);
    }
    let change = Became::of(present.get(lost.id.0), &lost);
    if change != Became::Unchanged {
        import.store.save_lost_days(&lost)?;
    }
    Ok(Some(change))
}
