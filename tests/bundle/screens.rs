//! The same by the screens: bundles out and in, what is to be settled, what was entered twice.

use std::path::Path;
use std::time::{Duration, Instant};

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use thirdwood::exchange::bundle;
use thirdwood::orchard::*;
use thirdwood::store::backup;
use thirdwood::store::bundle::Since;
use thirdwood::tui::app::{Event, Layer, view};
use thirdwood::tui::runtime::{Runtime, Start};
use thirdwood::tui::{Action, Key, Screen, Theme};

use crate::device::*;

const SIZE: (u16, u16) = (100, 34);
/// The section of the settings among those of Set-up.
const SETTINGS: Action = Action::Section(8);

/// The settings of a tablet, as they are first seen.
fn desk(device: &Device) -> Runtime<'_> {
    let start = Start {
        theme: Some(Theme::Plain),
        few_colours: false,
        round: false,
        today: Some(day(12)),
    };
    let mut desk = Runtime::new(&device.store, start, SIZE).unwrap();
    desk.take(Event::Act(Action::Go(Screen::SetUp)));
    desk.take(Event::Act(SETTINGS));
    desk
}

fn lines(desk: &Runtime<'_>) -> Vec<String> {
    let mut buf = Buffer::empty(Rect::new(0, 0, SIZE.0, SIZE.1));
    view(&desk.model, &mut buf);
    let line = |y| (0..SIZE.0).map(|x| buf[(x, y)].symbol()).collect();
    (0..SIZE.1).map(line).collect()
}

/// Touches the line of the list that begins with these words, and asks for something of it.
fn on_line(desk: &mut Runtime<'_>, words: &str, action: Action) {
    let all = lines(desk);
    let y = all
        .iter()
        .position(|line| line.trim_start_matches(['▸', ' ']).starts_with(words));
    let y = y.unwrap_or_else(|| panic!("no {words} in\n{}", all.join("\n")));
    let mut buf = Buffer::empty(Rect::new(0, 0, SIZE.0, SIZE.1));
    let hits = view(&desk.model, &mut buf);
    desk.take(Event::Act(hits.at(3, y as u16).unwrap()));
    desk.take(Event::Act(action));
}

fn fill(desk: &mut Runtime<'_>, field: usize, text: &str) {
    desk.take(Event::Act(Action::Field(field)));
    desk.take(Event::Paste(text.to_owned()));
}

/// What stands in a field of the form that is open.
fn typed(desk: &Runtime<'_>, field: usize) -> String {
    match desk.model.layers.last() {
        Some(Layer::Form(form, _)) => form.fields[field].value().to_owned(),
        other => panic!("no form but {other:?}"),
    }
}

/// Waits for the work under way, and gives what is said then.
fn wait(desk: &mut Runtime<'_>) -> String {
    let end = Instant::now() + Duration::from_secs(180);
    while matches!(desk.model.layers.last(), Some(Layer::Working(_))) {
        assert!(Instant::now() < end, "the work does not end");
        std::thread::sleep(Duration::from_millis(5));
        desk.look_around().unwrap();
    }
    // what the work wrote, and the list of what is to be settled
    desk.look_around().unwrap();
    desk.model
        .message
        .as_ref()
        .map_or_else(String::new, |message| message.words.clone())
}

/// Asks for the bundles of a folder, up to the question.
fn look_into(desk: &mut Runtime<'_>, folder: &Path) -> String {
    on_line(desk, "Bundles in", Action::Edit);
    fill(desk, 1, &folder.display().to_string());
    desk.take(Event::Act(Action::Save));
    let said = wait(desk);
    match desk.model.layers.last() {
        Some(Layer::Question(question)) => question.words.clone(),
        other => panic!("no question but {other:?}: {said}"),
    }
}

#[test]
fn a_bundle_goes_out_and_comes_in_after_a_look_at_it() {
    let (mut one, two) = (Device::new(1), Device::new(2));
    settle_in(&mut one);
    let carried = folder();
    let mut from = desk(&one);
    on_line(&mut from, "Bundle out", Action::Edit);
    let place = carried.path().join("stick");
    fill(&mut from, 1, &place.display().to_string());
    from.take(Event::Act(Action::Save));
    let said = wait(&mut from);
    assert!(
        said.contains("is written: ") && said.contains("2027-01-12"),
        "{said}"
    );
    assert_eq!(bundle::bundles_in(&place).len(), 1);

    let mut to = desk(&two);
    let before = two.dump();
    let question = look_into(&mut to, &place);
    assert!(
        question.contains("blocks: 1 new") && question.contains("Take it in?"),
        "{question}"
    );
    assert!(
        !question.contains("begun on another tablet"),
        "an empty file is no orchard: {question}"
    );
    to.take(Event::Act(Action::Cancel));
    assert_eq!(two.dump(), before, "a look keeps nothing");
    assert!(to.model.house.blocks.is_empty());

    look_into(&mut to, &place);
    let kept = || backup::backups(two.store.path()).unwrap().len();
    assert_eq!(kept(), 0);
    to.take(Event::Act(Action::Confirm));
    let said = wait(&mut to);
    assert!(said.starts_with("taken in: "), "{said}");
    assert_eq!(kept(), 1, "the way back from it");
    assert_eq!(
        to.model.house.blocks.len(),
        1,
        "the screens show it at once"
    );
    assert_same(&one, &two, "by the screens");
}

#[test]
fn a_damaged_bundle_is_refused_with_a_word_and_changes_nothing() {
    let (mut one, two) = (Device::new(1), Device::new(2));
    settle_in(&mut one);
    let carried = folder();
    let path = carried.path().join("all.bundle");
    bundle::write(&one.store, &Since::Beginning, &path).unwrap();
    let mut bytes = std::fs::read(&path).unwrap();
    let middle = bytes.len() / 2;
    bytes[middle] ^= 0x55;
    std::fs::write(&path, bytes).unwrap();
    let (mut to, before) = (desk(&two), two.dump());
    on_line(&mut to, "Bundles in", Action::Edit);
    fill(&mut to, 1, &path.display().to_string());
    to.take(Event::Act(Action::Save));
    let said = wait(&mut to);
    assert!(
        said.contains("damaged") || said.contains("not a bundle"),
        "{said}"
    );
    assert_eq!(
        typed(&to, 1),
        path.display().to_string(),
        "not typed in vain"
    );
    assert_eq!(two.dump(), before);
}

#[test]
fn a_folder_without_bundles_is_told_and_changes_nothing() {
    let (two, empty) = (Device::new(2), folder());
    let (mut to, before) = (desk(&two), two.dump());
    on_line(&mut to, "Bundles in", Action::Edit);
    fill(&mut to, 1, &empty.path().display().to_string());
    to.take(Event::Act(Action::Save));
    let said = wait(&mut to);
    assert!(said.contains("no bundle in the folder"), "{said}");
    assert_eq!(typed(&to, 1), empty.path().display().to_string());
    assert_eq!(two.dump(), before);
}

#[test]
fn what_was_entered_twice_is_joined_and_parted() {
    let (mut one, mut two) = (Device::new(1), Device::new(2));
    settle_in(&mut one);
    settle_in(&mut two);
    let carried = folder();
    let path = carried.path().join("theirs.bundle");
    bundle::write(&two.store, &Since::Beginning, &path).unwrap();
    let mut desk = desk(&one);
    let question = look_into(&mut desk, carried.path());
    assert!(
        question.contains("begun on another tablet by itself"),
        "{question}"
    );
    desk.take(Event::Act(Action::Confirm));
    let said = wait(&mut desk);
    assert!(said.contains("3 entered twice"), "{said}");
    let numbers = |desk: &Runtime<'_>| -> Vec<u16> {
        desk.model
            .house
            .pruners
            .iter()
            .map(|pruner| pruner.number)
            .collect()
    };
    assert_eq!(numbers(&desk), [3, 4]);
    on_line(&mut desk, "ENTERED TWICE  pruner 3", Action::Open);
    desk.take(Event::Act(Action::Save));
    assert_eq!(numbers(&desk), [3], "{:?}", desk.model.message);
    on_line(
        &mut desk,
        "Joined         pruner 3 Mele is 3 Mele",
        Action::Remove,
    );
    desk.take(Event::Act(Action::Confirm));
    assert_eq!(numbers(&desk), [3, 4], "parted again");
}

#[test]
fn what_was_changed_on_two_tablets_is_settled() {
    let (mut one, two) = (Device::new(1), Device::new(2));
    let (block, pruner, winter) = settle_in(&mut one);
    let id = CountId(one.id());
    let begin = head(&block, &pruner, &winter, 4);
    one.store
        .tap(id, Some(&begin), Tap::Piece(Age::One))
        .unwrap();
    two.take(&one.all());
    one.store.tap(id, None, Tap::Piece(Age::Two)).unwrap();
    two.store.tap(id, None, Tap::Piece(Age::Three)).unwrap();
    one.take(&two.all());
    let mut desk = desk(&one);
    desk.take(Event::Act(Action::Go(Screen::Today)));
    let today = lines(&desk);
    assert!(
        today[5].contains("1 to settle: Set-up (F8), Settings"),
        "{today:#?}"
    );
    desk.take(Event::Act(Action::Go(Screen::SetUp)));
    desk.take(Event::Act(SETTINGS));
    let shown = one.store.count(id).unwrap().unwrap().tally.ages;
    on_line(&mut desk, "TO SETTLE", Action::Open);
    desk.take(Event::Act(Action::Choose(1)));
    let Some(Layer::Form(form, _)) = desk.model.layers.last() else {
        panic!("no form");
    };
    let summary = form.summary.clone().unwrap();
    let other = if shown == [1, 1, 0, 0] {
        [1, 0, 1, 0]
    } else {
        [1, 1, 0, 0]
    };
    let words = other.map(|n| n.to_string()).join("/");
    assert!(
        summary.contains(&words) && !summary.contains("stands so now"),
        "{summary}"
    );
    desk.take(Event::Act(Action::Save));
    assert_eq!(one.store.count(id).unwrap().unwrap().tally.ages, other);
    assert!(desk.model.tablets.conflicts.is_empty());
    assert!(!lines(&desk).concat().contains("TO SETTLE"));
    desk.take(Event::Act(Action::Go(Screen::Today)));
    assert!(!lines(&desk).concat().contains("to settle"));
}

#[test]
fn what_is_settled_is_the_record_that_was_opened_wherever_it_stands_by_then() {
    let (mut one, two) = (Device::new(1), Device::new(2));
    let (block, pruner, winter) = settle_in(&mut one);
    let ids = [4, 5].map(|tree| {
        let id = CountId(one.id());
        let begin = head(&block, &pruner, &winter, tree);
        let one_year = Tap::Piece(Age::One);
        one.store.tap(id, Some(&begin), one_year).unwrap();
        id
    });
    two.take(&one.all());
    for id in ids {
        one.store.tap(id, None, Tap::Piece(Age::Two)).unwrap();
        two.store.tap(id, None, Tap::Piece(Age::Three)).unwrap();
    }
    one.take(&two.all());
    let mut desk = desk(&one);
    let second = desk.model.tablets.conflicts[1].clone();
    on_line(&mut desk, "TO SETTLE", Action::Down);
    desk.take(Event::Act(Action::Edit));
    let Some(Layer::Form(form, _)) = desk.model.layers.last() else {
        panic!("no form");
    };
    assert_eq!(form.title, second.what);
    // another program settles the first meanwhile, and the list is read again
    desk.model.tablets.conflicts.remove(0);
    desk.model.tablets.conflicts[0].sayings.reverse();
    desk.take(Event::Act(Action::Save));
    let left = one.store.conflicts().unwrap();
    assert_eq!(left.len(), 1, "{:?}", desk.model.message);
    assert_ne!(left[0].key, second.key);
    let settled = ids
        .iter()
        .find(|id| id.0.simple().to_string() == second.key);
    let ages = one
        .store
        .count(*settled.unwrap())
        .unwrap()
        .unwrap()
        .tally
        .ages;
    let told = ages.map(|n| n.to_string()).join("/");
    assert!(second.sayings[0].words.contains(&told), "{told}");
}

/// Writes over what stands in a field.
fn refill(desk: &mut Runtime<'_>, field: usize, text: &str) {
    desk.take(Event::Act(Action::Field(field)));
    desk.take(Event::Key(Key::Ctrl('u')));
    desk.take(Event::Paste(text.to_owned()));
}

#[test]
fn tables_go_out_and_come_in_after_a_look_at_them() {
    let (mut one, two) = (Device::new(1), Device::new(2));
    settle_in(&mut one);
    let carried = folder();
    let mut from = desk(&one);
    on_line(&mut from, "Tables out", Action::Edit);
    refill(&mut from, 1, &carried.path().display().to_string());
    from.take(Event::Act(Action::Save));
    let said = wait(&mut from);
    assert!(
        said.contains("tables are written with"),
        "{said} {:?}",
        from.model.layers.last()
    );
    assert!(carried.path().join("blocks.csv").is_file());

    let mut to = desk(&two);
    let before = two.dump();
    let look = |to: &mut Runtime<'_>, place: &Path| {
        on_line(to, "Tables in", Action::Edit);
        refill(to, 1, &place.display().to_string());
        to.take(Event::Act(Action::Save));
        wait(to)
    };
    let asked = |desk: &Runtime<'_>| match desk.model.layers.last() {
        Some(Layer::Question(question)) => question.words.clone(),
        other => panic!("no question but {other:?}: {:?}", desk.model.message),
    };
    look(&mut to, carried.path());
    let question = asked(&to);
    assert!(question.contains("blocks: 1 new"), "{question}");
    assert_eq!(two.dump(), before, "a look keeps nothing");
    to.take(Event::Act(Action::Cancel));
    assert_eq!(two.dump(), before);

    look(&mut to, carried.path());
    to.take(Event::Act(Action::Confirm));
    let said = wait(&mut to);
    assert!(said.starts_with("read in: "), "{said}");
    assert_eq!(
        to.model.house.blocks.len(),
        1,
        "the screens show it at once"
    );

    // what is wrong is told with its place, and nothing of the file is kept
    let crew = carried.path().join("crew.csv");
    let lines = std::fs::read_to_string(&crew).unwrap();
    std::fs::write(&crew, format!("{lines}0,Nobody,,yes,no,\n")).unwrap();
    let before = two.dump();
    let said = look(&mut to, carried.path());
    assert!(
        said.contains("nothing was kept: crew: line 3, number [0]"),
        "{said}"
    );
    assert_eq!(two.dump(), before);
    assert!(
        matches!(to.model.layers.last(), Some(Layer::Form(..))),
        "not typed in vain"
    );
}
