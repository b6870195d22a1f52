//! What people do on a tablet, at random.

use std::fmt::Write as _;

use thirdwood::orchard::Winter;
use thirdwood::orchard::*;
use thirdwood::outlook::pace::{Currency, Pay};
use thirdwood::outlook::*;
use thirdwood::store::bundle::Joinable;
use thirdwood::store::{CountFilter, Setting, StoreError};

use crate::device::{Device, block_draft, day, pruner_draft, winter_draft};

/// One deed: what, and three numbers to choose by.
#[derive(Debug, Clone, Copy)]
pub struct Deed(pub u8, pub u8, pub u8, pub u8);

/// Clocks of the tablets: one right, one far back, one far ahead.
const CLOCKS: [&str; 3] = [
    "2027-01-12T09:30:00+01:00",
    "1990-01-02T00:00:00Z",
    "2099-12-31T23:00:00-05:00",
];

fn pick<T>(all: &[T], by: u8) -> Option<&T> {
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
        12 => device.store.set(
            [Setting::Orchard, Setting::Extras, Setting::SheetLanguage][usize::from(a % 3)],
            ["yes", "no"][usize::from(b % 2)],
        ),
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
        .settle(&conflict.kind, &conflict.key, saying.set)
}

/// What needs a block, a pruner and a winter.
#[allow(clippy::too_many_lines)] // an arm for each deed
fn in_winter(device: &mut Device, Deed(what, a, b, c): Deed) -> Result<(), StoreError> {
    let store = &device.store;
    let (blocks, pruners, winters) = (store.blocks()?, store.pruners()?, store.winters()?);
    let (Some(block), Some(pruner), Some(winter)) =
        (pick(&blocks, a), pick(&pruners, b), pick(&winters, c))
    else {
        return Ok(());
    };
    let row = &block.rows.rows()[usize::from(c) % block.rows.rows().len()];
    let tree = 1 + u16::from(b) % row.places;
    match what % 32 {
        13 => {
            let draft = WorkDraft {
                winter: winter.id,
                pruner: pruner.id,
                block: block.id,
                row: row.number,
                first: 1,
                last: tree,
                day: day(12),
                minutes: Some(100 + u16::from(c)),
            };
            let known = store.work(winter.id)?;
            let id = match pick(&known, c).filter(|_| a % 2 == 0) {
                Some(known) => known.id,
                None => WorkId(device.id()),
            };
            // a tree may be missing: then the form refuses
            WorkEntry::new(id, draft, block).map_or(Ok(()), |entry| device.store.save_work(&entry))
        }
        14 => pick(&store.work(winter.id)?, a).map_or(Ok(()), |entry| store.remove_work(entry.id)),
        15 => {
            let id = DrawId(device.id());
            let drawn = |tree| DrawnTree {
                block: block.id,
                row: row.number,
                tree,
                pruner: pruner.id,
                fate: Fate::Waiting,
            };
            let trees = (1..=row.places.min(3)).map(drawn).collect();
            let draw = Draw {
                id,
                winter: winter.id,
                day: day(12),
                since: day(11),
                until: day(12),
                seed: u64::from(c),
                trees,
            };
            device.store.add_draw(&draw)
        }
        16 => pick(&store.draws(winter.id)?, a).map_or(Ok(()), |draw| {
            store.skip_drawn(
                draw.id,
                usize::from(b) % draw.trees.len().max(1),
                (c % 2 == 0).then_some("fallen"),
            )
        }),
        17 => {
            let known = store.go_backs(winter.id)?;
            if let Some(entry) = pick(&known, a).filter(|_| b < 60) {
                return store.remove_go_back(entry.id);
            }
            let settled = (c % 2 == 0).then_some(Settled {
                outcome: Outcome::Mended,
                day: day(15),
            });
            let id = pick(&known, a).filter(|_| b % 2 == 0).map(|entry| entry.id);
            let id = id.unwrap_or_else(|| GoBackId(device.id()));
            let (reason, row) = (format!("reason {c}"), row.number);
            let entry = GoBack {
                id,
                winter: winter.id,
                block: block.id,
                row,
                pruner: pruner.id,
                day: day(13),
                reason,
                settled,
            };
            device.store.save_go_back(&entry)
        }
        18 => match c % 4 {
            0 => store.save_weekdays(winter.id, (b % 2 == 0).then_some([a % 2 == 0; 7])),
            1 => store.save_stint(&Stint {
                winter: winter.id,
                pruner: pruner.id,
                joins: Some(day(1 + u32::from(b % 9))),
                leaves: None,
            }),
            2 => store.remove_stint(winter.id, pruner.id),
            _ => {
                let known = store.labour(winter.id)?.lost;
                if let Some(lost) = pick(&known, a).filter(|_| b < 100) {
                    store.remove_lost_days(lost.id)
                } else {
                    let id = LostDaysId(device.id());
                    let lost = LostDays {
                        id,
                        winter: winter.id,
                        first: day(3),
                        last: day(3 + u32::from(b % 5)),
                        kind: LostKind::Rain,
                    };
                    device.store.save_lost_days(&lost)
                }
            }
        },
        19 => {
            let rate = Currency::default()
                .parse_rate(&format!("{}", 1 + b % 30))
                .unwrap();
            let pay = if c % 2 == 0 {
                Pay::Hour(rate)
            } else {
                Pay::Tree(rate)
            };
            store.save_pay(
                winter.id,
                (a % 3 > 0).then_some(pruner.id),
                (c % 5 > 0).then_some(pay),
            )
        }
        20 => {
            let rule = Rule::new(RuleDraft {
                parts: [1 + u16::from(c % 4), 1, 1, 0],
                ..RuleDraft::default()
            })
            .unwrap();
            let block = (b % 2 == 0).then_some(block.id);
            if c % 5 == 0 {
                store.clear_rule(winter.id, block)
            } else {
                store.save_rule(winter.id, block, &rule)
            }
        }
        21 => match c % 5 {
            0 => store.save_aim(
                winter.id,
                block.id,
                (b % 3 > 0).then_some(Target::TonnesPerHa(f64::from(b) / 7.0 + 1.0)),
            ),
            1 => store.save_factor(
                block.id,
                &Factor::new(
                    FactorKind::Set,
                    f64::from(b) / 300.0 + 0.05,
                    0.1,
                    Source::Entered,
                )
                .unwrap(),
            ),
            2 => store.save_growth(
                block.id,
                (b % 3 > 0)
                    .then(|| Growing::new(f64::from(b), [0.9, 0.95, 0.95, 0.8]).unwrap())
                    .as_ref(),
            ),
            3 => {
                let units = if b % 4 == 0 {
                    Vec::new()
                } else {
                    tagged(["4 3 5, 3 3 2 2", "3 2 1"][usize::from(b % 2)]).unwrap()
                };
                store.save_set_count(
                    block.id,
                    &SetCount {
                        season: 2026,
                        units,
                    },
                )
            }
            _ if b % 4 == 0 => store.remove_harvest(block.id, 2026),
            _ => store.save_harvest(
                block.id,
                &HarvestEntry {
                    season: 2026,
                    amount: Yield::KgPerTree(f64::from(b)),
                    weighed: None,
                },
            ),
        },
        _ => count(
            device,
            block,
            row.number,
            tree,
            (pruner, winter),
            Deed(what, a, b, c),
        ),
    }
}

fn count(
    device: &mut Device,
    block: &Block,
    row: u16,
    tree: u16,
    (pruner, winter): (&Pruner, &Winter),
    Deed(what, a, b, c): Deed,
) -> Result<(), StoreError> {
    let at = CLOCKS[(device.nr % 3) as usize];
    let head = CountHead {
        row,
        at: Stamp::parse_rfc3339(at).unwrap(),
        ..crate::device::head(block, pruner, winter, tree)
    };
    let tap = match c % 6 {
        5 => Tap::Upright,
        4 => Tap::Unit(Size::ALL[usize::from(a % 3)], Buds::new(b % 8).unwrap()),
        age => Tap::Piece(Age::ALL[usize::from(age)]),
    };
    let counts = device.store.counts(CountFilter::Winter(winter.id))?;
    let removed = device.store.counts(CountFilter::Removed(winter.id))?;
    let store = &device.store;
    let open = store.counts(CountFilter::Open(winter.id))?;
    match what % 32 {
        22..=24 => {
            let id = CountId(device.id());
            for _ in 0..=c % 4 {
                let begin = device.store.count(id)?.is_none().then_some(&head);
                device.store.tap(id, begin, tap)?;
            }
            if b % 3 > 0 {
                device.store.close_count(id, true)
            } else {
                Ok(())
            }
        }
        25..=26 => pick(&open, a).map_or(Ok(()), |count| store.tap(count.id, None, tap).map(drop)),
        27 => pick(&counts, a).map_or(Ok(()), |count| store.undo_tap(count.id).map(drop)),
        28 => pick(&counts, a).map_or(Ok(()), |count| store.close_count(count.id, b % 4 > 0)),
        29 => pick(&counts, a).map_or(Ok(()), |count| {
            store.change_head(
                count.id,
                &CountHead {
                    // now and then it names somebody
                    note: ["note 1", "note 2", "Mele was here", "Oren"][usize::from(c % 4)].into(),
                    ..head
                },
            )
        }),
        30 => pick(&counts, a).map_or(Ok(()), |count| store.remove_count(count.id, true)),
        _ => pick(&removed, a).map_or(Ok(()), |count| store.remove_count(count.id, false)),
    }
}
