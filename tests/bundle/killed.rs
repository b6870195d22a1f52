//! A merge that is killed at a random moment leaves all or nothing.
#![cfg(unix)]

use std::io::{BufRead, BufReader, Write};
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha20Rng;
use thirdwood::demo::{LargeSpec, fill_large};
use thirdwood::exchange::bundle::{merge, write};
use thirdwood::store::Store;
use thirdwood::store::bundle::{Since, TakeIn};

use crate::device::{Device, folder};

const FILE: &str = "THIRDWOOD_MERGE_FILE";
const RUNS: usize = 40;

/// The child: takes the bundle beside its file in.
#[test]
fn merging_child() {
    let Ok(file) = std::env::var(FILE) else {
        return;
    };
    let file = Path::new(&file);
    let store = Store::open(file).unwrap();
    println!("begin");
    std::io::stdout().flush().unwrap();
    merge(
        &store,
        &[file.with_file_name("all.bundle")],
        TakeIn::default(),
        &mut |_| true,
    )
    .unwrap();
}

#[test]
fn a_killed_merge_leaves_all_or_nothing() {
    let source = Device::new(1);
    let spec = LargeSpec {
        winters: 1,
        blocks: 2,
        pruners: 5,
        counts_per_winter: 150,
        seed: 3,
    };
    fill_large(&source.store, spec).unwrap();
    let all = source.folder().join("all.bundle");
    write(&source.store, &Since::Beginning, &all).unwrap();
    let nothing = Device::new(2).dump();
    let whole = source.dump();
    // kills fall anywhere from the beginning to a little after the end of a merge, however busy the machine
    let began = Instant::now();
    let device = Device::in_folder(7, folder());
    let mut child = begin(&device, &all);
    child.wait().unwrap();
    assert_eq!(device.dump(), whole, "a merge that nobody kills");
    let longest = began.elapsed().as_micros() as u64 * 5 / 4;
    let mut random = ChaCha20Rng::seed_from_u64(5);
    let (mut kept, mut left) = (0, 0);
    for run in 0..RUNS {
        let device = Device::in_folder(7, folder());
        let mut child = begin(&device, &all);
        std::thread::sleep(Duration::from_micros(random.random_range(0..longest)));
        // SIGKILL: the process gets no chance to tidy up
        child.kill().unwrap();
        child.wait().unwrap();
        let found = device.dump();
        assert_eq!(
            device.store.check().unwrap().problems,
            Vec::<String>::new(),
            "run {run}"
        );
        if found == whole {
            kept += 1;
        } else {
            assert_eq!(found, nothing, "run {run}: neither all nor nothing");
            left += 1;
        }
    }
    println!("{RUNS} kills: {kept} merges kept whole, {left} left nothing");
    assert!(left > 0, "no kill came in time: the test has shown nothing");
}

/// Starts a child that merges, and waits until it has opened its file.
fn begin(device: &Device, bundle: &Path) -> Child {
    std::fs::copy(bundle, device.folder().join("all.bundle")).unwrap();
    let mut child = Command::new(std::env::current_exe().unwrap())
        .args(["--exact", "killed::merging_child", "--nocapture"])
        .env(FILE, device.path())
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    let lines = BufReader::new(child.stdout.take().unwrap()).lines();
    for line in lines.map_while(Result::ok) {
        if line.contains("begin") {
            break;
        }
    }
    child
}
