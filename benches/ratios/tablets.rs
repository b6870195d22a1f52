//! What it costs to carry an orchard from tablet to tablet. Three tablets count one winter (12,000 counts), then ten
//! (120,000); each step beside a copy of the same file that the database itself makes row by row (`VACUUM INTO`).

use std::path::{Path, PathBuf};
use std::time::Duration;

use crate::common::{folder, timed, winters_of};
use crate::table::Table;
use rusqlite::Connection;
use thirdwood::demo::fill_large;
use thirdwood::exchange::bundle::{merge, read, unknown_to, write};
use thirdwood::orchard::CountId;
use thirdwood::store::bundle::{Since, TakeIn};
use thirdwood::store::{CountFilter, Store};

/// Counts that each of the other two tablets adds.
const ADDED: usize = 4_000;

pub fn run(table: &mut Table) {
    for winters in [1, 10] {
        three_tablets(table, folder().path(), winters);
    }
}

struct Tablet {
    store: Store,
    folder: PathBuf,
}

impl Tablet {
    fn new(folder: &Path, nr: u8) -> Self {
        let folder = folder.join(format!("tablet-{nr}"));
        std::fs::create_dir(&folder).unwrap();
        Self {
            store: Store::open(&folder.join("orchard.db")).unwrap(),
            folder,
        }
    }

    fn write(&self, since: &Since) -> PathBuf {
        let path = self.folder.join("out.bundle");
        write(&self.store, since, &path).unwrap();
        path
    }

    fn take(&self, bundles: &[PathBuf]) {
        merge(&self.store, bundles, TakeIn::default(), &mut |_| true).unwrap();
    }

    /// Some counts of the last winter once more, as if they were of other trees.
    fn count(&self) {
        let winter = self.store.winters().unwrap().pop().unwrap();
        let counts = self.store.counts(CountFilter::Winter(winter.id)).unwrap();
        self.store
            .atomically(|store| {
                counts.into_iter().take(ADDED).try_for_each(|mut count| {
                    count.id = CountId(uuid::Uuid::now_v7());
                    store.add_count(&count)
                })
            })
            .unwrap();
    }

    fn counts(&self) -> usize {
        let winters = self.store.winters().unwrap();
        let of = |id| self.store.counts(CountFilter::Winter(id)).unwrap().len();
        winters.into_iter().map(|winter| of(winter.id)).sum()
    }
}

fn three_tablets(table: &mut Table, folder: &Path, winters: u16) {
    let [one, two, three] = [1, 2, 3].map(|nr| Tablet::new(folder, nr));
    fill_large(&one.store, winters_of(winters, 12_000)).unwrap();
    let begun = one.counts();
    let ((), copied) = timed(|| copy(&one.folder));
    let copy = format!("the file of {winters} winter(s) copied row by row");
    let mut row = |name: &str, took: Duration| table.row(name, took, &copy, copied);
    let (all, took) = timed(|| one.write(&Since::Beginning));
    let size = mib(&all);
    row("everything gathered and written", took);
    row(
        "the bundle read and checked",
        timed(|| read(&all).unwrap()).1,
    );
    let bundle = std::slice::from_ref(&all);
    row("taken in by an empty tablet", timed(|| two.take(bundle)).1);
    row("and by another", timed(|| three.take(bundle)).1);
    row(
        "the same again: nothing is new",
        timed(|| two.take(bundle)).1,
    );
    let known = unknown_to(&read(&all).unwrap());
    [&two, &three].into_iter().for_each(Tablet::count);
    let (news, took) = timed(|| [&two, &three].map(|tablet| tablet.write(&known)));
    row("2 x 4,000 new counts written on two tablets", took);
    row("and taken in by the first", timed(|| one.take(&news)).1);
    let news = one.write(&known);
    row("and by the second", timed(|| two.take(&[news])).1);
    assert_eq!([one.counts(), two.counts()], [begun + 2 * ADDED; 2]);
    println!(
        "{winters} winters, {begun} counts, 30 blocks, 40 pruners; the file {} MiB, the bundle {size} MiB",
        mib(&one.folder.join("orchard.db"))
    );
}

fn copy(folder: &Path) {
    let conn = Connection::open(folder.join("orchard.db")).unwrap();
    let to = folder.join("copy.db");
    conn.execute("VACUUM INTO ?1", [to.to_str()]).unwrap();
}

fn mib(file: &Path) -> u64 {
    std::fs::metadata(file).unwrap().len().div_ceil(1 << 20)
}
