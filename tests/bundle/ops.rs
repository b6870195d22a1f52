//! What people do on a tablet, at random.

use std::fmt::Write as _;

use thirdwood::orchard::*;
use thirdwood::store::bundle::Joinable;
use thirdwood::store::{Setting, StoreError};

use crate::device::{Device, block_draft, day, pruner_draft, winter_draft};
use crate::in_winter::in_winter;

/// One deed: what, and three numbers to choose by.
#[derive(Debug, Clone, Copy)]
pub struct Deed(pub u8, pub u8, pub u8, pub u8);

/// One of them; none where there is none.
pub fn pick<T>(all: &[T], by: u8) -> Option<&T> {
    (!all.is_empty()).then(|| &all[usize::from(by) % all.len()])
}

/// Does it; what the file refuses as people are refused is no fault.
pub fn act(device: &mut Device, deed: Deed) {
    match attempt(device, deed) {
        Ok(()) | Err(StoreError::Taken(_) | StoreError::InUse(_) | StoreError::Gone(_)) => {}
        Err(other) => panic!("{deed:?}: {other}"),
    }
}

fn attempt(device: &mut Device, Deed(what, a, b, c): Deed) -> Result<(), StoreError> {
    match what % 32 {
        0..=3 => set_up(device, what % 4, a, b),
        4 => change_block(device, a, b, c),
        5 => match pick(&device.store.pruners()?, a) {
            Some(pruner) if c > 245 => device.store.forget_name(pruner.id).map(drop),
            Some(pruner) if c < 40 => device.store.remove_pruner(pruner.id),
            Some(pruner) => {
                let draft = pruner_draft(
                    1 + u16::from(b % 5),
                    ["Mele", "Oren", ""][usize::from(c % 3)],
                );
                device
                    .store
                    .save_pruner(&Pruner::new(pruner.id, draft).unwrap())
            }
            None => Ok(()),
        },
        6 => change_winter(device, a, b, c),
        7 => match pick(&device.store.blocks()?, a) {
            Some(block) => device.store.remove_block(block.id),
            None => Ok(()),
        },
        8..=9 => join_or_part(device, a, b, c),
        10..=11 => settle(device, a, b),
        12 => {
            let values = [
                (Setting::Orchard, ["Fernhollow", "Farside"]),
                (Setting::Extras, ["yes", "no"]),
                (Setting::SheetLanguage, ["es", "en"]),
            ];
            let (setting, values) = values[usize::from(a % 3)];
            device.store.set(setting, values[usize::from(b % 2)])
        }
        _ => in_winter(device, Deed(what, a, b, c)),
    }
}

fn set_up(device: &mut Device, what: u8, a: u8, b: u8) -> Result<(), StoreError> {
    match what {
        0 => {
            let name = ["River", "Hill", "Far"][usize::from(a % 3)];
            let rows = ["1-3x6", "1x4", "2-4x8"][usize::from(b % 3)];
            device.id();
            let block = Block::new(BlockId(device.id()), block_draft(name, rows, "")).unwrap();
            device.store.save_block(&block)
        }
        1 | 2 => {
            let draft = pruner_draft(
                1 + u16::from(a % 4),
                ["Mele", "Oren", "Bo"][usize::from(b % 3)],
            );
            let pruner = Pruner::new(PrunerId(device.id()), draft).unwrap();
            device.store.save_pruner(&pruner)
        }
        _ => {
            let winter = winter_draft(["2026/27", "2027/28"][usize::from(a % 2)]);
            let winter = Winter::new(WinterId(device.id()), winter).unwrap();
            device.store.save_winter(&winter)
        }
    }
}

fn change_block(device: &Device, a: u8, b: u8, c: u8) -> Result<(), StoreError> {
    let blocks = device.store.blocks()?;
    let Some(block) = pick(&blocks, a) else {
        return Ok(());
    };
    let mut draft = block.draft().clone();
    match b % 4 {
        0 => draft.stems = 1 + c % 8,
        1 => draft.name = ["River", "Hill", "Far", "New"][usize::from(c % 4)].into(),
        2 => {
            draft.rows = RowPlan::parse(
                ["1-3x6", "1x4", "2-4x8", "4-5x5", "1x20"][usize::from(c % 5)],
                "",
            )
            .unwrap();
        }
        _ => {
            let rows = draft.rows.rows_text();
            let row = draft.rows.rows()[usize::from(c) % draft.rows.rows().len()].clone();
            let mut missing = draft.rows.missing_text();
            let place = 1 + u16::from(c) % row.places;
            write!(missing, ", {}:{place}", row.number).unwrap();
            match RowPlan::parse(&rows, &missing) {
                Ok(plan) => draft.rows = plan,
                Err(_) => draft.rows = RowPlan::parse(&rows, "").unwrap(),
            }
        }
    }
    device
        .store
        .save_block(&Block::new(block.id, draft).unwrap())
}

fn change_winter(device: &Device, a: u8, b: u8, c: u8) -> Result<(), StoreError> {
    let winters = device.store.winters()?;
    let Some(winter) = pick(&winters, a) else {
        return Ok(());
    };
    if c < 25 {
        return device.store.remove_winter(winter.id);
    }
    let mut draft = winter.draft().clone();
    let blocks = device.store.blocks()?;
    match (b % 3, pick(&blocks, c)) {
        (0, Some(block)) => drop(
            draft
                .block_budburst
                .insert(block.id, draft.start + chrono::Days::new(u64::from(c))),
        ),
        (1, _) => draft.start = day(1 + u32::from(c % 28)),
        _ => draft.label = ["2026/27", "2027/28", "other"][usize::from(c % 3)].into(),
    }
    // a draft that the form would refuse is not saved
    Winter::new(winter.id, draft).map_or(Ok(()), |winter| device.store.save_winter(&winter))
}

fn join_or_part(device: &Device, a: u8, b: u8, c: u8) -> Result<(), StoreError> {
    let store = &device.store;
    if c < 60 {
        let joined = store.joined()?;
        return pick(&joined, a).map_or(Ok(()), |one| store.part(one.kind, one.gone));
    }
    let kind = Joinable::ALL[usize::from(c % 3)];
    let all: Vec<_> = match kind {
        Joinable::Pruner => store.pruners()?.iter().map(|pruner| pruner.id.0).collect(),
        Joinable::Block => store.blocks()?.iter().map(|block| block.id.0).collect(),
        Joinable::Winter => store.winters()?.iter().map(|winter| winter.id.0).collect(),
    };
    match (pick(&all, a), pick(&all, b)) {
        (Some(gone), Some(kept)) => store.join(kind, *gone, *kept),
        _ => Ok(()),
    }
}

fn settle(device: &Device, a: u8, b: u8) -> Result<(), StoreError> {
    let conflicts = device.store.conflicts()?;
    let Some(conflict) = pick(&conflicts, a) else {
        return Ok(());
    };
    let saying = pick(&conflict.sayings, b).unwrap();
    device
        .store
        .settle(conflict.kind, &conflict.key, saying.set)
}
