//! The terminal is taken, handed back and taken again: by leaving, by the shell, from outside.

use super::*;

fn taken(screen: &vt100::Screen) -> bool {
    screen.alternate_screen()
        && screen.hide_cursor()
        && screen.bracketed_paste()
        && screen.mouse_protocol_mode() != vt100::MouseProtocolMode::None
}

fn handed_back(screen: &vt100::Screen) -> bool {
    !screen.alternate_screen()
        && !screen.hide_cursor()
        && !screen.bracketed_paste()
        && screen.mouse_protocol_mode() == vt100::MouseProtocolMode::None
}

/// The shell has the terminal and asks: what is typed before that may be thrown away by it.
fn shell_asks(screen: &vt100::Screen) -> bool {
    handed_back(screen) && screen.contents().trim_end().ends_with("\nshell>")
}

#[test]
fn leaving_gives_the_terminal_back() {
    let (_folder, file) = empty();
    let terminal = Terminal::start(on_file(&file));
    terminal.sees("No winter yet");
    terminal.until("the terminal is taken", taken);
    let (raw, screen) = terminal.leave();
    assert!(handed_back(&screen));
    let raw = String::from_utf8(raw).unwrap();
    for (on, off) in [
        ("\x1b[?1049h", "\x1b[?1049l"),
        ("\x1b[?1000h", "\x1b[?1000l"),
        ("\x1b[?1006h", "\x1b[?1006l"),
        ("\x1b[?2004h", "\x1b[?2004l"),
        ("\x1b[?25l", "\x1b[?25h"),
    ] {
        assert!(raw.rfind(on).unwrap() < raw.rfind(off).unwrap(), "{off:?}");
    }
    assert!(!raw.contains("panicked"));
}

#[test]
fn stopped_by_a_key_the_shell_has_the_terminal_until_it_is_continued() {
    let (_folder, file) = empty();
    counting(&file).leave();
    // a shell that runs jobs, as a person has it
    let mut command = portable_pty::CommandBuilder::new("sh");
    command.args(["-i"]);
    command.env("PS1", "shell> ");
    command.env("ENV", "");
    command.env("TERM", "xterm-256color");
    command.env_remove("NO_COLOR");
    let mut terminal = Terminal::start(command);
    terminal.sees("shell> ");
    let program = env!("CARGO_BIN_EXE_thirdwood");
    terminal.type_keys(&format!("{program} --data {}\r", file.display()));
    terminal.until("the terminal is taken", taken);
    terminal.type_and_see(F3, "River, row 1, tree");
    terminal.type_and_see("12", "this tree: 2 pieces");
    for taps in 3..=4 {
        terminal.type_keys("\x1a");
        terminal.until("the shell has the terminal", shell_asks);
        // it is the shell that answers now
        terminal.type_and_see(
            &format!("echo $(({taps} + 1000))\r"),
            &format!("{}", taps + 1000),
        );
        assert!(handed_back(&terminal.screen()));
        terminal.type_keys("fg\r");
        terminal.until("the terminal is taken again", taken);
        terminal.sees(&format!("this tree: {} pieces", taps - 1));
        terminal.type_and_see("1", &format!("this tree: {taps} pieces"));
    }
    // in a form, and with the window too small, too
    terminal.type_and_see("5", "Ctrl-S");
    terminal.type_keys("\x1a");
    terminal.until("the shell has the terminal", shell_asks);
    terminal.resize(40, 10);
    terminal.type_keys("fg\r");
    terminal.sees("40 x 10 is too small");
    terminal.type_keys("\x1a");
    terminal.until("the shell has the terminal", shell_asks);
    terminal.resize(80, 24);
    terminal.type_keys("fg\r");
    terminal.until("the terminal is taken again", taken);
    terminal.sees("Ctrl-S");
    // it is drawn anew, and a key right behind Esc would be one key with it
    std::thread::sleep(std::time::Duration::from_millis(300));
    terminal.type_keys(ESC);
    terminal.until("the form is closed", |screen| {
        let shown = screen.contents();
        shown.contains("CLOSE") && !shown.contains("Ctrl-S")
    });
    terminal.type_and_see("4", "this tree: 5 pieces");
    terminal.type_keys("\x11");
    terminal.until("the shell has the terminal", shell_asks);
    terminal.type_keys("exit\r");
    terminal.ends();
    assert!(asked(&file, &["check"]).contains("1 count, 5 taps\nall is well"));
}

#[test]
fn with_no_shell_above_it_the_key_does_not_stop_it_for_good() {
    let (_folder, file) = empty();
    let mut terminal = counting(&file);
    terminal.type_and_see("\x1a", "no shell here");
    terminal.type_and_see("1", "this tree: 1 piece");
    terminal.leave();
}

#[test]
fn stopped_from_outside_the_terminal_is_handed_back_and_taken_again() {
    let (_folder, file) = empty();
    let mut terminal = counting(&file);
    terminal.type_and_see("12", "this tree: 2 pieces");
    terminal.signal("TSTP");
    terminal.until("the terminal is handed back", handed_back);
    terminal.stands_still();
    terminal.signal("CONT");
    terminal.until("the terminal is taken again", taken);
    terminal.sees("this tree: 2 pieces");
    terminal.sees("F1 help");
    terminal.touch("three-year");
    terminal.sees("this tree: 3 pieces");
    terminal.leave();
}

#[test]
fn every_way_out_is_a_good_one() {
    let (_folder, file) = empty();
    let mut terminal = Terminal::start(on_file(&file));
    terminal.sees("No winter yet");
    terminal.type_keys("q");
    assert_eq!(terminal.ends().0.exit_code(), 0);
    // from within a form, too
    let mut terminal = Terminal::start(on_file(&file));
    terminal.sees("No winter yet");
    terminal.type_and_see("n", "New winter");
    terminal.leave();
}

/// Signals that end a program, with what the system calls them.
const ENDING: [(&str, &str); 10] = [
    ("TERM", "Terminated"),
    ("INT", "Interrupt"),
    ("HUP", "Hangup"),
    ("QUIT", "Quit"),
    ("ALRM", "Alarm clock"),
    ("VTALRM", "Virtual timer expired"),
    ("PROF", "Profiling timer expired"),
    ("XCPU", "CPU time limit exceeded"),
    ("USR1", "User defined signal 1"),
    ("USR2", "User defined signal 2"),
];

/// Ends the program by a signal: it must hand the terminal back, with all its modes, and then end by that same signal.
#[track_caller]
fn ended_by(mut terminal: Terminal, (name, told): (&str, &str)) {
    assert!(terminal.is_raw(), "{name}: the terminal is not taken");
    terminal.signal(name);
    let (status, _, screen) = terminal.ends();
    assert_eq!(status.signal(), Some(told), "{name}: {status:?}");
    assert!(handed_back(&screen), "{name}: {}", screen.contents());
    assert!(!terminal.is_raw(), "{name}: the terminal is left raw");
}

#[test]
fn ended_from_outside_the_terminal_is_handed_back() {
    let (_folder, file) = empty();
    counting(&file).leave();
    for (taps, signal) in (1..).zip(ENDING) {
        let mut terminal = Terminal::start(on_file(&file));
        terminal.sees("drawn trees to go");
        terminal.type_and_see(F3, "River, row 1, tree");
        let piece = if taps == 1 { "piece" } else { "pieces" };
        terminal.type_and_see("1", &format!("this tree: {taps} {piece}"));
        if taps % 2 == 0 {
            // a form is open, and something is typed in it
            terminal.type_and_see("5", "Ctrl-S");
            terminal.type_keys("x");
        }
        ended_by(terminal, signal);
    }
    assert!(asked(&file, &["check"]).contains("1 count, 10 taps\nall is well"));
}

#[test]
fn a_file_that_may_not_grow_is_told_and_the_terminal_is_handed_back() {
    let (_folder, file) = empty();
    counting(&file).leave();
    let limited = format!(
        "ulimit -f 160; exec {} --data {}",
        env!("CARGO_BIN_EXE_thirdwood"),
        file.display()
    );
    let mut command = portable_pty::CommandBuilder::new("sh");
    command.args(["-c", &limited]);
    command.env("TERM", "xterm-256color");
    let mut terminal = Terminal::start(command);
    terminal.type_and_see(F3, "River, row 1, tree");
    let deadline = Instant::now() + pty::PATIENCE;
    while !terminal.text().contains("the file may not grow") {
        assert!(Instant::now() < deadline, "{}", terminal.text());
        terminal.type_keys("1");
        std::thread::sleep(Duration::from_millis(20));
    }
    terminal.type_keys("\x11");
    let (status, _, screen) = terminal.ends();
    assert_eq!(status.signal(), None, "{status:?}");
    assert!(handed_back(&screen) && !terminal.is_raw());
    assert!(asked(&file, &["check"]).contains("all is well"));
}

#[test]
fn ended_from_outside_while_it_is_stopped() {
    let (_folder, file) = empty();
    let mut terminal = counting(&file);
    terminal.type_and_see("1", "this tree: 1 piece");
    terminal.signal("TSTP");
    terminal.until("the terminal is handed back", handed_back);
    terminal.stands_still();
    terminal.signal("TERM");
    terminal.signal("CONT");
    let (status, _, screen) = terminal.ends();
    assert_eq!(status.signal(), Some("Terminated"));
    assert!(handed_back(&screen) && !terminal.is_raw());
}

#[test]
fn ended_from_outside_while_papers_are_written() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("orchard.db");
    let demo = Command::new(env!("CARGO_BIN_EXE_thirdwood"))
        .args(["demo", "--keep"])
        .arg(&file)
        .output()
        .unwrap();
    assert!(demo.status.success(), "{demo:?}");
    let papers = folder.path().join("papers");
    let mut terminal = Terminal::start(on_file(&file));
    terminal.sees("Fernhollow");
    terminal.type_and_see("\x10", "Write papers of today");
    // of every paper every format, which takes a while
    terminal.type_keys("every\revery\r");
    terminal.type_keys(&format!("{CLEAR_FIELD}{}\x13", papers.display()));
    terminal.until("papers are being written", |_| {
        std::fs::read_dir(&papers).is_ok_and(|mut files| files.next().is_some())
    });
    ended_by(terminal, ("TERM", "Terminated"));
    // what has a name is whole, and nothing half-written is left
    for entry in std::fs::read_dir(&papers).unwrap() {
        let name = entry.unwrap().file_name().into_string().unwrap();
        assert!(!name.contains(".part"), "{name}");
    }
}

#[test]
fn a_terminal_that_is_gone_ends_it() {
    let (_folder, file) = empty();
    let mut terminal = counting(&file);
    terminal.type_and_see("1", "this tree: 1 piece");
    let status = terminal.hang_up();
    assert_eq!(status.signal(), Some("Hangup"), "{status:?}");
    // one more was tapped on the way
    assert!(asked(&file, &["check"]).contains("1 count, 2 taps\nall is well"));
}
