//! The draw and the way through the rows.

use std::collections::BTreeMap;

use thirdwood::orchard::*;
use thirdwood::report::{FateLine, PlanError, Season};
use uuid::Uuid;

use crate::builder::*;

fn plan(season: &Season, want: usize, since: u64, until: u64) -> Result<Draw, PlanError> {
    season.plan_draw(
        want,
        day(since),
        day(until),
        2027,
        DrawId(Uuid::nil()),
        day(until),
    )
}

struct Small {
    orchard: Orchard,
    blocks: [Block; 2],
    pruners: [Pruner; 3],
}

/// Blocks whose names are not in the order of their making; one pruner settled, one seen a little, one not at all.
fn small() -> Small {
    let orchard = Orchard::new("Test");
    let blocks = [
        orchard.block("West", "1-9x60", ""),
        orchard.block("East", "1-9x60", "2:10-20"),
    ];
    let pruners = [1, 2, 3].map(|n| orchard.pruner(n, "", false));
    orchard.counted_row(&pruners[0], &blocks[0], 1, 40, 2, light);
    orchard.counted_row(&pruners[1], &blocks[0], 2, 6, 2, wild);
    orchard.work(&pruners[0], &blocks[0], 3, (1, 60), 3);
    orchard.work(&pruners[1], &blocks[1], 1, (1, 60), 3);
    orchard.work(&pruners[2], &blocks[1], 2, (1, 60), 3);
    Small {
        orchard,
        blocks,
        pruners,
    }
}

#[test]
fn a_draw_is_fixed_by_its_seed_and_lies_in_walking_order() {
    let Small {
        orchard,
        blocks,
        pruners,
    } = small();
    let season = orchard.season();
    let draw = plan(&season, 14, 3, 3).unwrap();
    assert_eq!(draw, plan(&season, 14, 3, 3).unwrap());
    assert_eq!(draw.trees.len(), 14);
    let places: Vec<_> = (draw.trees.iter())
        .map(|tree| {
            (
                season.block_name(tree.block).to_owned(),
                tree.row,
                tree.tree,
            )
        })
        .collect();
    assert!(places.is_sorted(), "{places:?}");
    assert!(
        draw.trees
            .iter()
            .all(|tree| !(tree.row == 2 && (10..=20).contains(&tree.tree)))
    );
    let mut by_pruner: BTreeMap<PrunerId, usize> = BTreeMap::new();
    for tree in &draw.trees {
        *by_pruner.entry(tree.pruner).or_default() += 1;
        let owner = season
            .doer_of((tree.block, tree.row, tree.tree), day(3), Zone::Whole)
            .map(Doer::person);
        assert_eq!(owner, Some(tree.pruner));
    }
    let given = pruners.each_ref().map(|pruner| by_pruner[&pruner.id]);
    assert_eq!(given[0], 2, "there is a verdict on the first: {given:?}");
    assert!(given[1] > 2 && given[2] > 2, "{given:?}");
    let all = plan(&season, 500, 3, 3).unwrap();
    assert_eq!(all.trees.len(), 60 + 60 + 49);
    assert_ne!(
        draw.trees,
        season
            .plan_draw(14, day(3), day(3), 2028, DrawId(Uuid::nil()), day(3))
            .unwrap()
            .trees
    );
    // the seed's trees are pinned: another generator would break every draw that is stored
    let first: Vec<_> = (places.iter().take(4))
        .map(|(block, row, tree)| (block.as_str(), *row, *tree))
        .collect();
    assert_eq!(first, [5, 17, 29, 41].map(|tree| ("East", 1, tree)));
    assert_eq!(blocks[1].name, "East");
}

#[test]
fn no_tree_is_drawn_twice_and_counted_trees_are_not_drawn() {
    let Small {
        orchard,
        blocks,
        pruners,
    } = small();
    for place in 1..=30 {
        orchard.count(
            &pruners[2],
            &blocks[1],
            (2, if place < 10 { place } else { place + 11 }),
            3,
            &even(1),
        );
    }
    let mut seen = Vec::new();
    loop {
        let season = orchard.season();
        let left = 169 - 30 - seen.len();
        match season.plan_draw(40, day(3), day(3), 5, DrawId(Uuid::now_v7()), day(3)) {
            Ok(draw) => {
                assert_eq!(draw.trees.len(), left.min(40));
                seen.extend(
                    draw.trees
                        .iter()
                        .map(|tree| (tree.block, tree.row, tree.tree)),
                );
                orchard.store.add_draw(&draw).unwrap();
            }
            Err(error) => {
                assert!(
                    matches!(error, PlanError::AllDrawn { trees: 169, .. }),
                    "{error}"
                );
                break;
            }
        }
    }
    let all = seen.len();
    seen.sort_unstable();
    seen.dedup();
    assert_eq!((seen.len(), all), (139, 139), "169 pruned, 30 counted");
}

#[test]
fn a_row_pruned_again_can_be_drawn_again() {
    let orchard = Orchard::new("Test");
    let block = orchard.block("River", "1x10", "");
    let pruner = orchard.pruner(1, "", false);
    orchard.counted_row(&pruner, &block, 1, 10, 3, light);
    assert!(matches!(
        plan(&orchard.season(), 5, 1, 9),
        Err(PlanError::AllDrawn { .. })
    ));
    orchard.work(&pruner, &block, 1, (1, 10), 5);
    let draw = plan(&orchard.season(), 5, 4, 9).unwrap();
    orchard.store.add_draw(&draw).unwrap();
    // what still waits is not drawn once more, however often the row is pruned
    orchard.work(&pruner, &block, 1, (1, 10), 12);
    let second = orchard
        .season()
        .plan_draw(10, day(12), day(12), 1, DrawId(Uuid::now_v7()), day(12))
        .unwrap();
    assert_eq!(second.trees.len(), 5);
    assert!(second.trees.iter().all(|tree| !draw.trees.contains(tree)));
}

#[test]
fn errors_say_what_to_do() {
    let season = small().orchard.season();
    let said = |result: Result<Draw, PlanError>| result.unwrap_err().to_string();
    assert!(said(plan(&season, 0, 3, 3)).contains("at least 1"));
    assert!(said(plan(&season, 5, 4, 3)).contains("first day before the last"));
    assert!(said(plan(&season, 5, 8, 9)).contains("log who pruned which rows"));
}

#[test]
fn the_walk_follows_the_counts_without_reading_the_file_again() {
    let Small {
        orchard,
        blocks,
        pruners,
    } = small();
    let first = plan(&orchard.season(), 6, 3, 3).unwrap();
    let first = Draw {
        id: DrawId(Uuid::now_v7()),
        ..first
    };
    orchard.store.add_draw(&first).unwrap();
    orchard.work(&pruners[2], &blocks[1], 5, (1, 30), 4);
    let second = orchard
        .season()
        .plan_draw(3, day(4), day(4), 9, DrawId(Uuid::now_v7()), day(4))
        .unwrap();
    orchard.store.add_draw(&second).unwrap();
    orchard
        .store
        .skip_drawn(first.id, 1, Some("dead tree"))
        .unwrap();
    orchard.send_back(&pruners[1], &blocks[1], 1, 4, "");
    let mut season = orchard.season();

    let walk = season.walk(day(4));
    assert_eq!(walk.waiting as usize, walk.next.len());
    let places: Vec<_> = walk
        .next
        .iter()
        .map(|tree| (tree.draw, tree.place_in_draw))
        .collect();
    let mut expected: Vec<_> = [0, 2, 3, 4, 5].map(|at| (first.id, at)).to_vec();
    expected.extend([0, 1, 2].map(|at| (second.id, at)));
    assert_eq!(places, expected, "the older draw first");
    assert_eq!((walk.counted_today, walk.open_go_backs.len()), (0, 1));
    let who: Vec<_> = walk
        .who
        .iter()
        .map(|line| (line.subject.shown(), line.trees))
        .collect();
    assert_eq!(who, [("Nr 1", 40), ("Nr 2", 6), ("Nr 3", 0)]);
    assert_eq!(walk.who[0].words(), "light (one-year wood)");
    assert_eq!(walk.who[2].words(), "keep counting");

    let next = walk.next[0].clone();
    let (pruner, block) = (
        season.pruner(next.pruner).unwrap().clone(),
        season.block(next.block).unwrap().clone(),
    );
    let at = (next.row, next.tree);
    let mut count = orchard.count_as(&pruner, &block, at, 4, &even(1), |count| {
        count.closed = false;
    });
    season.put(count.clone());
    let walk = season.walk(day(4));
    assert_eq!(walk.waiting, 8, "an open count has not been made yet");
    assert_eq!(
        (walk.next.len(), walk.resume.len()),
        (7, 1),
        "and stands in one list only"
    );
    assert_eq!(
        (
            walk.resume[0].pieces,
            walk.resume[0].units,
            walk.resume[0].place_words()
        ),
        (30, 12, next.place_words())
    );
    count.closed = true;
    season.put(count.clone());
    let walk = season.walk(day(4));
    assert_eq!(
        (walk.next.len(), walk.resume.len(), walk.counted_today),
        (7, 0, 1)
    );
    assert_ne!(walk.next[0], next);
    season.take(count.id);
    assert_eq!(
        season.walk(day(4)).next[0],
        next,
        "taken back, it waits again"
    );
    let fates: Vec<_> = season
        .draw_lines(&season.draws[0])
        .into_iter()
        .map(|tree| tree.fate)
        .collect();
    assert_eq!(
        fates[1],
        FateLine::Skipped {
            reason: "dead tree".into()
        }
    );
}

/// Trees counted three minutes apart, with a pause of an hour among them.
#[test]
fn the_time_of_a_tree_is_that_from_one_count_to_the_next() {
    let orchard = Orchard::new("Test");
    let block = orchard.block("West", "1x60", "");
    let pruner = orchard.pruner(1, "", false);
    // the orchard's clock goes on a minute a count
    let count = |tree: u16, pause: i64| {
        let later = (2 * i64::from(tree) + pause) * 60_000;
        let at = |count: &mut TreeCount| count.head.at.utc_ms += later;
        orchard.count_as(&pruner, &block, (1, tree), 5, &even(1), at);
    };
    (1..=9).for_each(|tree| count(tree, 0));
    assert_eq!(orchard.season().minutes_a_tree(), None, "too few");
    (10..=13).for_each(|tree| count(tree, 60));
    assert_eq!(orchard.season().minutes_a_tree(), Some(3.0));
}

fn in_minutes(season: &Season, minutes: u16, seed: u64) -> Result<Draw, PlanError> {
    let id = DrawId(Uuid::nil());
    season.plan_minutes(minutes, (day(3), day(3)), seed, id, day(3))
}

fn by_pruner(draw: &Draw) -> BTreeMap<PrunerId, usize> {
    let mut given = BTreeMap::new();
    for tree in &draw.trees {
        *given.entry(tree.pruner).or_default() += 1;
    }
    given
}

/// The first is known, the second hinted at or open, nobody has seen the third.
#[test]
fn minutes_go_to_whom_they_tell_most_about() {
    let small = small();
    let season = small.orchard.season();
    let draw = in_minutes(&season, 15, 7).unwrap();
    assert_eq!(draw, in_minutes(&season, 15, 7).unwrap());
    let takes = season.takes(&draw);
    assert!((9.0..=18.0).contains(&takes.minutes), "{takes:?}");
    let given = by_pruner(&draw);
    let of = |pruner: &Pruner| given.get(&pruner.id).copied().unwrap_or(0);
    let [settled, seen, new] = small.pruners.each_ref().map(of);
    assert_eq!(settled, 0, "counted the day before: {given:?}");
    assert!(new >= 4 && seen + new == draw.trees.len(), "{given:?}");
    // more minutes, more trees; never more than ten of one
    let long = in_minutes(&season, 300, 7).unwrap();
    assert!(long.trees.len() > draw.trees.len());
    assert!(by_pruner(&long).values().all(|trees| *trees <= 10));
    assert_eq!(
        in_minutes(&season, 1, 7),
        Err(PlanError::TooShort { minutes: 1 })
    );
    // each row's trees in order along the alley, each alley once
    let alleys: Vec<_> = (long.trees.iter())
        .map(|tree| (tree.block, tree.row.div_ceil(2)))
        .collect();
    let mut once = alleys.clone();
    once.dedup();
    let many = once.len();
    once.sort_unstable();
    once.dedup();
    assert!(once.len() <= many && many <= once.len() + 1, "{alleys:?}");
}

#[test]
fn who_has_left_gets_no_tree_of_a_draw_in_minutes() {
    let small = small();
    let left = Stint {
        winter: small.orchard.winter.id,
        pruner: small.pruners[2].id,
        joins: None,
        leaves: Some(day(2)),
    };
    small.orchard.store.save_stint(&left).unwrap();
    let draw = in_minutes(&small.orchard.season(), 120, 7).unwrap();
    assert!(!by_pruner(&draw).contains_key(&small.pruners[2].id));
}

/// How many trees somebody gets does not hang on which: so each tree of theirs has the same chance.
#[test]
fn every_tree_of_a_pruner_has_the_same_chance_in_a_draw_in_minutes() {
    let small = small();
    let season = small.orchard.season();
    let wanted = by_pruner(&in_minutes(&season, 60, 0).unwrap());
    let mut times: BTreeMap<(PrunerId, u16), u32> = BTreeMap::new();
    let draws = 1_500;
    for seed in 0..draws {
        let draw = in_minutes(&season, 60, seed).unwrap();
        assert_eq!(by_pruner(&draw), wanted, "seed {seed}");
        for tree in &draw.trees {
            *times.entry((tree.pruner, tree.tree)).or_default() += 1;
        }
    }
    let new = small.pruners[2].id;
    let (k, n) = (wanted[&new] as f64, 49.0);
    let expected = draws as f64 * k / n;
    let sd = (expected * (1.0 - k / n)).sqrt();
    let of_new = times.iter().filter(|((pruner, _), _)| *pruner == new);
    let counts: Vec<u32> = of_new.map(|(_, times)| *times).collect();
    assert_eq!(counts.len(), 49, "every tree was drawn");
    for times in counts {
        assert!(
            (f64::from(times) - expected).abs() < 5.0 * sd,
            "{times} beside {expected}"
        );
    }
}
