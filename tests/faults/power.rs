//! A power cut: of what the disk was told, only what was synced is sure to be there. Writes after that may be
//! missing, half done, or done in another order.

use std::collections::BTreeMap;
use std::path::Path;

use rand::seq::SliceRandom;
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha20Rng;
use rusqlite::Connection;
use thirdwood::orchard::{CountId, Tap};
use thirdwood::store::Store;

use crate::common::Small;
use crate::world::{House, counted, script, taps, tell};

const TAPS: usize = 40;
/// Bytes before the frames of a log, and before the page in each: the `SQLite` file format, "WAL File Format".
const HEAD: usize = 32;
const FRAME: usize = 24 + 4096;

/// What the disk held: the file, and the log with its length after each tap.
struct Disk {
    file: Vec<u8>,
    log: Vec<u8>,
    /// Length of the log when tap 0, 1, 2 ... was acknowledged.
    synced: Vec<usize>,
    small: Small,
    begun: usize,
}

/// Counts one tree, tap by tap.
fn count() -> (Disk, House, Store) {
    let (template, small) = counted(3);
    let house = House::copy_of(&template.file);
    let store = house.store();
    let log = house.folder.path().join("orchard.db-wal");
    let length = |log: &Path| std::fs::metadata(log).map_or(0, |about| about.len() as usize);
    let begun = taps(&store, &small).len();
    let count = store
        .counts(thirdwood::store::CountFilter::Winter(small.winter.id))
        .unwrap();
    let open: CountId = count.last().unwrap().id;
    let file = std::fs::read(&house.file).unwrap();
    store.close_count(open, false).unwrap();
    let mut synced = vec![length(&log)];
    for tap in script().take(TAPS) {
        store.tap(open, None, tap).unwrap();
        synced.push(length(&log));
    }
    let log = std::fs::read(log).unwrap();
    let disk = Disk {
        file,
        log,
        synced,
        small,
        begun,
    };
    (disk, house, store)
}

impl Disk {
    /// How many taps were synced when the log was so long.
    fn acknowledged(&self, length: usize) -> usize {
        self.synced
            .iter()
            .rposition(|synced| *synced <= length)
            .unwrap_or(0)
    }

    /// Opens what is left after the cut; gives how many of the taps are there, which are the first ones.
    fn open(&self, file: &[u8], log: &[u8], what: &str) -> usize {
        let house = House::empty();
        std::fs::write(&house.file, file).unwrap();
        std::fs::write(house.folder.path().join("orchard.db-wal"), log).unwrap();
        let store = Store::open(&house.file).unwrap_or_else(|e| panic!("{what}: {e}"));
        store.vouch().unwrap_or_else(|e| panic!("{what}: {e}"));
        let kept = taps(&store, &self.small).len() - self.begun;
        let wanted: Vec<Tap> = script().take(kept).collect();
        let all = taps(&store, &self.small);
        assert_eq!(all[all.len() - kept..], wanted, "{what}");
        kept
    }
}

#[test]
fn the_log_is_cut_off_at_every_frame_and_anywhere() {
    let (disk, ..) = count();
    let frames = (disk.log.len() - HEAD) / FRAME;
    assert!(frames >= TAPS, "{frames}");
    let mut random = ChaCha20Rng::seed_from_u64(1);
    let ends = (0..=frames).map(|frame| HEAD + frame * FRAME);
    let anywhere: Vec<usize> = (0..150)
        .map(|_| random.random_range(0..disk.log.len()))
        .collect();
    let mut runs = 0;
    for cut in ends.chain(anywhere) {
        let kept = disk.open(&disk.file, &disk.log[..cut], &format!("cut at {cut}"));
        assert_eq!(kept, disk.acknowledged(cut), "cut at {cut}");
        runs += 1;
    }
    tell(&format!(
        "power cut: {runs} logs cut off, {frames} of them at a frame's end: all that was synced is there"
    ));
}

#[test]
fn what_was_written_after_the_last_sync_is_lost_mixed_up_or_garbage() {
    let (disk, ..) = count();
    let mut random = ChaCha20Rng::seed_from_u64(2);
    let mut kinds: BTreeMap<&str, usize> = BTreeMap::new();
    for run in 0..300 {
        let synced = random.random_range(0..TAPS);
        let from = disk.synced[synced].max(HEAD);
        let mut log = disk.log.clone();
        let kind = spoil(&mut log, from, run, &mut random);
        let kept = disk.open(
            &disk.file,
            &log,
            &format!("run {run}: {kind} after tap {synced}"),
        );
        assert!(
            kept >= synced,
            "run {run}: {kind}: {synced} were synced, {kept} are there"
        );
        *kinds.entry(kind).or_default() += 1;
    }
    tell(&format!(
        "power cut: 300 logs spoilt after their last sync {kinds:?}: all that was synced is there"
    ));
}

/// Spoils a log from a frame's end on.
fn spoil(log: &mut Vec<u8>, from: usize, run: usize, random: &mut ChaCha20Rng) -> &'static str {
    let frames = (log.len() - from) / FRAME;
    let place = |frame: usize| from + frame * FRAME;
    match run % 4 {
        0 => {
            let at = random.random_range(from..log.len());
            random.fill(&mut log[at..]);
            "garbage"
        }
        1 => {
            // a frame that never reached the disk: those behind it did
            let frame = random.random_range(0..frames);
            log[place(frame)..place(frame) + FRAME].fill(0);
            "a frame dropped"
        }
        2 => {
            let tail = log.split_off(from);
            let mut parts: Vec<&[u8]> = tail.chunks(FRAME).collect();
            parts.shuffle(random);
            log.extend(parts.concat());
            "frames in another order"
        }
        _ => {
            // sectors of the tail, some written and some not
            for sector in log[from..].chunks_mut(512) {
                if random.random_range(0..2) == 0 {
                    sector.fill(0);
                }
            }
            "sectors dropped"
        }
    }
}

/// Pages go from the log into the file, unsynced and in any order; the log stays until they are synced.
#[test]
fn the_cut_comes_while_the_log_goes_into_the_file() {
    let (disk, house, store) = count();
    let conn = Connection::open(&house.file).unwrap();
    let _: i64 = conn
        .query_row("PRAGMA wal_checkpoint(PASSIVE)", [], |row| row.get(0))
        .unwrap();
    let after = std::fs::read(&house.file).unwrap();
    drop((conn, store));
    assert_ne!(after, disk.file, "nothing went into the file");
    let mut random = ChaCha20Rng::seed_from_u64(3);
    for run in 0..100 {
        let mut mixed = after.clone();
        for (page, old) in disk.file.chunks(4096).enumerate() {
            if random.random_range(0..2) == 0 {
                mixed[page * 4096..page * 4096 + old.len()].copy_from_slice(old);
            }
        }
        let kept = disk.open(&mixed, &disk.log, &format!("mix {run}"));
        assert_eq!(kept, TAPS, "mix {run}");
    }
    tell("power cut: 100 files with pages of before and after, the log whole: all is there");
}
