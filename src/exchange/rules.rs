//! The table of rules. A rule is known by its winter and block; without a block it holds for all
//! blocks of the winter that have none of their own.

use std::collections::HashMap;
use std::collections::hash_map::Entry;

use super::ExchangeError;
use super::cells::{Cells, whole};
use super::import::{Became, Import};
use super::out::{Labels, Out};
use super::sheet::Sheet;
use super::table::{Column, optional};
use super::text::safe;
use crate::orchard::{Age, BlockId, BudLimit, Rule, WinterId};
use crate::store::{Rules, Store, StoreError};

pub(super) const COLUMNS: &[Column] = &[
    optional("winter"),
    optional("block"),
    optional("part_one"),
    optional("part_two"),
    optional("part_three"),
    optional("part_four_plus"),
    optional("tolerance_one"),
    optional("tolerance_two"),
    optional("tolerance_three"),
    optional("tolerance_four_plus"),
    optional("oldest"),
    optional("thin_least"),
    optional("thin_most"),
    optional("medium_least"),
    optional("medium_most"),
    optional("thick_least"),
    optional("thick_most"),
    optional("medium_from_mm"),
    optional("thick_from_mm"),
    optional("compliance"),
];

pub(super) fn export(
    store: &Store,
    labels: &Labels,
    out: &mut Out<'_>,
) -> Result<(), ExchangeError> {
    for winter in &labels.winters {
        let rules = store.rules(winter.id)?;
        let label = safe(&winter.label);
        out.row(&cells(&label, String::new(), &rules.general))?;
        let mut by_block: Vec<_> = rules
            .by_block
            .iter()
            .map(|(block, rule)| (labels.block(*block), rule))
            .collect();
        by_block.sort_by(|a, b| a.0.cmp(&b.0));
        for (block, rule) in by_block {
            out.row(&cells(&label, block, rule))?;
        }
    }
    Ok(())
}

fn cells(winter: &str, block: String, rule: &Rule) -> Vec<String> {
    let mut cells = vec![winter.to_owned(), block];
    cells.extend(rule.parts.map(|part| part.to_string()));
    cells.extend(rule.tolerance.map(|tolerance| tolerance.to_string()));
    cells.push((rule.oldest.index() + 1).to_string());
    for limit in rule.buds {
        cells.extend([limit.least.to_string(), limit.most.to_string()]);
    }
    cells.extend(rule.diameters_mm.map(|mm| mm.to_string()));
    cells.push(rule.compliance.to_string());
    cells
}

pub(super) fn import(import: &mut Import<'_>, sheet: &Sheet) -> Result<(), StoreError> {
    let mut known: HashMap<WinterId, Rules> = HashMap::new();
    let mut lines: HashMap<(WinterId, Option<BlockId>), u64> = HashMap::new();
    for line in &sheet.lines {
        let mut cells = Cells::new(sheet, line);
        let winter = import.winter(&mut cells, None);
        let block = if cells.raw("block").is_empty() {
            Some(None)
        } else {
            import.block(&mut cells).map(|block| Some(block.now.id))
        };
        let (Some(winter), Some(block)) = (winter, block) else {
            // the figures are checked all the same
            rule(&mut cells, &Rule::default());
            import.accept(cells);
            continue;
        };
        if let Some(before) = lines.insert((winter.id, block), cells.line()) {
            let reason = format!("this rule stands on line {before} already");
            cells.wrong("block", &reason);
        }
        let rules = match known.entry(winter.id) {
            Entry::Occupied(read) => read.into_mut(),
            Entry::Vacant(unread) => unread.insert(import.store.rules(winter.id)?),
        };
        let own = match block {
            None => Some(&rules.general),
            Some(block) => rules.by_block.get(&block),
        };
        let new = rule(&mut cells, own.unwrap_or(&rules.general));
        let change = match (own, &new) {
            (Some(old), Some(new)) if old == new => Became::Unchanged,
            (Some(_), _) => Became::Changed,
            (None, _) => Became::Added,
        };
        if let Some(rule) = new {
            if change != Became::Unchanged {
                import.store.save_rule(winter.id, block, &rule)?;
            }
            if block.is_none() {
                // later lines of blocks leave blank what they share with it
                rules.general = rule;
            }
            import.note(change);
        }
        import.accept(cells);
    }
    Ok(())
}

fn rule(cells: &mut Cells<'_>, old: &Rule) -> Option<Rule> {
    let parts = ["part_one", "part_two", "part_three", "part_four_plus"];
    let tolerance = [
        "tolerance_one",
        "tolerance_two",
        "tolerance_three",
        "tolerance_four_plus",
    ];
    let limits = [
        ("thin_least", "thin_most"),
        ("medium_least", "medium_most"),
        ("thick_least", "thick_most"),
    ];
    let mut draft = old.draft().clone();
    for (slot, column) in draft.parts.iter_mut().zip(parts) {
        *slot = cells.get(column, *slot, *slot, whole);
    }
    for (slot, column) in draft.tolerance.iter_mut().zip(tolerance) {
        *slot = cells.number(column, *slot);
    }
    draft.oldest = cells.get("oldest", draft.oldest, draft.oldest, oldest);
    for (slot, (least, most)) in draft.buds.iter_mut().zip(limits) {
        *slot = BudLimit {
            least: cells.get(least, slot.least, slot.least, whole),
            most: cells.get(most, slot.most, slot.most, whole),
        };
    }
    let diameters = draft.diameters_mm.iter_mut();
    for (slot, column) in diameters.zip(["medium_from_mm", "thick_from_mm"]) {
        *slot = cells.number(column, *slot);
    }
    draft.compliance = cells.number("compliance", draft.compliance);
    cells.judge(Rule::new(draft))
}

fn oldest(raw: &str) -> Result<Age, String> {
    let place = whole::<usize>(raw).ok().and_then(|n| n.checked_sub(1));
    place
        .and_then(|place| Age::ALL.get(place).copied())
        .ok_or_else(|| "is not 2, 3 or 4".to_owned())
}
