//! Bundles of the first format. The fixtures were written by the program as it was when it wrote that format; the
//! orchard is invented. `format1-before.bundle`: everything, with pruner 12 as "Tavo". Then 12 became "Tavi", and 14 was
//! removed: `format1.bundle` is everything again, and `format1.db.gz` the file that wrote both.

use std::io::Read;
use std::path::{Path, PathBuf};

use thirdwood::exchange::bundle::{BundleError, read, unknown_to, write_to};
use thirdwood::orchard::*;
use thirdwood::store::Store;
use thirdwood::store::bundle::{Kind, Parcel, Since, TakenKind};

use crate::device::*;
use crate::hostile::{forged, read as read_bytes};

fn fixture(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/fixtures")
        .join(name)
}

fn old() -> Parcel {
    read(&fixture("format1.bundle")).unwrap()
}

fn before() -> Parcel {
    read(&fixture("format1-before.bundle")).unwrap()
}

fn unpacked(name: &str) -> Vec<u8> {
    let packed = std::fs::read(fixture(name)).unwrap();
    let mut bytes = Vec::new();
    flate2::read::GzDecoder::new(packed.as_slice())
        .read_to_end(&mut bytes)
        .unwrap();
    bytes
}

/// The tablet that wrote them, brought up to date.
fn writer(nr: u128) -> Device {
    let folder = folder();
    std::fs::write(folder.path().join("orchard.db"), unpacked("format1.db.gz")).unwrap();
    Device::in_folder(nr, folder)
}

fn shown(device: &Device) -> Vec<String> {
    let all = device.store.pruners().unwrap();
    all.iter().map(Pruner::shown).collect()
}

fn conflicts(device: &Device) -> usize {
    device.store.conflicts().unwrap().len()
}

fn rename(store: &Store, number: u16, name: &str) {
    let all = store.pruners().unwrap();
    let pruner = all.iter().find(|pruner| pruner.number == number).unwrap();
    let draft = PrunerDraft {
        name: name.into(),
        ..pruner.draft().clone()
    };
    store.save_pruner(&pruner.changed(draft).unwrap()).unwrap();
}

fn taken_in(nr: u128, parcels: &[&Parcel]) -> Device {
    let device = Device::new(nr);
    for parcel in parcels {
        device.take(parcel);
    }
    device
}

const ALL: [&str; 4] = ["Nr 7 Aroha", "Nr 11 Oren", "Nr 12 Tavi", "Nr 13"];

#[test]
fn an_empty_file_takes_it_in_whole() {
    let text = String::from_utf8(unpacked("format1.bundle")).unwrap();
    assert!(text.contains("\"thirdwood_bundle\":1"), "an old one");
    let one = taken_in(1, &[&old()]);
    assert_eq!(shown(&one), ALL);
    assert_eq!(one.store.pruners().unwrap()[1].label, "OR");
    let winter = one.store.winters().unwrap().remove(0);
    assert_eq!(one.store.work(winter.id).unwrap().len(), 1);
    assert_eq!(conflicts(&one), 0);
    assert_eq!(one.store.check().unwrap().problems, Vec::<String>::new());
    let once = one.dump();
    let again = one.take(&old());
    assert_eq!((again.kinds, one.dump()), (Vec::new(), once), "twice");
    // no name stands with a pruner any more, and one without a name has no record of one
    let all = one.all();
    let of = |kind: &'static str| {
        all.changes
            .iter()
            .filter(move |change| change.kind.word() == kind)
    };
    assert!(of("pruner").all(|change| !change.body.contains("name\"")));
    assert_eq!(of("name").count(), 3);
    // nor does it travel where names are left out
    let bare = one.store.parcel_without_names(&Since::Beginning).unwrap();
    assert!(
        bare.changes
            .iter()
            .all(|change| !change.body.contains("Aroha"))
    );
}

#[test]
fn the_file_that_wrote_it_learns_nothing_new_once_brought_up_to_date() {
    let origin = writer(1);
    assert_eq!(shown(&origin), ALL);
    origin.all();
    let was = origin.dump();
    let taken = origin.take(&old());
    assert_eq!(taken.kinds, Vec::new());
    assert_eq!((origin.dump(), conflicts(&origin)), (was, 0));
    assert_same(&origin, &taken_in(2, &[&old()]), "brought up, and read");
    // also where a name was changed before anything else was gathered
    let origin = writer(3);
    rename(&origin.store, 11, "Oren Lu");
    origin.take(&old());
    assert_eq!(shown(&origin)[1], "Nr 11 Oren Lu");
    assert_eq!(conflicts(&origin), 0);
}

#[test]
fn old_and_new_bundles_go_in_in_either_order() {
    let mut origin = writer(1);
    origin.all();
    rename(&origin.store, 11, "Oren Lu");
    let of_store = |store: &Store| {
        let (block, pruner) = (store.blocks().unwrap(), store.pruners().unwrap());
        head(&block[0], &pruner[1], &store.winters().unwrap()[0], 9)
    };
    let id = CountId(origin.id());
    let tap = Tap::Piece(Age::Two);
    origin
        .store
        .tap(id, Some(&of_store(&origin.store)), tap)
        .unwrap();
    let new = origin.all();
    let bare = origin
        .store
        .parcel_without_names(&Since::Beginning)
        .unwrap();
    let old = old();
    for (nr, parcels) in [
        [&old, &new, &bare],
        [&new, &old, &bare],
        [&bare, &old, &new],
        [&old, &bare, &new],
    ]
    .iter()
    .enumerate()
    {
        let device = taken_in(nr as u128 + 2, parcels);
        assert_same(&origin, &device, "old, new and without names");
        assert_eq!(shown(&device)[1], "Nr 11 Oren Lu");
        assert_eq!(conflicts(&device), 0);
    }
    // where nobody ever tells the new name, the old one is shown, in either order
    let (one, two) = (
        taken_in(7, &[&old, &bare]),
        taken_in(8, &[&bare, &old, &bare]),
    );
    assert_same(&one, &two, "without the new name");
    assert_eq!(shown(&one), ALL);
}

#[test]
fn a_name_taken_away_does_not_come_back() {
    let origin = writer(1);
    let oren = origin.store.pruners().unwrap()[1].id;
    origin.store.forget_name(oren).unwrap();
    let new = origin.all();
    let bare = origin
        .store
        .parcel_without_names(&Since::Beginning)
        .unwrap();
    origin.take(&old());
    let old = old();
    for (nr, parcels) in [[&old, &new], [&new, &old], [&old, &bare], [&bare, &old]]
        .iter()
        .enumerate()
    {
        let device = taken_in(nr as u128 + 2, parcels);
        assert_same(&origin, &device, "old, and taken away");
        assert_eq!(shown(&device)[1], "Nr 11");
        let all = device.all();
        let told = |change: &thirdwood::store::bundle::Change| change.body.contains("Oren\"");
        assert!(
            !all.changes
                .iter()
                .any(|change| change.kind == Kind::Name && told(change))
        );
    }
}

#[test]
fn a_name_corrected_between_two_old_bundles_is_settled_once() {
    let (one, two) = (
        taken_in(1, &[&before(), &old()]),
        taken_in(2, &[&old(), &before()]),
    );
    assert_same(&one, &two, "before and after");
    // which of the two was first the bundles do not tell, so a person is asked
    assert_eq!(
        (conflicts(&one), one.store.pruners().unwrap().len()),
        (1, 4)
    );
    let conflict = one.store.conflicts().unwrap().remove(0);
    let mut sayings = conflict.sayings.iter();
    let right = sayings.find(|one| one.words.contains("Tavi")).unwrap();
    one.store
        .settle(conflict.kind, &conflict.key, right.set)
        .unwrap();
    assert_eq!(shown(&one), ALL);
    for device in [&one, &two] {
        device.take(&before());
        device.take(&one.all());
        device.take(&old());
        assert_eq!(
            (shown(device), conflicts(device)),
            (ALL.map(String::from).to_vec(), 0)
        );
    }
    assert_same(&one, &two, "settled");
}

#[test]
fn the_same_name_given_by_hand_is_no_conflict() {
    let origin = writer(1);
    let bare = origin
        .store
        .parcel_without_names(&Since::Beginning)
        .unwrap();
    let (one, two) = (taken_in(2, &[&bare]), taken_in(3, &[&bare]));
    for (number, name) in [(12, "Tavi"), (7, "Aroha")] {
        rename(&one.store, number, name);
        // given one by one here
        rename(&two.store, number, name);
        two.all();
    }
    for device in [&one, &two] {
        let taken = device.take(&old());
        let of_names = |(kind, _): &&(&str, TakenKind)| kind.contains("name");
        let (_, names) = taken.kinds.iter().find(of_names).unwrap();
        assert_eq!((names.new, names.changed, names.conflicts), (1, 0, 0));
        assert_eq!(
            (shown(device), conflicts(device)),
            (ALL.map(String::from).to_vec(), 0)
        );
    }
    one.take(&two.all());
    two.take(&one.all());
    assert_same(&one, &two, "given by hand");
    assert_eq!(conflicts(&one), 0);
}

#[test]
fn what_the_writer_lacks_is_made_for_it_and_is_written_in_the_present_format() {
    let (origin, one) = (writer(1), taken_in(2, &[&before()]));
    rename(&one.store, 7, "Aroha Ree");
    // "Tavo" is in no file of the writer's any more: nothing may rest on it
    let reply = one.parcel(&unknown_to(&before()));
    assert!(!reply.base.is_empty());
    let mut bytes = Vec::new();
    write_to(&reply, &mut bytes).unwrap();
    assert_eq!(read_bytes(&bytes).unwrap(), reply);
    origin.take(&reply);
    assert_eq!(shown(&origin)[0], "Nr 7 Aroha Ree");
    one.take(&origin.all());
    assert_same(&origin, &one, "there and back");
    // what was read from an old one can be written as it stands
    let mut bytes = Vec::new();
    write_to(&old(), &mut bytes).unwrap();
    assert_eq!(read_bytes(&bytes).unwrap(), old());
}

#[test]
fn what_the_first_format_cannot_hold_is_refused() {
    let text = String::from_utf8(unpacked("format1.bundle")).unwrap();
    let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
    lines.pop();
    assert_eq!(read_bytes(&forged(&lines)).unwrap(), old());
    for (from, to, problem) in [
        ("\"Oren\"", "7", "no text"),
        ("\"kind\":\"pruner\"", "\"kind\":\"name\"", "came later"),
        (
            "\"kind\":\"block\"",
            "\"kind\":\"name_removed\"",
            "came later",
        ),
        ("\"height\":1", "\"names\":true,\"height\":1", "came later"),
    ] {
        let at = lines.iter().position(|line| line.contains(from)).unwrap();
        let mut changed = lines.clone();
        changed[at] = changed[at].replacen(from, to, 1);
        match read_bytes(&forged(&changed)) {
            Err(BundleError::Damaged {
                line, problem: of, ..
            }) => assert!(
                of.contains(problem) && line == at as u64 + 1,
                "{from}: {line} {of}"
            ),
            other => panic!("{from}: {other:?}"),
        }
    }
    lines[0] = lines[0].replace("\"thirdwood_bundle\":1", "\"thirdwood_bundle\":0");
    assert!(matches!(
        read_bytes(&forged(&lines)),
        Err(BundleError::NotABundle { .. })
    ));
}
