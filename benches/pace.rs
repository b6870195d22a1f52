//! How long a forecast of the winter takes: 30 blocks, 40 pruners, 60 days seen (invented).
//!
//! `cargo bench --bench pace`

use std::time::Instant;

use chrono::{Days, NaiveDate};
use thirdwood::orchard::{BlockId, PrunerId};
use thirdwood::outlook::pace::{
    BlockPlan, DayWork, Member, Newcomers, PayPlan, Plan, RUNS, WorkCalendar, forecast,
};
use uuid::Uuid;

const PRUNERS: u128 = 40;
const BLOCKS: u128 = 30;
const DAYS_SEEN: usize = 60;

fn plan() -> Plan {
    let start = NaiveDate::from_ymd_opt(2027, 1, 4).unwrap_or_default();
    let calendar = WorkCalendar::default();
    let days: Vec<_> = (start
        .iter_days()
        .filter(|day| calendar.planned(*day))
        .take(DAYS_SEEN))
    .collect();
    let mut work = Vec::new();
    for (i, day) in days.iter().enumerate() {
        for n in 0..PRUNERS {
            // every third day is split over two blocks
            for part in 0..=u128::from((i as u128 + n).is_multiple_of(3)) {
                work.push(DayWork {
                    day: *day,
                    pruner: PrunerId(Uuid::from_u128(n)),
                    block: BlockId(Uuid::from_u128((i as u128 / 4 + part) % BLOCKS)),
                    trees: 20 + ((i * 7 + n as usize * 5) % 19) as u32,
                    minutes: Some(240),
                });
            }
        }
    }
    let today = days.last().map_or(start, |day| *day + Days::new(1));
    let member = |n| Member {
        pruner: PrunerId(Uuid::from_u128(n)),
        from: None,
        until: (n % 10 == 0).then(|| today + Days::new(20 + n as u64)),
    };
    let block = |n| BlockPlan {
        block: BlockId(Uuid::from_u128(n)),
        done: 1_000,
        left: 2_000,
        deadline: today + Days::new(40 + n as u64),
    };
    Plan {
        start,
        today,
        calendar,
        work,
        crew: (0..PRUNERS).map(member).collect(),
        newcomers: vec![Newcomers {
            count: 3,
            from: today + Days::new(10),
            until: None,
        }],
        blocks: (0..BLOCKS).map(block).collect(),
        pay: PayPlan::default(),
        seed: 1,
        runs: RUNS,
    }
}

fn main() {
    let plan = plan();
    let mut times: Vec<_> = (0..30)
        .map(|_| {
            let begun = Instant::now();
            std::hint::black_box(forecast(std::hint::black_box(&plan)));
            begun.elapsed()
        })
        .collect();
    times.sort_unstable();
    println!(
        "{RUNS} runs: fastest {:?}, median {:?}, slowest {:?}",
        times[0], times[15], times[29]
    );
}
