//! What several parts share.

use std::time::{Duration, Instant};

use thirdwood::demo::LargeSpec;

/// 30 blocks, 40 pruners.
pub fn winters_of(winters: u16, counts_per_winter: usize) -> LargeSpec {
    LargeSpec {
        winters,
        blocks: 30,
        pruners: 40,
        counts_per_winter,
        seed: 1,
    }
}

pub fn timed<T>(make: impl FnOnce() -> T) -> (T, Duration) {
    let began = Instant::now();
    let made = make();
    (made, began.elapsed())
}

pub fn ms(time: Duration) -> f64 {
    time.as_secs_f64() * 1_000.0
}

/// The value below which `share` of the times lie.
pub fn quantile(times: &[Duration], share: f64) -> Duration {
    let mut sorted = times.to_vec();
    sorted.sort();
    sorted[((sorted.len() as f64 * share) as usize).min(sorted.len() - 1)]
}

/// The middle of the times.
pub fn median(times: &[Duration]) -> Duration {
    quantile(times, 0.5)
}

/// A folder on the disk of the build.
pub fn folder() -> tempfile::TempDir {
    tempfile::tempdir_in(env!("CARGO_TARGET_TMPDIR")).unwrap()
}

/// The peak of memory is that from here on.
pub fn forget_peak() {
    let _ = std::fs::write("/proc/self/clear_refs", "5");
}

/// A line of what the system knows of this process, MiB; 0 where it does not tell.
pub fn held(name: &str) -> usize {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = status.lines().find(|line| line.starts_with(name));
    let kib = line.and_then(|line| line.split_whitespace().nth(1)?.parse::<usize>().ok());
    kib.unwrap_or(0) / 1_024
}
