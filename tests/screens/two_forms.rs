//! One form open on two screens of the same file.

use thirdwood::orchard::{Pruner, PrunerDraft};
use thirdwood::store::Store;
use thirdwood::tui::app::{Event, FormKind, Layer};
use thirdwood::tui::runtime::Runtime;
use thirdwood::tui::{Action, Form, Key, forms};

use crate::{desk, today};

const SIZE: (u16, u16) = (80, 24);

fn file() -> (tempfile::TempDir, Store, Store) {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("orchard.db");
    let here = Store::open(&path).unwrap();
    thirdwood::demo::fill(&here, 1, today()).unwrap();
    let there = Store::open(&path).unwrap();
    (folder, here, there)
}

fn second(store: &Store) -> Pruner {
    let crew = store.pruners().unwrap();
    crew.into_iter().find(|pruner| pruner.number == 2).unwrap()
}

fn changed(store: &Store, change: impl Fn(&mut PrunerDraft)) {
    let known = second(store);
    let mut draft = known.draft().clone();
    change(&mut draft);
    store.save_pruner(&known.changed(draft).unwrap()).unwrap();
}

fn form<'d>(desk: &'d Runtime<'_>) -> &'d Form {
    match desk.model.layers.last() {
        Some(Layer::Form(form, _)) => form,
        other => panic!("no form: {other:?}"),
    }
}

/// Opens the form of Nr 2 and types over what stands in a field.
fn typed(desk: &mut Runtime<'_>, kind: FormKind, key: &str, words: &str) {
    forms::open(&mut desk.model, kind);
    let place = form(desk).fields.iter().position(|field| field.key == key);
    desk.take(Event::Act(Action::Field(place.unwrap())));
    desk.take(Event::Key(Key::Ctrl('u')));
    for c in words.chars() {
        desk.take(Event::Key(Key::Char(c)));
    }
}

#[test]
fn what_nobody_touched_here_is_as_it_was_changed_elsewhere() {
    let (_folder, here, there) = file();
    let mut desk = desk(&here, SIZE);
    let kind = FormKind::Pruner(Some(second(&here).id));
    typed(&mut desk, kind, "label", "Zz");
    changed(&there, |draft| draft.name = "Maren".to_owned());
    desk.take(Event::Act(Action::Save));
    let kept = second(&here);
    assert_eq!((kept.name.as_str(), kept.label.as_str()), ("Maren", "Zz"));
    assert!(desk.model.layers.is_empty());
}

#[test]
fn what_was_changed_here_and_elsewhere_is_told_before_it_is_saved() {
    let (_folder, here, there) = file();
    let mut desk = desk(&here, SIZE);
    let kind = FormKind::Pruner(Some(second(&here).id));
    typed(&mut desk, kind, "name", "Here");
    changed(&there, |draft| draft.name = "There".to_owned());
    desk.take(Event::Act(Action::Save));
    assert_eq!(second(&here).name, "There", "nothing is saved unseen");
    let told = |desk: &Runtime<'_>| {
        let fields = &form(desk).fields;
        let name = fields.iter().find(|field| field.key == "name").unwrap();
        name.error.clone()
    };
    let words = "is now There on another screen: type it again or keep yours with Save";
    assert_eq!(told(&desk).as_deref(), Some(words));
    // it is not forgotten while another field is filled in
    desk.take(Event::Act(Action::Down));
    desk.take(Event::Key(Key::Char('x')));
    assert_eq!(told(&desk).as_deref(), Some(words));
    desk.take(Event::Act(Action::Save));
    assert_eq!(second(&here).name, "Here");
}

#[test]
fn what_was_removed_elsewhere_does_not_come_back() {
    let (_folder, here, there) = file();
    let mut desk = desk(&here, SIZE);
    let new = Pruner::new(
        thirdwood::orchard::PrunerId(uuid::Uuid::from_u128(77)),
        PrunerDraft {
            number: 77,
            name: "Short stay".to_owned(),
            ..second(&here).draft().clone()
        },
    )
    .unwrap();
    there.save_pruner(&new).unwrap();
    desk.look_around().unwrap();
    typed(&mut desk, FormKind::Pruner(Some(new.id)), "label", "Sh");
    there.remove_pruner(new.id).unwrap();
    for _ in 0..2 {
        desk.take(Event::Act(Action::Save));
        let told = form(&desk).problem.as_deref();
        assert_eq!(told, Some("was removed meanwhile: nothing is kept"));
    }
    let crew = here.pruners().unwrap();
    assert!(crew.iter().all(|pruner| pruner.number != 77));
}

#[test]
fn a_name_that_was_taken_away_elsewhere_does_not_come_back() {
    let (_folder, here, there) = file();
    let mut desk = desk(&here, SIZE);
    let known = second(&here);
    typed(&mut desk, FormKind::Pruner(Some(known.id)), "label", "Zz");
    there.forget_name(known.id).unwrap();
    desk.take(Event::Act(Action::Save));
    let told = form(&desk).problem.clone().unwrap();
    assert!(told.starts_with("Short label: was taken away"), "{told}");
    desk.take(Event::Act(Action::Save));
    let kept = second(&here);
    assert_eq!((kept.name.as_str(), kept.label.as_str()), ("", ""));
}

#[test]
fn an_open_form_shows_what_was_changed_elsewhere() {
    let (_folder, here, there) = file();
    let mut desk = desk(&here, SIZE);
    let block = desk.model.house.blocks[0].clone();
    typed(&mut desk, FormKind::Block(Some(block.id)), "rootstock", "R");
    let mut draft = block.draft().clone();
    draft.variety = "Williams".to_owned();
    let moved = thirdwood::orchard::Block::new(block.id, draft).unwrap();
    there.save_block(&moved).unwrap();
    desk.look_around().unwrap();
    assert_eq!(form(&desk).value("variety"), "Williams");
    assert_eq!(form(&desk).value("rootstock"), "R");
    desk.take(Event::Act(Action::Save));
    let kept = here.blocks().unwrap();
    let kept = kept.iter().find(|known| known.id == block.id).unwrap();
    assert_eq!(
        (kept.variety.as_str(), kept.rootstock.as_str()),
        ("Williams", "R")
    );
}
