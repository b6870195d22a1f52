//! What CSV, JSON and workbooks of a large winter cost: 12,000 counts, 30 blocks, 40 pruners.
//!
//! `cargo bench --bench tables` prints the time of each report in each of these formats, of the workbook with
//! everything, and the most memory that was held while they were made.
#![allow(clippy::unwrap_used, missing_docs)]

use std::time::{Duration, Instant};

use thirdwood::demo::{LargeSpec, fill_large};
use thirdwood::outlook::Target;
use thirdwood::report::{Format, Making, Period, Report, Season, StandingsOf, Taken, tables, xlsx};
use thirdwood::store::Store;

const FORMATS: [Format; 3] = [Format::Json, Format::Csv, Format::Xlsx];

fn main() {
    let season = season();
    let day = season.winter.start + chrono::Days::new(70);
    // the peak up to here is that of making the orchard
    let _ = std::fs::write("/proc/self/clear_refs", "5");
    let before = held("VmRSS");
    println!(
        "{} counts, 30 blocks, 40 pruners; ms",
        season.counts().len()
    );
    println!(
        "{:<12}{:>9}{:>9}{:>9}{:>9}{:>11}",
        "", "figures", "json", "csv", "xlsx", "xlsx KiB"
    );
    let began = Instant::now();
    for make in MAKERS {
        let (report, took) = timed(|| make(&season, day));
        print!("{:<12}{:>9.1}", report.word(), ms(took));
        let mut last = 0;
        for format in FORMATS {
            let (bytes, took) = timed(|| report.write(format, &Making::default()).unwrap());
            print!("{:>9.1}", ms(took));
            last = bytes.len();
        }
        println!("{:>11}", last / 1024);
    }
    let (tables, took) = timed(|| tables::everything(&season, day).unwrap());
    let cells: usize = tables
        .iter()
        .map(|table| table.rows.len() * table.columns.len())
        .sum();
    let (book, wrote) = timed(|| xlsx::workbook("everything", &tables, "").unwrap());
    let label = format!("everything, {cells} cells");
    println!(
        "{label:<30}{:>9.1} tables, {:.1} xlsx, {} KiB",
        ms(took),
        ms(wrote),
        book.len() / 1024
    );
    println!("all together {:.0} ms", ms(began.elapsed()));
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

type Maker = fn(&Season, chrono::NaiveDate) -> Report;

const MAKERS: [Maker; 7] = [
    |season, _| Report::DaySheets(season.day_sheets(season.work[season.work.len() / 2].day)),
    |season, day| Report::Supervisor(Box::new(season.supervisor_page(day))),
    |season, day| Report::Standings(season.standings(StandingsOf::Crew, Period::so_far(day))),
    |season, day| Report::Standings(season.standings(StandingsOf::Blocks, Period::so_far(day))),
    |season, day| Report::Winter(Box::new(season.winter_progress(day))),
    |season, day| {
        let wood = season.wood(Period::so_far(day));
        let brief = |id| season.brief(id, &wood, &Taken::default(), day).unwrap();
        Report::Briefs(season.blocks.iter().map(|block| brief(block.id)).collect())
    },
    |season, day| {
        let wood = season.wood(Period::so_far(day));
        let outlook = |id| season.outlook(id, &wood, &Taken::default(), day).unwrap();
        Report::Outlooks(
            season
                .blocks
                .iter()
                .map(|block| outlook(block.id))
                .collect(),
        )
    },
];

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
