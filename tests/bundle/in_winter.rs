//! What people do on a tablet in the course of a winter, at random.

use thirdwood::orchard::Winter;
use thirdwood::orchard::*;
use thirdwood::outlook::pace::{Currency, Pay};
use thirdwood::outlook::*;
use thirdwood::store::{CountFilter, StoreError};

use crate::device::{Device, day, head};
use crate::ops::{Deed, pick};

/// Clocks of the tablets: one right, one far back, one far ahead.
const CLOCKS: [&str; 3] = [
    "2027-01-12T09:30:00+01:00",
    "1990-01-02T00:00:00Z",
    "2099-12-31T23:00:00-05:00",
];

/// What a deed is about.
struct Named {
    block: Block,
    pruner: Pruner,
    winter: Winter,
    row: Row,
    tree: u16,
}

/// Whom and what a deed is about; none where there is no block, pruner or winter.
fn named(device: &Device, Deed(_, a, b, c): Deed) -> Result<Option<Named>, StoreError> {
    let store = &device.store;
    let (blocks, pruners, winters) = (store.blocks()?, store.pruners()?, store.winters()?);
    let (Some(block), Some(pruner), Some(winter)) =
        (pick(&blocks, a), pick(&pruners, b), pick(&winters, c))
    else {
        return Ok(None);
    };
    let row = &block.rows.rows()[usize::from(c) % block.rows.rows().len()];
    Ok(Some(Named {
        block: block.clone(),
        pruner: pruner.clone(),
        winter: winter.clone(),
        row: row.clone(),
        tree: 1 + u16::from(b) % row.places,
    }))
}

/// Does what needs a block, a pruner and a winter.
pub fn in_winter(device: &mut Device, deed: Deed) -> Result<(), StoreError> {
    let Some(of) = named(device, deed)? else {
        return Ok(());
    };
    match deed.0 % 32 {
        13..=14 => work(device, &of, deed),
        15..=16 => draw(device, &of, deed),
        17 => go_back(device, &of, deed),
        18 => days(device, &of, deed),
        19 => pay(device, &of, deed),
        20 => rule(device, &of, deed),
        21 => crop(device, &of, deed),
        _ => count(device, &of, deed),
    }
}

/// Logs, changes or removes work.
fn work(device: &mut Device, of: &Named, Deed(what, a, _, c): Deed) -> Result<(), StoreError> {
    let Named {
        block,
        pruner,
        winter,
        row,
        ..
    } = of;
    let store = &device.store;
    if what % 32 == 14 {
        return pick(&store.work(winter.id)?, a)
            .map_or(Ok(()), |entry| store.remove_work(entry.id));
    }
    let draft = WorkDraft {
        winter: winter.id,
        pruner: pruner.id,
        block: block.id,
        row: row.number,
        first: 1,
        last: of.tree,
        day: day(12),
        minutes: Some(100 + u16::from(c)),
        how: How {
            kind: WorkKind::ALL[usize::from(a) % 6],
            zone: Zone::ALL[usize::from(c) % 5],
            share: (c % 3 == 0).then_some(1 + a % 99),
            team: (a % 4 == 0).then(|| WorkId(uuid::Uuid::from_u128(7))),
        },
    };
    let known = store.work(winter.id)?;
    let id = match pick(&known, c).filter(|_| a % 2 == 0) {
        Some(known) => known.id,
        None => WorkId(device.id()),
    };
    // a tree may be missing: then the form refuses
    WorkEntry::new(id, draft, block).map_or(Ok(()), |entry| device.store.save_work(&entry))
}

/// Draws trees, or leaves one out.
fn draw(device: &mut Device, of: &Named, Deed(what, a, b, c): Deed) -> Result<(), StoreError> {
    let Named {
        block,
        pruner,
        winter,
        row,
        ..
    } = of;
    let store = &device.store;
    if what % 32 == 16 {
        return pick(&store.draws(winter.id)?, a).map_or(Ok(()), |draw| {
            let place = usize::from(b) % draw.trees.len().max(1);
            store.skip_drawn(draw.id, place, (c % 2 == 0).then_some("fallen"))
        });
    }
    let id = DrawId(device.id());
    let drawn = |tree| DrawnTree {
        runs: None,
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

/// Sends a row back, changes or removes that.
fn go_back(device: &mut Device, of: &Named, Deed(_, a, b, c): Deed) -> Result<(), StoreError> {
    let Named {
        block,
        pruner,
        winter,
        row,
        ..
    } = of;
    let store = &device.store;
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

/// Days worked, lost or not of the crew.
fn days(device: &mut Device, of: &Named, Deed(_, a, b, c): Deed) -> Result<(), StoreError> {
    let Named { pruner, winter, .. } = of;
    let store = &device.store;
    match c % 4 {
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
    }
}

/// What is paid.
fn pay(device: &Device, of: &Named, Deed(_, a, b, c): Deed) -> Result<(), StoreError> {
    let Named { pruner, winter, .. } = of;
    let store = &device.store;
    let rate = Currency::default()
        .parse_rate(&format!("{}", 1 + b % 30))
        .unwrap();
    let pay = if c % 2 == 0 {
        Pay::Hour(rate)
    } else {
        Pay::AtLeast {
            tree: rate,
            hour: rate,
        }
    };
    if a % 3 == 2 {
        let spot = (
            (b % 2 == 0).then_some(of.block.id),
            Some(WorkKind::ALL[usize::from(b) % 6]),
        );
        return store.save_special_pay(winter.id, spot, (c % 5 > 0).then_some(pay));
    }
    store.save_pay(
        winter.id,
        (a % 3 > 0).then_some(pruner.id),
        (c % 5 > 0).then_some(pay),
    )
}

/// The rule of the orchard or of a block.
fn rule(device: &Device, of: &Named, Deed(_, _, b, c): Deed) -> Result<(), StoreError> {
    let Named { block, winter, .. } = of;
    let store = &device.store;
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

/// What is kept of the crop.
fn crop(device: &Device, of: &Named, Deed(_, _, b, c): Deed) -> Result<(), StoreError> {
    let Named { block, winter, .. } = of;
    let store = &device.store;
    match c % 5 {
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
    }
}

/// Counts a tree, changes or removes a count.
fn count(device: &mut Device, of: &Named, Deed(what, a, b, c): Deed) -> Result<(), StoreError> {
    let Named {
        block,
        pruner,
        winter,
        row,
        ..
    } = of;
    let at = CLOCKS[(device.nr % 3) as usize];
    let head = CountHead {
        row: row.number,
        at: Stamp::parse_rfc3339(at).unwrap(),
        ..head(block, pruner, winter, of.tree)
    };
    let tap = match c % 7 {
        6 => Tap::TwoYear(Size::ALL[usize::from(a % 3)], Buds::new(b % 8).unwrap()),
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
