//! The table of aims: what a block is to bear after a winter.

use super::ExchangeError;
use super::cells::Cells;
use super::import::{Became, Import, Spoken};
use super::out::{Labels, Out};
use super::sheet::Sheet;
use super::table::{Column, needed, optional};
use super::text::safe;
use crate::orchard::Invalid;
use crate::outlook::Target;
use crate::store::{Store, StoreError};

pub(super) const COLUMNS: &[Column] = &[
    optional("winter"),
    needed("block"),
    optional("t_per_ha"),
    optional("fruit_per_tree"),
    optional("fruit_per_cm2"),
    optional("girth_cm"),
];

/// The columns of which one says what the aim is.
const KINDS: [&str; 3] = ["t_per_ha", "fruit_per_tree", "fruit_per_cm2"];

pub(super) fn export(
    store: &Store,
    labels: &Labels,
    out: &mut Out<'_>,
) -> Result<(), ExchangeError> {
    for winter in &labels.winters {
        let book = store.crop_book(winter.id)?.0.into_iter();
        let aims = book.filter_map(|(block, book)| Some((labels.block(block), book.aim?)));
        let mut aims: Vec<_> = aims.collect();
        aims.sort_by(|a, b| a.0.cmp(&b.0));
        for (block, aim) in aims {
            let mut cells = [const { String::new() }; 4];
            match aim {
                Target::TonnesPerHa(tonnes) => cells[0] = tonnes.to_string(),
                Target::FruitPerTree(fruit) => cells[1] = fruit.to_string(),
                Target::FruitPerTcsa {
                    fruit_per_cm2,
                    girth_cm,
                } => {
                    cells[2] = fruit_per_cm2.to_string();
                    cells[3] = girth_cm.to_string();
                }
            }
            let mut row = vec![safe(&winter.label), block];
            row.extend(cells);
            out.row(&row)?;
        }
    }
    Ok(())
}

pub(super) fn import(import: &mut Import<'_>, sheet: &Sheet) -> Result<(), StoreError> {
    let mut spoken = Spoken::new();
    for line in &sheet.lines {
        let mut cells = Cells::new(sheet, line);
        let winter = import.winter(&mut cells, None);
        let block = import.block(&mut cells).map(|block| block.now.id);
        let aim = aim(&mut cells);
        if let (Some(winter), Some(block)) = (&winter, block) {
            spoken.of(&mut cells, "block", (winter.id, block));
        }
        if let (Some(winter), Some(block), Some(aim), true) = (winter, block, aim, cells.good()) {
            let old = import.store.crop_book(winter.id)?.of(block).aim;
            let change = Became::of(old.as_ref(), &aim);
            if change != Became::Unchanged {
                import.store.save_aim(winter.id, block, Some(aim))?;
            }
            import.note(change);
        }
        import.accept(cells);
    }
    Ok(())
}

fn aim(cells: &mut Cells<'_>) -> Option<Target> {
    let girth = cells.maybe_number("girth_cm");
    let given = KINDS.map(|column| cells.maybe_number(column));
    let aim = match given {
        [Some(tonnes), None, None] => Target::TonnesPerHa(tonnes),
        [None, Some(fruit), None] => Target::FruitPerTree(fruit),
        [None, None, Some(fruit_per_cm2)] => {
            let Some(girth_cm) = girth else {
                cells.wrong(
                    "girth_cm",
                    "is empty, but fruit_per_cm2 needs the girth of the trunk",
                );
                return None;
            };
            Target::FruitPerTcsa {
                fruit_per_cm2,
                girth_cm,
            }
        }
        _ => {
            if cells.good() {
                let reason = format!("fill in one of: {}", KINDS.join(", "));
                cells.wrong("t_per_ha", &reason);
            }
            return None;
        }
    };
    let named = |wrong: Invalid| match wrong.field {
        "tonnes_per_ha" => Invalid::new("t_per_ha", wrong.problem),
        _ => wrong,
    };
    cells.judge(aim.checked().map_err(|wrong| named(wrong).into()))
}
