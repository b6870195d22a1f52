//! Trees of the invented orchard that were counted twice, with the slips that counting has.

use chrono::NaiveDate;

use super::maker::{Maker, moment};
use super::planting::Orchard;
use crate::orchard::{
    Age, BudLimit, Chosen, CountHead, CountId, MAX_BUDS, Rule, Size, Stage, Tally, TreeCount,
};
use crate::store::{CountFilter, Store, StoreError};

/// Sets this apart from all else that the same seed makes.
const APART: u64 = 0x0051_ded0;
/// Days on which trees are counted again, and how many on each.
const DAYS: usize = 10;
const TREES: usize = 2;
/// When that is done, seconds after midnight: after the day's own counts.
const BEGINS: i64 = 61_200;
/// The second counter. The first is the one of all other counts.
const OTHER: &str = "Tobin";
/// Share of the pieces that are overlooked, and that are taken for a year older or younger.
const OVERLOOKED: f64 = 0.03;
const OTHER_AGE: f64 = 0.04;
/// One-year pieces that the second counter takes for two-year ones besides.
const OTHER_EYE: f64 = 0.05;
/// Share of the units on the limit that are counted one bud off, and of those off it that are counted nearer: some of
/// the latter were slips of the first count.
const OFF_LIMIT: f64 = 0.03;
const NEARER: f64 = 0.4;

/// Counts some trees again, the first day by the same counter, the next by the other, and so on; how many.
pub(super) fn count_again(
    store: &Store,
    seed: u64,
    orchard: &Orchard,
    days: &[NaiveDate],
) -> Result<usize, StoreError> {
    let mut maker = Maker::new(seed ^ APART);
    let counts = store.counts(CountFilter::Winter(orchard.winter.id))?;
    let mut made_again = 0;
    // from the first day with counts on
    for (at, day) in days.iter().skip(1).take(DAYS).enumerate() {
        let mut of_day: Vec<_> = (counts.iter())
            .filter(|count| {
                let head = &count.head;
                count.closed
                    && head.at.day == *day
                    && head.stage == Stage::After
                    && head.chosen == Chosen::Drawn
            })
            .collect();
        for tree in 0..TREES.min(of_day.len()) {
            let first = of_day.swap_remove(maker.below(of_day.len()));
            let other = at % 2 == 1;
            let at = moment(*day, BEGINS + 240 * tree as i64);
            let head = CountHead {
                counter: if other {
                    OTHER.into()
                } else {
                    first.head.counter.clone()
                },
                at,
                again: true,
                ..first.head.clone()
            };
            let count = TreeCount {
                id: CountId(maker.id(at)),
                head,
                tally: seen_again(&mut maker, &orchard.rule, &first.tally, other),
                closed: true,
                by_log: None,
                pruned_on: None,
            };
            store.add_count(&count)?;
            made_again += 1;
        }
    }
    Ok(made_again)
}

/// What a second count of a tree comes to.
fn seen_again(maker: &mut Maker, rule: &Rule, first: &Tally, other: bool) -> Tally {
    let mut tally = Tally {
        upright: first.upright,
        thick_top: first.thick_top,
        ..Tally::default()
    };
    for age in Age::ALL {
        for _ in 0..first.ages[age.index()] {
            if !maker.chance(OVERLOOKED) {
                tally.ages[seen_age(maker, age, other).index()] += 1;
            }
        }
    }
    for (size, units) in Size::ALL.into_iter().zip(&first.units) {
        for (buds, units) in (0..).zip(units) {
            for _ in 0..*units {
                if maker.chance(OVERLOOKED) {
                    continue;
                }
                let buds = seen_buds(maker, rule.bud_limit(size), buds);
                tally.units[size.index()][usize::from(buds)] += 1;
            }
        }
    }
    // as many as are overlooked in one count are overlooked in the other
    for _ in 0..first.pieces() {
        if maker.chance(OVERLOOKED) {
            let age = Age::ALL[maker.weighted(first.ages.map(f64::from))];
            tally.ages[seen_age(maker, age, other).index()] += 1;
        }
    }
    // each of these buds was seen on a two-year piece
    let two = &mut tally.ages[Age::Two.index()];
    *two = (*two).max(tally.units.iter().flatten().sum());
    tally
}

fn seen_buds(maker: &mut Maker, limit: BudLimit, buds: u8) -> u8 {
    if buds > limit.most {
        buds - u8::from(maker.chance(NEARER))
    } else if buds < limit.least {
        buds + u8::from(maker.chance(NEARER))
    } else if !maker.chance(OFF_LIMIT) {
        buds
    } else if maker.chance(0.5) {
        (buds + 1).min(MAX_BUDS)
    } else {
        buds.saturating_sub(1)
    }
}

fn seen_age(maker: &mut Maker, age: Age, other: bool) -> Age {
    let at = age.index();
    if maker.chance(OTHER_AGE) {
        let older = maker.chance(0.5);
        return Age::ALL[if older {
            (at + 1).min(3)
        } else {
            at.saturating_sub(1)
        }];
    }
    if other && age == Age::One && maker.chance(OTHER_EYE) {
        return Age::Two;
    }
    age
}
