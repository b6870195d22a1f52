//! A real pseudo-terminal with the built program in it.

use std::io::{Read, Write};
use std::num::NonZeroU16;
use std::path::Path;
use std::sync::{Arc, Condvar, Mutex, MutexGuard};
use std::time::{Duration, Instant};

use portable_pty::{Child, CommandBuilder, ExitStatus, MasterPty, PtySize, native_pty_system};

/// How long to wait for something to be shown before the test fails.
pub const PATIENCE: Duration = Duration::from_secs(120);

/// What came out of the program so far.
struct Seen {
    parser: vt100::Parser,
    raw: Vec<u8>,
    ended: bool,
    /// The terminal is to be taken away.
    hung_up: bool,
}

/// The terminal, and the program in it.
pub struct Terminal {
    master: Box<dyn MasterPty + Send>,
    writer: Box<dyn Write + Send>,
    child: Box<dyn Child + Send + Sync>,
    /// How the terminal gives keys on before a program takes it over.
    cooked: String,
    seen: Arc<(Mutex<Seen>, Condvar)>,
}

/// The program on a file, not started yet. Nothing of the tester's own settings reaches it.
pub fn program(args: &[&str]) -> CommandBuilder {
    let mut command = CommandBuilder::new(env!("CARGO_BIN_EXE_thirdwood"));
    command.args(args);
    command.env("TERM", "xterm-256color");
    for name in ["NO_COLOR", "COLORTERM", "THIRDWOOD_DATA"] {
        command.env_remove(name);
    }
    command
}

/// The program with its screens on this file.
pub fn on_file(file: &Path) -> CommandBuilder {
    program(&["--data", file.to_str().unwrap()])
}

fn size(columns: u16, lines: u16) -> PtySize {
    PtySize {
        rows: lines,
        cols: columns,
        ..PtySize::default()
    }
}

impl Terminal {
    /// Starts a program in a terminal of 80 columns and 24 lines.
    pub fn start(command: CommandBuilder) -> Self {
        let pair = native_pty_system().openpty(size(80, 24)).unwrap();
        let cooked = gives_keys(&*pair.master);
        let child = pair.slave.spawn_command(command).unwrap();
        // the last hand on this side of the terminal must be the program's, or its end is not seen
        drop(pair.slave);
        let seen = Arc::new((
            Mutex::new(Seen {
                parser: vt100::Parser::new(whole(24), whole(80), 0),
                raw: Vec::new(),
                ended: false,
                hung_up: false,
            }),
            Condvar::new(),
        ));
        let reader = pair.master.try_clone_reader().unwrap();
        std::thread::spawn({
            let seen = Arc::clone(&seen);
            move || read(reader, &seen)
        });
        Self {
            writer: pair.master.take_writer().unwrap(),
            master: pair.master,
            child,
            cooked,
            seen,
        }
    }

    fn seen(&self) -> MutexGuard<'_, Seen> {
        self.seen.0.lock().unwrap()
    }

    /// Waits until the screen is as wanted; fails with what it shows where it is not in time.
    #[track_caller]
    pub fn until(&self, what: &str, wanted: impl Fn(&vt100::Screen) -> bool) {
        let deadline = Instant::now() + PATIENCE;
        let mut seen = self.seen();
        while !wanted(seen.parser.screen()) {
            let left = deadline.saturating_duration_since(Instant::now());
            if left.is_zero() || seen.ended {
                let (shown, ended) = (seen.parser.screen().contents(), seen.ended);
                // the reading thread goes on
                drop(seen);
                panic!("{what}: not shown (ended: {ended}); the screen is\n{shown}");
            }
            seen = self.seen.1.wait_timeout(seen, left).unwrap().0;
        }
    }

    /// Waits until a text is on the screen.
    #[track_caller]
    pub fn sees(&self, text: &str) {
        self.until(text, |screen| screen.contents().contains(text));
    }

    /// Types, and waits until a text is on the screen.
    #[track_caller]
    pub fn type_and_see(&mut self, keys: &str, text: &str) {
        self.type_keys(keys);
        self.sees(text);
    }

    /// Types.
    pub fn type_keys(&mut self, keys: &str) {
        self.writer.write_all(keys.as_bytes()).unwrap();
        self.writer.flush().unwrap();
    }

    /// A touch: pressed and let go at the middle of where a text stands.
    #[track_caller]
    pub fn touch(&mut self, text: &str) {
        self.sees(text);
        let (column, line) = place_of(self.seen().parser.screen(), text).unwrap();
        let middle = column + text.chars().count() / 2;
        let (x, y) = (middle + 1, line + 1);
        self.type_keys(&format!("\x1b[<0;{x};{y}M\x1b[<0;{x};{y}m"));
    }

    /// Gives the window another size.
    pub fn resize(&mut self, columns: u16, lines: u16) {
        let mut seen = self.seen();
        seen.parser.set_size(whole(lines), whole(columns));
        // what is on the screen from here on was drawn for the new size
        seen.parser.process(b"\x1b[2J");
        self.master.resize(size(columns, lines)).unwrap();
    }

    /// The screen as it is.
    pub fn screen(&self) -> vt100::Screen {
        self.seen().parser.screen().clone()
    }

    /// The text of the screen.
    pub fn text(&self) -> String {
        self.seen().parser.screen().contents()
    }

    /// Sends the program a signal, by its name.
    pub fn signal(&self, name: &str) {
        let pid = self.child.process_id().unwrap();
        let sent = std::process::Command::new("sh")
            .args(["-c", &format!("kill -{name} {pid}")])
            .status()
            .unwrap();
        assert!(sent.success());
    }

    /// Waits until the program stands still.
    pub fn stands_still(&self) {
        until_stopped(self.child.process_id().unwrap());
    }

    /// Ends the program as a power cut would: it gets no chance to tidy up.
    pub fn kill(mut self) {
        self.signal("KILL");
        let status = self.child.wait().unwrap();
        assert!(!status.success(), "{status:?}");
    }

    /// Waits for the program's end; gives how it ended, the bytes it wrote, and the modes it left.
    pub fn ends(&mut self) -> (ExitStatus, Vec<u8>, vt100::Screen) {
        self.until_ended();
        let seen = self.seen();
        let (raw, screen) = (seen.raw.clone(), seen.parser.screen().clone());
        drop(seen);
        (self.child.wait().unwrap(), raw, screen)
    }

    /// Waits until nothing more is to be read.
    fn until_ended(&self) {
        let deadline = Instant::now() + PATIENCE;
        let mut seen = self.seen();
        while !seen.ended {
            let left = deadline.saturating_duration_since(Instant::now());
            if left.is_zero() {
                let shown = seen.parser.screen().contents();
                drop(seen);
                panic!("the program goes on; it shows\n{shown}");
            }
            seen = self.seen.1.wait_timeout(seen, left).unwrap().0;
        }
    }

    /// Whether keys reach the program one by one, as it wants them and a shell does not.
    pub fn is_raw(&self) -> bool {
        gives_keys(&*self.master) != self.cooked
    }

    /// Takes the terminal away, as a window that is closed or a line that breaks off does. Gives how the program ended.
    pub fn hang_up(&mut self) -> ExitStatus {
        self.seen().hung_up = true;
        // what it draws now is the last that is read
        self.type_keys("1");
        self.until_ended();
        let other = native_pty_system().openpty(size(80, 24)).unwrap();
        self.writer = other.master.take_writer().unwrap();
        self.master = other.master;
        let deadline = Instant::now() + PATIENCE;
        loop {
            if let Some(status) = self.child.try_wait().unwrap() {
                return status;
            }
            assert!(Instant::now() < deadline, "it goes on without a terminal");
            std::thread::sleep(Duration::from_millis(10));
        }
    }

    /// Leaves by its key and waits for the end, which must be a good one.
    pub fn leave(mut self) -> (Vec<u8>, vt100::Screen) {
        self.type_keys("\x11");
        let (status, raw, screen) = self.ends();
        assert_eq!(status.exit_code(), 0, "{}", screen.contents());
        (raw, screen)
    }
}

impl Drop for Terminal {
    /// A test that failed leaves no program behind.
    fn drop(&mut self) {
        // one that has ended is not to be signalled: its number may be another's by now
        if let Ok(None) = self.child.try_wait() {
            let _ = self.child.kill();
        }
    }
}

/// Waits until the process of this number is stopped.
pub fn until_stopped(pid: u32) {
    let deadline = Instant::now() + PATIENCE;
    while !state(pid).starts_with('T') {
        assert!(Instant::now() < deadline, "{pid} goes on: {}", state(pid));
        std::thread::sleep(Duration::from_millis(2));
    }
}

fn state(pid: u32) -> String {
    let told = std::process::Command::new("ps")
        .args(["-o", "stat=", "-p", &pid.to_string()])
        .output()
        .unwrap();
    String::from_utf8_lossy(&told.stdout).trim().to_owned()
}

/// How a terminal gives keys on.
fn gives_keys(master: &dyn MasterPty) -> String {
    let modes = master.get_termios().expect("modes of the terminal");
    format!("{:?} {:?}", modes.input_flags, modes.local_flags)
}

fn whole(cells: u16) -> NonZeroU16 {
    NonZeroU16::new(cells).unwrap()
}

fn read(mut reader: Box<dyn Read + Send>, seen: &(Mutex<Seen>, Condvar)) {
    let mut bytes = [0; 4096];
    loop {
        let read = reader.read(&mut bytes);
        let mut now = seen.0.lock().unwrap();
        match read {
            Ok(length @ 1..) => {
                now.parser.process(&bytes[..length]);
                now.raw.extend_from_slice(&bytes[..length]);
            }
            // Linux reports an error once the program has gone
            Ok(0) | Err(_) => now.ended = true,
        }
        now.ended |= now.hung_up;
        let ended = now.ended;
        drop(now);
        if ended {
            // whoever waits for the end may count on it that this hand on the terminal is gone
            drop(reader);
            seen.1.notify_all();
            return;
        }
        seen.1.notify_all();
    }
}

/// Column and line of a text on the screen.
fn place_of(screen: &vt100::Screen, text: &str) -> Option<(usize, usize)> {
    let (_, columns) = screen.size();
    let lines = screen.rows(0, columns.get());
    lines.enumerate().find_map(|(line, shown)| {
        let at = shown.find(text)?;
        Some((shown[..at].chars().count(), line))
    })
}
