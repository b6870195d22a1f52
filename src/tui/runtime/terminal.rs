//! Taking the terminal over, and giving it back on every way out.

use std::io::{self, IsTerminal, Stdout, Write};
use std::mem::ManuallyDrop;
use std::sync::{Once, mpsc};
use std::time::Duration;

use crossterm::cursor::Show;
use crossterm::event::{
    DisableBracketedPaste, DisableMouseCapture, EnableBracketedPaste, EnableMouseCapture,
};
use crossterm::execute;
use crossterm::terminal::{
    Clear, ClearType, EnterAlternateScreen, LeaveAlternateScreen, disable_raw_mode, enable_raw_mode,
};
use ratatui::Terminal;
use ratatui::backend::CrosstermBackend;

/// The terminal, taken over. Dropping it gives the terminal back.
///
/// The library's own hand on it is never dropped: it would tell on standard error that it cannot show the cursor of a
/// terminal that is gone, and that fails.
#[derive(Debug)]
pub struct Taken(ManuallyDrop<Terminal<CrosstermBackend<Stdout>>>);

/// Whether there is a terminal to draw on and to read keys from.
pub fn is_there() -> bool {
    io::stdin().is_terminal() && io::stdout().is_terminal()
}

impl Taken {
    /// Takes the terminal over.
    pub fn take() -> io::Result<Self> {
        restore_on_panic();
        let taken = set_modes().and_then(|()| Terminal::new(CrosstermBackend::new(io::stdout())));
        match taken {
            Ok(terminal) => Ok(Self(ManuallyDrop::new(terminal))),
            Err(e) => {
                give_back();
                Err(e)
            }
        }
    }

    /// Hands the terminal back, stands still until the program is continued, and takes it over again.
    pub fn stop(&mut self) -> io::Result<()> {
        give_back();
        super::stop::stop()?;
        self.again()
    }

    /// Takes the terminal over again, whatever became of it meanwhile; all of it is drawn anew.
    pub fn again(&mut self) -> io::Result<()> {
        // so that the modes are set and not only thought to be
        let _ = disable_raw_mode();
        set_modes()?;
        execute!(io::stdout(), Clear(ClearType::All))?;
        // a new one knows of nothing that is on the screen, and asks the terminal nothing
        self.0 = ManuallyDrop::new(Terminal::new(CrosstermBackend::new(io::stdout()))?);
        Ok(())
    }
}

impl std::ops::Deref for Taken {
    type Target = Terminal<CrosstermBackend<Stdout>>;
    fn deref(&self) -> &Self::Target {
        &self.0
    }
}

impl std::ops::DerefMut for Taken {
    fn deref_mut(&mut self) -> &mut Self::Target {
        &mut self.0
    }
}

impl Drop for Taken {
    fn drop(&mut self) {
        give_back();
    }
}

fn set_modes() -> io::Result<()> {
    enable_raw_mode()?;
    execute!(
        io::stdout(),
        EnterAlternateScreen,
        EnableMouseCapture,
        EnableBracketedPaste
    )
}

/// Gives the terminal back, mode by mode: one that cannot be undone does not keep the others.
fn give_back() {
    let mut out = io::stdout();
    let _ = execute!(out, DisableBracketedPaste);
    let _ = execute!(out, DisableMouseCapture);
    let _ = execute!(out, LeaveAlternateScreen, Show);
    let _ = disable_raw_mode();
    let _ = out.flush();
}

/// Gives the terminal back from another thread, when the program is to end whatever the main one does: the mode first, and
/// then what has to be written, unless the terminal takes nothing any more.
pub(super) fn give_back_at_once() {
    let _ = disable_raw_mode();
    let (done, written) = mpsc::channel();
    std::thread::spawn(move || {
        give_back();
        let _ = done.send(());
    });
    let _ = written.recv_timeout(Duration::from_millis(500));
}

/// A panic gives the terminal back before it is told, so that it can be read.
fn restore_on_panic() {
    static ONCE: Once = Once::new();
    ONCE.call_once(|| {
        let tell = std::panic::take_hook();
        std::panic::set_hook(Box::new(move |panic| {
            // where another thread fails, the screens go on
            if std::thread::current().name() == Some("main") {
                give_back();
            }
            tell(panic);
        }));
    });
}
