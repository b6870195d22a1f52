//! Bundles that carry a part, through files.

use std::path::PathBuf;

use thirdwood::exchange::bundle::{self, BundleError, merge, read, unknown_to, write};
use thirdwood::orchard::*;
use thirdwood::store::bundle::{Since, TakeIn};
use thirdwood::store::{CountFilter, StoreError};

use crate::device::*;

fn count(device: &Device, n: u128, tree: u16) {
    let (blocks, pruners, winters) = (
        device.store.blocks().unwrap(),
        device.store.pruners().unwrap(),
        device.store.winters().unwrap(),
    );
    let head = head(&blocks[0], &pruners[0], &winters[0], tree);
    device
        .store
        .tap(
            CountId(uuid::Uuid::from_u128(n)),
            Some(&head),
            Tap::Piece(Age::One),
        )
        .unwrap();
}

fn written(device: &Device, name: &str, since: &Since) -> PathBuf {
    let path = device.folder().join(name);
    write(&device.store, since, &path).unwrap();
    path
}

fn take(device: &Device, paths: &[PathBuf], dry_run: bool) -> Result<usize, BundleError> {
    let how = TakeIn {
        dry_run,
        ..TakeIn::default()
    };
    let taken = merge(&device.store, paths, how, &mut |_| true)?;
    Ok(taken
        .iter()
        .flat_map(|(_, taken)| &taken.kinds)
        .map(|(_, kind)| kind.new)
        .sum())
}

#[test]
fn parts_go_in_in_any_order_and_a_gap_is_refused() {
    let (mut one, two) = (Device::new(1), Device::new(2));
    settle_in(&mut one);
    let first = written(&one, "first.bundle", &Since::LastBundle);
    count(&one, 1, 4);
    let second = written(&one, "second.bundle", &Since::LastBundle);
    count(&one, 2, 5);
    let third = written(&one, "third.bundle", &Since::LastBundle);
    assert_eq!(
        read(&third).unwrap().changes.len(),
        1,
        "only what is new since"
    );

    let before = two.dump();
    let gap = take(&two, std::slice::from_ref(&third), false).unwrap_err();
    assert!(
        matches!(
            gap,
            BundleError::Refused {
                source: StoreError::Gap,
                ..
            }
        ),
        "{gap}"
    );
    assert_eq!(two.dump(), before);
    // a dry run tells what would come in, and keeps nothing
    let all = [third.clone(), first.clone(), second];
    let new = take(&two, &all, true).unwrap();
    assert_eq!(two.dump(), before);
    assert_eq!(take(&two, &all, false).unwrap(), new);
    assert_eq!(take(&two, &all, false).unwrap(), 0, "known already");
    one.take(&two.all());
    assert_same(&one, &two, "in parts");

    // one that is missing in the middle: all are refused
    let three = Device::new(3);
    let gap = take(&three, &[third, first], false).unwrap_err();
    assert!(
        matches!(
            gap,
            BundleError::Refused {
                source: StoreError::Gap,
                ..
            }
        ),
        "{gap}"
    );
    assert!(three.store.blocks().unwrap().is_empty());
}

#[test]
fn a_bundle_for_a_tablet_carries_what_it_does_not_know() {
    let (mut one, two) = (Device::new(1), Device::new(2));
    settle_in(&mut one);
    two.take(&one.all());
    count(&two, 1, 4);
    let theirs = written(&two, "two.bundle", &Since::Beginning);
    count(&one, 2, 5);
    count(&one, 3, 6);
    let since = unknown_to(&read(&theirs).unwrap());
    let ours = written(&one, "for-two.bundle", &since);
    let parcel = read(&ours).unwrap();
    assert_eq!((parcel.changes.len(), parcel.sets.len()), (2, 1));
    assert_eq!(take(&two, &[ours], false).unwrap(), 2);
}

#[test]
fn what_is_written_is_read_the_same_and_is_private() {
    let mut one = Device::new(1);
    settle_in(&mut one);
    count(&one, 1, 4);
    let path = written(&one, "all.bundle", &Since::Beginning);
    assert_eq!(read(&path).unwrap(), one.all());
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        assert_eq!(
            std::fs::metadata(&path).unwrap().permissions().mode() & 0o777,
            0o600
        );
    }
    let again = written(&one, "again.bundle", &Since::Beginning);
    assert_eq!(
        std::fs::read(path).unwrap(),
        std::fs::read(again).unwrap(),
        "the same content, the same file"
    );
    let name = bundle::suggested_name("3F7A", day(12));
    assert_eq!(name, "thirdwood-2027-01-12-3F7A.bundle");
    // one of what is new takes no other's place, one with everything does
    let folder = one.folder();
    let place = |since| bundle::place_in(folder, "3F7A", day(12), &since);
    assert_eq!(place(Since::LastBundle), folder.join(&name));
    std::fs::write(folder.join(&name), "noon").unwrap();
    let second = folder.join("thirdwood-2027-01-12-3F7A-2.bundle");
    assert_eq!(place(Since::LastBundle), second);
    std::fs::write(second, "evening").unwrap();
    let third = folder.join("thirdwood-2027-01-12-3F7A-3.bundle");
    assert_eq!(place(Since::Known(Vec::new())), third);
    assert_eq!(place(Since::Beginning), folder.join(&name));
}

#[test]
fn settings_of_the_tablet_stay_on_it() {
    use thirdwood::store::Setting;
    let (mut one, two) = (Device::new(1), Device::new(2));
    settle_in(&mut one);
    for (setting, value) in [
        (Setting::Orchard, "Fernhollow"),
        (Setting::Theme, "bright"),
        (Setting::Counter, "Ana"),
    ] {
        one.store.set(setting, value).unwrap();
    }
    two.store.set(Setting::Theme, "dark").unwrap();
    two.take(&one.all());
    let set = |setting| two.store.setting(setting).unwrap();
    assert_eq!(set(Setting::Orchard).as_deref(), Some("Fernhollow"));
    assert_eq!(
        (set(Setting::Theme).as_deref(), set(Setting::Counter)),
        (Some("dark"), None)
    );
}

#[test]
fn a_cancelled_merge_leaves_nothing() {
    let (mut one, two) = (Device::new(1), Device::new(2));
    settle_in(&mut one);
    for n in 1..200 {
        count(&one, n, 4);
    }
    let before = two.dump();
    let mut asked = 0;
    let refused = two
        .store
        .take_in(&one.all(), TakeIn::default(), &mut |progress| {
            assert!(progress.done <= progress.of);
            asked += 1;
            asked < 4
        });
    assert!(matches!(refused, Err(StoreError::Stopped)), "{refused:?}");
    assert_eq!(two.dump(), before);
    two.take(&one.all());
    assert_same(&one, &two, "asked again");
}

#[test]
fn counts_of_one_moment_stand_in_one_order_on_all_tablets() {
    let (mut one, mut two) = (Device::new(1), Device::new(2));
    let (block, pruner, winter) = settle_in(&mut one);
    two.take(&one.all());
    for (first, tree) in [(false, 4), (true, 5), (false, 6)] {
        let device = if first { &mut one } else { &mut two };
        let id = CountId(device.id());
        let head = head(&block, &pruner, &winter, tree);
        let tap = Tap::Piece(Age::One);
        device.store.tap(id, Some(&head), tap).unwrap();
        device.store.close_count(id, true).unwrap();
    }
    one.take(&two.all());
    two.take(&one.all());
    let trees = |device: &Device| -> Vec<u16> {
        let all = device.store.counts(CountFilter::Winter(winter.id)).unwrap();
        all.iter().map(|count| count.head.tree).collect()
    };
    assert_eq!(trees(&one), trees(&two));
    assert_eq!(trees(&one).len(), 3);
}
