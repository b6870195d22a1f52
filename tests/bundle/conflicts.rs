//! One thing changed on two tablets: both are kept, one is shown, a person settles it.

use thirdwood::orchard::*;
use thirdwood::store::CountFilter;
use thirdwood::store::bundle::{Kind, Parcel, Since, TakeIn};

use crate::device::*;

/// Two tablets with one orchard and one closed count of two pieces.
fn two() -> (Device, Device, CountId, Winter) {
    let (mut one, two) = (Device::new(1), Device::new(2));
    let (block, pruner, winter) = settle_in(&mut one);
    let id = CountId(one.id());
    one.store
        .tap(
            id,
            Some(&head(&block, &pruner, &winter, 4)),
            Tap::Piece(Age::One),
        )
        .unwrap();
    one.store.tap(id, None, Tap::Piece(Age::Two)).unwrap();
    one.store.close_count(id, true).unwrap();
    two.take(&one.all());
    (one, two, id, winter)
}

fn add(device: &Device, id: CountId, age: Age) {
    device.store.close_count(id, false).unwrap();
    device.store.tap(id, None, Tap::Piece(age)).unwrap();
    device.store.close_count(id, true).unwrap();
}

#[test]
fn a_count_changed_on_two_tablets_is_settled_by_a_person() {
    let (one, two, id, _) = two();
    add(&one, id, Age::Three);
    add(&two, id, Age::FourPlus);
    add(&two, id, Age::FourPlus);
    one.take(&two.all());
    two.take(&one.all());
    assert_same(&one, &two, "with a conflict");
    let conflicts = one.store.conflicts().unwrap();
    assert_eq!(conflicts.len(), 1);
    let conflict = &conflicts[0];
    assert_eq!((conflict.kind.word(), conflict.sayings.len()), ("count", 2));
    assert!(
        conflict.what.contains("River") && conflict.what.contains("tree 4"),
        "{}",
        conflict.what
    );
    assert!(conflict.sayings[0].shown && !conflict.sayings[1].shown);
    let words: Vec<&str> = conflict
        .sayings
        .iter()
        .map(|saying| saying.words.as_str())
        .collect();
    assert!(
        words.iter().any(|words| words.contains("1/1/1/0")),
        "{words:?}"
    );
    assert!(
        words.iter().any(|words| words.contains("1/1/0/2")),
        "{words:?}"
    );

    // the one that is not shown is chosen, and the other tablet learns it
    let other = &conflict.sayings[1];
    let wanted = if other.words.contains("1/1/1/0") {
        [1, 1, 1, 0]
    } else {
        [1, 1, 0, 2]
    };
    two.store
        .settle(Kind::Count, &conflict.key, other.set)
        .unwrap();
    one.take(&two.all());
    for device in [&one, &two] {
        assert_eq!(device.store.count(id).unwrap().unwrap().tally.ages, wanted);
        assert!(device.store.conflicts().unwrap().is_empty());
    }
    assert_same(&one, &two, "settled");
}

#[test]
fn going_on_with_the_one_shown_does_not_lose_the_other() {
    let (one, two, id, _) = two();
    add(&one, id, Age::Three);
    add(&two, id, Age::FourPlus);
    one.take(&two.all());
    add(&one, id, Age::One);
    two.take(&one.all());
    let conflict = two.store.conflicts().unwrap().remove(0);
    assert_eq!(conflict.sayings.len(), 2);
    assert!(
        conflict.sayings[0].words.contains("2/1/"),
        "{}",
        conflict.sayings[0].words
    );
    two.store
        .settle(Kind::Count, &conflict.key, conflict.sayings[0].set)
        .unwrap();
    one.take(&two.all());
    assert!(one.store.conflicts().unwrap().is_empty());
}

/// The tablet, what it says, and whether that is shown.
type Told = (String, String, bool);

/// What a list of conflicts says: letters follow from the order.
fn listed(device: &Device) -> Vec<(String, Vec<Told>)> {
    let conflicts = device.store.conflicts().unwrap().into_iter();
    conflicts
        .map(|conflict| {
            let sayings = conflict.sayings.into_iter();
            let told = sayings.map(|saying| (saying.tablet, saying.words, saying.shown));
            (conflict.what, told.collect())
        })
        .collect()
}

#[test]
fn choices_have_the_same_letters_and_labels_on_every_tablet() {
    let (one, two, id, _) = two();
    let (three, four) = (Device::new(3), Device::new(4));
    three.take(&one.all());
    four.take(&one.all());
    for (device, times) in [(&one, 1), (&two, 2), (&three, 3), (&four, 4)] {
        for _ in 0..times {
            add(device, id, Age::FourPlus);
        }
    }
    let [a, b, c, d] = [&one, &two, &three, &four].map(Device::all);
    // in another order on each, so that no two number the change sets alike
    for (device, order) in [
        (&one, [&d, &c, &b]),
        (&two, [&a, &c, &d]),
        (&three, [&b, &d, &a]),
        (&four, [&c, &a, &b]),
    ] {
        for parcel in order {
            device.take(parcel);
        }
    }
    let first = listed(&one);
    assert_eq!(first[0].1.len(), 4);
    for device in [&two, &three, &four] {
        assert_eq!(listed(device), first);
    }
}

/// Two copies of a file gather the same changes into one change set, each under the label of its own tablet.
#[test]
fn a_change_set_made_on_two_tablets_gets_one_label() {
    let (mut one, two) = (Device::new(1), Device::new(2));
    settle_in(&mut one);
    let copied = two.folder().join("copied.db");
    let conn = rusqlite::Connection::open(one.path()).unwrap();
    conn.execute_batch("PRAGMA wal_checkpoint(TRUNCATE)")
        .unwrap();
    std::fs::copy(one.path(), &copied).unwrap();
    let copy = thirdwood::store::Store::open(&copied).unwrap();
    let (a, b) = (one.all(), copy.parcel(&Since::Beginning).unwrap());
    assert_eq!(a.sets[0].id, b.sets[0].id);
    assert_ne!(a.sets[0].tablet, b.sets[0].tablet);
    one.take(&b);
    let how = TakeIn {
        join_orchards: true,
        dry_run: false,
    };
    copy.take_in(&a, how, &mut |_| true).unwrap();
    let again = copy.parcel(&Since::Beginning).unwrap();
    assert_eq!(one.all().sets[0].tablet, again.sets[0].tablet);
}

#[test]
fn a_removed_count_is_told_as_removed() {
    let (one, two, id, _) = two();
    two.store.remove_count(id, true).unwrap();
    let told = |device: &Device, parcel: &Parcel| {
        let taken = device.take(parcel);
        let of_counts = taken.kinds.iter().find(|(kind, _)| *kind == "counts");
        of_counts
            .map(|(_, came)| (came.new, came.changed, came.removed))
            .unwrap()
    };
    assert_eq!(told(&one, &two.all()), (0, 0, 1));
    assert_eq!(
        told(&Device::new(3), &two.all()),
        (0, 0, 1),
        "not known before"
    );
    one.store.remove_count(id, false).unwrap();
    assert_eq!(told(&two, &one.all()), (0, 1, 0), "put back");
    // removed here, changed there
    one.store.remove_count(id, true).unwrap();
    add(&two, id, Age::Three);
    one.take(&two.all());
    let words: Vec<String> = listed(&one)
        .remove(0)
        .1
        .into_iter()
        .map(|(_, words, _)| words)
        .collect();
    assert!(
        words.iter().any(|words| words.ends_with("; removed")),
        "{words:?}"
    );
    assert!(
        words.iter().any(|words| words.ends_with("; not removed")),
        "{words:?}"
    );
}

#[test]
fn the_same_change_on_two_tablets_is_no_conflict() {
    let (one, two, id, _) = two();
    add(&one, id, Age::Three);
    add(&two, id, Age::Three);
    one.store
        .set(thirdwood::store::Setting::Orchard, "Fernhollow")
        .unwrap();
    one.take(&two.all());
    two.take(&one.all());
    assert!(one.store.conflicts().unwrap().is_empty());
    assert_same(&one, &two, "changed alike");
}

#[test]
fn what_is_undone_before_a_bundle_is_no_change() {
    let (one, two, id, _) = two();
    let before = one.all();
    one.store.close_count(id, false).unwrap();
    one.store.tap(id, None, Tap::Upright).unwrap();
    one.store.undo_tap(id).unwrap();
    one.store.close_count(id, true).unwrap();
    assert_eq!(one.all(), before);
    assert_eq!(two.take(&one.all()).kinds, Vec::new());
}

/// A removal and a change that did not know of each other: what counts name stays, the rest goes.
#[test]
fn what_counts_name_outlives_its_removal() {
    let (mut one, two) = (Device::new(1), Device::new(2));
    let (block, pruner, winter) = settle_in(&mut one);
    two.take(&one.all());
    one.store.remove_block(block.id).unwrap();
    one.store.remove_pruner(pruner.id).unwrap();
    let id = CountId(uuid::Uuid::from_u128(77));
    two.store
        .tap(
            id,
            Some(&head(&block, &pruner, &winter, 4)),
            Tap::Piece(Age::One),
        )
        .unwrap();
    one.take(&two.all());
    two.take(&one.all());
    assert_same(&one, &two, "removed and named");
    assert_eq!(
        one.store
            .counts(CountFilter::Winter(winter.id))
            .unwrap()
            .len(),
        1
    );
    assert_eq!(one.store.pruners().unwrap(), vec![pruner]);
    assert_eq!(
        one.store.blocks().unwrap()[0].rows.rows().len(),
        1,
        "only the row that a count names"
    );
}

/// A clock that is wrong decides nothing: who changed it knowing of the other change has the last word.
#[test]
fn clocks_decide_nothing() {
    for (first, second) in [
        ("2099-12-31T12:00:00Z", "1990-01-02T12:00:00Z"),
        ("1990-01-02T12:00:00Z", "2099-12-31T12:00:00Z"),
    ] {
        let (one, two, id, _) = two();
        let change = |device: &Device, at: &str, note: &str| {
            let head = device.store.count(id).unwrap().unwrap().head;
            let at = Stamp::parse_rfc3339(at).unwrap();
            device
                .store
                .change_head(
                    id,
                    &CountHead {
                        at,
                        note: note.into(),
                        ..head
                    },
                )
                .unwrap();
        };
        change(&one, first, "first");
        two.take(&one.all());
        change(&two, second, "second");
        one.take(&two.all());
        assert_eq!(one.store.count(id).unwrap().unwrap().head.note, "second");
        assert!(one.store.conflicts().unwrap().is_empty());
        assert_same(&one, &two, "with wrong clocks");
    }
}

/// A file that was copied goes on by itself on both tablets: nothing is confused.
#[test]
fn a_copied_file_does_no_harm() {
    let (one, _, id, winter) = two();
    rusqlite::Connection::open(one.path())
        .unwrap()
        .execute_batch("PRAGMA wal_checkpoint(TRUNCATE)")
        .unwrap();
    let bare = one.folder().join("copied.db");
    std::fs::copy(one.path(), &bare).unwrap();
    let copied = thirdwood::store::Store::open(&bare).unwrap();
    let new = |store: &thirdwood::store::Store, n: u128, tree: u16| {
        let head = CountHead {
            tree,
            ..store.count(id).unwrap().unwrap().head
        };
        store
            .tap(
                CountId(uuid::Uuid::from_u128(n)),
                Some(&head),
                Tap::Piece(Age::One),
            )
            .unwrap();
    };
    new(&one.store, 501, 7);
    new(&copied, 502, 8);
    let parcel = copied.parcel(&Since::Beginning).unwrap();
    one.take(&parcel);
    assert_eq!(
        one.store
            .counts(CountFilter::Winter(winter.id))
            .unwrap()
            .len(),
        3
    );
    assert!(one.store.conflicts().unwrap().is_empty());
}
