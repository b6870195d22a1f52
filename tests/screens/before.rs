//! What a form tells before it is saved, and that it chooses from what there is.

use thirdwood::exchange::bundle;
use thirdwood::orchard::{Trees, WorkEntry};
use thirdwood::store::Store;
use thirdwood::store::backup::{self, Keep, Stop};
use thirdwood::store::bundle::Since;
use thirdwood::tui::app::{Event, FormKind, Layer};
use thirdwood::tui::runtime::Runtime;
use thirdwood::tui::{Action, Form, Key, Screen};

use crate::{demo, desk, drawn, fill, letters, places, today};

const SIZE: (u16, u16) = (80, 24);

fn form<'d>(desk: &'d mut Runtime<'_>) -> &'d mut Form {
    match desk.model.layers.last_mut() {
        Some(Layer::Form(form, _)) => form,
        other => panic!("no form but {other:?}: {:?}", desk.model.message),
    }
}

/// Fills the form for work with what an entry says, on another day; gives what it tells.
fn logged(
    desk: &mut Runtime<'_>,
    entry: &WorkEntry,
    day: chrono::NaiveDate,
    hours: &str,
) -> String {
    let season = desk.model.season.clone().unwrap();
    desk.take(Event::Act(Action::LogWork));
    let form = form(desk);
    for (key, value) in [
        ("pruner", season.pruner_shown(entry.pruner)),
        ("block", season.block_name(entry.block).to_owned()),
        ("row", entry.row.to_string()),
        ("first", entry.first.to_string()),
        ("last", entry.last.to_string()),
        ("day", day.to_string()),
    ] {
        fill(form, key, &value);
    }
    desk.take(Event::Act(Action::Field(6)));
    desk.take(Event::Paste(hours.to_owned()));
    let summary = &self::form(desk).summary;
    summary.clone().unwrap_or_default()
}

/// Trees and minutes by the log, as pay and pace have them.
fn sums(desk: &Runtime<'_>) -> (Trees, u32) {
    let season = desk.model.season.as_ref().unwrap();
    let days = season.day_work(today());
    let trees = days.iter().map(|day| day.trees).sum();
    (trees, days.iter().filter_map(|day| day.minutes).sum())
}

#[test]
fn logging_a_row_again_tells_what_will_come_of_it() {
    let store = demo();
    let mut desk = desk(&store, SIZE);
    let work = desk.model.season.as_ref().unwrap().work.clone();
    let whole = |entry: &&WorkEntry| {
        let others = work.iter().filter(|other| other.overlaps(entry));
        entry.minutes.is_some_and(|minutes| minutes > 60)
            && entry.day < today()
            && others.count() == 1
    };
    let entry = work.iter().rev().find(whole).unwrap();
    let (trees, minutes) = sums(&desk);

    // on a later day: hours on top, no tree more
    let told = logged(&mut desk, entry, today(), "0:30");
    assert!(told.contains(", 0 new. Mending, after "), "{told}");
    assert!(
        told.contains("hours come on top, each tree counts once"),
        "{told}"
    );
    desk.take(Event::Act(Action::Save));
    assert_eq!(sums(&desk), (trees, minutes + 30));
}

/// Says that the entry takes the place of what it meets, and saves.
fn choose_instead(desk: &mut Runtime<'_>) {
    fill(form(desk), "beside", "instead");
    desk.take(Event::Act(Action::Field(6)));
    // what stands there is kept, and the form read again
    desk.take(Event::Key(Key::End));
    desk.take(Event::Paste("0".to_owned()));
    desk.take(Event::Key(Key::Backspace));
    let told = form(desk).summary.clone().unwrap_or_default();
    assert!(
        told.contains("takes the place of") || told.contains(" trees"),
        "{told}"
    );
    desk.take(Event::Act(Action::Save));
}

#[test]
fn logging_a_row_again_on_the_same_day_asks_what_is_meant() {
    let store = places::odd_names();
    let mut desk = desk(&store, SIZE);
    let entry = desk.model.season.as_ref().unwrap().work[0].clone();
    let (trees, minutes) = sums(&desk);
    let own = u32::from(entry.minutes.unwrap());
    logged(&mut desk, &entry, entry.day, "0:45");
    // nothing is replaced unasked
    desk.take(Event::Act(Action::Save));
    let fields = &self::form(&mut desk).fields;
    let fault = fields.iter().find_map(|field| field.error.clone());
    assert!(
        fault.as_ref().is_some_and(|fault| fault.contains("8:00 h")),
        "{fault:?}"
    );
    assert_eq!(sums(&desk), (trees, minutes));
    choose_instead(&mut desk);
    assert_eq!(sums(&desk), (trees, minutes + 45 - own));

    // in place of a part of it: the first keeps its other trees and its hours
    let mut part = entry.draft().clone();
    part.last = part.first;
    let block = desk.model.house.blocks.iter().find(|b| b.id == part.block);
    let part = WorkEntry::new(entry.id, part, block.unwrap()).unwrap();
    logged(&mut desk, &part, entry.day, "0:15");
    choose_instead(&mut desk);
    assert_eq!(sums(&desk), (trees, minutes + 45 + 15 - own));
    // a day before: that one has the trees, and this day's are mending
    let told = logged(&mut desk, &entry, entry.day.pred_opt().unwrap(), "1:00");
    assert!(told.contains("these trees count here"), "{told}");
    desk.take(Event::Act(Action::Save));
    assert_eq!(sums(&desk), (trees, minutes + 45 + 15 + 60 - own));
}

/// The invented orchard in a file.
fn in_a_file() -> (tempfile::TempDir, Store) {
    let folder = tempfile::tempdir().unwrap();
    let store = Store::open(&folder.path().join("orchard.db")).unwrap();
    thirdwood::demo::fill(&store, 1, today()).unwrap();
    (folder, store)
}

/// Opens the form of a line of the settings.
fn open_setting(desk: &mut Runtime<'_>, words: &str) {
    desk.take(Event::Act(Action::Go(Screen::SetUp)));
    desk.take(Event::Act(Action::Section(8)));
    let mut shown = letters(&drawn(desk, SIZE).0);
    if !shown.contains(words) {
        desk.take(Event::Act(Action::Last));
        shown = letters(&drawn(desk, SIZE).0);
    }
    let line = shown.lines().position(|line| line.contains(words));
    let hits = drawn(desk, SIZE).1;
    let line = line.unwrap_or_else(|| panic!("no {words} in\n{shown}")) as u16;
    desk.take(Event::Act(hits.at(3, line).unwrap()));
    desk.take(Event::Act(Action::Edit));
}

#[test]
fn a_backup_is_put_back_only_after_asking_and_the_list_is_fresh() {
    let (_folder, store) = in_a_file();
    let mut desk = desk(&store, SIZE);
    open_setting(&mut desk, "Backups");
    assert!(desk.model.layers.is_empty(), "there is none yet");
    // made by another program while the list is looked at
    backup::make(store.path(), today(), Keep::Sound, None, &Stop::default()).unwrap();
    let line = desk.model.figures.walk.as_ref().unwrap().resume.len();
    desk.take(Event::Act(Action::Go(Screen::Today)));
    desk.take(Event::Act(Action::Select(line)));
    desk.take(Event::Act(Action::Open));
    for key in [Key::Char('1'), Key::Char('2'), Key::Enter, Key::Char('y')] {
        desk.take(Event::Key(key));
    }
    let counted = desk.model.season.as_ref().unwrap().counts().len();
    open_setting(&mut desk, "Backups");
    let told = form(&mut desk).summary.clone().unwrap();
    assert!(
        told.contains("has 1 count fewer and 2 taps fewer than now"),
        "{told}"
    );
    desk.take(Event::Act(Action::Save));
    let shown = letters(&drawn(&desk, SIZE).0);
    assert!(shown.contains("Put backup 1, of "), "{shown}");
    assert!(
        shown.contains("fewer and 2 taps fewer than now") && shown.contains("to undo this"),
        "{shown}"
    );
    desk.take(Event::Act(Action::Cancel));
    assert!(matches!(
        desk.model.layers.last(),
        Some(Layer::Form(_, FormKind::Restore))
    ));
    assert_eq!(desk.model.season.as_ref().unwrap().counts().len(), counted);
    desk.take(Event::Act(Action::Save));
    desk.take(Event::Act(Action::Confirm));
    assert!(desk.model.layers.is_empty());
    assert_eq!(
        desk.model.season.as_ref().unwrap().counts().len(),
        counted - 1
    );
    // and back again, as the question said
    open_setting(&mut desk, "Backups");
    let told = form(&mut desk).summary.clone().unwrap();
    assert!(
        told.contains("has 1 count more and 2 taps more than now"),
        "{told}"
    );
    desk.take(Event::Act(Action::Save));
    desk.take(Event::Act(Action::Confirm));
    assert_eq!(desk.model.season.as_ref().unwrap().counts().len(), counted);
}

#[test]
fn a_stick_put_in_later_is_found() {
    let (folder, store) = in_a_file();
    let (_other_folder, other) = in_a_file();
    let mut desk = desk(&store, SIZE);
    open_setting(&mut desk, "Bundles in");
    let before = form(&mut desk).fields[0].entries();
    desk.take(Event::Act(Action::Cancel));
    let name = "later.bundle";
    bundle::write_as(&other, &Since::Beginning, true, &folder.path().join(name)).unwrap();
    desk.take(Event::Act(Action::Edit));
    let field = &form(&mut desk).fields[0];
    assert_eq!(field.entries(), before + 1);
    assert!(field.value().ends_with(name), "{}", field.value());
}

#[test]
fn logging_a_row_that_was_sent_back_asks_what_came_of_it() {
    let store = demo();
    let mut desk = desk(&store, SIZE);
    let season = desk.model.season.clone().unwrap();
    let open = season.open_go_backs(today()).remove(0);
    assert!(open.day < today());
    let of_row = |entry: &&WorkEntry| (entry.block, entry.row) == (open.block, open.row);
    let entry = season.work.iter().find(of_row).unwrap();
    let other = season.work.iter().find(|entry| !of_row(entry)).unwrap();
    let question = format!("is {} row {} mended?", open.block_name, open.row);
    for (entry, asked) in [(other, false), (entry, true)] {
        logged(&mut desk, entry, today(), "1");
        desk.take(Event::Key(Key::Ctrl('s')));
        let told = desk.model.message.clone().unwrap().words;
        assert_eq!(told.contains(&question), asked, "{told}");
    }
}
