//! The program in a real terminal that is closed, stopped, shrunk to nothing; and a fault of its own.

use std::os::unix::fs::PermissionsExt;
use std::time::Duration;

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
    // nothing can be done about this signal; what is typed meanwhile is counted once it goes on
    for taps in 4..=6 {
        terminal.signal("STOP");
        terminal.type_keys("4");
        terminal.signal("CONT");
        terminal.sees(&format!("this tree: {taps} pieces"));
    }
    for taps in 7..=9 {
        terminal.signal("TSTP");
        terminal.until("the terminal is handed back", |screen| {
            !screen.alternate_screen()
        });
        terminal.stands_still();
        terminal.signal("CONT");
        terminal.until(
            "the terminal is taken again",
            vt100::Screen::alternate_screen,
        );
        terminal.sees(&format!("this tree: {} pieces", taps - 1));
        terminal.type_and_see("4", &format!("this tree: {taps} pieces"));
    }
    terminal.leave();
    assert_eq!(taps(&house.store(), &small).len(), 9);
}

#[test]
fn shrunk_to_nothing_and_back() {
    let (house, small) = counted(0);
    let mut terminal = counting(&house);
    for (columns, lines) in [(1, 1), (200, 1), (59, 15), (40, 2)] {
        terminal.resize(columns, lines);
        let told = format!("{columns} x {lines} is too small");
        terminal.until("drawn for this size", |screen| {
            let shown = screen.contents();
            shown.contains(&told) || columns == 1 && shown.trim() == "1"
        });
        // nothing is shown, so nothing is counted
        terminal.type_keys("1114");
        // keys and a new size that come in one moment are read in either order
        std::thread::sleep(Duration::from_millis(200));
        terminal.resize(41, 10);
        terminal.sees("41 x 10 is too small");
        terminal.resize(80, 24);
        terminal.sees("this tree: 3 pieces");
    }
    terminal.resize(200, 60);
    terminal.until("drawn for 200 columns", |screen| {
        let shown = screen.contents();
        shown
            .lines()
            .any(|line| line.trim_end().chars().count() > 150)
            && shown.contains("this tree: 3 pieces")
    });
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
        shown.contains("a fault of its own stopped the program (src/tui/runtime/mod.rs:"),
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
        note.starts_with(&format!(
            "thirdwood {version}\nplace: src/tui/runtime/mod.rs:"
        )),
        "{note}"
    );
    assert!(note.contains("\nfault: other\nsystem: "), "{note}");
    let all = format!("{note}{}", String::from_utf8_lossy(&raw));
    for word in ["Ana of", "/home", "sina"] {
        assert!(!all.contains(word), "{word}: {all}");
    }
}
