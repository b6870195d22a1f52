//! The program in a real terminal that is closed, stopped, shrunk to nothing; and a fault of its own.

use std::os::unix::fs::PermissionsExt;

use thirdwood::store::Store;

use crate::pty::{Terminal, on_file};
use crate::world::{House, counted, taps, tell};

const F3: &str = "\x1bOR";
const F2: &str = "\x1bOQ";

/// The Count screen with three taps on it.
fn counting(house: &House) -> Terminal {
    let mut terminal = Terminal::start(on_file(&house.file));
    terminal.sees("drawn trees to go");
    terminal.type_and_see(F3, "River, row 1, tree");
    terminal.type_and_see("123", "this tree: 3 pieces");
    terminal
}

#[test]
fn the_terminal_is_closed() {
    let (house, small) = counted(0);
    for taps in 1..=5 {
        let mut terminal = Terminal::start(on_file(&house.file));
        terminal.sees("drawn trees to go");
        terminal.type_keys(F3);
        terminal.sees("River, row 1, tree");
        terminal.type_and_see("1", &format!("this tree: {taps} piece"));
        terminal.signal("HUP");
        let (status, ..) = terminal.ends();
        assert!(!status.success());
    }
    let store = Store::open(&house.file).unwrap();
    assert_eq!(taps(&store, &small).len(), 5);
    store.vouch().unwrap();
    tell("the terminal closed 5 times while counting: 5 taps of 5 are there");
}

#[test]
fn stopped_and_continued() {
    let (house, small) = counted(0);
    let mut terminal = counting(&house);
    for (round, signal) in ["TSTP", "STOP", "STOP"].into_iter().enumerate() {
        terminal.signal(signal);
        // typed while it stands still: counted once it goes on
        terminal.type_keys("4");
        terminal.signal("CONT");
        terminal.sees(&format!("this tree: {} pieces", 4 + round));
    }
    terminal.leave();
    assert_eq!(taps(&house.store(), &small).len(), 6);
}

#[test]
fn shrunk_to_nothing_and_back() {
    let (house, small) = counted(0);
    let mut terminal = counting(&house);
    for (columns, lines) in [(1, 1), (200, 1), (79, 23), (40, 2)] {
        terminal.resize(columns, lines);
        let told = format!("{columns} x {lines} is too small");
        terminal.until("drawn for this size", |screen| {
            let shown = screen.contents();
            shown.contains(&told) || columns == 1 && shown.trim() == "1"
        });
        // nothing is shown, so nothing is counted
        terminal.type_keys("1114");
        // by the time that this is drawn, the keys were taken in
        terminal.resize(41, 10);
        terminal.sees("41 x 10 is too small");
        terminal.resize(80, 24);
        terminal.sees("this tree: 3 pieces");
    }
    terminal.resize(200, 60);
    terminal.sees("this tree: 3 pieces");
    terminal.type_and_see("4", "this tree: 4 pieces");
    terminal.type_and_see(F2, "open: River");
    terminal.leave();
    assert_eq!(taps(&house.store(), &small).len(), 4);
}

/// Builds for testing alone can be made to fail.
#[test]
#[cfg(debug_assertions)]
fn a_fault_gives_the_terminal_back_and_leaves_a_note_without_names() {
    let (house, _) = counted(0);
    let state = house.folder.path().join("state");
    let mut command = on_file(&house.file);
    command.env("XDG_STATE_HOME", &state);
    command.env("RUST_BACKTRACE", "0");
    command.env("THIRDWOOD_FAIL", "Ana of River, in /home/sina");
    let (status, raw, screen) = Terminal::start(command).ends();
    assert_eq!(status.exit_code(), 101);
    assert!(!screen.alternate_screen() && !screen.hide_cursor() && !screen.bracketed_paste());
    let shown = screen.contents().replace('\n', "");
    assert!(
        shown.contains("a fault of its own stopped the program (src/tui/run.rs:"),
        "{shown}"
    );
    let path = state.join("thirdwood").join("crash.txt");
    assert!(shown.contains(path.to_str().unwrap()), "{shown}");
    let note = std::fs::read_to_string(&path).unwrap();
    assert_eq!(
        std::fs::metadata(&path).unwrap().permissions().mode() & 0o777,
        0o600
    );
    let version = env!("CARGO_PKG_VERSION");
    assert!(
        note.starts_with(&format!("thirdwood {version}\nplace: src/tui/run.rs:")),
        "{note}"
    );
    assert!(note.contains("\nfault: other\nsystem: "), "{note}");
    let all = format!("{note}{}", String::from_utf8_lossy(&raw));
    for word in ["Ana of", "/home", "sina"] {
        assert!(!all.contains(word), "{word}: {all}");
    }
}
