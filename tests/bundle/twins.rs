//! One pruner, block or winter that was entered on two tablets.

use thirdwood::orchard::*;
use thirdwood::store::bundle::{Joinable, TakeIn};
use thirdwood::store::{CountFilter, StoreError};

use crate::device::*;

/// Two tablets that began by themselves with the same block, pruner and winter, a count on each.
fn apart() -> (Device, Device) {
    let mut devices = (Device::new(1), Device::new(2));
    for (device, tree) in [(&mut devices.0, 4), (&mut devices.1, 5)] {
        let (block, pruner, winter) = settle_in(device);
        let id = CountId(device.id());
        device
            .store
            .tap(
                id,
                Some(&head(&block, &pruner, &winter, tree)),
                Tap::Piece(Age::One),
            )
            .unwrap();
        device.store.close_count(id, true).unwrap();
    }
    devices
}

#[test]
fn another_orchard_is_refused_unless_asked() {
    let (one, two) = apart();
    let before = one.dump();
    let refused = one
        .store
        .take_in(&two.all(), TakeIn::default(), &mut |_| true);
    assert!(
        matches!(refused, Err(StoreError::OtherOrchard)),
        "{refused:?}"
    );
    assert_eq!(one.dump(), before);
    one.take(&two.all());
    // joined once, bundles go both ways
    let taken = two
        .store
        .take_in(&one.all(), TakeIn::default(), &mut |_| true)
        .unwrap();
    assert_eq!((taken.joined, taken.apart), (0, 1));
    one.store
        .take_in(&two.all(), TakeIn::default(), &mut |_| true)
        .unwrap();
    // asked for on the other tablet as well, both files say so
    two.take(&one.all());
    assert_same(&one, &two, "joined");
}

#[test]
fn twins_are_kept_apart_until_they_are_joined() {
    let (one, two) = apart();
    one.take(&two.all());
    two.take(&one.all());
    assert_same(&one, &two, "with twins");
    let names: Vec<String> = one
        .store
        .blocks()
        .unwrap()
        .iter()
        .map(|block| block.name.clone())
        .collect();
    assert_eq!(names, ["River", "River (2)"]);
    let numbers: Vec<u16> = one
        .store
        .pruners()
        .unwrap()
        .iter()
        .map(|pruner| pruner.number)
        .collect();
    assert_eq!(numbers, [3, 4]);
    let twins = one.store.twins().unwrap();
    let seen: Vec<_> = twins
        .iter()
        .map(|twins| (twins.kind, twins.given.as_str(), twins.all.len()))
        .collect();
    assert_eq!(
        seen,
        [
            (Joinable::Block, "River", 2),
            (Joinable::Pruner, "3", 2),
            (Joinable::Winter, "2026/27", 2)
        ]
    );

    // each kind is joined on another tablet, without a bundle in between
    for (device, twins) in [&one, &two, &one].into_iter().zip(&twins) {
        device
            .store
            .join(twins.kind, twins.all[1].id, twins.all[0].id)
            .unwrap();
    }
    // and the second tablet goes on under the entries that are gone elsewhere
    let gone = two.store.winters().unwrap()[1].clone();
    let (block, pruner) = (
        two.store.blocks().unwrap()[1].clone(),
        two.store.pruners().unwrap()[0].clone(),
    );
    let id = CountId(uuid::Uuid::from_u128(99));
    two.store
        .tap(
            id,
            Some(&head(&block, &pruner, &gone, 6)),
            Tap::Piece(Age::Two),
        )
        .unwrap();
    two.store.close_count(id, true).unwrap();
    one.take(&two.all());
    two.take(&one.all());
    assert_same(&one, &two, "joined");
    let (blocks, pruners, winters) = (
        one.store.blocks().unwrap(),
        one.store.pruners().unwrap(),
        one.store.winters().unwrap(),
    );
    assert_eq!((blocks.len(), pruners.len(), winters.len()), (1, 1, 1));
    let counts = one
        .store
        .counts(CountFilter::Winter(winters[0].id))
        .unwrap();
    let trees: Vec<u16> = counts.iter().map(|count| count.head.tree).collect();
    assert_eq!(trees.len(), 3, "{trees:?}");
    for count in &counts {
        assert_eq!(
            (count.head.block, count.head.pruner),
            (blocks[0].id, Some(pruners[0].id))
        );
    }
    assert!(one.store.twins().unwrap().is_empty());
    assert_eq!(one.store.check().unwrap().problems, Vec::<String>::new());

    // joining can be undone
    one.store
        .part(Joinable::Pruner, twins[1].all[1].id)
        .unwrap();
    two.take(&one.all());
    assert_same(&one, &two, "parted");
    assert_eq!(two.store.pruners().unwrap().len(), 2);
}

#[test]
fn joins_in_a_ring_and_in_a_row_end_the_same() {
    let (one, two) = (Device::new(1), Device::new(2));
    let ids: Vec<uuid::Uuid> = (1..=4u16)
        .map(|number| {
            let id = uuid::Uuid::from_u128(u128::from(number));
            one.store
                .save_pruner(&Pruner::new(PrunerId(id), pruner_draft(number, "")).unwrap())
                .unwrap();
            id
        })
        .collect();
    two.take(&one.all());
    one.store.join(Joinable::Pruner, ids[0], ids[1]).unwrap();
    two.store.join(Joinable::Pruner, ids[1], ids[0]).unwrap();
    two.store.join(Joinable::Pruner, ids[3], ids[2]).unwrap();
    one.store.join(Joinable::Pruner, ids[2], ids[1]).unwrap();
    one.take(&two.all());
    two.take(&one.all());
    assert_same(&one, &two, "in a ring");
    let left: Vec<u16> = one
        .store
        .pruners()
        .unwrap()
        .iter()
        .map(|pruner| pruner.number)
        .collect();
    assert_eq!(left, [1]);
}

#[test]
fn a_twin_that_gets_a_number_of_its_own_keeps_it() {
    let (one, two) = apart();
    one.take(&two.all());
    let twin = one.store.pruners().unwrap()[1].clone();
    one.store
        .save_pruner(&Pruner::new(twin.id, pruner_draft(17, "Oren")).unwrap())
        .unwrap();
    two.take(&one.all());
    assert_same(&one, &two, "renumbered");
    let kinds: Vec<Joinable> = two
        .store
        .twins()
        .unwrap()
        .iter()
        .map(|twins| twins.kind)
        .collect();
    assert_eq!(kinds, [Joinable::Block, Joinable::Winter]);
    // another change of a twin does not make its makeshift name its own
    let block = two.store.blocks().unwrap()[1].clone();
    let draft = BlockDraft {
        variety: "Abate".into(),
        ..block.draft().clone()
    };
    two.store
        .save_block(&Block::new(block.id, draft).unwrap())
        .unwrap();
    one.take(&two.all());
    assert_eq!(one.store.twins().unwrap()[0].given, "River");
    assert_same(&one, &two, "changed");
}

#[test]
fn lost_days_of_a_parted_winter_outlive_the_one_that_is_removed() {
    let (mut one, two) = (Device::new(1), Device::new(2));
    let (_, _, kept) = settle_in(&mut one);
    let gone = Winter::new(WinterId(one.id()), winter_draft("2027/28")).unwrap();
    one.store.save_winter(&gone).unwrap();
    let rain = LostDays {
        id: LostDaysId(one.id()),
        winter: gone.id,
        first: day(3),
        last: day(7),
        kind: LostKind::Rain,
    };
    one.store.save_lost_days(&rain).unwrap();
    one.store
        .join(Joinable::Winter, gone.id.0, kept.id.0)
        .unwrap();
    two.take(&one.all());
    let lost = |device: &Device, winter: WinterId| device.store.labour(winter).unwrap().lost;
    assert_eq!(
        lost(&two, kept.id).len(),
        1,
        "shown with the winter that is kept"
    );

    two.store.part(Joinable::Winter, gone.id.0).unwrap();
    two.store.remove_winter(kept.id).unwrap();
    one.take(&two.all());
    assert_eq!(lost(&one, gone.id), [rain]);
    assert_same(&one, &two, "parted, and the other removed");
}
