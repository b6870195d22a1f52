//! Names of pruners: left out of a bundle, and where only numbers are shown.

use thirdwood::exchange::bundle::{read, write_as};
use thirdwood::orchard::*;
use thirdwood::store::bundle::{Joinable, Kind, Parcel, Since};
use thirdwood::store::{CountFilter, Setting, Store, StoreError};

use crate::device::*;

/// A name that stands in no file by chance.
pub const NAME: &str = "Zephyrine Quellenbaum";

pub fn named(pruner: &Pruner, name: &str, label: &str) -> Pruner {
    let draft = PrunerDraft {
        name: name.into(),
        label: label.into(),
        ..pruner.draft().clone()
    };
    pruner.changed(draft).unwrap()
}

/// An orchard with [`NAME`] as number 3, a count, and a row sent back with this reason.
pub fn orchard(device: &mut Device, reason: &str) -> Pruner {
    let (block, pruner, winter) = settle_in(device);
    let pruner = named(&pruner, NAME, "ZQ");
    device.store.save_pruner(&pruner).unwrap();
    let id = CountId(device.id());
    let head = head(&block, &pruner, &winter, 4);
    device
        .store
        .tap(id, Some(&head), Tap::Piece(Age::One))
        .unwrap();
    let entry = GoBack {
        id: GoBackId(device.id()),
        winter: winter.id,
        block: block.id,
        row: 1,
        pruner: pruner.id,
        day: day(12),
        reason: reason.into(),
        settled: None,
    };
    device.store.save_go_back(&entry).unwrap();
    pruner
}

pub fn shown(device: &Device) -> Vec<String> {
    let all = device.store.pruners().unwrap();
    all.iter().map(Pruner::shown).collect()
}

pub fn reasons(store: &Store) -> Vec<String> {
    let winter = store.winters().unwrap().remove(0);
    let all = store.go_backs(winter.id).unwrap();
    all.into_iter().map(|entry| entry.reason).collect()
}

pub fn nameless(device: &Device) -> Parcel {
    device
        .store
        .parcel_without_names(&Since::Beginning)
        .unwrap()
}

pub fn holds(parcel: &Parcel, text: &str) -> bool {
    parcel
        .changes
        .iter()
        .any(|change| change.body.contains(text))
}

/// From now on, no name of this pruner is shown.
fn go_by_number(device: &Device, pruner: &Pruner) {
    let draft = PrunerDraft {
        number_only: true,
        ..pruner.draft().clone()
    };
    let changed = pruner.changed(draft).unwrap();
    device.store.save_pruner(&changed).unwrap();
}

#[test]
fn a_bundle_without_names_leaves_the_names_that_are_known() {
    let (mut one, two, three) = (Device::new(1), Device::new(2), Device::new(3));
    let pruner = orchard(&mut one, "stubs");
    two.take(&one.all());
    // the pruner is changed on the first tablet, and told without names
    let draft = PrunerDraft {
        active: false,
        ..pruner.draft().clone()
    };
    one.store
        .save_pruner(&pruner.changed(draft).unwrap())
        .unwrap();
    let parcel = nameless(&one);
    assert!(holds(&one.all(), NAME) && !holds(&parcel, NAME) && !holds(&parcel, "ZQ"));
    two.take(&parcel);
    three.take(&parcel);
    let of = |device: &Device| device.store.pruners().unwrap().remove(0);
    assert_eq!((of(&two).name.as_str(), of(&two).active), (NAME, false));
    assert_eq!(
        (of(&three).shown().as_str(), of(&three).active),
        ("Nr 3", false)
    );
    assert_same(&one, &two, "with names, then without");
    // a name that is given meanwhile, and the names afterwards
    three.take(&one.all());
    assert_same(&one, &three, "without names, then with");
    three.take(&parcel);
    assert_same(&one, &three, "once more");
}

#[test]
fn bundles_as_files_hold_no_name() {
    let mut one = Device::new(1);
    orchard(&mut one, "stubs");
    let path = one.folder().join("nameless.bundle");
    write_as(&one.store, &Since::Beginning, false, &path).unwrap();
    assert!(!holds(&read(&path).unwrap(), NAME));
    // what is new since then still brings the names
    write_as(&one.store, &Since::LastBundle, true, &path).unwrap();
    let rest = read(&path).unwrap();
    assert!(rest.changes.iter().all(|change| change.kind == Kind::Name) && holds(&rest, NAME));
}

#[test]
fn a_note_that_tells_a_name_keeps_such_a_bundle_back() {
    let mut one = Device::new(1);
    orchard(&mut one, "zephyrine quellenbaum left stubs, ZQ");
    let refused = one.store.parcel_without_names(&Since::Beginning);
    assert!(
        matches!(refused, Err(StoreError::NamesTyped(1))),
        "{refused:?}"
    );
    assert_eq!(one.store.number_all_texts().unwrap(), 1);
    assert_eq!(reasons(&one.store), ["Nr 3 left stubs, Nr 3"]);
    assert!(!holds(&nameless(&one), "stubs, ZQ"));
}

#[test]
fn where_only_numbers_are_shown_what_is_written_keeps_the_names() {
    let mut one = Device::new(1);
    orchard(&mut one, "ask Zephyrine");
    one.store.set(Setting::Names, "numbers only").unwrap();
    let pruner = one.store.pruners().unwrap().remove(0);
    assert_eq!(
        (pruner.naming(), pruner.name.as_str()),
        (Naming::Withheld, "")
    );
    assert_eq!(reasons(&one.store), ["ask Nr 3"]);
    // changed by somebody who sees numbers only
    let draft = PrunerDraft {
        number: 9,
        ..pruner.draft().clone()
    };
    one.store
        .save_pruner(&pruner.changed(draft).unwrap())
        .unwrap();
    let winter = one.store.winters().unwrap().remove(0);
    let mut entry = one.store.go_backs(winter.id).unwrap().remove(0);
    entry.row = 2;
    one.store.save_go_back(&entry).unwrap();
    one.store.set(Setting::Names, "shown").unwrap();
    assert_eq!(shown(&one), [format!("Nr 9 {NAME}")]);
    assert_eq!(reasons(&one.store), ["ask Zephyrine"]);
    // one pruner who goes by number is not named in notes either
    let pruner = one.store.pruners().unwrap().remove(0);
    go_by_number(&one, &pruner);
    assert_eq!(reasons(&one.store), ["ask Nr 9"]);
}

#[test]
fn conflicts_and_twins_name_nobody_who_goes_by_number() {
    let (mut one, two) = (Device::new(1), Device::new(2));
    orchard(&mut one, "stubs");
    two.take(&one.all());
    for (device, name) in [(&one, "Zephyrine Oak"), (&two, "Zephyrine Ash")] {
        let pruner = device.store.pruners().unwrap().remove(0);
        device.store.save_pruner(&named(&pruner, name, "")).unwrap();
    }
    one.take(&two.all());
    let told = |device: &Device| {
        let conflicts = device.store.conflicts().unwrap();
        format!("{conflicts:?} {:?}", device.store.twins().unwrap())
    };
    assert!(told(&one).contains("Oak") && told(&one).contains("Ash"));
    assert!(!told(&one).contains("label"), "what is empty is left out");
    one.store.set(Setting::Names, "numbers only").unwrap();
    let told = told(&one);
    assert!(
        told.contains("Nr 3") && !told.contains("Zephyrine"),
        "{told}"
    );
}

#[test]
fn the_name_of_a_joined_entry_is_left_out_as_well() {
    let mut one = Device::new(1);
    let pruner = orchard(&mut one, "Oto left stubs");
    let again = Pruner::new(PrunerId(one.id()), pruner_draft(12, "Oto")).unwrap();
    one.store.save_pruner(&again).unwrap();
    one.store
        .join(Joinable::Pruner, again.id.0, pruner.id.0)
        .unwrap();
    let refused = one.store.parcel_without_names(&Since::Beginning);
    assert!(
        matches!(refused, Err(StoreError::NamesTyped(1))),
        "{refused:?}"
    );
    let joined = |device: &Device| device.store.joined().unwrap().remove(0).words();
    assert_eq!(joined(&one), format!("pruner 12 Oto is 3 {NAME}"));
    let all = CountFilter::Winter(one.store.winters().unwrap()[0].id);
    one.store.set(Setting::Names, "numbers only").unwrap();
    assert_eq!(reasons(&one.store), ["Nr 3 left stubs"]);
    assert_eq!(joined(&one), "pruner 12 is 3");
    assert_eq!(one.store.counts(all).unwrap().len(), 1);
    one.store.set(Setting::Names, "shown").unwrap();
    assert_eq!(reasons(&one.store), ["Oto left stubs"]);
    // and where only that pruner goes by number
    go_by_number(&one, &pruner);
    assert_eq!(reasons(&one.store), ["Nr 3 left stubs"]);
    one.store.number_all_texts().unwrap();
    assert!(!holds(&nameless(&one), "Oto"));
}

/// Earlier versions took names in which something hides, or nothing can be seen.
#[test]
fn hidden_names_of_an_earlier_version_are_read_and_can_be_seen() {
    let (mut one, two) = (Device::new(1), Device::new(2));
    orchard(&mut one, "stubs");
    let conn = rusqlite::Connection::open(one.path()).unwrap();
    conn.execute_batch(
        "UPDATE block SET name = char(0x3164), variety = 'Con' || char(0x200e) || 'ference';
         UPDATE pruner_name SET name = char(0x200f) || 'Mele', label = char(0x2800);
         UPDATE winter SET label = char(0x2800);
         UPDATE tree_count SET counter = char(0x61c), note = char(0x200b) || 'old';
         UPDATE go_back SET reason = 'stubs' || char(0xad);",
    )
    .unwrap();
    two.take(&one.all());
    assert_same(&one, &two, "with what hides");
    for store in [&one.store, &two.store] {
        let (block, pruner) = (
            store.blocks().unwrap().remove(0),
            store.pruners().unwrap().remove(0),
        );
        let winter = store.winters().unwrap().remove(0);
        assert_eq!(
            (&*block.name, &*block.variety),
            (r"\u{3164}", r"Con\u{200e}ference")
        );
        assert_eq!((&*pruner.name, &*pruner.label), (r"\u{200f}Mele", r"\u{…"));
        assert_eq!(winter.label, r"\u{2800}");
        let head = store
            .counts(CountFilter::Winter(winter.id))
            .unwrap()
            .remove(0)
            .head;
        assert_eq!((&*head.counter, &*head.note), (r"\u{61c}", r"\u{200b}old"));
        assert_eq!(reasons(store), [r"stubs\u{ad}"]);
        assert_eq!(store.check().unwrap().problems, Vec::<String>::new());
        // what is read can be kept again
        store.save_block(&block).unwrap();
        store.save_pruner(&pruner).unwrap();
    }
}
