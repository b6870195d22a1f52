//! What the papers of a large winter cost: 12,000 counts, 30 blocks, 40 pruners.
//!
//! `cargo bench --bench papers` prints the time of each report in each format, of the workbook with everything, and the
//! most memory that was held while they were made.
#![allow(clippy::unwrap_used, missing_docs)]

use std::time::{Duration, Instant};

use thirdwood::demo::{LargeSpec, fill_large};
use thirdwood::outlook::Target;
use thirdwood::report::papers::Paper;
use thirdwood::report::{Format, Making, Season, tables, xlsx};
use thirdwood::store::Store;

fn main() {
    let season = season();
    // a day in the middle of the winter has a sheet for each of the crew
    let day = season.work[season.work.len() / 2].day;
    // the peak up to here is that of making the orchard
    let _ = std::fs::write("/proc/self/clear_refs", "5");
    let before = held("VmRSS");
    println!(
        "{} counts, 30 blocks, 40 pruners; ms",
        season.counts().len()
    );
    print!("{:<12}{:>9}", "", "figures");
    for format in Format::ALL {
        print!("{:>9}", format.word());
    }
    println!();
    let began = Instant::now();
    let (mut files, mut bytes) = (0, 0);
    for paper in Paper::ALL {
        let (report, took) = timed(|| paper.report(&season, day).unwrap());
        let Some(report) = report else { continue };
        print!("{:<12}{:>9.1}", report.word(), ms(took));
        for format in Format::ALL {
            let (made, took) = timed(|| report.write(format, &Making::default()).unwrap());
            print!("{:>9.1}", ms(took));
            files += 1;
            bytes += made.len();
        }
        println!();
    }
    let (tables, took) = timed(|| tables::everything(&season, day).unwrap());
    let (book, wrote) = timed(|| xlsx::workbook("everything", &tables, "").unwrap());
    println!(
        "everything  {:>9.1} tables, {:.1} xlsx",
        ms(took),
        ms(wrote)
    );
    println!(
        "all together {:.0} ms, {} files, {} KiB",
        ms(began.elapsed()),
        files + 1,
        (bytes + book.len()) / 1024
    );
    println!(
        "memory: {} MiB before, {} MiB at most",
        before / 1024,
        held("VmHWM") / 1024
    );
}

fn season() -> Season {
    let store = Store::in_memory().unwrap();
    let spec = LargeSpec {
        winters: 1,
        blocks: 30,
        pruners: 40,
        counts_per_winter: 12_000,
        seed: 1,
    };
    fill_large(&store, spec).unwrap();
    let winter = store.winters().unwrap().pop().unwrap();
    for block in store.blocks().unwrap() {
        let aim = Some(Target::TonnesPerHa(40.0));
        store.save_aim(winter.id, block.id, aim).unwrap();
    }
    Season::load(&store, winter).unwrap()
}

fn timed<T>(make: impl FnOnce() -> T) -> (T, Duration) {
    let began = Instant::now();
    let made = make();
    (made, began.elapsed())
}

fn ms(time: Duration) -> f64 {
    time.as_secs_f64() * 1_000.0
}

/// A line of what the system knows of this process, KiB; 0 where it does not tell.
fn held(name: &str) -> usize {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = status.lines().find(|line| line.starts_with(name));
    line.and_then(|line| line.split_whitespace().nth(1)?.parse().ok())
        .unwrap_or(0)
}
