//! Bundles that were altered and given a checksum that fits: what they say is looked at, whoever wrote them.

use thirdwood::exchange::bundle::write_to;
use thirdwood::orchard::*;
use thirdwood::store::bundle::{Kind, Parcel, TakeIn, Taken};
use thirdwood::store::{Setting, StoreError};

use crate::device::*;
use crate::hostile::{forged, full, lines, packed, read};

const HOW: TakeIn = TakeIn {
    join_orchards: true,
    dry_run: false,
};

/// Reads lines as a bundle and takes it in; nothing may be kept where it is refused.
fn offer(target: &Device, lines: &[String]) -> Result<Taken, StoreError> {
    let parcel = read(&forged(lines)).unwrap_or_else(|e| panic!("{e}"));
    let before = target.dump();
    let outcome = target.store.take_in(&parcel, HOW, &mut |_| true);
    if outcome.is_err() {
        assert_eq!(target.dump(), before);
    }
    outcome
}

/// The place of the line of a kind.
fn line_of(lines: &[String], kind: &str) -> usize {
    let word = format!("\"kind\":\"{kind}\"");
    lines.iter().position(|line| line.contains(&word)).unwrap()
}

fn with_records(lines: &mut [String], before: usize, after: usize) {
    let (from, to) = (
        format!("\"records\":{before}"),
        format!("\"records\":{after}"),
    );
    assert!(lines[0].contains(&from), "{}", lines[0]);
    lines[0] = lines[0].replace(&from, &to);
}

#[test]
fn a_record_that_was_altered_left_out_or_added_is_found() {
    let parcel = full().all();
    let good = lines(&parcel);
    assert!(offer(&Device::new(2), &good).is_ok());
    let (known, all) = (Device::new(3), parcel.changes.len());
    known.take(&parcel);
    let altered = |what: &str, change: &dyn Fn(&mut Vec<String>)| {
        let mut lines = good.clone();
        change(&mut lines);
        // on a tablet with nothing, and on one that knows the change set
        for target in [&Device::new(2), &known] {
            match offer(target, &lines) {
                Err(StoreError::Bundle(why)) => assert!(!why.contains('\u{1b}'), "{what}: {why}"),
                other => panic!("{what}: {other:?}"),
            }
        }
    };
    let count = line_of(&good, "count");
    altered("another tap", &|lines| {
        assert!(lines[count].contains("\"taps\":\"1234\""));
        lines[count] = lines[count].replace("\"taps\":\"1234\"", "\"taps\":\"1233\"");
    });
    altered("a record left out", &|lines| {
        lines.remove(count);
        with_records(lines, all, all - 1);
    });
    altered("a record once more", &|lines| {
        let again = lines[count].clone();
        lines.insert(count, again);
        with_records(lines, all, all + 1);
    });
    altered("a record removed", &|lines| {
        lines[count] = lines[count].replace(",\"body\"", ",\"removed\":true,\"body\"");
    });
    altered("a record that leaves others standing", &|lines| {
        let beside = format!(",\"beside\":[\"{}\"],\"body\"", "0".repeat(32));
        lines[count] = lines[count].replace(",\"body\"", &beside);
    });
    altered("records in another order", &|lines| {
        lines.swap(count, count + 1);
    });
    altered("a name of another pruner", &|lines| {
        let name = line_of(lines, "name");
        lines[name] = lines[name].replace("Mele", "Oren");
    });
}

/// A record may be left out only where something replaced it.
#[test]
fn a_record_said_to_be_replaced_must_have_been() {
    let mut one = Device::new(1);
    let (block, ..) = settle_in(&mut one);
    let old = lines(&one.all());
    let mut draft = block.draft().clone();
    draft.stems = 5;
    one.store
        .save_block(&Block::new(block.id, draft).unwrap())
        .unwrap();
    let new = lines(&one.all());
    let place = new
        .iter()
        .position(|line| line.contains("\"replaced\":\""))
        .unwrap();
    assert!(new[place].contains("\"kind\":\"block\""), "{}", new[place]);
    assert!(offer(&Device::new(2), &new).is_ok());
    let mut less = old;
    let block = line_of(&less, "block");
    less[block] = new[place].clone();
    match offer(&Device::new(3), &less) {
        Err(StoreError::Bundle(why)) => assert!(why.contains("nothing replaced it"), "{why}"),
        other => panic!("{other:?}"),
    }
    // nor is another digest believed
    let mut other = new.clone();
    other[place] = other[place].replacen("\"replaced\":\"", "\"replaced\":\"0", 1);
    let end = other[place].rfind("\",\"set\"").unwrap();
    other[place].remove(end - 1);
    assert!(matches!(
        offer(&Device::new(4), &other),
        Err(StoreError::Bundle(_))
    ));
}

/// Two tablets that each went on hand everything to and fro: what was replaced is carried on by tablets that never had it.
#[test]
fn digests_are_handed_on() {
    let (mut one, two, three) = (Device::new(1), Device::new(2), Device::new(3));
    let (block, ..) = settle_in(&mut one);
    two.take(&one.all());
    for stems in [2, 3, 4] {
        let mut draft = block.draft().clone();
        draft.stems = stems;
        one.store
            .save_block(&Block::new(block.id, draft).unwrap())
            .unwrap();
        one.all();
    }
    three.take(&one.all());
    assert_eq!(one.all().replaced.len(), 3);
    assert_eq!(three.all().replaced, one.all().replaced);
    two.take(&three.all());
    assert_same(&one, &two, "handed on");
}

/// Change sets of earlier versions have no digests: two tablets that hold one with other contents are told.
#[test]
fn an_altered_change_set_of_an_earlier_version_is_told_when_the_two_meet() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/fixtures/format1.bundle");
    let bytes = std::fs::read(path).unwrap();
    let parcel = read(&bytes).unwrap();
    let mut other = parcel.clone();
    let count = other
        .changes
        .iter_mut()
        .find(|change| change.kind == Kind::Count)
        .unwrap();
    let note = count.body.replace("\"note\":\"", "\"note\":\"altered ");
    assert_ne!(note, count.body);
    count.body = note;
    let (one, two) = (Device::new(1), Device::new(2));
    one.take(&parcel);
    two.take(&other);
    for (target, theirs) in [(&one, two.all()), (&two, one.all())] {
        let before = target.dump();
        let refused = target
            .store
            .take_in(&theirs, HOW, &mut |_| true)
            .unwrap_err();
        assert!(matches!(refused, StoreError::Altered(_)), "{refused}");
        assert!(
            refused.to_string().contains("thirdwood restore"),
            "{refused}"
        );
        assert_eq!(target.dump(), before);
    }
    // what is alike is taken in as ever
    let three = Device::new(3);
    three.take(&parcel);
    one.take(&three.all());
    assert_same(&one, &three, "of an earlier version");
}

/// A set made up by somebody, with a record of it, beside what the target knows.
fn made_up(parcel: &Parcel, kind: &str, key: &str, body: &str) -> Vec<String> {
    let good = lines(parcel);
    let own = parcel
        .sets
        .iter()
        .find(|set| !set.names)
        .unwrap()
        .id
        .simple();
    let none = format!("\"base\":[\"{own}\"]");
    let mut header = good[0].replace("\"base\":[]", &none);
    let (sets, records) = (parcel.sets.len(), parcel.changes.len());
    header = header.replace(&format!("\"sets\":{sets}"), "\"sets\":1");
    header = header.replace(&format!("\"records\":{records}"), "\"records\":1");
    let set = format!(
        "{{\"set\":\"00000000000000000000000000000abc\",\"parents\":[\"{own}\"],\"height\":2,\"tablet\":\"X\"}}"
    );
    let record = format!("{{\"kind\":\"{kind}\",\"key\":\"{key}\",\"set\":0,\"body\":{body}}}");
    vec![header, set, record]
}

#[test]
fn what_a_bundle_sets_is_checked_like_what_is_typed() {
    let source = full();
    source.store.set(Setting::Orchard, "Fernhollow").unwrap();
    let parcel = source.all();
    let target = Device::new(2);
    target.take(&parcel);
    target.store.set(Setting::Names, "numbers only").unwrap();
    let key = |kind: &str| {
        let found = parcel
            .changes
            .iter()
            .find(|change| change.kind.word() == kind);
        found.unwrap().key.clone()
    };
    let (pruner, winter, block) = (key("pruner"), key("winter"), key("block"));
    let setting = |key: &str, value: &str| {
        let body = format!("{{\"value\":\"{value}\"}}");
        ("setting", key.to_owned(), body)
    };
    let long = "x".repeat(61);
    for (kind, key, body) in [
        setting("orchard", "Fern\\u001b[2Jhollow"),
        setting("orchard", &long),
        setting("extras", "perhaps"),
        setting("currency", "EUR 7"),
        setting("currency", "euros"),
        setting("sheet language", "es; rm"),
        setting("names", "whatever"),
        setting("theme", "dark"),
        ("pay", format!("{winter}/-"), "{\"basis\":\"hour\",\"amount\":-5}".to_owned()),
        ("pay", format!("{winter}/-"), "{\"basis\":\"moon\",\"amount\":5}".to_owned()),
        ("week", winter.clone(), "{\"weekdays\":\"1x11100\"}".to_owned()),
        ("aim", format!("{winter}/{block}"), "{\"kind\":\"t_per_ha\",\"amount\":-1.0,\"girth_cm\":null}".to_owned()),
        ("harvest", format!("{block}/2025"), "{\"unit\":\"t_per_ha\",\"amount\":1e300,\"mean_g\":null,\"weighed\":null}".to_owned()),
        ("growth", block.clone(), "{\"grown\":-3.0,\"survival_one\":9.0,\"survival_two\":0.5,\"survival_three\":0.5,\"survival_four\":0.5}".to_owned()),
    ] {
        match offer(&target, &made_up(&parcel, kind, &key, &body)) {
            Err(StoreError::Bundle(_)) => {}
            other => panic!("{kind} {key} {body}: {other:?}"),
        }
    }
    // names are no exception where only numbers are shown
    let names = parcel.sets.iter().position(|set| set.names).unwrap();
    let mut made = made_up(
        &parcel,
        "name",
        &pruner,
        "{\"name\":\"Me\\u001b[2Jle\",\"label\":\"\"}",
    );
    made[0] = made[0].replace(
        &parcel.sets[1 - names].id.simple().to_string(),
        &parcel.sets[names].id.simple().to_string(),
    );
    made[1] = format!(
        "{{\"set\":\"00000000000000000000000000000abc\",\"parents\":[\"{}\"],\"height\":2,\"tablet\":\"X\",\"names\":true}}",
        parcel.sets[names].id.simple()
    );
    assert!(matches!(offer(&target, &made), Err(StoreError::Bundle(_))));
    // and what is right comes in
    for (key, value) in [
        ("extras", "yes"),
        ("currency", "JPY 0"),
        ("sheet language", "es"),
    ] {
        let tablet = Device::new(3);
        tablet.take(&parcel);
        let (kind, key, body) = setting(key, value);
        offer(&tablet, &made_up(&parcel, kind, &key, &body)).unwrap();
    }
    assert_eq!(packed(&parcel), packed(&source.all()));
    let mut again = Vec::new();
    write_to(&source.all(), &mut again).unwrap();
    assert_eq!(again, packed(&parcel));
}
