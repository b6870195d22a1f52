//! Bundles, conflicts and joins.

use crate::{House, word};

#[test]
fn an_orchard_goes_from_tablet_to_tablet() {
    let (one, two) = (House::demo(), House::empty());
    let bundle = one.beside("all.bundle");
    let said = one.ask(&["bundle", "-o", word(&bundle)]).good();
    assert!(said.contains("records"), "{said}");
    let tried = two.ask(&["merge", word(&bundle), "--dry-run"]).good();
    assert!(
        tried.contains("pruners: 8 new") && tried.contains("nothing was kept"),
        "{tried}"
    );
    assert!(two.store().blocks().unwrap().is_empty());
    let merged = two.ask(&["merge", word(&bundle)]).good();
    assert!(merged.contains("pruners: 8 new"), "{merged}");
    let again = two.ask(&["merge", word(&bundle)]).good();
    assert!(again.contains("nothing new"), "{again}");
    let figures = |house: &House| house.ask(&["crew", "--until", crate::TODAY]).good();
    assert_eq!(figures(&one), figures(&two));
    assert_eq!(two.ask(&["conflicts"]).good(), "nothing to settle\n");
    assert_eq!(
        two.ask(&["join"]).good(),
        "nothing seems to be entered twice\n"
    );

    // what the first does not know yet, and nothing more
    let theirs = one.beside("theirs.bundle");
    let setting = thirdwood::store::Setting::Orchard;
    two.store().set(setting, "Fernhollow, far side").unwrap();
    let said = two
        .ask(&["bundle", "--since", word(&bundle), "-o", word(&theirs)])
        .good();
    assert!(said.contains(" 1 record"), "{said}");
    one.ask(&["merge", word(&theirs)]).good();
    assert_eq!(
        one.store().setting(setting).unwrap().as_deref(),
        Some("Fernhollow, far side")
    );
}

#[test]
fn two_that_began_apart_are_made_one_when_asked() {
    let (one, two) = (House::demo(), House::empty());
    // the same orchard, entered by hand on the second tablet: other identities
    thirdwood::demo::fill(&two.store(), 2, crate::TODAY.parse().unwrap()).unwrap();
    let bundle = two.beside("two.bundle");
    two.ask(&["bundle", "-o", word(&bundle)]).good();
    one.ask(&["merge", word(&bundle)]).bad(1, "--join-orchards");
    one.ask(&["merge", word(&bundle), "--join-orchards"]).good();
    let twins = one.ask(&["join"]).good();
    assert!(
        twins.contains("pruner 1 was entered more than once"),
        "{twins}"
    );
    one.ask(&["join", "block", "Chapel Field (2)", "Chapel Field"])
        .good();
    let left: Vec<String> = one
        .store()
        .blocks()
        .unwrap()
        .iter()
        .map(|block| block.name.clone())
        .collect();
    assert_eq!(left.len(), 5, "{left:?}");
    let listed = one.ask(&["join"]).good();
    assert!(listed.contains("join 1: block"), "{listed}");
    one.ask(&["join", "--undo", "1"]).good();
    assert_eq!(one.store().blocks().unwrap().len(), 6);
    one.ask(&["join", "block", "Nowhere", "Chapel Field"])
        .bad(1, "there is no block");
    one.ask(&["join", "block", "Nowhere"]).bad(2, "");
}

#[test]
fn what_is_no_bundle_is_refused_in_words() {
    let house = House::demo();
    let file = house.write("x.bundle", "name,number\n");
    house.ask(&["merge", word(&file)]).bad(1, "is not a bundle");
    house
        .ask(&["merge", word(&house.beside("gone.bundle"))])
        .bad(1, "cannot read");
    house
        .ask(&["conflicts", "--settle", "1a"])
        .bad(2, "is none of the choices");
}
