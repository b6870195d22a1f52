//! The winter's work: figures that can be worked out by hand.

use chrono::Datelike;
use thirdwood::orchard::*;
use thirdwood::outlook::pace::{Finish, Money, Pay, Span};
use thirdwood::report::document::sheets;
use thirdwood::report::{WhatIf, WinterProgress, tables, text};
use uuid::Uuid;

use crate::builder::*;

/// Two pruners, 10 and 20 trees on each of five days of eight hours (the second's hours are not noted on the first
/// day), in a row of 400 trees: 150 done, 250 left at 30 a day. Paid 12.00 an hour and 0.50 a tree. It never rained.
fn orchard() -> (Orchard, Block, [Pruner; 2]) {
    let orchard = Orchard::new("Invented Orchard");
    let block = orchard.block("River", "1x400", "");
    let pruners = [
        orchard.pruner(4, "Noor", false),
        orchard.pruner(7, "Tam", false),
    ];
    // 1 January 2027 is a Friday: Monday to Friday are the 4th to the 8th
    let mut next = 1;
    for on in 4..=8 {
        for (pruner, trees) in pruners.iter().zip([10, 20]) {
            let draft = WorkDraft {
                winter: orchard.winter.id,
                pruner: pruner.id,
                block: block.id,
                row: 1,
                first: next,
                last: next + trees - 1,
                day: day(on),
                minutes: (on > 4 || trees == 10).then_some(480),
                how: How::default(),
            };
            let entry = WorkEntry::new(WorkId(Uuid::now_v7()), draft, &block).unwrap();
            orchard.store.save_work(&entry).unwrap();
            next += trees;
        }
    }
    let currency = orchard.store.currency().unwrap();
    let rate = |raw| currency.parse_rate(raw).unwrap();
    let winter = orchard.winter.id;
    let hourly = Some(Pay::Hour(rate("12.00")));
    orchard.store.save_pay(winter, None, hourly).unwrap();
    let piece = Some(Pay::Tree(rate("0.50")));
    orchard
        .store
        .save_pay(winter, Some(pruners[1].id), piece)
        .unwrap();
    (orchard, block, pruners)
}

/// On the Saturday after.
pub fn going() -> WinterProgress {
    orchard().0.season().winter_progress(day(9))
}

fn span(finish: &Finish) -> Span<chrono::NaiveDate> {
    match finish {
        Finish::Expected { day, .. } => *day,
        other => panic!("{other:?}"),
    }
}

#[test]
fn done_left_pace_and_cost_are_those_worked_out_by_hand() {
    let progress = going();
    assert_eq!((progress.done, progress.left), (150, 250));
    let [noor, tam] = progress.pruners.as_slice() else {
        panic!("{:?}", progress.pruners);
    };
    assert_eq!(
        (noor.number, noor.speed.trees, noor.speed.person_days),
        (4, 50.into(), 5)
    );
    // 50 trees in 40 h; 80 trees in the 32 h that are noted
    assert!((noor.speed.per_hour.unwrap().mean - 1.25).abs() < 1e-9);
    assert!((tam.speed.per_hour.unwrap().mean - 2.5).abs() < 1e-9);
    assert!((tam.speed.per_day.unwrap().mean - 20.0).abs() < 1e-9);
    assert!((tam.speed.hours_known - 0.8).abs() < 1e-9);
    assert!((progress.usual_hours - 8.0).abs() < 1e-9);
    // 40 h at 12.00 and 100 trees at 0.50
    assert_eq!(progress.cost.total(), Money(53_000));
    assert_eq!(
        (progress.cost.guessed_days, progress.cost.unpriced_days),
        (0, 0)
    );
    assert!(progress.without_pay.is_empty());
    let ends: Vec<_> = progress.by_day.iter().map(|day| day.done).collect();
    assert_eq!(ends, [30, 60, 90, 120, 150]);
    assert_eq!(
        (progress.days.worked, progress.days.rain, progress.days.idle),
        (5, 0, 0)
    );
    assert_eq!(progress.crew, 2);
}

#[test]
fn the_finish_is_the_day_worked_out_by_hand() {
    // every day is like every other: 250 trees at 30 a day take 9 working days, Saturday the 9th to Tuesday the 19th,
    // more only by rain, of which half a day in six is feared
    let progress = going();
    let found = span(&progress.finish);
    assert_eq!(found.low, Some(day(19)));
    assert!(found.mid >= found.low && found.high >= found.mid && found.high < Some(day(26)));
    assert_eq!(span(&progress.blocks[0].finish), found);
    let to_come = progress.to_come.unwrap();
    // 250 trees are 25/3 days of 16 person-hours, and cost 25/3 × 96.00 + 250 × 2/3 × 0.50
    let hours = to_come.hours.unwrap().mid.unwrap();
    assert!((hours - 133.3).abs() < 1.0, "{hours}");
    let pay = to_come.pay.unwrap().mid.unwrap();
    assert!((pay.0 - 88_333).abs() < 700, "{pay:?}");
}

#[test]
fn days_off_stays_and_what_if_move_the_finish() {
    let (orchard, _, pruners) = orchard();
    let known = span(&orchard.season().winter_progress(day(9)).finish)
        .low
        .unwrap();
    let what_if = |what_if| {
        let season = orchard.season();
        let progress = season
            .winter_progress_if(day(9), &[], &[], what_if)
            .unwrap();
        span(&progress.finish).low.unwrap()
    };
    let crew = WhatIf {
        pruners: 2,
        ..WhatIf::default()
    };
    assert!(what_if(crew) < known);
    let one_fewer = WhatIf {
        pruners: -1,
        ..WhatIf::default()
    };
    assert!(
        what_if(one_fewer) > known,
        "Nr 7 goes, and Nr 4 does 10 a day"
    );
    // twice as long: 60 a day, 5 days, to Thursday the 14th
    let longer = WhatIf {
        quarters: 24,
        ..WhatIf::default()
    };
    assert!(what_if(longer) < known);
    // Monday and Tuesday off: two days later, on the 21st
    let days_off = WhatIf {
        days_off: 2,
        ..WhatIf::default()
    };
    assert_eq!(what_if(days_off), day(21));
    let lost = LostDays {
        id: LostDaysId(Uuid::now_v7()),
        winter: orchard.winter.id,
        first: day(11),
        last: day(12),
        kind: LostKind::Off,
    };
    orchard.store.save_lost_days(&lost).unwrap();
    assert_eq!(what_if(WhatIf::default()), day(21));
    let stint = Stint {
        winter: orchard.winter.id,
        pruner: pruners[1].id,
        joins: None,
        leaves: Some(day(9)),
    };
    orchard.store.save_stint(&stint).unwrap();
    assert!(what_if(WhatIf::default()) > day(30));
}

#[test]
fn rain_is_a_day_seen_and_not_an_idle_one() {
    let (orchard, ..) = orchard();
    // Saturday the 2nd, after the start
    let lost = |n| LostDays {
        id: LostDaysId(Uuid::now_v7()),
        winter: orchard.winter.id,
        first: day(n),
        last: day(n),
        kind: LostKind::Rain,
    };
    orchard.store.save_lost_days(&lost(2)).unwrap();
    let days = orchard.season().winter_progress(day(12)).days;
    // the 9th and the 11th have neither work nor rain
    assert_eq!((days.worked, days.rain, days.idle), (5, 1, 2));
    assert!((days.rain_chance - 1.5 / 7.0).abs() < 1e-12);
    assert_eq!(day(9).weekday(), chrono::Weekday::Sat);
}

#[test]
fn an_overwritten_tree_counts_once() {
    let (orchard, block, pruners) = orchard();
    orchard.work(&pruners[0], &block, 1, (141, 150), 9);
    let season = orchard.season();
    assert_eq!(season.winter_progress(day(9)).done, 150);
    let trees: Trees = season.day_work(day(9)).iter().map(|work| work.trees).sum();
    assert_eq!(trees, Trees::from(150));
}

fn log(
    orchard: &Orchard,
    pruner: &Pruner,
    block: &Block,
    places: (u16, u16),
    on: u64,
    minutes: u16,
) {
    let draft = WorkDraft {
        winter: orchard.winter.id,
        pruner: pruner.id,
        block: block.id,
        row: 1,
        first: places.0,
        last: places.1,
        day: day(on),
        minutes: Some(minutes),
        how: How::default(),
    };
    let entry = WorkEntry::new(WorkId(Uuid::now_v7()), draft, block).unwrap();
    orchard.store.save_work(&entry).unwrap();
}

/// Sixty trees in eight hours on Monday; on Friday somebody else mends the row in one.
#[test]
fn who_mends_a_row_adds_hours_and_takes_nobody_their_trees() {
    let orchard = Orchard::new("Invented Orchard");
    let block = orchard.block("River", "1x60", "");
    let (first, mends) = (
        orchard.pruner(4, "Noor", false),
        orchard.pruner(7, "Tam", false),
    );
    log(&orchard, &first, &block, (1, 60), 4, 480);
    log(&orchard, &mends, &block, (1, 60), 8, 60);
    let currency = orchard.store.currency().unwrap();
    let winter = orchard.winter.id;
    let cost = |pay: fn(_) -> Pay, rate| {
        let pay = pay(currency.parse_rate(rate).unwrap());
        orchard.store.save_pay(winter, None, Some(pay)).unwrap();
        orchard.season().winter_progress(day(9)).cost.total()
    };
    // nine hours, and each tree once
    assert_eq!(cost(Pay::Hour, "12.00"), Money(10_800));
    assert_eq!(cost(Pay::Tree, "0.50"), Money(3_000));
    let season = orchard.season();
    let progress = season.winter_progress(day(9));
    let speed = progress.speed.unwrap();
    assert_eq!(
        (progress.done, speed.trees, speed.minutes),
        (60, 60.into(), 9 * 60)
    );
    let days: Vec<_> = progress.by_day.iter().map(|day| day.trees).collect();
    assert_eq!(days, [60, 0], "Monday stays as it was");
    let by: Vec<_> = (progress.pruners.iter())
        .map(|who| (who.number, who.speed.trees, who.speed.minutes))
        .collect();
    assert_eq!(by, [(4, 60.into(), 480), (7, 0.into(), 60)]);
    // what stands now is the work of who pruned it last
    let place = (block.id, 1, 30);
    let by = season.doer_of(place, day(9), Zone::Whole);
    assert_eq!(by, Some(Doer::One(mends.id)));
}

#[test]
fn entries_of_one_day_stand_beside_each_other_until_it_is_settled() {
    let orchard = Orchard::new("Invented Orchard");
    let block = orchard.block("River", "1x60", "");
    let [one, two] = [4, 7].map(|n| orchard.pruner(n, "", false));
    log(&orchard, &one, &block, (1, 40), 4, 480);
    log(&orchard, &two, &block, (1, 40), 4, 420);
    log(&orchard, &one, &block, (41, 60), 4, 200);
    let season = orchard.season();
    let disputes: Vec<_> = (season.disputes().iter())
        .map(|(a, b)| (a.pruner, b.pruner, a.last))
        .collect();
    assert_eq!(disputes, [(one.id, two.id, 40)]);
    let mut work: Vec<_> = (season.day_work(day(4)).iter())
        .map(|work| (work.pruner, work.trees, work.minutes))
        .collect();
    work.sort_by_key(|(pruner, _, minutes)| (*pruner, *minutes));
    // no hour is lost, and each tree counts once
    let all = [
        (one.id, 20.into(), Some(200)),
        (one.id, 20.into(), Some(480)),
        (two.id, 20.into(), Some(420)),
    ];
    assert_eq!(work, all);
}

#[test]
fn who_has_left_already_is_no_pruner_fewer() {
    let (orchard, ..) = orchard();
    let gone = Stint {
        winter: orchard.winter.id,
        pruner: orchard.pruner(9, "Gone", false).id,
        joins: None,
        leaves: Some(day(5)),
    };
    orchard.store.save_stint(&gone).unwrap();
    let season = orchard.season();
    let finish = |pruners| {
        let what_if = WhatIf {
            pruners,
            ..WhatIf::default()
        };
        let progress = season
            .winter_progress_if(day(9), &[], &[], what_if)
            .unwrap();
        (progress.crew, span(&progress.finish).low)
    };
    assert_eq!(finish(0), (2, Some(day(19))));
    assert!(finish(-1).1 > finish(0).1, "Nr 7 goes");
}

#[test]
fn text_and_table_say_the_same() {
    let progress = going();
    let text = text::render(&sheets::winter(&progress));
    assert!(text.contains("150 of 400 pruned, 250 left"), "{text}");
    assert!(text.contains("so far 530.00 EUR"), "{text}");
    insta::assert_snapshot!(text);
    let table = thirdwood::report::formats::csv::render(&tables::winter(&progress)[0]).unwrap();
    let mut rows = csv::Reader::from_reader(table.as_bytes());
    let rows: Vec<csv::StringRecord> = rows.records().map(Result::unwrap).collect();
    assert_eq!(rows.len(), 1 + 1 + 2);
    assert_eq!(
        (&rows[0][2], &rows[0][3], &rows[0][5]),
        ("150", "250", "2027-01-19")
    );
    assert_eq!(
        (&rows[3][0], &rows[3][11], &rows[3][12]),
        ("pruner", "2.5", "20")
    );
    assert_eq!(&rows[3][16], "not counted");
}

#[test]
fn a_new_winter_says_what_is_missing() {
    let orchard = Orchard::new("");
    orchard.block("River", "1x40", "");
    let progress = orchard.season().winter_progress(day(1));
    assert_eq!(progress.finish, Finish::TooFewDays { seen: 0 });
    let text = text::render(&sheets::winter(&progress));
    assert!(
        text.contains("no date yet: 0 of the 3 past days of work that it takes"),
        "{text}"
    );
    assert!(text.contains("Nobody worked yet"), "{text}");
    let without_block = Orchard::new("").season().winter_progress(day(1));
    assert_eq!(without_block.finish, Finish::NoBlock);
    let text = text::render(&sheets::winter(&without_block));
    assert!(text.contains("Through: no block is entered yet"), "{text}");
}

/// Two days with work and the day of the review: each number says which days it counts.
#[test]
fn days_with_work_are_told_apart_from_those_before_today() {
    let (orchard, ..) = orchard();
    let review = orchard.season().review(day(6));
    assert_eq!(
        (review.labour.days, review.labour.finish),
        (3, Finish::TooFewDays { seen: 2 })
    );
    let said = thirdwood::report::words::labour(&review.labour).remove(0);
    assert!(
        said.contains("2 of the 3 past days of work") && said.ends_with("3 days with work."),
        "{said}"
    );
}
