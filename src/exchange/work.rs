//! The table of the work log.

use super::ExchangeError;
use super::cells::{Cells, identity, whole};
use super::identity::{Present, key};
use super::import::{Became, Import};
use super::out::{Labels, Out};
use super::sheet::Sheet;
use super::table::{Column, needed, optional};
use super::text::safe;
use crate::orchard::{
    Faults, How, Invalid, WorkDraft, WorkEntry, WorkId, WorkKind, Zone, hours_text, parse_hours,
};
use crate::store::{Store, StoreError};

pub(super) const COLUMNS: &[Column] = &[
    optional("winter"),
    needed("pruner"),
    needed("block"),
    needed("row"),
    optional("first"),
    optional("last"),
    needed("day").of_day(),
    optional("hours"),
    optional("kind"),
    optional("zone"),
    optional("share"),
    optional("team"),
    optional("id"),
];

pub(super) fn export(
    store: &Store,
    labels: &Labels,
    out: &mut Out<'_>,
) -> Result<(), ExchangeError> {
    for winter in &labels.winters {
        for work in store.work(winter.id)? {
            out.row(&[
                safe(&winter.label),
                labels.pruner(work.pruner),
                labels.block(work.block),
                work.row.to_string(),
                work.first.to_string(),
                work.last.to_string(),
                work.day.to_string(),
                hours_text(work.minutes),
                work.how.kind.word().to_owned(),
                work.how.zone.word().to_owned(),
                work.how
                    .share
                    .map_or_else(String::new, |share| share.to_string()),
                work.how
                    .team
                    .map_or_else(String::new, |team| team.to_string()),
                work.id.to_string(),
            ])?;
        }
    }
    Ok(())
}

fn spot(work: &WorkDraft) -> String {
    key(&[&work.winter, &work.block, &work.row, &work.day])
}

pub(super) fn import(import: &mut Import<'_>, sheet: &Sheet) -> Result<(), StoreError> {
    let mut known = Vec::new();
    for winter in &import.known.winters {
        known.extend(import.store.work(winter.id)?);
    }
    let known = known.into_iter();
    let mut present = Present::new(known.map(|work| (work.id.0, spot(&work), work)));
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
    present: &mut Present<WorkEntry>,
) -> Result<Option<Became>, StoreError> {
    let given = cells.maybe("id", identity);
    let old = given.and_then(|id| present.get(id)).cloned();
    let day = cells.must_day("day");
    let winter = import.winter(cells, day);
    let pruner = cells.must("pruner", whole::<u16>);
    let pruner = pruner.and_then(|_| import.pruner(cells));
    let block = import.block(cells);
    let row: Option<u16> = cells.must("row", whole);
    let last = block.as_ref().zip(row);
    let last = last.and_then(|(block, row)| block.now.rows.row(row));
    let last = last.map_or(1, |row| row.places);
    let first = cells.get("first", old.as_ref().map_or(1, |w| w.first), 1, whole);
    let last = cells.get("last", old.as_ref().map_or(last, |w| w.last), last, whole);
    let minutes = old.as_ref().and_then(|work| work.minutes);
    let minutes = cells.get("hours", minutes, None, |raw| parse_hours(hours(raw)));
    let known = old.as_ref().map(|work| work.how).unwrap_or_default();
    let usual = How::default();
    let how = How {
        kind: cells.get("kind", known.kind, usual.kind, WorkKind::parse),
        zone: cells.get("zone", known.zone, usual.zone, Zone::parse),
        share: cells.get("share", known.share, None, |raw| whole(raw).map(Some)),
        team: cells.get("team", known.team, None, |raw| {
            Ok::<_, Invalid>(Some(team(raw)))
        }),
    };
    let (Some(winter), Some(pruner), Some(block), Some(row), Some(day)) =
        (winter, pruner, block, row, day)
    else {
        return Ok(None);
    };
    let draft = WorkDraft {
        winter: winter.id,
        pruner: pruner.id,
        block: block.now.id,
        row,
        first,
        last,
        day,
        minutes,
        how,
    };
    let nobody = WorkId(uuid::Uuid::nil());
    let mut faults = Faults::default();
    if old.as_ref().is_none_or(|old| old.day != day) {
        faults.take(winter.check_day(day));
    }
    // an entry with an id was made earlier, and its trees may have died since
    let made = if given.is_some() {
        WorkEntry::known(nobody, draft.clone(), &block.now)
    } else {
        WorkEntry::new(nobody, draft.clone(), &block.now)
    };
    if cells.judge(faults.made(made)).is_none() {
        return Ok(None);
    }
    let says = key(&[
        &"work",
        &winter.label,
        &pruner.number,
        &block.now.name,
        &row,
        &first,
        &last,
        &day,
    ]);
    // what earlier versions wrote keeps its identity
    let says = if how == How::default() {
        says
    } else {
        key(&[&says, &how.kind.word(), &how.zone.word()])
    };
    let id = present.settle(cells, given, &says, &spot(&draft), |old| {
        *old.draft() == draft
    });
    if !cells.good() {
        return Ok(None);
    }
    let change = match present.get(id) {
        None => Became::Added,
        Some(old) if *old.draft() == draft => Became::Unchanged,
        Some(_) => Became::Changed,
    };
    if change != Became::Unchanged
        && let Ok(entry) = WorkEntry::known(WorkId(id), draft, &block.now)
    {
        import.store.save_work(&entry)?;
    }
    Ok(Some(change))
}

/// The mark of those who did trees together: as it was written out, or any word that their lines share.
fn team(raw: &str) -> WorkId {
    let word = raw.trim().as_bytes();
    WorkId(identity(raw).unwrap_or_else(|_| uuid::Uuid::new_v5(&uuid::Uuid::NAMESPACE_OID, word)))
}

/// Hours as a spreadsheet gives them back: `7:30:00` is `7:30`.
fn hours(raw: &str) -> &str {
    match raw.strip_suffix(":00") {
        Some(short) if short.contains(':') => short,
        _ => raw,
    }
}
