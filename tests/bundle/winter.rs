//! Three tablets and one winter. What it costs: `cargo bench --bench ratios -- tablets`.

use thirdwood::demo::{LargeSpec, fill_large};
use thirdwood::exchange::bundle::{merge, read, write};
use thirdwood::orchard::*;
use thirdwood::store::CountFilter;
use thirdwood::store::bundle::{Since, TakeIn};

use crate::device::{Device, assert_same};

#[test]
fn three_tablets_and_a_winter() {
    let devices = [Device::new(1), Device::new(2), Device::new(3)];
    let spec = LargeSpec {
        winters: 1,
        blocks: 30,
        pruners: 40,
        counts_per_winter: 3_000,
        seed: 1,
    };
    fill_large(&devices[0].store, spec).unwrap();
    let winter = devices[0].store.winters().unwrap()[0].clone();
    let counts_of = |device: &Device| {
        let filter = CountFilter::Winter(winter.id);
        device.store.counts(filter).unwrap()
    };
    let mut counts = counts_of(&devices[0]);
    let begun = counts.len();
    let path = devices[0].folder().join("all.bundle");
    write(&devices[0].store, &Since::Beginning, &path).unwrap();
    // two thirds as many are counted on the other two tablets
    for (device, part) in devices[1..].iter().zip([0, 1]) {
        let mut told = 0;
        let bundle = std::slice::from_ref(&path);
        merge(&device.store, bundle, TakeIn::default(), &mut |progress| {
            told = told.max(progress.done * 100 / progress.of.max(1));
            true
        })
        .unwrap();
        assert!((90..=100).contains(&told), "progress is told: {told} %");
        let theirs = counts.iter_mut().skip(part).step_by(3);
        device
            .store
            .atomically(|store| {
                theirs.into_iter().try_for_each(|count| {
                    count.id = CountId(uuid::Uuid::now_v7());
                    store.add_count(count)
                })
            })
            .unwrap();
    }
    let news: Vec<_> = devices[1..]
        .iter()
        .map(|device| {
            let path = device.folder().join("new.bundle");
            let known = Since::Known(devices[0].all().heads);
            write(&device.store, &known, &path).unwrap();
            path
        })
        .collect();
    merge(&devices[0].store, &news, TakeIn::default(), &mut |_| true).unwrap();
    assert_eq!(
        counts_of(&devices[0]).len(),
        begun + begun.div_ceil(3) + (begun + 1) / 3
    );
    devices[1].take(&devices[0].all());
    assert_same(&devices[0], &devices[1], "a whole winter");
    assert_eq!(read(&news[0]).unwrap().sets.len(), 1);
}
