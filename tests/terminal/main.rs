//! A real pseudo-terminal drives the built program, as a person at the keyboard or a finger would.
#![cfg(unix)]

mod handing;
mod pty;

use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::{Duration, Instant};

use pty::{Terminal, on_file, program};
use thirdwood::store::{Setting, Store, WHOLE_TREES};

const F2: &str = "\x1bOQ";
const F3: &str = "\x1bOR";
const F8: &str = "\x1b[19~";
const RIGHT: &str = "\x1b[C";
const ENTER: &str = "\r";
const ESC: &str = "\x1b";
const BACKSPACE: &str = "\x7f";
const SAVE: &str = "\x13";
const CLEAR_FIELD: &str = "\x15";

/// Runs a command that draws no screens; gives what it wrote to standard output.
fn asked(file: &Path, args: &[&str]) -> String {
    let output = Command::new(env!("CARGO_BIN_EXE_thirdwood"))
        .arg("--data")
        .arg(file)
        .args(args)
        .output()
        .unwrap();
    let said = String::from_utf8_lossy(&output.stderr).into_owned();
    assert!(output.status.success(), "{args:?}: {said}");
    String::from_utf8(output.stdout).unwrap()
}

/// Waits until so many taps are in the file.
#[track_caller]
fn until_kept(file: &Path, taps: u64) {
    let store = Store::open(file).unwrap();
    let deadline = Instant::now() + pty::PATIENCE;
    while store.check().unwrap().taps != taps {
        assert!(Instant::now() < deadline, "there are not {taps} taps");
        std::thread::yield_now();
    }
}

/// A folder with a file in it that is not there yet.
fn empty() -> (tempfile::TempDir, PathBuf) {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("orchard.db");
    (folder, file)
}

/// Sets a winter, a block and a pruner up by keys, from nothing.
fn set_up(terminal: &mut Terminal) {
    terminal.sees("No winter yet: New (n) sets up the first.");
    terminal.type_and_see("n", "New winter");
    terminal.type_keys(&ENTER.repeat(3));
    terminal.sees("next the blocks");
    terminal.type_and_see(RIGHT, "No block yet");
    terminal.type_and_see("n", "New block");
    let fields = [
        "River",
        "Conference",
        "Quince",
        "2015",
        "4.0",
        "1.5",
        &format!("{CLEAR_FIELD}6"),
        "two",
        "",
        "1-4x50",
        "2:7-9",
    ];
    terminal.type_keys(&(fields.join(ENTER)));
    terminal.sees("1667 trees/ha, 10000 stems/ha, 0.50 m between stems");
    terminal.type_and_see(ENTER, "next the crew");
    terminal.type_and_see(RIGHT, "Nobody is on the crew list yet");
    terminal.type_and_see("n", "New pruner");
    terminal.type_keys(&format!("{ENTER}Aroha{}", ENTER.repeat(5)));
    terminal.sees("Today (F2), Log work (w)");
}

/// Logs a row of work, and draws three trees out of it.
fn work_and_draw(terminal: &mut Terminal) {
    terminal.type_and_see(F2, "0 drawn trees to go");
    terminal.type_and_see("w", "Log work: who pruned what");
    terminal.type_keys(&["", "", "1", "", "", "", "7:30"].join(ENTER));
    terminal.type_keys(SAVE);
    terminal.until("the form is closed", |screen| {
        !screen.contents().contains("Log work: who pruned what")
    });
    terminal.type_and_see("d", "Draw trees at random");
    terminal.type_keys(&format!("{CLEAR_FIELD}3{}", ENTER.repeat(4)));
    terminal.sees("3 drawn trees to go");
}

/// A file with work and three drawn trees, set up by keys, and the program on its Count screen. The trees are counted
/// whole.
fn counting(file: &Path) -> Terminal {
    let mut terminal = Terminal::start(on_file(file));
    set_up(&mut terminal);
    let store = Store::open(file).unwrap();
    store.set(Setting::DrawnTrees, WHOLE_TREES).unwrap();
    drop(store);
    counting_as_set(terminal)
}

/// The same as the orchard is set.
fn counting_as_set(mut terminal: Terminal) -> Terminal {
    work_and_draw(&mut terminal);
    terminal.type_and_see(F3, "River, row 1, tree");
    terminal
}

#[test]
fn from_nothing_to_the_day_sheet_with_a_kill_on_the_way() {
    let (_folder, file) = empty();
    let mut terminal = counting(&file);
    terminal.type_and_see("1133", "this tree: 4 pieces, 0 units");
    // thin with 2 buds, medium with 3, thick with 4: two-year pieces with their buds
    terminal.type_and_see("efb", "this tree: 7 pieces, 3 units");
    terminal.type_and_see("4", "this tree: 8 pieces, 3 units");
    terminal.type_and_see(BACKSPACE, "took back: ");
    terminal.sees("this tree: 7 pieces, 3 units");
    let tree = place(&terminal.text());
    terminal.kill();

    let mut terminal = Terminal::start(on_file(&file));
    terminal.sees("open: River");
    terminal.type_and_see(F3, "this tree: 7 pieces, 3 units");
    assert_eq!(place(&terminal.text()), tree, "the same tree is in hand");
    terminal.type_and_see(&BACKSPACE.repeat(3), "this tree: 4 pieces, 0 units");
    terminal.type_and_see("efb", "this tree: 7 pieces, 3 units");
    terminal.type_and_see(ENTER, "closed: 2 / 3 / 2 / 0");
    terminal.sees("Nr 1 Aroha: 1 tree");
    terminal.leave();

    let sheet = asked(&file, &["day-sheet"]);
    assert!(sheet.contains("Day sheet Nr 1 Aroha"), "{sheet}");
    assert!(sheet.contains("7.0 pieces on the average tree"), "{sheet}");
    let counts = asked(&file, &["export", "counts"]);
    let line = counts.lines().nth(1).unwrap();
    assert!(line.contains(",2,3,2,0,0,0,"), "{counts}");
    assert_eq!(counts.lines().count(), 2);
    assert!(asked(&file, &["check"]).contains("1 count, 7 taps\nall is well"));
}

/// The place named on the Count screen.
fn place(screen: &str) -> String {
    let line = screen
        .lines()
        .find(|line| line.contains("River, row"))
        .unwrap();
    line.split("  (").next().unwrap().to_owned()
}

#[test]
fn a_touch_on_a_pad_counts_one() {
    let (_folder, file) = empty();
    let mut terminal = counting(&file);
    terminal.touch("one-year");
    terminal.sees("this tree: 1 piece, 0 units");
    terminal.touch("three-year");
    terminal.sees("this tree: 2 pieces");
    // letting go, moving and the right button count nothing: the next touch makes three
    terminal.type_keys("\x1b[<35;10;8M\x1b[<32;10;8M\x1b[<2;10;8M\x1b[<2;10;8m");
    terminal.touch("two-year");
    terminal.sees("this tree: 3 pieces");
    terminal.touch("UNDO");
    terminal.sees("took back: ");
    terminal.sees("this tree: 2 pieces");
    terminal.touch("CLOSE");
    terminal.sees("closed: 1 / 0 / 1 / 0");
    terminal.touch("Leave");
    terminal.sees("2 drawn trees to go");
    terminal.touch("Crew");
    terminal.sees("Crew by number");
    terminal.leave();
}

#[test]
fn a_window_too_small_says_how_large_it_must_be() {
    let (_folder, file) = empty();
    let mut terminal = counting(&file);
    terminal.type_and_see("12", "this tree: 2 pieces");
    terminal.resize(40, 10);
    terminal.sees("40 x 10 is too small: 60 columns");
    // nothing is counted blindly
    terminal.type_keys("3");
    terminal.resize(41, 10);
    terminal.sees("41 x 10 is too small");
    terminal.resize(80, 24);
    // the foot comes last: the frame is whole
    terminal.sees("F1 help");
    terminal.sees("this tree: 2 pieces");
    terminal.type_and_see("3", "this tree: 3 pieces");
    terminal.resize(1, 1);
    terminal.until("one cell", |screen| screen.contents().trim() == "1");
    terminal.resize(120, 40);
    terminal.sees("F1 help");
    terminal.type_and_see("4", "this tree: 4 pieces");
    until_kept(&file, 4);
    // the foot comes last: the frame is whole
    terminal.sees("F1 help");
    terminal.resize(80, 24);
    terminal.sees("F1 help");
    terminal.touch("one-year");
    terminal.sees("this tree: 5 pieces");
    terminal.leave();
}

/// The parameters of all SGR sequences in what was written.
fn sgr(raw: &[u8]) -> Vec<u16> {
    let text = String::from_utf8_lossy(raw);
    let mut found = Vec::new();
    for rest in text.split("\x1b[").skip(1) {
        let end = rest.find(|c: char| !(c.is_ascii_digit() || c == ';'));
        let Some(end) = end.filter(|end| rest[*end..].starts_with('m')) else {
            continue;
        };
        found.extend(rest[..end].split(';').filter_map(|n| n.parse::<u16>().ok()));
    }
    found
}

fn colours(raw: &[u8]) -> usize {
    let codes = sgr(raw);
    let is_colour = |n: &&u16| matches!(n, 30..=38 | 40..=48 | 90..=107);
    codes.iter().filter(is_colour).count()
}

#[test]
fn no_color_means_no_colour() {
    let (_folder, file) = empty();
    let mut counted = counting(&file);
    counted.type_and_see("1234", "this tree: 4 pieces");
    let (raw, _) = counted.leave();
    assert!(colours(&raw) > 100, "the usual theme has colours");

    let mut command = on_file(&file);
    command.env("NO_COLOR", "1");
    let mut terminal = Terminal::start(command);
    terminal.sees("open: River");
    terminal.type_and_see(F3, "this tree: 4 pieces");
    terminal.type_and_see(F8, "Winters");
    terminal.type_and_see("n", "New winter");
    terminal.type_keys(ESC);
    terminal.until("the form is closed", |screen| {
        !screen.contents().contains("New winter")
    });
    let (raw, _) = terminal.leave();
    assert_eq!(colours(&raw), 0);
    // what was meant by colour has a mark: reverse or underlined
    assert!(sgr(&raw).iter().any(|n| matches!(n, 4 | 7)));
}

#[test]
fn pasted_text_goes_into_the_field() {
    let (_folder, file) = empty();
    let mut terminal = Terminal::start(on_file(&file));
    terminal.sees("No winter yet");
    terminal.type_and_see(RIGHT, "No block yet");
    // pasted where there is no field, it does nothing: no letter of it acts
    terminal.type_keys("\x1b[200~nqx\r\x1b[201~");
    terminal.type_and_see("n", "New block");
    terminal.type_keys("\x1b[200~Old Field\r\n\x1b[201~");
    terminal.sees("Old Field");
    // a line end in it does not go to the next field: what is typed now goes on in this one
    terminal.type_and_see("!", "Old Field!");
    // what was typed is not saved, and that is said before it is left
    terminal.type_and_see("\x11", "not saved yet");
    terminal.leave();
}

#[test]
fn two_programs_on_one_file_see_each_other() {
    let (_folder, file) = empty();
    let mut first = counting(&file);
    let mut second = Terminal::start(on_file(&file));
    second.sees("3 drawn trees to go");
    second.type_and_see(F3, "River, row 1, tree");
    second.type_and_see("123", "this tree: 3 pieces");
    second.type_and_see(ENTER, "closed: 1 / 1 / 1 / 0");
    // the first one shows it without a key being pressed
    first.sees("Nr 1 Aroha: 1 tree");
    first.sees("2 drawn trees to go");
    // both may count at once
    second.type_and_see("11", "this tree: 2 pieces");
    first.type_and_see(F2, "open: River");
    second.type_and_see(ENTER, "closed: 2 / 0 / 0 / 0");
    first.sees("1 drawn tree to go");
    second.leave();
    first.leave();
    assert!(asked(&file, &["check"]).contains("2 counts, 5 taps\nall is well"));
}

#[test]
fn others_are_seen_though_the_mouse_never_rests() {
    let (_folder, file) = empty();
    let mut terminal = counting(&file);
    terminal.type_and_see(F2, "3 drawn trees to go");
    let other = Store::open(&file).unwrap();
    other.set(Setting::Orchard, "Hillside").unwrap();
    let deadline = Instant::now() + pty::PATIENCE;
    while !terminal.text().contains("Hillside, winter") {
        assert!(Instant::now() < deadline, "{}", terminal.text());
        // it moves: nothing that is asked for
        terminal.type_keys("\x1b[<35;5;5M");
        std::thread::sleep(Duration::from_millis(100));
    }
    terminal.leave();
}

#[test]
fn the_demo_opens_its_screens_and_leaves_no_file() {
    let folder = tempfile::tempdir().unwrap();
    let mut command = program(&["demo"]);
    command.env("TMPDIR", folder.path());
    command.env("XDG_DATA_HOME", folder.path().join("data"));
    let mut terminal = Terminal::start(command);
    terminal.sees("Fernhollow");
    terminal.type_and_see(F3, "this tree: ");
    terminal.leave();
    let left = std::fs::read_dir(folder.path()).unwrap().count();
    assert_eq!(left, 0, "neither a scratch file nor the user's own is left");
}

/// The line that leads through the tree.
fn leads(screen: &str) -> String {
    let line = screen.lines().find(|line| line.contains("third"));
    line.unwrap_or_default().trim().to_owned()
}

/// Two leaders of ten pieces each: twenty taps, and the tree is closed. Killed at any of them, the program goes on at the
/// same leader and piece.
#[test]
fn a_drawn_tree_is_twenty_taps_wherever_it_is_killed() {
    let (_folder, file) = empty();
    let mut terminal = Terminal::start(on_file(&file));
    set_up(&mut terminal);
    let mut terminal = counting_as_set(terminal);
    // of the first tree of a block one leader is counted in full too
    let tree = place(&terminal.text());
    terminal.type_keys(&"1f3d".repeat(5));
    terminal.sees("without their ages");
    terminal.type_keys(&["12", "9", "14", ""].join(ENTER));
    terminal.sees("closed: 5 / 10 / 5 / 0");
    terminal.sees("2 drawn trees to go");
    assert_ne!(place(&terminal.text()), tree);

    for (nth, tap) in "1f3d".chars().cycle().take(19).enumerate() {
        let pieces = nth + 1;
        let one = if pieces == 1 { "" } else { "s" };
        let told = format!("this tree: {pieces} piece{one}, ");
        terminal.type_and_see(&tap.to_string(), &told);
        terminal.sees("F1 help");
        let before = leads(&terminal.text());
        assert!(
            before.contains(&format!("{}", 10 - pieces % 10)),
            "{before}"
        );
        if nth % 3 == 1 || nth == 9 {
            terminal.kill();
            terminal = Terminal::start(on_file(&file));
            terminal.sees("open: River");
            terminal.type_and_see(F3, &told);
            terminal.sees("F1 help");
            assert_eq!(leads(&terminal.text()), before, "after {pieces} pieces");
        }
    }
    terminal.type_and_see("1", "1 drawn tree to go");
    terminal.leave();
    assert!(asked(&file, &["check"]).contains("2 counts, 40 taps\nall is well"));
    let counts = asked(&file, &["export", "counts"]);
    assert!(counts.contains("in full: 12 + 9 + 14"), "{counts}");
}

/// The same by touch: the pads count, and the last piece closes the tree.
#[test]
fn a_drawn_tree_is_twenty_touches() {
    let (_folder, file) = empty();
    let mut terminal = Terminal::start(on_file(&file));
    set_up(&mut terminal);
    let mut terminal = counting_as_set(terminal);
    for pieces in 1..20 {
        terminal.touch(if pieces % 2 == 0 {
            "two-year"
        } else {
            "one-year"
        });
        let one = if pieces == 1 { "" } else { "s" };
        terminal.sees(&format!("{pieces} piece{one}, 0 units"));
    }
    terminal.touch("two-year");
    // one leader in full: nothing filled in is not counted
    terminal.sees("without their ages");
    terminal.touch("Close");
    terminal.sees("closed: 10 / 10 / 0 / 0");
    terminal.touch("one-year");
    terminal.sees("this tree: 1 piece");
    // this leader has no more: on to the next one
    terminal.touch("Next");
    terminal.sees("then 10");
    terminal.leave();
}
