//! Hours that were entered are never lost: whatever is logged on two tablets at once, in whatever order it comes
//! together, each entry's hours count until somebody takes that entry away by name.

use std::collections::BTreeMap;

use proptest::prelude::*;
use thirdwood::orchard::*;
use thirdwood::report::Season;
use uuid::Uuid;

use crate::device::{Device, block_draft, day, pruner_draft, winter_draft};

/// One thing done on a tablet.
#[derive(Debug, Clone)]
enum Deed {
    /// Pruner, first place, length, zone, kind, with others or alone, minutes.
    Log(u16, u16, u16, usize, usize, bool, u16),
    /// Takes one of the entries that are known there out of the log.
    Remove(usize),
    /// The other tablet gets all that this one has.
    Hand,
}

fn deeds() -> impl Strategy<Value = Vec<(bool, Deed)>> {
    let log = (
        0u16..4,
        1u16..20,
        0u16..10,
        0usize..5,
        0usize..6,
        any::<bool>(),
        1u16..600,
    );
    let log = log.prop_map(|(a, b, c, d, e, f, g)| Deed::Log(a, b, c, d, e, f, g));
    let remove = (0usize..9).prop_map(Deed::Remove);
    let deed = prop_oneof![6 => log, 1 => remove, 1 => Just(Deed::Hand)];
    proptest::collection::vec((any::<bool>(), deed), 1..16)
}

struct House {
    winter: Winter,
    block: Block,
    crew: Vec<Pruner>,
}

fn begun(device: &mut Device) -> House {
    let winter = Winter::new(WinterId(device.id()), winter_draft("2027")).unwrap();
    let block = Block::new(BlockId(device.id()), block_draft("River", "1x30", "")).unwrap();
    let mut pruner = |number| {
        let draft = pruner_draft(number, "");
        Pruner::new(PrunerId(device.id()), draft).unwrap()
    };
    let crew: Vec<Pruner> = (1..=4).map(&mut pruner).collect();
    device.store.save_winter(&winter).unwrap();
    device.store.save_block(&block).unwrap();
    for pruner in &crew {
        device.store.save_pruner(pruner).unwrap();
    }
    House {
        winter,
        block,
        crew,
    }
}

fn log(device: &mut Device, house: &House, deed: &Deed) -> Option<WorkEntry> {
    let Deed::Log(who, first, length, zone, kind, shared, minutes) = deed else {
        return None;
    };
    let draft = WorkDraft {
        winter: house.winter.id,
        pruner: house.crew[usize::from(*who)].id,
        block: house.block.id,
        row: 1,
        first: *first,
        last: first + length,
        day: day(12),
        minutes: Some(*minutes),
        how: How {
            kind: WorkKind::ALL[*kind],
            zone: Zone::ALL[*zone],
            share: None,
            team: shared.then(|| WorkId(Uuid::from_u128(1))),
        },
    };
    let entry = WorkEntry::new(WorkId(device.id()), draft, &house.block).unwrap();
    device.store.save_work(&entry).unwrap();
    Some(entry)
}

/// Minutes by pruner that pace and pay have.
fn accounted(device: &Device, house: &House) -> BTreeMap<PrunerId, u32> {
    let season = Season::load(&device.store, house.winter.clone()).unwrap();
    let mut sums = BTreeMap::new();
    for work in season.day_work(day(28)) {
        *sums.entry(work.pruner).or_default() += work.minutes.unwrap();
    }
    // whatever claims the same trees is listed, on every tablet the same
    for (one, other) in season.disputes() {
        assert!(one.disputes(other) && other.disputes(one));
    }
    sums
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]
    #[test]
    fn hours_entered_are_hours_accounted_for(deeds in deeds()) {
        let mut tablets = [Device::new(1), Device::new(2)];
        let house = begun(&mut tablets[0]);
        tablets[1].take(&tablets[0].all());
        let mut entered: BTreeMap<WorkId, WorkEntry> = BTreeMap::new();
        for (second, deed) in &deeds {
            let here = usize::from(*second);
            if let Some(entry) = log(&mut tablets[here], &house, deed) {
                entered.insert(entry.id, entry);
            }
            match deed {
                Deed::Remove(which) => {
                    let known = tablets[here].store.work(house.winter.id).unwrap();
                    if let Some(entry) = known.get(*which) {
                        tablets[here].store.remove_work(entry.id).unwrap();
                        entered.remove(&entry.id);
                    }
                }
                Deed::Hand => {
                    let all = tablets[here].all();
                    tablets[1 - here].take(&all);
                }
                Deed::Log(..) => {}
            }
        }
        for _ in 0..2 {
            let all = tablets[0].all();
            tablets[1].take(&all);
            let all = tablets[1].all();
            tablets[0].take(&all);
        }
        let mut wanted: BTreeMap<PrunerId, u32> = BTreeMap::new();
        for entry in entered.values() {
            *wanted.entry(entry.pruner).or_default() += u32::from(entry.minutes.unwrap());
        }
        for tablet in &tablets {
            prop_assert_eq!(&accounted(tablet, &house), &wanted);
        }
    }
}
