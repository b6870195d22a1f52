//! The table of pay: of everybody, of one pruner, of a block or of a kind of work. Amounts are in the orchard's currency, which is a setting.

use super::ExchangeError;
use super::cells::Cells;
use super::import::{Became, Import, Spoken};
use super::out::{Labels, Out};
use super::sheet::Sheet;
use super::table::{Column, needed, optional};
use super::text::safe;
use crate::orchard::WorkKind;
use crate::outlook::pace::{Currency, Pay};
use crate::store::{Store, StoreError};

pub(super) const COLUMNS: &[Column] = &[
    optional("winter"),
    optional("pruner"),
    optional("block"),
    optional("kind"),
    needed("basis"),
    needed("rate"),
    optional("least"),
];

pub(super) fn export(
    store: &Store,
    labels: &Labels,
    out: &mut Out<'_>,
) -> Result<(), ExchangeError> {
    let currency = store.currency()?;
    for winter in &labels.winters {
        let plan = store.labour(winter.id)?.pay;
        let nobody = || [const { String::new() }; 3];
        let mut lines: Vec<_> = plan.all.map(|pay| (nobody(), pay)).into_iter().collect();
        let mut own: Vec<_> = (plan.own.iter())
            .map(|(id, pay)| (labels.number(*id), *pay))
            .collect();
        own.sort_by_key(|(number, _)| *number);
        lines.extend(
            own.into_iter()
                .map(|(number, pay)| ([number.to_string(), String::new(), String::new()], pay)),
        );
        let mut special: Vec<_> = (plan.special.iter())
            .map(|((block, kind), pay)| {
                let block = block.map_or_else(String::new, |block| labels.block(block));
                let kind = kind.map_or("", WorkKind::word).to_owned();
                ([String::new(), block, kind], *pay)
            })
            .collect();
        special.sort_by(|(one, _), (other, _)| one.cmp(other));
        for (spot, pay) in lines.into_iter().chain(special) {
            let (basis, rate, least) = match pay {
                Pay::Hour(rate) => ("hour", rate, None),
                Pay::Tree(rate) => ("tree", rate, None),
                Pay::AtLeast { tree, hour } => ("tree", tree, Some(hour)),
            };
            let mut cells = vec![safe(&winter.label)];
            cells.extend(spot);
            cells.extend([
                basis.to_owned(),
                currency.show_rate(rate),
                least.map_or_else(String::new, |rate| currency.show_rate(rate)),
            ]);
            out.row(&cells)?;
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
        let block = (!cells.raw("block").is_empty()).then(|| import.block(&mut cells));
        let kind = cells.maybe("kind", WorkKind::parse);
        let pay = pay(&mut cells, &currency);
        let spot = (block.flatten().map(|block| block.now.id), kind);
        let special = spot != (None, None);
        if special && pruner.is_some() {
            cells.wrong("pruner", "a pruner's own pay holds in all blocks and for all kinds of work: leave block and kind empty");
        }
        if let Some(winter) = &winter {
            let who = pruner.as_ref().map(|pruner| pruner.number);
            spoken.of(&mut cells, "pruner", (winter.id, who, spot));
        }
        if let (Some(winter), Some(pay), true) = (winter, pay, cells.good()) {
            let plan = import.store.labour(winter.id)?.pay;
            let old = match &pruner {
                _ if special => plan.special.get(&spot).copied(),
                Some(pruner) => plan.own.get(&pruner.id).copied(),
                None => plan.all,
            };
            let change = Became::of(old.as_ref(), &pay);
            if change != Became::Unchanged && special {
                import.store.save_special_pay(winter.id, spot, Some(pay))?;
            } else if change != Became::Unchanged {
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
    let by_tree = cells.must("basis", |raw| match raw {
        "hour" => Ok(false),
        "tree" => Ok(true),
        _ => Err("is neither hour nor tree"),
    });
    let read = |raw: &str| {
        let rate = currency.parse_rate(raw)?;
        rate.stored(currency).map(|_| rate)
    };
    let rate = cells.must("rate", read);
    let least = cells.maybe("least", read);
    match (by_tree?, rate?, least) {
        (true, tree, Some(hour)) => Some(Pay::AtLeast { tree, hour }),
        (true, rate, None) => Some(Pay::Tree(rate)),
        (false, rate, None) => Some(Pay::Hour(rate)),
        (false, _, Some(_)) => {
            cells.wrong("least", "goes with pay by the tree only");
            None
        }
    }
}
