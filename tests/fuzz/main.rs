//! Hostile input: whatever bytes come, nothing panics, nothing is half kept, and nothing steers the terminal.
//!
//! What a target does stands in `targets/`; the coverage-guided fuzzer in `fuzz/` runs the same. Here the kept corpus is
//! replayed, and mutated by a generator whose stream is fixed. `FUZZ_RUNS=100000 cargo test --test fuzz` runs longer.
#![cfg(unix)]

mod begin;
mod bounds;
mod mutate;
mod targets;

use std::io::Write as _;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::{Path, PathBuf};
use std::time::Instant;

use rand::SeedableRng;
use rand_chacha::ChaCha20Rng;

/// The most that the kept corpus may take, bytes.
const CORPUS: u64 = 300 << 10;

/// Says how many runs there were, also where the test harness keeps what tests print to itself.
fn tell(words: &str) {
    let _ = writeln!(std::io::stderr(), "fuzz: {words}");
}

fn corpus_of(target: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("fuzz/corpus")
        .join(target)
}

/// The kept inputs of a target, in the order of their names.
fn kept(target: &str) -> Vec<Vec<u8>> {
    let mut paths: Vec<PathBuf> = std::fs::read_dir(corpus_of(target))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .collect();
    paths.sort();
    paths
        .iter()
        .map(|path| std::fs::read(path).unwrap())
        .collect()
}

/// Runs one input; where it fails, keeps it where it can be found.
fn run(target: &str, input: &[u8]) {
    if catch_unwind(AssertUnwindSafe(|| targets::run(target, input))).is_ok() {
        return;
    }
    let path = Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("fuzz-{target}"));
    std::fs::write(&path, input).unwrap();
    panic!(
        "{target} failed on {}: {:?}",
        path.display(),
        String::from_utf8_lossy(input)
    );
}

/// Replays the corpus, and then so many mutations of it.
fn replay_and_mutate(target: &str, runs: usize) {
    let began = Instant::now();
    let inputs: Vec<Vec<u8>> = begin::inputs(target)
        .into_iter()
        .chain(kept(target))
        .collect();
    assert!(!inputs.is_empty());
    for input in &inputs {
        run(target, input);
    }
    let runs = match std::env::var("FUZZ_RUNS") {
        Ok(asked) => asked.parse().unwrap(),
        Err(_) => runs,
    };
    let mut random = ChaCha20Rng::seed_from_u64(20_270_112);
    for _ in 0..runs {
        run(target, &mutate::one(&mut random, &inputs));
    }
    let taken = targets::kept();
    assert!(taken > 0, "{target}: all was refused: nothing was shown");
    tell(&format!(
        "{target}: {} inputs and {runs} mutations in {:.1?}; {taken} were taken in",
        inputs.len(),
        began.elapsed()
    ));
}

#[test]
fn tables() {
    replay_and_mutate("tables", 2_000);
}

#[test]
fn bundles() {
    replay_and_mutate("bundles", 1_000);
}

#[test]
fn arguments() {
    replay_and_mutate("arguments", 1_500);
}

#[test]
fn forms() {
    replay_and_mutate("forms", 600);
}

#[test]
fn screens() {
    replay_and_mutate("screens", 500);
}

#[test]
fn the_corpus_is_small_and_each_target_has_its_fuzzer() {
    let manifest = include_str!("../../fuzz/Cargo.toml");
    let mut bytes = 0;
    for target in &targets::TARGETS {
        assert!(
            manifest.contains(&format!("name = \"{}\"", target.name)),
            "{}",
            target.name
        );
        bytes += kept(target.name)
            .iter()
            .map(|input| input.len() as u64)
            .sum::<u64>();
    }
    assert!(bytes < CORPUS, "{bytes} bytes are kept");
    tell(&format!("the corpus holds {bytes} bytes"));
}

/// Where the coverage-guided fuzzer begins: `cargo test --test fuzz begin -- --ignored`.
#[test]
#[ignore = "writes the first inputs into fuzz/corpus"]
fn begin_a_corpus() {
    for target in &targets::TARGETS {
        std::fs::create_dir_all(corpus_of(target.name)).unwrap();
        for (input, nr) in begin::inputs(target.name).iter().zip(0..) {
            std::fs::write(corpus_of(target.name).join(format!("begin-{nr:02}")), input).unwrap();
        }
    }
}
