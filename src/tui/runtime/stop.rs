//! Stopped by the shell and continued: the terminal is handed back in between.

#[cfg(unix)]
mod unix {
    use std::io;
    use std::sync::Arc;
    use std::sync::atomic::{AtomicBool, Ordering};

    use signal_hook::consts::{SIGCONT, SIGTSTP, SIGWINCH};
    use signal_hook::iterator::{Handle, Signals};
    use signal_hook::low_level::{emulate_default_handler, raise};

    /// Whether the program was asked from outside to stop, or was continued.
    #[derive(Debug)]
    pub struct Signalled {
        stop: Arc<AtomicBool>,
        go_on: Arc<AtomicBool>,
        listening: Handle,
    }

    impl Signalled {
        /// Listens from now on. What comes in also wakes whoever waits for the terminal, as a change of its size does.
        pub fn listen() -> io::Result<Self> {
            let mut signals = Signals::new([SIGTSTP, SIGCONT])?;
            let heard = Self {
                stop: Arc::default(),
                go_on: Arc::default(),
                listening: signals.handle(),
            };
            let (stop, go_on) = (Arc::clone(&heard.stop), Arc::clone(&heard.go_on));
            std::thread::Builder::new()
                .name("signals".to_owned())
                .spawn(move || {
                    for signal in signals.forever() {
                        let flag = if signal == SIGTSTP { &stop } else { &go_on };
                        flag.store(true, Ordering::SeqCst);
                        // where it cannot be raised, the flag is seen within a second all the same
                        let _ = raise(SIGWINCH);
                    }
                })?;
            Ok(heard)
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

    impl Drop for Signalled {
        fn drop(&mut self) {
            self.listening.close();
        }
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
        pub fn listen() -> io::Result<Self> {
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
pub use other::{Signalled, can_be_continued, stop};
#[cfg(unix)]
pub use unix::{Signalled, can_be_continued, stop};
