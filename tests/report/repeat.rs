//! Trees counted twice: which counts belong together, and what is said of them.

use thirdwood::judge::{Metric, Verdict};
use thirdwood::orchard::*;
use thirdwood::report::document::sheets;
use thirdwood::report::{Counters, Period, RepeatFigure, Season, text, words};
use thirdwood::store::{CountFilter, Store};

use crate::builder::{GOOD, Orchard, Tree, day, even, light};

/// A second count of a tree by somebody.
fn again(
    orchard: &Orchard,
    pruner: &Pruner,
    block: &Block,
    at: (u16, u16),
    on: u64,
    tree: &Tree,
    by: &str,
) -> TreeCount {
    orchard.count_as(pruner, block, at, on, tree, |count| {
        count.head.again = true;
        by.clone_into(&mut count.head.counter);
    })
}

/// Twelve trees of a row, counted by Ann; then `twice` of them again by `by`.
fn row_counted_twice(twice: u16, by: &str) -> (Orchard, Pruner, Block) {
    let orchard = Orchard::new("Invented");
    let (block, pruner) = (
        orchard.block("River", "1-3x60", ""),
        orchard.pruner(1, "One", false),
    );
    orchard.work(&pruner, &block, 1, (1, 12), 3);
    for place in 1..=12 {
        let tree = Tree([6 + u32::from(place), 10, 12, 0], GOOD);
        orchard.count_as(&pruner, &block, (1, place), 3, &tree, |count| {
            count.head.counter = "Ann".into();
        });
    }
    for place in 1..=twice {
        let tree = Tree([7 + u32::from(place), 10, 12, 0], GOOD);
        again(&orchard, &pruner, &block, (1, place), 4, &tree, by);
    }
    (orchard, pruner, block)
}

#[test]
fn a_second_count_is_part_of_no_verdict() {
    let (orchard, pruner, block) = row_counted_twice(0, "");
    let before = orchard.season();
    let standings = before.all_standings(Period::so_far(day(9)));
    let next = before.plan_draw(5, day(3), day(3), 1, DrawId(uuid::Uuid::nil()), day(9));
    for place in 1..=12 {
        again(&orchard, &pruner, &block, (1, place), 4, &light(1), "Ann");
    }
    let after = orchard.season();
    assert_eq!(after.all_standings(Period::so_far(day(9))), standings);
    assert_eq!(after.walk(day(4)).counted_today, 0);
    assert_eq!(after.day_sheets(day(4)).len(), 0);
    assert_eq!(after.supervisor_page(day(9)).quality.trees, 12);
    let same = after.plan_draw(5, day(3), day(3), 1, DrawId(uuid::Uuid::nil()), day(9));
    assert_eq!(same, next);
}

#[test]
fn counts_are_paired_by_who_made_them() {
    let (orchard, ..) = row_counted_twice(6, "Bo");
    let repeats = orchard.season().repeats(day(9));
    assert_eq!((repeats.pairs, repeats.unpaired), (6, 0));
    let counters: Vec<_> = repeats
        .groups
        .iter()
        .map(|group| group.counters.clone())
        .collect();
    let two = Counters::Two {
        one: "Ann".into(),
        other: "Bo".into(),
    };
    assert_eq!(counters, [Counters::All, two]);
    for group in &repeats.groups {
        let line = group
            .figures
            .iter()
            .find(|line| line.figure == RepeatFigure::PiecesOne)
            .unwrap();
        let bias = line.agreement.bias;
        assert!((bias.value - 1.0).abs() < 1e-12 && bias.lo <= 1.0 && bias.hi >= 1.0);
        assert_eq!(group.figures.len(), RepeatFigure::ALL.len());
    }
    assert!(repeats.cautions.is_empty());
}

#[test]
fn nothing_is_said_of_four_pairs() {
    let (orchard, ..) = row_counted_twice(4, "Ann");
    let repeats = orchard.season().repeats(day(9));
    assert_eq!((repeats.pairs, repeats.groups.len()), (4, 2));
    assert!(repeats.groups.iter().all(|group| group.figures.is_empty()));
    let review = text::render(&sheets::review(&orchard.season().review(day(9))));
    assert!(
        review.contains("4 trees; nothing is said for fewer than 5"),
        "{review}"
    );
}

#[test]
fn what_cannot_be_compared_has_no_pair() {
    let (orchard, pruner, block) = row_counted_twice(0, "");
    let tree = even(1);
    // never counted before
    again(&orchard, &pruner, &block, (1, 30), 4, &tree, "Ann");
    // on some stems only, where the first count was of the whole tree
    orchard.count_as(&pruner, &block, (1, 1), 4, &tree, |count| {
        count.head.again = true;
        count.head.part = Part::Stems(2);
    });
    // pruned once more between
    orchard.work(&pruner, &block, 1, (2, 2), 5);
    again(&orchard, &pruner, &block, (1, 2), 6, &tree, "Ann");
    // a third count, beside a second one that has its pair
    again(&orchard, &pruner, &block, (1, 3), 6, &tree, "Ann");
    again(&orchard, &pruner, &block, (1, 3), 7, &tree, "Ann");
    // made on a later day than asked about
    again(&orchard, &pruner, &block, (1, 4), 8, &tree, "Ann");
    let season = orchard.season();
    let (pairs, unpaired) = season.repeat_pairs(day(7));
    let places: Vec<_> = pairs
        .iter()
        .map(|pair| (pair.first.head.tree, pair.again.head.at.day))
        .collect();
    assert_eq!(places, [(3, day(6))]);
    assert_eq!(unpaired, 4);
    assert_eq!(season.repeat_pairs(day(8)).0.len(), 2);
}

/// The tree is recounted after it was mended: the pair stays with the count that stood then.
#[test]
fn the_first_count_is_the_one_that_stood() {
    let (orchard, pruner, block) = row_counted_twice(1, "Ann");
    orchard.work(&pruner, &block, 1, (1, 1), 8);
    orchard.count(&pruner, &block, (1, 1), 8, &even(2));
    let season = orchard.season();
    let (pairs, unpaired) = season.repeat_pairs(day(9));
    assert_eq!((pairs.len(), unpaired), (1, 0));
    assert_eq!(pairs[0].first.head.at.day, day(3));
    let two = text::render(&sheets::two_counts(&season, &pairs[0]));
    let pieces = two.lines().find(|line| line.starts_with("one-year pieces"));
    let pieces: Vec<_> = pieces.unwrap().split_whitespace().skip(2).collect();
    assert_eq!(pieces, ["7", "8", "+1"], "{two}");
}

/// A clock set back by an hour between the two counts parts no pair.
#[test]
fn a_pair_does_not_rest_on_the_clock() {
    let (orchard, pruner, block) = row_counted_twice(1, "Ann");
    let mut earlier = 0;
    orchard.count_as(&pruner, &block, (1, 2), 3, &even(1), |count| {
        count.head.again = true;
        count.head.at.utc_ms -= 3_600_000;
        earlier = count.head.at.utc_ms;
    });
    let season = orchard.season();
    let (pairs, unpaired) = season.repeat_pairs(day(3));
    assert_eq!((pairs.len(), unpaired), (1, 0));
    assert_eq!(pairs[0].again.head.at.utc_ms, earlier);
    assert!(pairs[0].first.head.at.utc_ms > earlier);
}

#[test]
fn trees_to_count_again_are_drawn_once_and_the_same() {
    let (orchard, pruner, block) = row_counted_twice(2, "Ann");
    let season = orchard.season();
    let drawn = season.draw_repeats(Period::day(day(3)), 5);
    assert_eq!(
        (drawn.len(), season.draw_repeats(Period::day(day(3)), 5)),
        (5, drawn.clone())
    );
    let places: Vec<_> = season
        .repeats_to_go(&drawn)
        .iter()
        .map(|tree| tree.tree)
        .collect();
    assert!(
        places.is_sorted() && places.iter().all(|place| *place > 2),
        "{places:?}"
    );
    assert_eq!(season.draw_repeats(Period::day(day(3)), 50).len(), 10);
    again(
        &orchard,
        &pruner,
        &block,
        (1, places[0]),
        4,
        &even(1),
        "Ann",
    );
    let season = orchard.season();
    assert_eq!(season.repeats_to_go(&drawn).len(), 4);
    let head = season
        .head_again(drawn[1], "Bo", season.count(drawn[1]).unwrap().head.at)
        .unwrap();
    assert!(head.again && head.counter == "Bo" && head.tree == places[1]);
    let whole = (block.id, 1, 12);
    assert!(season.first_count(whole, Stage::After, day(4)).is_ok());
    assert!(
        season
            .first_count((block.id, 1, 50), Stage::After, day(4))
            .is_err()
    );
    orchard.work(&pruner, &block, 1, (12, 12), 4);
    assert!(
        orchard
            .season()
            .first_count(whole, Stage::After, day(4))
            .is_err()
    );
}

/// Two counters who see the trees as differently as the trees differ: a caution, on every sheet.
#[test]
fn a_caution_where_the_counter_is_much_of_the_spread() {
    let (orchard, pruner, block) = row_counted_twice(0, "");
    for place in 1..=10u16 {
        let tree = Tree([19 - u32::from(place), 10, 12, 0], GOOD);
        again(&orchard, &pruner, &block, (1, place), 4, &tree, "Bo");
    }
    let season = orchard.season();
    let repeats = season.repeats(day(9));
    let metrics: Vec<_> = repeats
        .cautions
        .iter()
        .map(|caution| caution.metric)
        .collect();
    assert_eq!(metrics, [Metric::One, Metric::Two, Metric::Three]);
    let said = words::counting(&repeats.cautions);
    assert!(
        said.contains(": 100 % (") && said.contains(" of it for one-year wood,"),
        "{said}"
    );
    let sheet = season.day_sheets(day(3)).remove(0);
    assert!(
        sheet.counting.is_empty(),
        "made on the day, before anything was counted twice"
    );
    let page = text::render(&sheets::supervisor(&season.supervisor_page(day(9))));
    let flat = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        flat(&page).contains("seems to come from the counting"),
        "{page}"
    );
    let sheet = season.day_sheet(pruner.id, day(9)).remove(0);
    assert_eq!(sheet.counting, repeats.cautions);
    let shown = text::render(&sheets::day_sheets(&[sheet]));
    assert!(
        flat(&shown).contains("seems to come from the counting"),
        "{shown}"
    );
}

/// Trees counted twice before pruning, with little in common, beside others that agree after it.
#[test]
fn no_caution_rests_on_counts_before_pruning() {
    let (orchard, pruner, block) = row_counted_twice(6, "Bo");
    for place in 1..=10u16 {
        for (again, pieces) in [(false, 2 + 4 * place), (true, 46 - 4 * place)] {
            let tree = Tree([u32::from(pieces), 20, 24, 0], &[]);
            orchard.count_as(&pruner, &block, (2, place), 3, &tree, |count| {
                count.head.stage = Stage::Before;
                count.head.again = again;
                count.head.counter = "Ann".into();
            });
        }
    }
    let repeats = orchard.season().repeats(day(9));
    assert_eq!((repeats.pairs, repeats.unpaired), (16, 0));
    let groups: Vec<_> = (repeats.groups.iter())
        .map(|group| (group.stage, group.pairs))
        .collect();
    let wanted = [
        (Stage::After, 6),
        (Stage::After, 6),
        (Stage::Before, 10),
        (Stage::Before, 10),
    ];
    assert_eq!(groups, wanted);
    let share = |stage: Stage| {
        let group = repeats.groups.iter().find(|group| group.stage == stage);
        let mut lines = group.unwrap().figures.iter();
        let line = lines.find(|line| line.figure == RepeatFigure::ShareOne);
        line.unwrap().agreement.is_large()
    };
    assert!(share(Stage::Before) && !share(Stage::After));
    assert_eq!(repeats.cautions, []);
    let said = text::render(&sheets::review(&orchard.season().review(day(9))));
    assert!(
        said.contains("Ann, both times, before pruning: 10 trees"),
        "{said}"
    );
}

fn demo() -> Season {
    let store = Store::in_memory().unwrap();
    let today = chrono::NaiveDate::from_ymd_opt(2027, 1, 12).unwrap();
    let facts = thirdwood::demo::fill(&store, 1, today).unwrap();
    let counts = store.counts(CountFilter::Winter(facts.winter)).unwrap();
    assert_eq!(counts.iter().filter(|count| count.head.again).count(), 20);
    let winter = store.winter_on(today).unwrap().unwrap();
    Season::load(&store, winter).unwrap()
}

#[test]
fn the_review_of_the_invented_orchard() {
    let season = demo();
    let today = chrono::NaiveDate::from_ymd_opt(2027, 1, 12).unwrap();
    let review = season.review(today);
    assert_eq!((review.repeats.pairs, review.repeats.unpaired), (20, 0));
    assert_eq!(review.repeats.groups.len(), 3);
    assert!(
        review
            .repeats
            .groups
            .iter()
            .all(|group| !group.figures.is_empty())
    );
    // the same figures as everywhere else
    let page = season.supervisor_page(today);
    let lines: Vec<_> = review.pruners.iter().map(|one| one.line.clone()).collect();
    assert_eq!(lines, page.pruners);
    assert_eq!(review.quality.counts, page.quality);
    // the one who learned is nearer the rule, and is said to be
    let better: Vec<_> = (review.changed.iter())
        .filter(|one| one.metrics.iter().any(|metric| metric.better == Some(true)))
        .map(|one| one.subject.shown().to_owned())
        .collect();
    assert!(
        !better.is_empty() && review.changed.len() > better.len(),
        "{better:?}"
    );
    insta::assert_snapshot!(text::render(&sheets::review(&review)));
}

#[test]
fn an_empty_winter_has_a_review() {
    let orchard = Orchard::new("");
    let review = orchard.season().review(day(9));
    assert_eq!(
        (
            review.repeats.pairs,
            review.blocks.len(),
            review.pruners.len()
        ),
        (0, 0, 0)
    );
    assert_eq!(
        (review.quality.drawn_share, review.quality.counted_share),
        (None, None)
    );
    let said = text::render(&sheets::review(&review));
    assert!(said.contains("No tree was counted twice"), "{said}");
    assert!(said.contains("Nobody was counted over two weeks"), "{said}");
}

#[test]
fn a_winter_with_one_count_has_a_review() {
    let orchard = Orchard::new("Invented");
    let (block, pruner) = (
        orchard.block("River", "1x20", ""),
        orchard.pruner(1, "One", false),
    );
    orchard.work(&pruner, &block, 1, (1, 5), 2);
    orchard.work(&pruner, &block, 1, (6, 9), 3);
    orchard.count(&pruner, &block, (1, 4), 3, &even(1));
    let review = orchard.season().review(day(9));
    assert_eq!(review.pruners[0].line.overall, Verdict::KeepCounting);
    assert_eq!(review.quality.counted_share, Some(1.0 / 9.0));
    assert_eq!(review.quality.days_without_counts, [day(3)]);
    let said = text::render(&sheets::review(&review));
    assert!(said.contains("1 tree counted of 9 pruned"), "{said}");
    assert!(
        said.contains("No tree of the work of these days was counted: 2027-01-03."),
        "{said}"
    );
}

/// A pruner who changes: said where it is sure, with an interval that leaves nought out.
#[test]
fn first_week_against_last() {
    let orchard = Orchard::new("Invented");
    let (block, changes, stays) = (
        orchard.block("River", "1-8x60", ""),
        orchard.pruner(1, "One", false),
        orchard.pruner(2, "Two", false),
    );
    orchard.counted_row(&changes, &block, 1, 30, 3, light);
    orchard.counted_row(&changes, &block, 2, 30, 20, even);
    orchard.counted_row(&stays, &block, 3, 30, 3, even);
    orchard.counted_row(&stays, &block, 4, 30, 20, even);
    // one whose counts do not reach over two weeks
    let short = orchard.pruner(3, "Three", false);
    orchard.counted_row(&short, &block, 5, 10, 10, even);
    let changed = orchard.season().review(day(25)).changed;
    let shown: Vec<_> = changed.iter().map(|one| one.subject.shown()).collect();
    assert_eq!(shown.len(), 2, "{shown:?}");
    let one = changed[0].metrics[0];
    assert_eq!((one.metric, one.better), (Metric::One, Some(true)));
    let moved = one.last.unwrap() - one.first.unwrap();
    assert!(0.0 < one.difference.lo && one.difference.lo < moved && moved < one.difference.hi);
    let same = changed[1].metrics[0];
    assert_eq!((same.better, same.difference.is_change()), (None, false));
    assert!(same.difference.is_known());
}
