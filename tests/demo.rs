//! The invented orchard: the same every time, sound, and its habits show in the verdicts.

use std::collections::BTreeMap;

use chrono::{Datelike, NaiveDate, Weekday};
use thirdwood::demo::{DemoFacts, Habit, LargeSpec, fill, fill_large};
use thirdwood::exchange::{Table, export};
use thirdwood::judge::{Judgement, Metric, Sample, TreeFigures, Verdict, bands, judge};
use thirdwood::orchard::*;
use thirdwood::report::{FateLine, Season};
use thirdwood::store::{CountFilter, Setting, Store};

const SEED: u64 = 7;

fn day(year: i32, month: u32, day: u32) -> NaiveDate {
    NaiveDate::from_ymd_opt(year, month, day).unwrap()
}

fn demo(seed: u64, today: NaiveDate) -> (Store, DemoFacts) {
    let store = Store::in_memory().unwrap();
    let facts = fill(&store, seed, today).unwrap();
    (store, facts)
}

fn everything(store: &Store) -> String {
    let mut bytes = Vec::new();
    for table in Table::ALL {
        export(store, table, &mut bytes).unwrap();
    }
    String::from_utf8(bytes).unwrap()
}

fn judged(store: &Store, facts: &DemoFacts) -> Vec<(Habit, u32, Judgement)> {
    let rule = store.rules(facts.winter).unwrap().general;
    let counts = store.counts(CountFilter::Winter(facts.winter)).unwrap();
    let judge_one = |(pruner, habit): &(PrunerId, Habit)| {
        let mut sample = Sample::new(rule.target());
        for count in &counts {
            let head = &count.head;
            let judged = count.closed && !head.again && head.stage == Stage::After;
            if judged && head.pruner == Some(*pruner) {
                sample.add(&TreeFigures::of(&count.tally, &rule));
            }
        }
        (*habit, sample.trees(), judge(&sample, &bands(&rule)))
    };
    facts.crew.iter().map(judge_one).collect()
}

fn is_flagged(verdict: Verdict) -> bool {
    matches!(verdict, Verdict::Light | Verdict::Heavy)
}

#[test]
fn the_same_seed_and_day_make_the_same_orchard() {
    let today = day(2027, 7, 14);
    let first = everything(&demo(SEED, today).0);
    assert_eq!(everything(&demo(SEED, today).0), first);
    assert_ne!(everything(&demo(SEED + 1, today).0), first);
    let orchard = demo(SEED, today).0.setting(Setting::Orchard).unwrap();
    assert!(orchard.is_some_and(|name| name.contains("invented")));
}

#[test]
fn it_is_sound_on_any_day() {
    for today in [
        day(2027, 7, 14),
        day(2026, 11, 1), // a Sunday
        day(2028, 2, 29),
        day(1970, 1, 1),
        NaiveDate::MAX,
    ] {
        let (store, facts) = demo(3, today);
        assert_eq!(store.check().unwrap().problems, Vec::<String>::new());
        assert_eq!(facts.days.len(), 13);
        assert!(facts.days.iter().all(|day| day.weekday() != Weekday::Sun));
        let counts = store.counts(CountFilter::Winter(facts.winter)).unwrap();
        assert_eq!(counts.len(), facts.counts);
        for count in &counts {
            let pieces = count.tally.pieces();
            let units: u32 = count.tally.units.iter().flatten().sum();
            assert!((5..=110).contains(&pieces) && units <= 12, "{count:?}");
        }
    }
}

#[test]
fn the_winter_has_all_that_a_winter_has() {
    let today = day(2027, 7, 14);
    let (store, facts) = demo(SEED, today);
    let counts = store.counts(CountFilter::Winter(facts.winter)).unwrap();
    let number = |wanted: &dyn Fn(&TreeCount) -> bool| counts.iter().filter(|c| wanted(c)).count();
    assert!((420..=600).contains(&counts.len()), "{}", counts.len());
    assert_eq!(number(&|c| !c.closed), 1);
    assert!(number(&|c| c.head.chosen == Chosen::Drawn) > counts.len() * 8 / 10);
    assert!(number(&|c| c.head.chosen == Chosen::ByEye) > 20);
    assert!((8..=13).contains(&number(&|c| c.head.stage == Stage::Before)));
    assert!((10..=80).contains(&number(&|c| c.head.part != Part::Stems(1))));
    assert!(number(&|c| c.head.at.day == today) > 15);
    for block in &facts.blocks {
        assert!(number(&|c| c.head.block == *block) > 40);
    }
    let draws = store.draws(facts.winter).unwrap();
    assert_eq!(draws.len(), 12);
    let winter = store.winter_on(today).unwrap().unwrap();
    let season = Season::load(&store, winter).unwrap();
    let waiting = |draw: &Draw| {
        let lines = season.draw_lines(draw).into_iter();
        lines.filter(|tree| tree.fate == FateLine::Waiting).count()
    };
    assert!(draws[..11].iter().all(|draw| waiting(draw) == 0));
    assert_eq!(draws[11].day, today);
    assert!(waiting(&draws[11]) > 10);
    let skipped = |tree: &DrawnTree| matches!(tree.fate, Fate::Skipped(_));
    assert!(draws.iter().flat_map(|draw| &draw.trees).any(skipped));
    let settled: Vec<_> = store.go_backs(facts.winter).unwrap();
    let settled: Vec<_> = settled
        .iter()
        .map(|entry| entry.settled.is_some())
        .collect();
    assert_eq!(settled, [true, true, false]);
}

/// Nobody prunes a tree that is pruned already, and each block is begun and not done.
#[test]
fn each_tree_is_pruned_once() {
    let (store, facts) = demo(SEED, day(2027, 7, 14));
    let work = store.work(facts.winter).unwrap();
    assert_eq!(work.len(), facts.work);
    for (at, entry) in work.iter().enumerate() {
        assert!(work[..at].iter().all(|other| !entry.overlaps(other)));
    }
    let mut done: BTreeMap<BlockId, u32> = BTreeMap::new();
    for block in store.blocks().unwrap() {
        for entry in work.iter().filter(|entry| entry.block == block.id) {
            let row = block.rows.row(entry.row).unwrap();
            *done.entry(block.id).or_default() += row.trees_between(entry.first, entry.last);
        }
        let share = f64::from(done[&block.id]) / f64::from(block.rows.trees());
        assert!((0.3..0.95).contains(&share), "{} {share}", block.name);
    }
    let mut minutes: BTreeMap<(PrunerId, NaiveDate), u32> = BTreeMap::new();
    for entry in &work {
        *minutes.entry((entry.pruner, entry.day)).or_default() +=
            u32::from(entry.minutes.unwrap_or(0));
    }
    assert!(minutes.values().all(|m| *m == 0 || (400..=510).contains(m)));
}

/// Over several seeds: the wrong are found out, the innocent are not accused.
#[test]
fn habits_show_in_the_verdicts() {
    let today = day(2027, 7, 14);
    for seed in [SEED, 1, 2, 3, 2027] {
        let (store, facts) = demo(seed, today);
        let judged = judged(&store, &facts);
        for (habit, trees, judgement) in &judged {
            let off = |metric| is_flagged(judgement.metric(metric).verdict);
            let overall = judgement.overall;
            println!("seed {seed}: {habit:?}, {trees} trees, {overall:?}");
            match habit {
                Habit::LittleOneYear => assert!(off(Metric::One), "{seed}"),
                Habit::ManyBuds => assert!(off(Metric::Buds), "{seed}"),
                Habit::OldWood => assert!(off(Metric::FourPlus), "{seed}"),
                Habit::Good | Habit::Erratic | Habit::Newcomer => {
                    assert!(!is_flagged(overall), "{seed} {habit:?}");
                }
                Habit::Improves => {}
            }
            let new = *habit == Habit::Newcomer;
            assert!(!new || !overall.is_settled() && *trees < 30);
        }
        let found = |wanted: fn(Verdict) -> bool| judged.iter().any(|j| wanted(j.2.overall));
        assert!(
            found(|v| v == Verdict::InBalance),
            "{seed}: nobody is in balance"
        );
    }
}

#[test]
fn one_improves_after_the_first_week() {
    let (store, facts) = demo(SEED, day(2027, 7, 14));
    let who = facts
        .crew
        .iter()
        .find(|m| m.1 == Habit::Improves)
        .unwrap()
        .0;
    let counts = store.counts(CountFilter::Winter(facts.winter)).unwrap();
    let share = |week: std::ops::RangeInclusive<NaiveDate>| {
        let own = counts
            .iter()
            .filter(|c| c.closed && !c.head.again && c.head.pruner == Some(who))
            .filter(|c| week.contains(&c.head.at.day));
        let shares: Vec<f64> = own
            .map(|c| f64::from(c.tally.ages[0]) / f64::from(c.tally.pieces()))
            .collect();
        assert!(shares.len() > 10, "{}", shares.len());
        shares.iter().sum::<f64>() / shares.len() as f64
    };
    assert!(share(facts.days[0]..=facts.days[6]) < 0.22);
    assert!(share(facts.days[7]..=facts.days[12]) > 0.28);
}

#[test]
fn a_store_with_such_names_is_left_alone() {
    let (store, _) = demo(1, day(2027, 7, 14));
    let before = everything(&store);
    assert!(fill(&store, 2, day(2027, 7, 14)).is_err());
    assert_eq!(everything(&store), before);
}

#[test]
fn a_large_orchard_is_as_large_as_asked_for() {
    let spec = LargeSpec {
        winters: 2,
        blocks: 3,
        pruners: 7,
        counts_per_winter: 150,
        seed: 5,
    };
    let store = Store::in_memory().unwrap();
    assert_eq!(fill_large(&store, spec).unwrap(), 300);
    assert_eq!(store.check().unwrap().problems, Vec::<String>::new());
    let winters = store.winters().unwrap();
    assert_eq!(winters.len(), 2);
    for winter in winters {
        let counts = store.counts(CountFilter::Winter(winter.id)).unwrap();
        assert_eq!(counts.len(), 150);
        assert_eq!(store.work(winter.id).unwrap().len(), 60);
    }
    let again = Store::in_memory().unwrap();
    fill_large(&again, spec).unwrap();
    assert_eq!(everything(&again), everything(&store));
}
