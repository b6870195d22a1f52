//! Names of pruners: left out of a bundle, and taken away for good.

use std::path::{Path, PathBuf};

use thirdwood::exchange::bundle::{merge, read, write_as};
use thirdwood::orchard::*;
use thirdwood::store::backup::{self, Keep, Made, Stop, holding_name, renew_without_name};
use thirdwood::store::bundle::{Joinable, Parcel, Since, TakeIn};
use thirdwood::store::{CountFilter, Setting, Store, StoreError};

use crate::device::*;

/// A name that stands in no file by chance.
const NAME: &str = "Zephyrine Quellenbaum";

fn named(pruner: &Pruner, name: &str, label: &str) -> Pruner {
    let draft = PrunerDraft {
        name: name.into(),
        label: label.into(),
        ..pruner.draft().clone()
    };
    pruner.changed(draft).unwrap()
}

/// An orchard with [`NAME`] as number 3, a count, and a row sent back with this reason.
fn orchard(device: &mut Device, reason: &str) -> Pruner {
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

fn shown(device: &Device) -> Vec<String> {
    let all = device.store.pruners().unwrap();
    all.iter().map(Pruner::shown).collect()
}

fn reasons(store: &Store) -> Vec<String> {
    let winter = store.winters().unwrap().remove(0);
    let all = store.go_backs(winter.id).unwrap();
    all.into_iter().map(|entry| entry.reason).collect()
}

fn nameless(device: &Device) -> Parcel {
    device
        .store
        .parcel_without_names(&Since::Beginning)
        .unwrap()
}

fn holds(parcel: &Parcel, text: &str) -> bool {
    parcel
        .changes
        .iter()
        .any(|change| change.body.contains(text))
}

/// How often a text stands in the bytes of a file and of what the database keeps beside it.
fn in_bytes(file: &Path, text: &str) -> usize {
    let beside = |ending: &str| {
        let mut name = file.as_os_str().to_owned();
        name.push(ending);
        PathBuf::from(name)
    };
    let files = ["", "-wal", "-shm", "-journal"].map(beside);
    let bytes = files.iter().filter_map(|path| std::fs::read(path).ok());
    bytes
        .map(|bytes| {
            let windows = bytes.windows(text.len());
            windows.filter(|part| *part == text.as_bytes()).count()
        })
        .sum()
}

fn make_backup(device: &Device) -> backup::Backup {
    let made = backup::make(&device.path(), day(12), Keep::Sound, None, &Stop::default());
    match made.unwrap() {
        Made::Kept(made) => made,
        other => panic!("{other:?}"),
    }
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
    assert!(rest.changes.iter().all(|change| change.kind == "name") && holds(&rest, NAME));
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
fn a_name_taken_away_is_gone_everywhere_and_does_not_come_back() {
    let (mut one, two, three) = (Device::new(1), Device::new(2), Device::new(3));
    let pruner = orchard(&mut one, "Zephyrine left stubs");
    let before = one.all();
    two.take(&before);
    three.take(&before);
    // somebody corrects the name elsewhere, without knowing of the removal
    let corrected = named(&three.store.pruners().unwrap()[0], "Zephyrine Q.", "");
    three.store.save_pruner(&corrected).unwrap();

    let came = one.store.forget_name(pruner.id).unwrap();
    assert_eq!((came.texts, came.unsettled), (1, 0));
    assert_eq!(shown(&one), ["Nr 3"]);
    assert_eq!(reasons(&one.store), ["Nr 3 left stubs"]);
    let counts = |device: &Device| {
        let winter = device.store.winters().unwrap().remove(0);
        device.store.counts(CountFilter::Winter(winter.id)).unwrap()
    };
    assert_eq!(counts(&one)[0].head.pruner, Some(pruner.id));

    // told without names too; old bundles and the correction bring nothing back
    two.take(&nameless(&one));
    for device in [&two, &one] {
        device.take(&before);
        device.take(&three.all());
        device.take(&before);
        assert_eq!(shown(device), ["Nr 3"]);
        assert!(!holds(&device.all(), "Zephyrine"), "in what is handed on");
    }
    three.take(&two.all());
    assert_same(&one, &two, "removed");
    assert_same(&two, &three, "removed, corrected meanwhile");
    // nor does anybody give it a name again
    let again = named(&one.store.pruners().unwrap()[0], "Zephyrine", "");
    assert!(matches!(
        one.store.save_pruner(&again),
        Err(StoreError::Taken(_))
    ));
    assert_eq!(one.store.check().unwrap().problems, Vec::<String>::new());
}

#[test]
fn the_name_of_an_entry_that_was_joined_goes_too() {
    let mut one = Device::new(1);
    let kept = orchard(&mut one, "stubs");
    let gone = PrunerId(one.id());
    let draft = pruner_draft(5, "Zephyrine again");
    one.store
        .save_pruner(&Pruner::new(gone, draft).unwrap())
        .unwrap();
    one.store.join(Joinable::Pruner, gone.0, kept.id.0).unwrap();
    one.store.forget_name(kept.id).unwrap();
    assert_eq!(shown(&one), ["Nr 3"]);
    assert!(!holds(&one.all(), "Zephyrine"));
    one.store.part(Joinable::Pruner, gone.0).unwrap();
    assert_eq!(shown(&one), ["Nr 3", "Nr 5"]);
}

#[test]
fn no_byte_of_the_name_stays_in_the_file_or_its_log() {
    let (mut one, two) = (Device::new(1), Device::new(2));
    let pruner = orchard(&mut one, &format!("ask {NAME}"));
    // renamed to and fro, so that old bytes lie about
    for name in ["Quellenbaum", "Z. Quellenbaum", NAME] {
        one.store.save_pruner(&named(&pruner, name, "ZQ")).unwrap();
        one.all();
    }
    two.take(&one.all());
    for device in [&one, &two] {
        let found = in_bytes(&device.path(), "Quellenbaum");
        assert!(found > 1, "the search finds what is there: {found}");
    }
    assert!(one.store.forget_name(pruner.id).unwrap().swept);
    for text in [NAME, "Quellenbaum", "Zephyrine"] {
        assert_eq!(in_bytes(&one.path(), text), 0, "{text}");
    }
    // on the other tablet, by bundle
    let path = one.folder().join("rest.bundle");
    write_as(&one.store, &Since::Beginning, true, &path).unwrap();
    let how = thirdwood::store::bundle::TakeIn::default();
    let taken = thirdwood::exchange::bundle::merge(&two.store, &[path], how, &mut |_| true);
    assert_eq!(taken.unwrap()[0].1.names_removed, 1);
    for text in [NAME, "Quellenbaum", "Zephyrine"] {
        assert_eq!(in_bytes(&two.path(), text), 0, "{text} on the second");
    }
}

#[test]
fn another_program_in_the_way_is_told_and_it_can_be_done_again() {
    let mut one = Device::new(1);
    let pruner = orchard(&mut one, "stubs");
    one.all();
    let other = rusqlite::Connection::open(one.path()).unwrap();
    other
        .execute_batch("BEGIN; SELECT count(*) FROM pruner;")
        .unwrap();
    assert!(!one.store.forget_name(pruner.id).unwrap().swept);
    assert_eq!(shown(&one), ["Nr 3"]);
    other.execute_batch("COMMIT").unwrap();
    assert!(one.store.forget_name(pruner.id).unwrap().swept);
    assert_eq!(in_bytes(&one.path(), NAME), 0);
}

#[test]
fn backups_that_hold_it_are_listed_replaced_when_asked_and_bring_nothing_back() {
    let mut one = Device::new(1);
    let pruner = orchard(&mut one, &format!("ask {NAME}"));
    let old = make_backup(&one);
    let copy = one.folder().join("orchard.db.before-2");
    std::fs::copy(&old.path, &copy).unwrap();
    one.store.forget_name(pruner.id).unwrap();
    let clean = make_backup(&one);
    assert_eq!(
        holding_name(&one.store, pruner.id).unwrap(),
        [old.path.clone(), copy.clone()]
    );
    assert!(in_bytes(&old.path, NAME) > 0 && in_bytes(&clean.path, NAME) == 0);

    // the old one put back: what was counted then, without the name
    one.store.restore(old.number, day(13)).unwrap();
    assert_eq!(shown(&one), ["Nr 3"]);
    assert_eq!(reasons(&one.store), ["ask Nr 3"]);
    assert_eq!(in_bytes(&one.path(), NAME), 0);

    let removed = renew_without_name(&one.store, pruner.id, day(14)).unwrap();
    assert_eq!(removed, 2);
    assert!(!old.path.exists() && !copy.exists());
    // it was the file before the other was put back, and is called so now
    let left = backup::backups(&one.path()).unwrap();
    assert!(
        left.iter()
            .any(|kept| kept.number == clean.number && kept.replaced)
    );
    assert_eq!(
        holding_name(&one.store, pruner.id).unwrap(),
        Vec::<PathBuf>::new()
    );
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

#[test]
fn a_name_taken_away_elsewhere_goes_from_what_was_typed_here() {
    let (mut one, two) = (Device::new(1), Device::new(2));
    let pruner = orchard(&mut one, "stubs");
    two.take(&one.all());
    one.store.forget_name(pruner.id).unwrap();
    let path = one.folder().join("all.bundle");
    write_as(&one.store, &Since::Beginning, true, &path).unwrap();
    // the first tablet has not seen this
    let winter = two.store.winters().unwrap().remove(0);
    let mut entry = two.store.go_backs(winter.id).unwrap().remove(0);
    entry.reason = format!("{NAME} again");
    two.store.save_go_back(&entry).unwrap();
    let taken = merge(&two.store, &[path], TakeIn::default(), &mut |_| true).unwrap();
    assert_eq!((taken[0].1.names_removed, taken[0].1.texts), (1, 1));
    assert_eq!(reasons(&two.store), ["Nr 3 again"]);
    assert_eq!(in_bytes(&two.path(), NAME), 0);
    one.take(&two.all());
    assert_same(&one, &two, "forgotten");
}
