//! Three tablets and one winter, merged in seconds.

use std::time::{Duration, Instant};

use thirdwood::demo::{LargeSpec, fill_large};
use thirdwood::exchange::bundle::{merge, read, write};
use thirdwood::orchard::*;
use thirdwood::store::CountFilter;
use thirdwood::store::bundle::{Since, TakeIn};

use crate::device::{Device, assert_same};

/// In the test's own build; far above what it takes, so that a busy machine does not fail it.
const ENOUGH: Duration = Duration::from_secs(120);

#[test]
fn three_tablets_and_a_winter() {
    let devices = [Device::new(1), Device::new(2), Device::new(3)];
    let spec = LargeSpec {
        winters: 1,
        blocks: 30,
        pruners: 40,
        counts_per_winter: 12_000,
        seed: 1,
    };
    fill_large(&devices[0].store, spec).unwrap();
    // two thirds of the counts are made on the other two tablets
    let winter = devices[0].store.winters().unwrap()[0].clone();
    let mut counts = devices[0]
        .store
        .counts(CountFilter::Winter(winter.id))
        .unwrap();
    let began = Instant::now();
    let path = devices[0].folder().join("all.bundle");
    let written = write(&devices[0].store, &Since::Beginning, &path).unwrap();
    println!(
        "a winter gathered and written: {} records, {} bytes, {:?}",
        written.records,
        written.bytes,
        began.elapsed()
    );
    for (device, part) in devices[1..].iter().zip([0, 1]) {
        let began = Instant::now();
        let mut told = 0;
        merge(
            &device.store,
            std::slice::from_ref(&path),
            TakeIn::default(),
            &mut |progress| {
                told = told.max(progress.done * 100 / progress.of.max(1));
                true
            },
        )
        .unwrap();
        println!(
            "the winter taken in by an empty tablet: {:?}, progress up to {told} %",
            began.elapsed()
        );
        device
            .store
            .atomically(|store| {
                counts
                    .iter_mut()
                    .enumerate()
                    .filter(|(at, _)| at % 3 == part)
                    .try_for_each(|(_, count)| {
                        count.id = CountId(uuid::Uuid::now_v7());
                        store.add_count(count)
                    })
            })
            .unwrap();
    }
    let began = Instant::now();
    let news: Vec<_> = devices[1..]
        .iter()
        .map(|device| {
            let path = device.folder().join("new.bundle");
            let known = Since::Known(devices[0].all().heads);
            write(&device.store, &known, &path).unwrap();
            path
        })
        .collect();
    println!(
        "8,000 new counts gathered and written on two tablets: {:?}",
        began.elapsed()
    );
    let began = Instant::now();
    merge(&devices[0].store, &news, TakeIn::default(), &mut |_| true).unwrap();
    println!("and taken in by the first: {:?}", began.elapsed());
    assert!(began.elapsed() < ENOUGH);
    assert_eq!(
        devices[0]
            .store
            .counts(CountFilter::Winter(winter.id))
            .unwrap()
            .len(),
        20_000
    );
    let began = Instant::now();
    devices[1].take(&devices[0].all());
    println!("and by the second what it lacked: {:?}", began.elapsed());
    assert_same(&devices[0], &devices[1], "a whole winter");
    assert_eq!(read(&news[0]).unwrap().sets.len(), 1);
}

/// `cargo test --release --test bundle ten_winters -- --ignored --nocapture`
#[test]
#[ignore = "a measurement"]
fn ten_winters_taken_in_by_an_empty_tablet() {
    let source = Device::in_folder(1, tempfile::tempdir().unwrap());
    let spec = LargeSpec {
        winters: 10,
        blocks: 30,
        pruners: 40,
        counts_per_winter: 12_000,
        seed: 1,
    };
    fill_large(&source.store, spec).unwrap();
    let all = source.folder().join("all.bundle");
    let began = Instant::now();
    let written = write(&source.store, &Since::Beginning, &all).unwrap();
    println!(
        "ten winters gathered and written: {} records, {} bytes, {:?}",
        written.records,
        written.bytes,
        began.elapsed()
    );
    let began = Instant::now();
    assert_eq!(read(&all).unwrap().changes.len(), written.records);
    println!("read and checked: {:?}", began.elapsed());
    let device = Device::in_folder(2, tempfile::tempdir().unwrap());
    for what in ["an empty tablet", "the same tablet again"] {
        let began = Instant::now();
        merge(
            &device.store,
            std::slice::from_ref(&all),
            TakeIn::default(),
            &mut |_| true,
        )
        .unwrap();
        println!("taken in by {what}: {:?}", began.elapsed());
    }
    assert_same(&source, &device, "ten winters");
}

/// Noting changes must not make a tap dear: taps with and without the note, in turns, on the same disk.
#[test]
fn a_tap_costs_no_more_for_being_noted() {
    const TAPS: usize = 1_500;
    // a disk, not memory: that is where a tap's time goes
    let devices = [1, 2].map(|nr| Device::in_folder(nr, tempfile::tempdir().unwrap()));
    let spec = LargeSpec {
        winters: 1,
        blocks: 2,
        pruners: 5,
        counts_per_winter: 300,
        seed: 1,
    };
    let mut times = [Vec::new(), Vec::new()];
    for device in &devices {
        fill_large(&device.store, spec).unwrap();
    }
    let bare = rusqlite::Connection::open(devices[1].path()).unwrap();
    bare.execute_batch("DROP TRIGGER tree_count_changed_noted")
        .unwrap();
    let ids = [0, 1].map(|at: usize| {
        let winter = devices[at].store.winters().unwrap()[0].clone();
        let count = devices[at]
            .store
            .counts(CountFilter::Winter(winter.id))
            .unwrap()[0]
            .clone();
        devices[at].store.close_count(count.id, false).unwrap();
        count.id
    });
    for tap in 0..TAPS {
        for at in [tap % 2, 1 - tap % 2] {
            let began = Instant::now();
            devices[at]
                .store
                .tap(ids[at], None, Tap::Piece(Age::One))
                .unwrap();
            times[at].push(began.elapsed());
        }
    }
    let [noted, plain] = times.map(|mut times| {
        times.sort();
        times[TAPS / 2]
    });
    let ratio = noted.as_secs_f64() / plain.as_secs_f64();
    println!("a tap, median of {TAPS}: noted {noted:?}, not noted {plain:?}, ratio {ratio:.3}");
    assert!(ratio < 1.5, "noting costs too much: {ratio:.2}");
}
