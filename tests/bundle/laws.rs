//! The laws of merging, over random histories.

use std::collections::{BTreeMap, BTreeSet};

use proptest::prelude::*;
use thirdwood::store::StoreError;
use thirdwood::store::bundle::{Change, Kind, Parcel, Since, TakeIn};
use uuid::Uuid;

use crate::device::{Device, all_meet, assert_same};
use crate::ops::{Deed, act};

/// One step of a history.
#[derive(Debug, Clone, Copy)]
enum Step {
    /// Somebody does something.
    Act(u8, Deed),
    /// One tablet writes a bundle (everything, since its last, or for another) and another takes it in.
    Hand(u8, u8, u8),
    /// A bundle that was written at some time is taken in, once more or late.
    Late(u8, u8),
}

fn deed() -> impl Strategy<Value = Deed> {
    (any::<u8>(), any::<u8>(), any::<u8>(), any::<u8>())
        .prop_map(|(what, a, b, c)| Deed(what, a, b, c))
}

fn step() -> impl Strategy<Value = Step> {
    prop_oneof![
        12 => (any::<u8>(), deed()).prop_map(|(who, deed)| Step::Act(who, deed)),
        3 => (any::<u8>(), any::<u8>(), any::<u8>()).prop_map(|(from, to, how)| Step::Hand(from, to, how)),
        1 => (any::<u8>(), any::<u8>()).prop_map(|(which, to)| Step::Late(which, to)),
    ]
}

/// Deeds that make an orchard to begin with, so that the random ones find something to change.
const BEGIN: [Deed; 5] = [
    Deed(0, 0, 0, 0),
    Deed(1, 0, 0, 0),
    Deed(1, 1, 1, 0),
    Deed(3, 0, 0, 0),
    Deed(0, 1, 1, 0),
];

/// Some tablets that began with one orchard (`common`) or each by itself, and what they did.
fn play(devices: usize, common: bool, steps: &[Step]) -> Vec<Device> {
    let mut devices: Vec<Device> = (0..devices as u128).map(Device::new).collect();
    for device in &mut devices[..if common { 1 } else { 2 }] {
        for deed in BEGIN {
            act(device, deed);
        }
    }
    if common {
        let begin = devices[0].all();
        devices[1..]
            .iter()
            .for_each(|device| drop(device.take(&begin)));
    }
    let mut written: Vec<Parcel> = Vec::new();
    let all = devices.len();
    for step in steps {
        match *step {
            Step::Act(who, deed) => act(&mut devices[usize::from(who) % all], deed),
            Step::Hand(from, to, how) => {
                let (from, to) = (usize::from(from) % all, usize::from(to) % all);
                let since = match how % 3 {
                    0 => Since::Beginning,
                    1 => Since::LastBundle,
                    _ => Since::Known(devices[to].all().heads),
                };
                let parcel = if how % 5 == 0 {
                    nameless(&devices[from], &since)
                } else {
                    devices[from].parcel(&since)
                };
                devices[from].store.bundle_written(&parcel).unwrap();
                take_or_refuse(&devices[to], &parcel);
                written.push(parcel);
            }
            Step::Late(which, to) if !written.is_empty() => {
                take_or_refuse(
                    &devices[usize::from(to) % all],
                    &written[usize::from(which) % written.len()],
                );
            }
            Step::Late(..) => {}
        }
    }
    devices
}

/// A bundle without names; with them, where notes in conflicts would tell names all the same.
fn nameless(device: &Device, since: &Since) -> Parcel {
    device.store.number_all_texts().unwrap();
    match device.store.parcel_without_names(since) {
        Ok(parcel) => {
            let told = |change: &Change| {
                change.kind == Kind::Name
                    || (change.kind == Kind::Pruner && change.body.contains("\"name\""))
            };
            assert!(!parcel.changes.iter().any(told), "a bundle without names");
            parcel
        }
        Err(StoreError::NamesTyped(_)) => device.parcel(since),
        Err(other) => panic!("{other}"),
    }
}

/// A bundle that begins after what this tablet knows is refused, and changes nothing that is carried.
fn take_or_refuse(device: &Device, parcel: &Parcel) {
    let how = TakeIn {
        join_orchards: true,
        ..TakeIn::default()
    };
    match device.store.take_in(parcel, how, &mut |_| true) {
        Ok(_) => assert_eq!(device.store.check().unwrap().problems, Vec::<String>::new()),
        Err(StoreError::Gap) => {}
        Err(other) => panic!("{other}"),
    }
}

fn cases() -> ProptestConfig {
    ProptestConfig {
        max_shrink_iters: 60,
        failure_persistence: None,
        ..ProptestConfig::with_cases(
            std::env::var("THIRDWOOD_CASES")
                .ok()
                .and_then(|n| n.parse().ok())
                .unwrap_or(40),
        )
    }
}

proptest! {
    #![proptest_config(cases())]

    #[test]
    fn all_tablets_end_with_the_same(
        devices in 3usize..=5,
        common: bool,
        steps in proptest::collection::vec(step(), 10..90),
        last in proptest::collection::vec((any::<u8>(), deed()), 0..12),
    ) {
        let mut devices = play(devices, common, &steps);
        for device in &devices {
            device.all();
        }
        let all = devices.len();
        for (who, deed) in last {
            act(&mut devices[usize::from(who) % all], deed);
        }
        // what each tablet holds before they meet
        let before: Vec<Parcel> = devices.iter().map(Device::all).collect();
        all_meet(&devices);
        for device in &devices {
            assert_same(&devices[0], device, "after all met");
            prop_assert_eq!(device.store.check().unwrap().problems, Vec::<String>::new());
        }
        let after = devices[0].all();
        let lost: Vec<String> = before.iter().flat_map(|parcel| lost(parcel, &after)).collect();
        prop_assert_eq!(lost, Vec::<String>::new());
        // meeting again changes nothing
        let settled = devices[0].dump();
        all_meet(&devices);
        for device in &devices {
            prop_assert_eq!(&device.dump(), &settled);
        }
    }

    #[test]
    fn the_order_of_merging_is_nothing(
        common: bool,
        steps in proptest::collection::vec(step(), 10..60),
    ) {
        let devices = play(3, common, &steps);
        let [a, b, c] = [0, 1, 2].map(|at: usize| devices[at].all());
        let orders: [&[&Parcel]; 6] =
            [&[&a, &b, &c], &[&c, &b, &a], &[&b, &c, &a], &[&a, &a, &b, &c, &b], &[&c, &a, &c, &b, &a, &c], &[&b, &a, &c]];
        let merged: Vec<Device> = orders.iter().map(|order| {
            let device = Device::new(9);
            order.iter().for_each(|parcel| drop(device.take(parcel)));
            device
        }).collect();
        for device in &merged {
            assert_same(&merged[0], device, "in another order");
        }
        // (a + b) + c = a + (b + c), each pair merged on a tablet of its own and handed on
        let pair = |one: &Parcel, two: &Parcel| {
            let device = Device::new(8);
            device.take(one);
            device.take(two);
            device.all()
        };
        let (left, right) = (Device::new(7), Device::new(6));
        left.take(&pair(&a, &b));
        left.take(&c);
        right.take(&a);
        right.take(&pair(&b, &c));
        assert_same(&left, &right, "grouped otherwise");
        assert_same(&left, &merged[0], "grouped");
    }
}

/// What a parcel held that is neither in a later one, nor was changed by somebody who knew it.
fn lost(before: &Parcel, after: &Parcel) -> Vec<String> {
    let parents: BTreeMap<Uuid, &[Uuid]> = after
        .sets
        .iter()
        .map(|set| (set.id, set.parents.as_slice()))
        .collect();
    let knew = |late: Uuid, early: Uuid| {
        let mut open = vec![late];
        let mut seen = BTreeSet::new();
        while let Some(set) = open.pop() {
            if set == early {
                return true;
            }
            if seen.insert(set) {
                open.extend(parents.get(&set).copied().unwrap_or_default());
            }
        }
        false
    };
    let mut now: BTreeMap<(Kind, &str), Vec<(Uuid, &Change)>> = BTreeMap::new();
    for change in &after.changes {
        let set = after.sets[change.set].id;
        now.entry((change.kind, change.key.as_str()))
            .or_default()
            .push((set, change));
    }
    let mut lost = Vec::new();
    for change in &before.changes {
        let set = before.sets[change.set].id;
        let there = now
            .get(&(change.kind, change.key.as_str()))
            .cloned()
            .unwrap_or_default();
        let held = there
            .iter()
            .any(|(id, now)| *id == set && now.body == change.body);
        let replaced = there
            .iter()
            .any(|(id, now)| *id != set && knew(*id, set) && !now.beside.contains(&set));
        let taken_away = change.kind == Kind::Name
            && now.contains_key(&(Kind::NameRemoved, change.key.as_str()));
        if !held && !replaced && !taken_away {
            lost.push(format!(
                "{} {} {}",
                change.kind.word(),
                change.key,
                change.body
            ));
        }
    }
    lost
}
