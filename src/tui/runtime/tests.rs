//! What the loop does at the turn of the day, where work fails, and where several changes hang together.

use super::*;
use crate::orchard::{Age, CountId, DrawId, Tap};
use crate::store::{Change, Setting};
use crate::tui::app::{Effect, FormKind, Working};
use crate::tui::forms;
use crate::tui::trial::{fill_store, start, today};
use uuid::Uuid;

/// Looks around until it is as wanted.
fn until(runtime: &mut Runtime<'_>, wanted: impl Fn(&Runtime<'_>) -> bool) {
    let end = Instant::now() + Duration::from_secs(180);
    while !wanted(runtime) {
        assert!(Instant::now() < end, "{:?}", runtime.model.message);
        std::thread::sleep(Duration::from_millis(2));
        runtime.look_around().unwrap();
    }
}

fn said<'a>(runtime: &'a Runtime<'_>) -> &'a str {
    let message = runtime.model.message.as_ref();
    message.map_or("", |message| &message.words)
}

#[test]
fn a_new_day_has_its_backup_though_a_key_was_the_first_to_see_it() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("orchard.db");
    let store = Store::open(&file).unwrap();
    fill_store(&store);
    let mut runtime = Runtime::new(&store, start(), (80, 24)).unwrap();
    runtime.keeper = Some(Keeper::start(&file).unwrap());
    runtime.start.today = today().succ_opt();
    runtime.take(Event::Key(Key::Down));
    until(&mut runtime, |runtime| !runtime.model.backups.is_empty());
    assert_eq!(
        Some(runtime.model.backups[0].backup.day),
        today().succ_opt()
    );
}

#[test]
fn a_work_that_fails_does_not_stay() {
    let store = Store::in_memory().unwrap();
    let mut runtime = Runtime::new(&store, start(), (80, 24)).unwrap();
    runtime
        .model
        .show(Layer::Working(Working::doing("Writing")));
    runtime.task = Some(Task::begin(|_| panic!("on purpose")));
    until(&mut runtime, |runtime| runtime.model.layers.is_empty());
    assert_eq!(said(&runtime), BROKE_OFF);
}

#[test]
fn a_work_that_cannot_be_begun_does_not_stay() {
    // nothing in memory has a file for a thread of its own
    let store = Store::in_memory().unwrap();
    let mut runtime = Runtime::new(&store, start(), (80, 24)).unwrap();
    forms::open(&mut runtime.model, FormKind::BundlesIn);
    runtime.take(Event::Paste("stick".to_owned()));
    runtime.take(Event::Key(Key::Ctrl('s')));
    // the form is there again: nothing typed is lost
    let [Layer::Form(_, FormKind::BundlesIn)] = runtime.model.layers[..] else {
        panic!("{:?}", runtime.model.layers);
    };
    assert!(
        said(&runtime).contains("no longer in the file"),
        "{}",
        said(&runtime)
    );
}

#[test]
fn changes_that_hang_together_are_kept_together_or_not_at_all() {
    let store = Store::in_memory().unwrap();
    fill_store(&store);
    let mut runtime = Runtime::new(&store, start(), (80, 24)).unwrap();
    let set = |setting, word: &str| Change::Set(setting, word.to_owned());
    let orchard = || store.setting(Setting::Orchard).unwrap().unwrap_or_default();
    let nowhere = Change::SkipDrawn(DrawId(Uuid::nil()), 0, Some("dead".to_owned()));
    let changes = vec![set(Setting::Orchard, "Hillside"), nowhere];
    assert!(runtime.carry_out(Effect::Write(changes)).is_err());
    assert_eq!(orchard(), "");
    let closed = Change::Close(CountId(Uuid::nil()), true);
    let changes = vec![set(Setting::Orchard, "Hillside"), closed];
    assert!(runtime.carry_out(Effect::Write(changes)).is_err());
    assert_eq!(orchard(), "");
    let changes = vec![
        set(Setting::Orchard, "Hillside"),
        set(Setting::Counter, "Sina"),
    ];
    runtime.carry_out(Effect::Write(changes)).unwrap();
    assert_eq!(orchard(), "Hillside");
    let house = &runtime.model.house;
    assert_eq!(
        (house.orchard.as_str(), house.look.counter.as_str()),
        ("Hillside", "Sina")
    );
}

#[test]
fn a_tree_that_cannot_be_closed_gets_none_of_its_missing_pieces() {
    let store = Store::in_memory().unwrap();
    fill_store(&store);
    let mut runtime = Runtime::new(&store, start(), (80, 24)).unwrap();
    let open = runtime.model.season.as_ref().unwrap().counts()[0].id;
    store.close_count(open, false).unwrap();
    let before = store.count(open).unwrap().unwrap();
    // the second piece finds the count closed, as where another program closed it meanwhile
    let piece = Change::Tap(open, Tap::Piece(Age::Two));
    let close = Change::Close(open, true);
    let changes = vec![piece.clone(), close.clone(), piece.clone()];
    assert!(runtime.carry_out(Effect::Write(changes)).is_err());
    assert_eq!(store.count(open).unwrap().unwrap(), before);
    let changes = vec![piece.clone(), piece, close];
    runtime.carry_out(Effect::Write(changes)).unwrap();
    let after = store.count(open).unwrap().unwrap();
    let two = Age::Two.index();
    assert!(after.closed);
    assert_eq!(after.tally.ages[two], before.tally.ages[two] + 2);
}
