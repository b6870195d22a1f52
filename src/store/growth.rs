//! A limit on how large a file may become, as a shell (`ulimit -f`) or a service sets it.
//!
//! Unheard, the system's signal ends the program in the midst of a write, without a word. Heard, the write fails, and
//! what failed is told as any failure is.

use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, OnceLock};

static MET: OnceLock<Arc<AtomicBool>> = OnceLock::new();

/// Hears the signal from now on.
pub fn bear_limit() {
    let met = MET.get_or_init(Arc::default);
    // where it cannot be heard, the system ends the program as it always did
    #[cfg(unix)]
    let _ = signal_hook::flag::register(signal_hook::consts::SIGXFSZ, Arc::clone(met));
    #[cfg(not(unix))]
    let _ = met;
}

/// Whether a write of this program met the limit. The database says of such a write only that it failed.
pub(super) fn limit_was_met() -> bool {
    MET.get().is_some_and(|met| met.load(Ordering::SeqCst))
}
