//! Killed at a random moment of taking bundles in: each is there as a whole or not at all, and those acknowledged are.

use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicUsize, Ordering};

use thirdwood::demo::{LargeSpec, fill_large};
use thirdwood::exchange::bundle::write;
use thirdwood::orchard::CountId;
use thirdwood::store::CountFilter;
use thirdwood::store::bundle::Since;

use crate::child::{BUNDLES, Job, take_in};
use crate::common;
use crate::device::carried;
use crate::kills::{kill, sound};
use crate::world::{House, tell};

/// Bundles of a winter that grows: each rests on the one before.
fn bundles(source: &House) -> Vec<PathBuf> {
    let store = source.store();
    let spec = LargeSpec {
        winters: 1,
        blocks: 2,
        pruners: 5,
        counts_per_winter: 60,
        seed: 3,
    };
    fill_large(&store, spec).unwrap();
    let winter = store.winters().unwrap()[0].clone();
    let counts = store.counts(CountFilter::Winter(winter.id)).unwrap();
    let mut paths = Vec::new();
    for number in 1..=BUNDLES {
        let path = source.file.with_file_name(format!("{number}.bundle"));
        let since = if number == 1 {
            Since::Beginning
        } else {
            Since::LastBundle
        };
        write(&store, &since, &path).unwrap();
        paths.push(path);
        for (count, nr) in counts.iter().take(40).zip(0u128..) {
            let id = CountId(common::id(u128::from(number) * 1000 + nr));
            store
                .add_count(&thirdwood::orchard::TreeCount {
                    id,
                    ..count.clone()
                })
                .unwrap();
        }
    }
    paths
}

fn with_bundles(paths: &[PathBuf]) -> House {
    let house = House::empty();
    drop(house.store());
    for path in paths {
        std::fs::copy(path, house.file.with_file_name(path.file_name().unwrap())).unwrap();
    }
    house
}

/// What is in a file after none, one, two and so on of the bundles.
fn states(paths: &[PathBuf]) -> Vec<Vec<String>> {
    let house = with_bundles(paths);
    let after = |file: &Path| carried(file);
    let mut states = vec![after(&house.file)];
    for number in 1..=BUNDLES {
        take_in(&house.store(), &house.file, number);
        states.push(after(&house.file));
        assert!(
            states[..states.len() - 1]
                .iter()
                .all(|state| Some(state) != states.last())
        );
    }
    states
}

#[test]
fn killed_in_the_midst_of_merges() {
    let source = House::empty();
    let paths = bundles(&source);
    let states = states(&paths);
    let unfinished = AtomicUsize::new(0);
    kill(
        Job::Merge,
        150,
        BUNDLES as usize,
        |_| with_bundles(&paths),
        |house, done, run| {
            sound(house, run);
            let now = carried(&house.file);
            let reached = states.iter().position(|state| *state == now);
            let reached =
                reached.unwrap_or_else(|| panic!("run {run}: a bundle is there in part")) as u64;
            assert!(
                (done..=done + 1).contains(&reached),
                "run {run}: {done} acknowledged, {reached} there"
            );
            if reached < BUNDLES {
                unfinished.fetch_add(1, Ordering::SeqCst);
            }
            if run % 5 != 0 {
                return;
            }
            // begun once more, it ends as if nobody had killed it
            for number in 1..=BUNDLES {
                take_in(&house.store(), &house.file, number);
            }
            assert_eq!(carried(&house.file), states[BUNDLES as usize], "run {run}");
        },
    );
    let unfinished = unfinished.into_inner();
    assert!(
        unfinished > 10,
        "{unfinished} killed in time: the test has shown little"
    );
    tell(&format!(
        "of these, {unfinished} were killed before the last bundle was in"
    ));
}
