//! A pruner's name taken away for good: here, on other tablets, in backups, to the last byte.

use std::path::{Path, PathBuf};

use thirdwood::exchange::bundle::{merge, write_as};
use thirdwood::orchard::*;
use thirdwood::store::backup::{self, Keep, Made, Stop, holding_name, renew_without_name};
use thirdwood::store::bundle::{Joinable, Since, TakeIn};
use thirdwood::store::{CountFilter, StoreError};

use crate::device::*;
use crate::names::{NAME, holds, named, nameless, orchard, reasons, shown};

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
    assert!(one.store.forget_name(pruner.id).unwrap().unswept.is_none());
    for text in [NAME, "Quellenbaum", "Zephyrine"] {
        assert_eq!(in_bytes(&one.path(), text), 0, "{text}");
    }
    // on the other tablet, by bundle
    let path = one.folder().join("rest.bundle");
    write_as(&one.store, &Since::Beginning, true, &path).unwrap();
    let taken = merge(&two.store, &[path], TakeIn::default(), &mut |_| true);
    let taken = taken.unwrap().remove(0).1;
    assert_eq!((taken.names_removed, taken.unswept), (1, None));
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
    assert!(one.store.forget_name(pruner.id).unwrap().unswept.is_some());
    assert_eq!(shown(&one), ["Nr 3"]);
    other.execute_batch("COMMIT").unwrap();
    assert!(one.store.forget_name(pruner.id).unwrap().unswept.is_none());
    assert_eq!(in_bytes(&one.path(), NAME), 0);
}

#[test]
fn another_program_in_the_way_of_a_merge_is_told_once_it_is_kept() {
    let (mut one, two) = (Device::new(1), Device::new(2));
    let pruner = orchard(&mut one, "stubs");
    two.take(&one.all());
    one.store.forget_name(pruner.id).unwrap();
    let path = one.folder().join("gone.bundle");
    write_as(&one.store, &Since::Beginning, true, &path).unwrap();
    let other = rusqlite::Connection::open(two.path()).unwrap();
    other
        .execute_batch("BEGIN; SELECT count(*) FROM pruner;")
        .unwrap();
    let taken = merge(&two.store, &[path], TakeIn::default(), &mut |_| true).unwrap();
    let told = taken[0].1.unswept.as_deref().unwrap_or_default();
    assert!(told.contains("another program"), "{told}");
    assert_eq!(shown(&two), ["Nr 3"]);
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
        holding_name(&one.store, pruner.id).unwrap().holding,
        [old.path.clone(), copy.clone()]
    );
    assert!(in_bytes(&old.path, NAME) > 0 && in_bytes(&clean.path, NAME) == 0);

    // the old one put back: what was counted then, without the name
    one.store.restore(old.number, day(13)).unwrap();
    assert_eq!(shown(&one), ["Nr 3"]);
    assert_eq!(reasons(&one.store), ["ask Nr 3"]);
    assert_eq!(in_bytes(&one.path(), NAME), 0);

    let removed = renew_without_name(&one.store, pruner.id, day(14)).unwrap();
    assert_eq!((removed.removed, removed.stay), (2, Vec::new()));
    assert!(!old.path.exists() && !copy.exists());
    // it was the file before the other was put back, and is called so now
    let left = backup::backups(&one.path()).unwrap();
    assert!(
        left.iter()
            .any(|kept| kept.number == clean.number && kept.replaced)
    );
    assert_eq!(
        holding_name(&one.store, pruner.id).unwrap().holding,
        Vec::<PathBuf>::new()
    );
}

#[test]
fn what_killed_programs_left_is_listed_and_goes_too() {
    let mut one = Device::new(1);
    let pruner = orchard(&mut one, &format!("ask {NAME}"));
    let old = make_backup(&one);
    let backups = backup::folder(&one.path());
    // as they are named while a backup is made or put back; the third by earlier versions
    let mut left = [
        backups.join(".orchard.db.restoring"),
        backups.join(".orchard.db.restoring-wal"),
        backups.join(".restoring-4711"),
        backups.join("orchard-0009-2027-01-09.db-wal"),
        backups.join("orchard.db.part"),
        one.folder().join("orchard.db.restoring"),
    ];
    left.sort();
    for path in &left {
        std::fs::copy(&old.path, path).unwrap();
    }
    let other = backups.join("hill.db.part");
    std::fs::write(&other, "another file's").unwrap();
    one.store.forget_name(pruner.id).unwrap();
    let searched = holding_name(&one.store, pruner.id).unwrap();
    assert_eq!((searched.backups, searched.left_over), (1, left.len()));
    let mut holding = searched.holding.clone();
    holding.sort();
    let mut all = left.to_vec();
    all.push(old.path.clone());
    all.sort();
    assert_eq!(holding, all);

    renew_without_name(&one.store, pruner.id, day(14)).unwrap();
    assert!(all.iter().all(|path| !path.exists()) && other.exists());
    let searched = holding_name(&one.store, pruner.id).unwrap();
    assert_eq!((searched.left_over, searched.holding), (0, Vec::new()));
    for folder in [one.folder(), &backups] {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            assert!(
                path.is_dir() || in_bytes(&path, NAME) == 0,
                "{}",
                path.display()
            );
        }
    }
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
