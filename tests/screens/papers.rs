//! Papers written from the screens, by one key.

use std::path::Path;
use std::time::{Duration, Instant};

use thirdwood::report::{Format, papers::Paper};
use thirdwood::tui::app::{Event, Layer};
use thirdwood::tui::runtime::Runtime;
use thirdwood::tui::{Action, Key, Screen};

use crate::{demo, desk, drawn, empty, fill, letters};

const SIZE: (u16, u16) = (80, 24);

/// Asks on a screen for papers by their places in the lists of the form.
fn ask(desk: &mut Runtime, screen: Screen, paper: &str, format: &str, folder: &Path) {
    desk.take(Event::Act(Action::Go(screen)));
    desk.take(Event::Key(Key::Ctrl('p')));
    let Some(Layer::Form(form, _)) = desk.model.layers.last_mut() else {
        panic!("no form");
    };
    fill(form, "paper", paper);
    fill(form, "format", format);
    fill(form, "folder", &folder.display().to_string());
    desk.take(Event::Key(Key::Ctrl('s')));
}

fn wait(desk: &mut Runtime) {
    let begun = Instant::now();
    while matches!(desk.model.layers.last(), Some(Layer::Working(_))) {
        assert!(begun.elapsed() < Duration::from_secs(120), "it never ends");
        std::thread::sleep(Duration::from_millis(20));
        desk.look_around().unwrap();
    }
}

fn names(folder: &Path) -> Vec<String> {
    let mut names: Vec<_> = (std::fs::read_dir(folder).unwrap())
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    names
}

/// A file that is not whole yet.
fn is_part(name: &str) -> bool {
    Path::new(name).extension() == Some("part".as_ref())
}

#[test]
fn a_screen_proposes_the_paper_that_shows_what_it_shows() {
    let store = demo();
    let mut desk = desk(&store, SIZE);
    for (screen, wanted) in [
        (Screen::Crew, Paper::Crew),
        (Screen::Blocks, Paper::Blocks),
        (Screen::Winter, Paper::Winter),
        (Screen::Outlook, Paper::Outlooks),
        (Screen::Today, Paper::Supervisor),
    ] {
        desk.take(Event::Act(Action::Go(screen)));
        desk.take(Event::Key(Key::Ctrl('p')));
        let Some(Layer::Form(form, _)) = desk.model.layers.last() else {
            panic!("no form on {screen:?}");
        };
        assert_eq!(form.value("paper"), wanted.name());
        desk.take(Event::Key(Key::Esc));
    }
}

#[test]
fn a_page_that_is_read_proposes_its_own_paper() {
    let store = demo();
    let mut desk = desk(&store, SIZE);
    for (screen, page, wanted) in [
        (Screen::Crew, 's', Paper::DaySheets),
        (Screen::Today, 's', Paper::Supervisor),
        (Screen::Winter, 'r', Paper::Review),
    ] {
        desk.take(Event::Act(Action::Go(screen)));
        desk.take(Event::Key(Key::Char(page)));
        let (_, hits) = drawn(&desk, SIZE);
        assert!(hits.targets().any(|(_, action)| action == Action::Papers));
        desk.take(Event::Key(Key::Ctrl('p')));
        let Some(Layer::Form(form, _)) = desk.model.layers.last() else {
            panic!("no form over the page of {screen:?}");
        };
        assert_eq!(form.value("paper"), wanted.name());
        desk.take(Event::Key(Key::Esc));
    }
}

#[test]
fn a_paper_in_a_format_and_every_paper_in_every_format() {
    let store = demo();
    let mut desk = desk(&store, SIZE);
    let folder = tempfile::tempdir().unwrap();
    let one = folder.path().join("one");
    ask(
        &mut desk,
        Screen::Crew,
        "crew",
        "html: A web page for phone, desk or printer",
        &one,
    );
    wait(&mut desk);
    assert_eq!(names(&one), ["crew.html"]);
    let said = letters(&drawn(&desk, SIZE).0);
    assert!(said.contains("1 file in "), "{said}");

    let all = folder.path().join("all");
    ask(
        &mut desk,
        Screen::SetUp,
        "every paper",
        "every format",
        &all,
    );
    let said = letters(&drawn(&desk, SIZE).0);
    assert!(said.contains(" of 61"), "{said}");
    wait(&mut desk);
    let written = names(&all);
    assert_eq!(written.len(), Paper::ALL.len() * Format::ALL.len() + 1);
    assert!(written.iter().all(|name| !is_part(name)));
}

#[test]
fn it_can_be_stopped_and_what_is_written_is_whole() {
    let store = demo();
    let mut desk = desk(&store, SIZE);
    let folder = tempfile::tempdir().unwrap();
    ask(
        &mut desk,
        Screen::SetUp,
        "every paper",
        "every format",
        folder.path(),
    );
    desk.take(Event::Key(Key::Char('x')));
    assert!(
        matches!(desk.model.layers.last(), Some(Layer::Working(_))),
        "other keys do nothing"
    );
    desk.take(Event::Key(Key::Esc));
    wait(&mut desk);
    let written = names(folder.path());
    assert!(written.len() < 55 && written.iter().all(|name| !is_part(name)));
    let said = letters(&drawn(&desk, SIZE).0);
    assert!(said.contains("stopped: "), "{said}");
}

#[test]
fn what_cannot_be_is_told_and_nothing_is_lost() {
    let store = demo();
    let mut desk = desk(&store, SIZE);
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("a file");
    std::fs::write(&file, "mine").unwrap();
    ask(
        &mut desk,
        Screen::Crew,
        "crew",
        "json: Data for other programs",
        &file,
    );
    wait(&mut desk);
    let said = letters(&drawn(&desk, SIZE).0);
    assert!(said.contains("cannot be made"), "{said}");
    assert_eq!(std::fs::read_to_string(&file).unwrap(), "mine");
    ask(
        &mut desk,
        Screen::Crew,
        "crew",
        "json: Data for other programs",
        Path::new(""),
    );
    let Some(Layer::Form(form, _)) = desk.model.layers.last() else {
        panic!("a form without a folder is not saved");
    };
    assert!(form.fields.iter().any(|field| field.error.is_some()));
    let nothing = empty();
    let mut without = crate::desk(&nothing, SIZE);
    without.take(Event::Key(Key::Ctrl('p')));
    assert!(without.model.layers.is_empty());
    assert!(letters(&drawn(&without, SIZE).0).contains("set up a winter first"));
}
