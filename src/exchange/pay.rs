//! The table of pay: of everybody, or of one pruner. Amounts are in the orchard's currency, which is a setting.

use super::ExchangeError;
use super::cells::Cells;
use super::import::{Became, Import, Spoken};
use super::out::{Labels, Out};
use super::sheet::Sheet;
use super::table::{Column, needed, optional};
use super::text::safe;
use crate::outlook::pace::{Currency, Pay, Rate};
use crate::store::{Store, StoreError};

pub(super) const COLUMNS: &[Column] = &[
    optional("winter"),
    optional("pruner"),
    needed("basis"),
    needed("rate"),
];

pub(super) fn export(
    store: &Store,
    labels: &Labels,
    out: &mut Out<'_>,
) -> Result<(), ExchangeError> {
    let currency = store.currency()?;
    for winter in &labels.winters {
        let plan = store.labour(winter.id)?.pay;
        let all = plan.all.map(|pay| (None, pay));
        let own = plan.own.into_iter();
        let mut own: Vec<_> = own
            .map(|(id, pay)| (Some(labels.number(id)), pay))
            .collect();
        own.sort_by_key(|(number, _)| *number);
        for (number, pay) in all.into_iter().chain(own) {
            let (basis, rate) = match pay {
                Pay::Hour(rate) => ("hour", rate),
                Pay::Tree(rate) => ("tree", rate),
            };
            out.row(&[
                safe(&winter.label),
                number.map_or_else(String::new, |number| number.to_string()),
                basis.to_owned(),
                currency.show_rate(rate),
            ])?;
        }
    }
    Ok(())
}

pub(super) fn import(import: &mut Import<'_>, sheet: &Sheet) -> Result<(), StoreError> {
    let currency = import.store.currency()?;
    let mut spoken = Spoken::new();
    for line in &sheet.lines {
        let mut cells = Cells::new(sheet, line);
        let winter = import.winter(&mut cells, None);
        let pruner = import.pruner(&mut cells);
        let pay = pay(&mut cells, &currency);
        if let Some(winter) = &winter {
            let who = pruner.map(|pruner| pruner.number);
            spoken.of(&mut cells, "pruner", (winter.id, who));
        }
        if let (Some(winter), Some(pay), true) = (winter, pay, cells.good()) {
            let plan = import.store.labour(winter.id)?.pay;
            let old = match pruner {
                Some(pruner) => plan.own.get(&pruner.id).copied(),
                None => plan.all,
            };
            let change = Became::of(old.as_ref(), &pay);
            if change != Became::Unchanged {
                let who = pruner.map(|pruner| pruner.id);
                import.store.save_pay(winter.id, who, Some(pay))?;
            }
            import.note(change);
        }
        import.accept(cells);
    }
    Ok(())
}

fn pay(cells: &mut Cells<'_>, currency: &Currency) -> Option<Pay> {
    let of: Option<fn(Rate) -> Pay> = cells.must("basis", |raw| match raw {
        "hour" => Ok(Pay::Hour as fn(Rate) -> Pay),
        "tree" => Ok(Pay::Tree as fn(Rate) -> Pay),
        _ => Err("is neither hour nor tree"),
    });
    let rate = cells.must("rate", |raw| {
        let rate = currency.parse_rate(raw)?;
        rate.stored(currency).map(|_| rate)
    });
    Some(of?(rate?))
}
