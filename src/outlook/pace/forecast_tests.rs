//! Forecasts checked by hand and by what must hold for any. All orchards are invented.

use std::collections::{BTreeMap, BTreeSet};

use chrono::{Days, NaiveDate};
use uuid::Uuid;

use super::earned::cost_of;
use super::*;
use crate::orchard::{BlockId, PrunerId, Trees, WorkKind, parse_day};

pub(super) fn day(raw: &str) -> NaiveDate {
    parse_day("day", raw).unwrap()
}

pub(super) fn pruner(n: u128) -> PrunerId {
    PrunerId(Uuid::from_u128(n))
}

pub(super) fn block(n: u128) -> BlockId {
    BlockId(Uuid::from_u128(n))
}

pub(super) fn member(n: u128) -> Member {
    Member {
        pruner: pruner(n),
        from: None,
        until: None,
    }
}

/// Two pruners, 40 trees and 8 hours each on every day from Monday 2027-01-04 on, for 20 working days; 800 trees left.
pub(super) fn even() -> Plan {
    let calendar = WorkCalendar::default();
    let start = day("2027-01-04");
    let days: Vec<_> = start
        .iter_days()
        .filter(|day| calendar.planned(*day))
        .take(21)
        .collect();
    let work = days[..20].iter().flat_map(|day| {
        [1, 2].map(|n| DayWork {
            day: *day,
            pruner: pruner(n),
            block: block(1),
            trees: Trees::from(40),
            kind: WorkKind::Pruning,
            minutes: Some(480),
        })
    });
    Plan {
        start,
        today: days[20],
        calendar,
        work: work.collect(),
        crew: vec![member(1), member(2)],
        newcomers: Vec::new(),
        blocks: vec![BlockPlan {
            block: block(1),
            done: 1_600,
            left: 800,
            deadline: day("2027-03-01"),
        }],
        pay: PayPlan::default(),
        seed: 7,
        runs: 300,
    }
}

fn expected(plan: &Plan) -> (Span<NaiveDate>, f64, Needed) {
    match forecast(plan).orchard {
        Finish::Expected {
            day,
            in_time,
            needed,
        } => (day, in_time, needed),
        other => panic!("{other:?}"),
    }
}

#[test]
fn an_even_crew_ends_when_its_trees_do() {
    // 800 trees at 80 a day are 10 working days: today, Wednesday 27 January, to Saturday 6 February
    let (day_of, in_time, needed) = expected(&even());
    assert_eq!(
        (day_of.low, day_of.mid),
        (Some(day("2027-02-06")), Some(day("2027-02-06")))
    );
    assert!(in_time > 0.95 && needed.extra == Some(0));
    // within 5 working days it takes four
    let mut plan = even();
    plan.blocks[0].deadline = day("2027-02-01");
    let (_, in_time, needed) = expected(&plan);
    assert!(in_time < 0.01);
    assert_eq!(
        needed,
        Needed {
            crew: Some(4),
            extra: Some(2)
        }
    );
    plan.newcomers = vec![Newcomers {
        count: 2,
        from: plan.today,
        until: None,
    }];
    assert!(expected(&plan).1 >= NEEDED_CHANCE);
}

#[test]
fn what_is_logged_today_is_taken_off_today() {
    let mut plan = even();
    let today = plan.today;
    plan.work.extend([1, 2].map(|n| DayWork {
        day: today,
        pruner: pruner(n),
        block: block(1),
        trees: Trees::from(20),
        kind: WorkKind::Pruning,
        minutes: Some(240),
    }));
    plan.blocks[0].left -= 40;
    assert_eq!(expected(&plan).0.mid, Some(day("2027-02-06")));
}

#[test]
fn hours_and_pay_follow_by_hand() {
    let euro = Currency::new("EUR", 2).unwrap();
    let rate = |raw| euro.parse_rate(raw).unwrap();
    let mut plan = even();
    plan.pay.all = Some(Pay::Hour(rate("25.00")));
    let to_come = forecast(&plan).to_come.unwrap();
    // 800 trees at 5 an hour
    let hours = to_come.hours.unwrap();
    assert_eq!((hours.low, hours.high), (Some(160.0), Some(160.0)));
    assert_eq!(to_come.pay.unwrap().mid, Some(Money(400_000)));
    // so far 40 person-days of 200.00
    assert_eq!(forecast(&plan).so_far.total(), Money(800_000));
    assert_eq!(to_come.total.unwrap().high, Some(Money(1_200_000)));
    // by the tree, 800 at 0.4125
    plan.pay.all = Some(Pay::Tree(rate("0.4125")));
    assert_eq!(
        forecast(&plan).to_come.unwrap().pay.unwrap().low,
        Some(Money(33_000))
    );
    // two equal pruners at 0.40 and 0.50
    plan.pay.own = BTreeMap::from([
        (pruner(1), Pay::Tree(rate("0.40"))),
        (pruner(2), Pay::Tree(rate("0.50"))),
    ]);
    assert_eq!(
        forecast(&plan).to_come.unwrap().pay.unwrap().mid,
        Some(Money(36_000))
    );
    plan.pay = PayPlan {
        all: None,
        own: BTreeMap::from([(pruner(1), Pay::Tree(rate("1")))]),
        special: BTreeMap::new(),
    };
    let partly = forecast(&plan);
    assert_eq!(partly.to_come.unwrap().pay, None);
    assert_eq!(
        (partly.so_far.unpriced_days, partly.without_pay),
        (20, BTreeSet::from([pruner(2)]))
    );
}

#[test]
fn hours_not_noted_are_guessed_and_said_so() {
    let euro = Currency::new("EUR", 2).unwrap();
    let pay = PayPlan {
        all: Some(Pay::Hour(euro.parse_rate("20").unwrap())),
        ..PayPlan::default()
    };
    let mut work = even().work;
    work[0].minutes = None;
    let cost = cost_of(&work, &pay);
    assert_eq!(
        (cost.known, cost.guessed, cost.guessed_days),
        (Money(39 * 16_000), Money(16_000), 1)
    );
    for entry in &mut work {
        entry.minutes = None;
    }
    assert_eq!(cost_of(&work, &pay).unpriced_days, 40);
    assert_eq!(speed_of_all(&work).unwrap().per_hour, None);
}

#[test]
fn nothing_left_is_done_and_nobody_or_no_day_is_never() {
    let finish = |change: &dyn Fn(&mut Plan)| {
        let mut plan = even();
        change(&mut plan);
        let forecast = forecast(&plan);
        assert_eq!(forecast.orchard, forecast.blocks[0].finish);
        forecast.orchard
    };
    assert_eq!(finish(&|plan| plan.blocks[0].left = 0), Finish::Done);
    let no_day = WorkCalendar::new([false; 7], BTreeSet::new(), BTreeSet::new()).unwrap();
    assert_eq!(
        finish(&|plan| plan.calendar = no_day.clone()),
        Finish::Never(Never::NoWorkingDay)
    );
    assert_eq!(
        finish(&|plan| plan.crew.clear()),
        Finish::Never(Never::NoCrew)
    );
    let leave = |plan: &mut Plan| {
        for member in &mut plan.crew {
            member.until = Some(plan.today);
        }
    };
    assert_eq!(finish(&leave), Finish::Never(Never::BeyondHorizon));
    let early = |plan: &mut Plan| plan.today = day("2027-01-06");
    assert_eq!(finish(&early), Finish::TooFewDays { seen: 2 });
    assert_eq!(
        finish(&|plan| plan.blocks[0].left = u32::MAX),
        Finish::Never(Never::BeyondHorizon)
    );
}

#[test]
fn an_orchard_without_a_block_is_not_through() {
    let mut plan = even();
    plan.blocks.clear();
    let forecast = forecast(&plan);
    assert_eq!(
        (forecast.orchard, forecast.blocks.len()),
        (Finish::NoBlock, 0)
    );
}

/// A row is mended: hours, and no new trees.
#[test]
fn days_of_mending_hold_hours_and_no_trees() {
    let euro = Currency::new("EUR", 2).unwrap();
    let mut plan = even();
    plan.pay.all = Some(Pay::Hour(euro.parse_rate("25.00").unwrap()));
    let second = plan.work.iter_mut().filter(|e| e.pruner == pruner(2));
    for entry in second.skip(10) {
        entry.trees = Trees::NONE;
    }
    // 40 trees on 30 person-days of 40
    let speed = speed_of_all(&plan.work).unwrap();
    assert_eq!((speed.trees, speed.person_days), (Trees::from(1_200), 40));
    assert!((speed.per_hour.unwrap().mean - 3.75).abs() < 1e-9);
    let found = forecast(&plan);
    assert_eq!(found.so_far.total(), Money(800_000), "all hours are paid");
    let hours = found.to_come.unwrap().hours.unwrap().mid.unwrap();
    // 800 trees at 3.75 an hour are 213 h
    assert!((190.0..240.0).contains(&hours), "{hours}");
    assert!(expected(&plan).0.mid > Some(day("2027-02-06")));
}

#[test]
fn one_who_only_mended_is_nobody_to_count_on() {
    for minutes in [Some(480), None] {
        let mut plan = even();
        for entry in plan.work.iter_mut().filter(|e| e.pruner == pruner(2)) {
            (entry.trees, entry.minutes) = (Trees::NONE, minutes);
        }
        // 800 trees at 40 a day
        assert_eq!(expected(&plan).0.low, Some(day("2027-02-18")));
        let of = speed_by_pruner(&plan.work)[&pruner(2)];
        assert_eq!(of.trees, Trees::NONE);
    }
}

#[test]
fn someone_new_in_the_crew_works_like_the_others() {
    let mut plan = even();
    plan.crew.push(member(3));
    // 120 a day: 7 working days
    assert_eq!(expected(&plan).0.mid, Some(day("2027-02-03")));
}

#[test]
fn who_has_left_costs_no_more() {
    let euro = Currency::new("EUR", 2).unwrap();
    let pay = Pay::Tree(euro.parse_rate("0.40").unwrap());
    let mut plan = even();
    plan.pay.own = BTreeMap::from([(pruner(1), pay), (pruner(2), pay)]);
    let gone = Some(plan.start);
    // nobody ever saw the third
    plan.crew.push(Member {
        until: gone,
        ..member(3)
    });
    let found = forecast(&plan);
    assert_eq!(found.without_pay, BTreeSet::new());
    // 800 trees to come, 1,600 done
    let total = found.to_come.unwrap().total.unwrap();
    assert_eq!(total.mid, Some(Money(96_000)));
    // the second worked for a pay that is not known, and has left: what is to come is known all the same
    plan.pay.own.remove(&pruner(2));
    plan.crew[1].until = gone;
    let found = forecast(&plan);
    assert_eq!(found.without_pay, BTreeSet::from([pruner(2)]));
    let to_come = found.to_come.unwrap();
    assert_eq!(to_come.pay.unwrap().mid, Some(Money(32_000)));
    assert_eq!(to_come.total, None);
}

#[test]
fn the_same_seed_gives_the_same_forecast() {
    let plan = uneven(3, &[30, 44, 12, 38, 41, 50, 8]);
    assert_eq!(forecast(&plan), forecast(&plan));
    assert!(
        serde_json::to_string(&forecast(&plan))
            .unwrap()
            .contains("in_time")
    );
    assert!(serde_json::to_string(&plan).unwrap().contains("weekdays"));
}

/// New Hampshire Agricultural Experiment Station Bulletin 257 (Woodworth and Potter 1931), apple, hand tools:
/// 567 h per 1,000 mature trees and 450 h for about 800. Derived: 34.0 and 33.8 minutes a tree.
#[test]
fn published_hours_give_minutes_a_tree() {
    let minutes_a_tree = |hours: u32, trees| {
        let work = [DayWork {
            day: day("2027-01-04"),
            pruner: pruner(1),
            block: block(1),
            trees: Trees::from(trees),
            kind: WorkKind::Pruning,
            minutes: Some(hours * 60),
        }];
        60.0 / speed_by_block(&work)[&block(1)].per_hour.unwrap().mean
    };
    assert!((minutes_a_tree(567, 1_000) - 34.0).abs() < 0.05);
    assert!((minutes_a_tree(450, 800) - 33.8).abs() < 0.06);
}

#[test]
fn a_split_day_counts_in_part() {
    let entry = |block_no, trees, minutes| DayWork {
        day: day("2027-01-04"),
        pruner: pruner(1),
        block: block(block_no),
        trees: Trees::from(trees),
        kind: WorkKind::Pruning,
        minutes,
    };
    let by_block = speed_by_block(&[entry(1, 30, Some(360)), entry(2, 20, Some(120))]);
    assert!((by_block[&block(1)].per_day.unwrap().mean - 40.0).abs() < 1e-9);
    assert!((by_block[&block(2)].per_hour.unwrap().mean - 10.0).abs() < 1e-9);
    let whole = speed_by_pruner(&[entry(1, 30, Some(360)), entry(2, 20, None)])[&pruner(1)];
    assert_eq!(
        (whole.trees, whole.person_days, whole.hours_known),
        (Trees::from(50), 1, 0.0)
    );
}

/// `crew` pruners over two blocks, with these trees a day, each pruner's shifted by one.
pub(super) fn uneven(crew: usize, trees: &[u32]) -> Plan {
    let mut plan = even();
    plan.work.clear();
    let days: Vec<_> = plan
        .start
        .iter_days()
        .filter(|day| plan.calendar.planned(*day))
        .take(trees.len())
        .collect();
    for n in 0..crew {
        for (i, day) in days.iter().enumerate() {
            plan.work.push(DayWork {
                day: *day,
                pruner: pruner(n as u128),
                block: block(1 + (i * 2 / days.len()) as u128),
                trees: Trees::from(trees[(i + n) % trees.len()]),
                kind: WorkKind::Pruning,
                minutes: Some(450),
            });
        }
    }
    plan.today = days[days.len() - 1] + Days::new(1);
    plan.crew = (0..crew as u128).map(member).collect();
    plan.blocks = [1, 2, 3]
        .map(|n| BlockPlan {
            block: block(n),
            done: 0,
            left: 300 * n as u32,
            deadline: plan.today + Days::new(20 * n as u64),
        })
        .into();
    plan.runs = 60;
    plan
}
