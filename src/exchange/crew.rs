//! The table of the crew. A pruner is known by number.

use std::collections::HashMap;

use super::cells::{Cells, whole, yes_no};
use super::import::{Became, Import};
use super::out::{self, Labels, Out};
use super::sheet::Sheet;
use super::table::{Column, needed, of_name, optional};
use super::text::safe;
use super::{ExchangeError, Table};
use crate::orchard::{Faults, Pruner, PrunerDraft, PrunerId};
use crate::store::{Store, StoreError};

pub(super) const COLUMNS: &[Column] = &[
    needed("number"),
    of_name("name"),
    of_name("label"),
    optional("active"),
    optional("number_only"),
    optional("language"),
];

pub(super) fn export(store: &Store, _: &Labels, out: &mut Out<'_>) -> Result<(), ExchangeError> {
    for pruner in store.pruners()? {
        let mut cells = vec![pruner.number.to_string()];
        if !out.is_nameless() {
            cells.extend([safe(&pruner.name), safe(&pruner.label)]);
        }
        cells.extend([
            out::yes_no(pruner.active),
            out::yes_no(pruner.number_only),
            pruner.language.clone(),
        ]);
        out.row(&cells)?;
    }
    Ok(())
}

pub(super) fn import(import: &mut Import<'_>, sheet: &Sheet) -> Result<(), StoreError> {
    let known = import.store.pruners_with_names()?.into_iter();
    let known: HashMap<u16, Pruner> = known.map(|p| (p.number, p)).collect();
    let mut lines: HashMap<u16, u64> = HashMap::new();
    for line in &sheet.lines {
        let mut cells = Cells::new(sheet, line);
        let number = cells.must("number", whole);
        if let Some(number) = number
            && let Some(before) = lines.insert(number, cells.line())
        {
            cells.wrong("number", &format!("stands on line {before} already"));
        }
        let old = number.and_then(|number| known.get(&number));
        let id = match old {
            Some(old) => old.id,
            None => PrunerId((import.new_id)()),
        };
        let draft = PrunerDraft {
            number: number.unwrap_or_default(),
            ..read(&mut cells, old)
        };
        if let Some(pruner) = cells.judge(checked(old, id, draft)) {
            let change = match old {
                None => Became::Added,
                Some(old) if *old == pruner => Became::Unchanged,
                Some(_) => Became::Changed,
            };
            if change != Became::Unchanged {
                Import::saved(&mut cells, "number", import.store.save_pruner(&pruner))?;
            }
            import.note(change);
        }
        let name = number.map_or(String::new(), |number| number.to_string());
        import.accept_named(Table::Crew, name, cells);
    }
    Ok(())
}

fn checked(old: Option<&Pruner>, id: PrunerId, draft: PrunerDraft) -> Result<Pruner, Faults> {
    match old {
        Some(old) => old.changed(draft),
        None => Pruner::new(id, draft),
    }
}

fn read(cells: &mut Cells<'_>, old: Option<&Pruner>) -> PrunerDraft {
    PrunerDraft {
        number: 1,
        name: cells.text_or("name", old.map_or("", |old| &old.name)),
        label: cells.text_or("label", old.map_or("", |old| &old.label)),
        active: cells.get("active", old.is_none_or(|old| old.active), true, yes_no),
        number_only: cells.get(
            "number_only",
            old.is_some_and(|old| old.number_only),
            false,
            yes_no,
        ),
        language: cells.text_or("language", old.map_or("", |old| &old.language)),
    }
}
