//! What the papers of a large winter cost: 12,000 counts, 30 blocks, 40 pruners. The time of each report in each format, and
//! of the workbook with everything.

use std::time::{Duration, Instant};

use crate::common::{forget_peak, ms, timed, winters_of};
use crate::table::Table;
use thirdwood::demo::fill_large;
use thirdwood::outlook::Target;
use thirdwood::report::papers::Paper;
use thirdwood::report::{Format, Making, Season, tables, xlsx};
use thirdwood::store::Store;

pub fn run(table: &mut Table) {
    let season = season();
    // a day in the middle of the winter has a sheet for each of the crew
    let day = season.work[season.work.len() / 2].day;
    // the peak up to here is that of making the orchard
    forget_peak();
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
    let all = began.elapsed();
    println!(
        "all together {:.0} ms, {} files, {} KiB",
        ms(all),
        files + 1,
        (bytes + book.len()) / 1024
    );
    let bound = ("2 s", Duration::from_secs(2));
    table.aimed("all papers of a winter, in six formats", all, 1.0, bound);
}

fn season() -> Season {
    let store = Store::in_memory().unwrap();
    fill_large(&store, winters_of(1, 12_000)).unwrap();
    let winter = store.winters().unwrap().pop().unwrap();
    for block in store.blocks().unwrap() {
        let aim = Some(Target::TonnesPerHa(40.0));
        store.save_aim(winter.id, block.id, aim).unwrap();
    }
    Season::load(&store, winter).unwrap()
}
