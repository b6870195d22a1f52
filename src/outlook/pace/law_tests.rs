//! What must hold for any plan.

use std::collections::BTreeSet;

use chrono::{Days, NaiveDate};
use proptest::prelude::*;

use super::forecast_tests::{block, pruner, uneven};
use super::*;
use crate::orchard::{Trees, WorkKind};

/// Whether no point of any finish in `later` is before its like in `sooner`; never is last.
fn never_sooner(later: &Forecast, sooner: &Forecast) -> bool {
    let points = |forecast: &Forecast| -> Vec<NaiveDate> {
        let finishes = forecast
            .blocks
            .iter()
            .map(|block| block.finish)
            .chain([forecast.orchard]);
        let of = |finish| match finish {
            Finish::Done | Finish::NoBlock | Finish::TooFewDays { .. } => [Some(NaiveDate::MIN); 3],
            Finish::Never(_) => [None; 3],
            Finish::Expected { day, .. } => [day.low, day.mid, day.high],
        };
        finishes
            .flat_map(of)
            .map(|day| day.unwrap_or(NaiveDate::MAX))
            .collect()
    };
    let chance = |forecast: &Forecast| match forecast.orchard {
        Finish::Expected { in_time, .. } => in_time,
        _ => 0.0,
    };
    chance(later) <= chance(sooner)
        && points(later)
            .iter()
            .zip(points(sooner))
            .all(|(a, b)| *a >= b)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn helpers_never_delay_and_days_off_never_hasten(
        crew in 1usize..5,
        trees in proptest::collection::vec(1u32..60, 3..12),
        helpers in 1u16..4,
        comes in 0u64..30,
        off in proptest::collection::btree_set(0u64..60, 1..20),
        seed: u64,
    ) {
        let mut plan = uneven(crew, &trees);
        plan.seed = seed;
        let as_is = forecast(&plan);
        let day_of = |n: &u64| plan.today + Days::new(*n);
        let mut more = plan.clone();
        more.newcomers.push(Newcomers { count: helpers, from: day_of(&comes), until: None });
        prop_assert!(never_sooner(&as_is, &forecast(&more)));
        for base in [&plan, &more] {
            let mut less = base.clone();
            let days = off.iter().map(day_of).collect();
            less.calendar = WorkCalendar::new(less.calendar.weekdays(), days, BTreeSet::new()).unwrap();
            prop_assert!(never_sooner(&forecast(&less), &forecast(base)));
        }
        let mut leaves = plan.clone();
        leaves.crew[0].until = Some(day_of(&comes));
        prop_assert!(never_sooner(&forecast(&leaves), &as_is));
    }

    #[test]
    fn any_log_does_no_harm(
        entries in proptest::collection::vec((0u64..20, 0u128..4, 0u128..4, 0u32..200, proptest::option::of(0u32..1440)), 0..60),
        left in proptest::collection::vec(0u32..100_000, 4),
        today in 0u64..25,
    ) {
        let mut plan = uneven(3, &[10, 20, 30]);
        plan.work = entries.iter().map(|(n, who, place, trees, minutes)| DayWork {
            day: plan.start + Days::new(*n),
            pruner: pruner(*who),
            block: block(*place),
            trees: Trees::from(*trees), kind: WorkKind::Pruning,
            minutes: *minutes,
        }).collect();
        plan.today = plan.start + Days::new(today);
        for (block, left) in plan.blocks.iter_mut().zip(&left) {
            block.left = *left;
        }
        plan.runs = 20;
        for finish in forecast(&plan).blocks.iter().map(|block| block.finish) {
            if let Finish::Expected { day, in_time, .. } = finish {
                prop_assert!((0.0..=1.0).contains(&in_time) && day.low.is_some());
                prop_assert!(day.low <= day.mid || day.mid.is_none());
                prop_assert!(day.mid <= day.high || day.high.is_none());
            }
        }
    }
}
