//! Standings kept up to date count by count are those made afresh, whatever happens to the counts.

use chrono::NaiveDate;
use rand::seq::IndexedRandom;
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;
use thirdwood::demo;
use thirdwood::orchard::{CountId, Stage, TreeCount};
use thirdwood::report::{Period, Season, Standing};
use thirdwood::store::Store;

const STEPS: usize = 100;

fn invented(today: NaiveDate) -> Season {
    let store = Store::in_memory().unwrap();
    demo::fill(&store, 1, today).unwrap();
    let winter = store.winter_on(today).unwrap().unwrap();
    Season::load(&store, winter).unwrap()
}

/// Something that can happen to a count; none: it is taken out.
fn changed(season: &Season, generator: &mut ChaCha8Rng) -> (CountId, Option<TreeCount>) {
    let counts = season.counts();
    let mut count = counts.choose(generator).unwrap().clone();
    let other = counts.choose(generator).unwrap();
    let id = count.id;
    match generator.random_range(0..8) {
        0 => return (id, None),
        1 => count.closed = !count.closed,
        2 => count.head.again = !count.head.again,
        3 => count.head.pruner = other.head.pruner,
        4 => {
            count.head.stage = match count.head.stage {
                Stage::Before => Stage::After,
                Stage::After => Stage::Before,
            }
        }
        // of two counts of a tree, only the later one stands
        5 => {
            (count.head.block, count.head.row) = (other.head.block, other.head.row);
            count.head.tree = other.head.tree;
        }
        6 => count.head.at = other.head.at,
        _ => count.tally = other.tally,
    }
    (id, Some(count))
}

#[test]
fn standings_kept_up_to_date_are_those_made_afresh() {
    let today = NaiveDate::from_ymd_opt(2027, 1, 29).unwrap();
    let mut season = invented(today);
    let mut generator = ChaCha8Rng::seed_from_u64(7);
    let spans = [
        Period::so_far(today),
        Period {
            since: today.checked_sub_days(chrono::Days::new(6)),
            until: today,
        },
    ];
    let mut kept = spans.map(|span| season.all_standings(span));
    let (mut altered, mut gone): (usize, Vec<TreeCount>) = (0, Vec::new());
    for step in 0..STEPS {
        let (id, count) = match gone.pop().filter(|_| step % 5 == 0) {
            Some(back) => (back.id, Some(back)),
            None => changed(&season, &mut generator),
        };
        let mut touched = season.touched_by(id);
        if let Some(count) = count {
            season.put(count);
        } else {
            gone.extend(season.count(id).cloned());
            season.take(id);
        }
        touched.join(season.touched_by(id));
        for (span, (crew, blocks)) in spans.iter().zip(&mut kept) {
            let before: Vec<Standing> = blocks.clone();
            season.renew_standings(*span, &touched, crew, blocks);
            let afresh = season.all_standings(*span);
            assert_eq!((&*crew, &*blocks), (&afresh.0, &afresh.1), "step {step}");
            altered += usize::from(before != *blocks);
        }
    }
    assert!(altered > STEPS / 2, "only {altered} steps changed anything");
}
