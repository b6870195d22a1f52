//! The table of settings: those of the orchard. What is of the tablet alone (who counts, keyboard, colours) stays there.

use super::ExchangeError;
use super::cells::Cells;
use super::import::{Became, Import, Spoken};
use super::out::{Labels, Out};
use super::sheet::Sheet;
use super::table::{Column, needed};
use super::text::safe;
use crate::store::{Setting, Store, StoreError};

pub(super) const COLUMNS: &[Column] = &[needed("setting"), needed("value")];

fn of_orchard() -> impl Iterator<Item = Setting> {
    Setting::ALL
        .into_iter()
        .filter(|setting| setting.of_orchard())
}

pub(super) fn export(store: &Store, _: &Labels, out: &mut Out<'_>) -> Result<(), ExchangeError> {
    for setting in of_orchard() {
        if let Some(value) = store.setting(setting)? {
            out.row(&[setting.key().to_owned(), safe(&value)])?;
        }
    }
    Ok(())
}

pub(super) fn import(import: &mut Import<'_>, sheet: &Sheet) -> Result<(), StoreError> {
    let mut spoken = Spoken::new();
    for line in &sheet.lines {
        let mut cells = Cells::new(sheet, line);
        let setting = cells.must("setting", setting);
        if let Some(setting) = setting {
            spoken.of(&mut cells, "setting", setting.key());
            let value = cells.text("value");
            if let Err(wrong) = setting.check(&value) {
                cells.wrong("value", &wrong.problem);
            }
            if cells.good() {
                let change = Became::of(import.store.setting(setting)?.as_ref(), &value);
                if change != Became::Unchanged {
                    import.store.set(setting, &value)?;
                }
                import.note(change);
            }
        }
        import.accept(cells);
    }
    Ok(())
}

fn setting(raw: &str) -> Result<Setting, String> {
    let found = of_orchard().find(|setting| setting.key() == raw.to_lowercase());
    found.ok_or_else(|| {
        let all: Vec<&str> = of_orchard().map(Setting::key).collect();
        format!("is none of: {}", all.join(", "))
    })
}
