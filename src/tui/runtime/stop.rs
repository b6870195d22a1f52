//! Signals: stopped by the shell and continued, with the terminal handed back in between; and asked to end.

#[cfg(unix)]
mod unix {
    use std::io;
    use std::sync::Arc;
    use std::sync::atomic::{AtomicBool, AtomicI32, Ordering};
    use std::time::Duration;

    use signal_hook::consts::{
        SIGALRM, SIGCONT, SIGHUP, SIGINT, SIGPROF, SIGQUIT, SIGTERM, SIGTSTP, SIGUSR1, SIGUSR2,
        SIGVTALRM, SIGWINCH, SIGXCPU,
    };
    use signal_hook::iterator::Signals;
    use signal_hook::low_level::{emulate_default_handler, raise};

    /// How long the program has to end in good order. After that it is ended as it stands: what is on disk is whole.
    const PATIENCE: Duration = Duration::from_secs(5);

    /// What ends a program that does not listen, and leaves it time to hand the terminal back.
    const ENDING: [i32; 10] = [
        SIGHUP, SIGINT, SIGQUIT, SIGTERM, SIGALRM, SIGVTALRM, SIGPROF, SIGXCPU, SIGUSR1, SIGUSR2,
    ];

    /// Whether the program was asked from outside to stop or to end, or was continued.
    #[derive(Debug, Default)]
    pub struct Signalled {
        stop: Arc<AtomicBool>,
        go_on: Arc<AtomicBool>,
        /// The signal that asks for the end; 0 while there is none.
        end: Arc<AtomicI32>,
    }

    impl Signalled {
        /// Listens from now on until the program ends. What comes in also wakes whoever waits for the terminal, as a change
        /// of its size does. Where the program does not end in time, `at_last` is done before it is ended.
        pub fn listen(at_last: fn()) -> io::Result<Self> {
            let mut signals = Signals::new(ENDING.iter().chain(&[SIGTSTP, SIGCONT]))?;
            let heard = Self::default();
            let (stop, go_on) = (Arc::clone(&heard.stop), Arc::clone(&heard.go_on));
            let end = Arc::clone(&heard.end);
            std::thread::Builder::new()
                .name("signals".to_owned())
                .spawn(move || {
                    for signal in signals.forever() {
                        match signal {
                            SIGTSTP => stop.store(true, Ordering::SeqCst),
                            SIGCONT => go_on.store(true, Ordering::SeqCst),
                            _ if end.swap(signal, Ordering::SeqCst) == 0 => {
                                end_at_last(signal, at_last);
                            }
                            _ => {}
                        }
                        // where it cannot be raised, the flag is seen within a second all the same
                        let _ = raise(SIGWINCH);
                    }
                })?;
            Ok(heard)
        }

        /// The signal that asked for the end, if one did.
        pub fn to_end(&self) -> Option<i32> {
            Some(self.end.load(Ordering::SeqCst)).filter(|signal| *signal != 0)
        }

        /// Whether it was asked to stop since this was last called.
        pub fn to_stop(&self) -> bool {
            self.stop.swap(false, Ordering::SeqCst)
        }

        /// Whether it was continued since this was last called: a stop that could not be seen coming lies before.
        pub fn to_go_on(&self) -> bool {
            self.go_on.swap(false, Ordering::SeqCst)
        }
    }

    /// Sees to it that the program ends, also where it is in the midst of something long or its terminal takes no more.
    fn end_at_last(signal: i32, at_last: fn()) {
        std::thread::spawn(move || {
            std::thread::sleep(PATIENCE);
            at_last();
            end_by(signal);
        });
    }

    /// Ends the program as this signal does where nobody listens: whoever started it sees by what it ended.
    pub fn end_by(signal: i32) -> ! {
        // where that cannot be, the exit code says it as shells do
        let _ = emulate_default_handler(signal);
        std::process::exit(128 + signal)
    }

    /// Stops; returns once the program is continued.
    pub fn stop() -> io::Result<()> {
        emulate_default_handler(SIGTSTP)
    }

    /// Whether a shell can continue what stops itself by a key. The first process of a session has none above it: it
    /// would stand still for good.
    pub fn can_be_continued() -> bool {
        let told = std::fs::read_to_string("/proc/self/stat").ok();
        // number (name) state parent group session …; the name may hold anything
        let session = told.and_then(|told| {
            let (_, rest) = told.rsplit_once(')')?;
            rest.split_whitespace().nth(3)?.parse::<u32>().ok()
        });
        session != Some(std::process::id())
    }
}

#[cfg(not(unix))]
mod other {
    use std::io;

    /// Nobody asks here.
    #[derive(Debug)]
    pub struct Signalled;

    impl Signalled {
        /// Nothing to listen to.
        pub fn listen(_at_last: fn()) -> io::Result<Self> {
            Ok(Self)
        }

        /// Never.
        pub fn to_stop(&self) -> bool {
            false
        }

        /// Never.
        pub fn to_go_on(&self) -> bool {
            false
        }

        /// Never.
        pub fn to_end(&self) -> Option<i32> {
            None
        }
    }

    /// Ends with a code that tells of the signal.
    pub fn end_by(signal: i32) -> ! {
        std::process::exit(128 + signal)
    }

    /// Does not stop.
    pub fn stop() -> io::Result<()> {
        Ok(())
    }

    /// No.
    pub fn can_be_continued() -> bool {
        false
    }
}

#[cfg(not(unix))]
pub use other::{Signalled, can_be_continued, end_by, stop};
#[cfg(unix)]
pub use unix::{Signalled, can_be_continued, end_by, stop};
