//! The table of winters. A winter is known by its label; a line that names a block sets the
//! budburst of that block in the winter, and follows from no other line than the winter's own.

use std::collections::{BTreeMap, HashMap};

use super::cells::Cells;
use super::import::{Became, Import};
use super::out::{Labels, Out};
use super::sheet::Sheet;
use super::table::{Column, needed, optional};
use super::text::safe;
use super::{ExchangeError, Table};
use crate::orchard::{Winter, WinterDraft, WinterId};
use crate::store::{Store, StoreError};

pub(super) const COLUMNS: &[Column] = &[
    needed("label"),
    optional("start").of_day(),
    needed("budburst").of_day(),
    optional("block"),
];

pub(super) fn export(_: &Store, labels: &Labels, out: &mut Out<'_>) -> Result<(), ExchangeError> {
    for winter in &labels.winters {
        let (label, start) = (safe(&winter.label), winter.start.to_string());
        let general = winter.budburst.to_string();
        out.row(&[label.clone(), start.clone(), general, String::new()])?;
        let mut blocks: Vec<_> = winter
            .block_budburst
            .iter()
            .map(|(block, day)| (labels.block(*block), day.to_string()))
            .collect();
        blocks.sort();
        for (block, day) in blocks {
            out.row(&[label.clone(), start.clone(), day, block])?;
        }
    }
    Ok(())
}

/// A winter as its lines make it.
struct WinterLines<'s> {
    draft: WinterDraft,
    old: Option<Winter>,
    /// The line of the winter itself.
    own: Option<Cells<'s>>,
    spoilt: bool,
    blocks: HashMap<String, u64>,
}

pub(super) fn import(import: &mut Import<'_>, sheet: &Sheet) -> Result<(), StoreError> {
    let mut labels: Vec<String> = Vec::new();
    let mut winters: HashMap<String, WinterLines<'_>> = HashMap::new();
    // first the winters themselves, so that the lines of blocks may stand before them
    for line in &sheet.lines {
        let cells = Cells::new(sheet, line);
        if cells.raw("block").is_empty() {
            own_line(import, cells, &mut winters, &mut labels);
        }
    }
    for line in &sheet.lines {
        let cells = Cells::new(sheet, line);
        if !cells.raw("block").is_empty() {
            block_line(import, cells, &mut winters, &mut labels);
        }
    }
    for label in labels {
        if let Some(winter) = winters.remove(&label) {
            save(import, label, winter)?;
        }
    }
    Ok(())
}

fn old(import: &Import<'_>, label: &str) -> Option<Winter> {
    let mut winters = import.known.winters.iter();
    let found = winters.find(|winter| winter.label == label);
    found.map(|winter| Winter::clone(winter))
}

fn own_line<'s>(
    import: &mut Import<'_>,
    mut cells: Cells<'s>,
    winters: &mut HashMap<String, WinterLines<'s>>,
    labels: &mut Vec<String>,
) {
    let label = cells.text("label");
    if let Some(before) = winters.get(&label).and_then(|lines| lines.own.as_ref()) {
        let reason = format!("stands on line {} already", before.line());
        cells.wrong("label", &reason);
        import.accept_named(Table::Winters, label, cells);
        return;
    }
    let old = old(import, &label);
    let budburst = cells.must_day("budburst");
    let start = match &old {
        Some(old) if !cells.has("start") => Some(old.start),
        _ => cells.must_day("start"),
    };
    let kept = old.as_ref().filter(|_| !cells.has("block"));
    let draft = WinterDraft {
        label: label.clone(),
        start: start.unwrap_or_default(),
        budburst: budburst.unwrap_or_default(),
        block_budburst: kept.map_or_else(BTreeMap::new, |old| old.block_budburst.clone()),
    };
    let nobody = WinterId(uuid::Uuid::nil());
    cells.judge(Winter::new(nobody, draft.clone()));
    let lines = WinterLines {
        draft,
        old,
        own: Some(cells),
        spoilt: false,
        blocks: HashMap::new(),
    };
    labels.push(label.clone());
    winters.insert(label, lines);
}

fn block_line<'s>(
    import: &mut Import<'_>,
    mut cells: Cells<'s>,
    winters: &mut HashMap<String, WinterLines<'s>>,
    labels: &mut Vec<String>,
) {
    let label = cells.text("label");
    if !winters.contains_key(&label)
        && let Some(old) = old(import, &label)
    {
        labels.push(label.clone());
        let lines = WinterLines {
            draft: old.draft().clone(),
            old: Some(old),
            own: None,
            spoilt: false,
            blocks: HashMap::new(),
        };
        winters.insert(label.clone(), lines);
    }
    let day = cells.must_day("budburst");
    let block = import.block(&mut cells);
    let Some(lines) = winters.get_mut(&label) else {
        cells.wrong(
            "label",
            "no winter is called so; its own line, without a block, must be in the table",
        );
        import.accept(cells);
        return;
    };
    if let (Some(day), Some(block)) = (day, block) {
        let name = block.now.name.clone();
        if let Some(before) = lines.blocks.insert(name, cells.line()) {
            let reason = format!("stands on line {before} already for this winter");
            cells.wrong("block", &reason);
        }
        let own_is_good = lines.own.as_ref().is_none_or(Cells::good);
        let alone = WinterDraft {
            block_budburst: BTreeMap::from([(block.now.id, day)]),
            ..lines.draft.clone()
        };
        if own_is_good {
            cells.judge(Winter::new(WinterId(uuid::Uuid::nil()), alone));
        }
        lines.draft.block_budburst.insert(block.now.id, day);
    }
    lines.spoilt |= !cells.good();
    import.accept(cells);
}

fn save(import: &mut Import<'_>, label: String, lines: WinterLines<'_>) -> Result<(), StoreError> {
    let good = !lines.spoilt && lines.own.as_ref().is_none_or(Cells::good);
    let id = match &lines.old {
        Some(old) => old.id,
        None => WinterId((import.new_id)()),
    };
    if good && let Ok(winter) = Winter::new(id, lines.draft) {
        let change = match &lines.old {
            None => Became::Added,
            Some(old) if *old == winter => Became::Unchanged,
            Some(_) => Became::Changed,
        };
        if change != Became::Unchanged {
            import.store.save_winter(&winter)?;
        }
        import.note(change);
    }
    if !good {
        import.refuse(Table::Winters, label);
    }
    if let Some(own) = lines.own {
        import.accept(own);
    }
    Ok(())
}
