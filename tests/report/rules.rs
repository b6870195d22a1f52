//! Pruners under several rules, and mixes of several pruners: figures that have to be told apart, or put together.

use thirdwood::judge::{Interval, Metric, Sample, TreeFigures, off_target, wrong_age};
use thirdwood::orchard::*;
use thirdwood::report::document::sheets;
use thirdwood::report::tables::{self, Cell};
use thirdwood::report::{Period, text};

use crate::builder::*;
use crate::sheet::only;

/// A pruner in two blocks, of which the second has a rule of its own.
fn two_blocks(own: RuleDraft) -> (Orchard, Pruner, [Block; 2]) {
    let orchard = Orchard::new("Test");
    let blocks = ["Old", "Young"].map(|name| orchard.block(name, "1-9x60", ""));
    let pruner = orchard.pruner(7, "Aroha", false);
    let own = Rule::new(own).unwrap();
    let young = Some(blocks[1].id);
    let winter = orchard.winter.id;
    orchard.store.save_rule(winter, young, &own).unwrap();
    (orchard, pruner, blocks)
}

/// In both blocks the ages are asked for alike, in one a bud more may stay. The pruner mends in the other one alone.
#[test]
fn weeks_are_compared_under_their_own_rule() {
    let (orchard, pruner, [old, young]) = two_blocks(RuleDraft {
        buds: [
            BudLimit::exactly(2),
            BudLimit::exactly(3),
            BudLimit { least: 4, most: 5 },
        ],
        ..RuleDraft::default()
    });
    for (row, on) in [(1, 3), (2, 10), (3, 20)] {
        let tree = if on == 3 { light } else { even };
        orchard.counted_row(&pruner, &old, row, 25, on, tree);
        orchard.counted_row(&pruner, &young, row, 25, on, even);
    }
    let season = orchard.season();
    let mut changed: Vec<_> = (season.day_sheet(pruner.id, day(12)).iter())
        .map(|sheet| (sheet.standing.blocks.join(" "), sheet.weeks.is_empty()))
        .collect();
    changed.sort();
    assert_eq!(
        changed,
        [("Old".to_owned(), false), ("Young".to_owned(), true)]
    );
    let review = season.review(day(25));
    let mut better: Vec<_> = (review.changed.iter())
        .map(|one| (one.blocks.join(" "), one.metrics[0].better))
        .collect();
    better.sort();
    assert_eq!(
        better,
        [("Old".to_owned(), Some(true)), ("Young".to_owned(), None)]
    );
    // and two lines of one pruner are told apart
    let said = text::render(&sheets::review(&review));
    for whose in ["Nr 7 Aroha in Old: ", "Nr 7 Aroha in Young: "] {
        // what was left, its table, and the weeks compared
        assert_eq!(said.matches(whose).count(), 3, "{whose}\n{said}");
    }
    let metrics = tables::review(&review).swap_remove(1);
    assert_eq!(metrics.name, "review_metrics");
    let [name, blocks] = ["name", "blocks"].map(|title| metrics.column(title).unwrap());
    let lines = |block: &str| {
        let pair = (Cell::from("Nr 7 Aroha"), Cell::from(block));
        let mut rows = metrics.rows.iter();
        rows.any(|row| (&row[name], &row[blocks]) == (&pair.0, &pair.1))
    };
    assert!(lines("Old") && lines("Young"));
}

#[test]
fn a_row_of_a_pruner_under_two_rules_is_listed_once() {
    let (orchard, pruner, [old, young]) = two_blocks(RuleDraft {
        parts: [2, 1, 1, 0],
        ..RuleDraft::default()
    });
    orchard.counted_row(&pruner, &old, 1, 9, 3, even);
    orchard.counted_row(&pruner, &young, 1, 9, 3, even);
    orchard.send_back(&pruner, &old, 1, 3, "stubs");
    let sheets = orchard.season().day_sheets(day(3));
    assert_eq!(sheets.len(), 2);
    let tables = tables::day_sheets(&sheets);
    let rows = tables.iter().find(|table| table.name == "go_backs");
    assert_eq!(rows.unwrap().rows.len(), 1);
}

#[test]
fn other_diameters_are_no_other_rule() {
    let (orchard, pruner, [old, young]) = two_blocks(RuleDraft {
        diameters_mm: [7.0, 11.0],
        ..RuleDraft::default()
    });
    orchard.counted_row(&pruner, &old, 1, 9, 3, even);
    orchard.counted_row(&pruner, &young, 1, 9, 3, even);
    let sheet = only(&orchard.season(), &pruner, 3);
    assert_eq!(sheet.standing.blocks, ["Old", "Young"]);
    assert_eq!(sheet.standing.trees, 18);
}

/// The mix of a block weighs its pruners by their trees, and so does what is said of it.
#[test]
fn the_wrong_age_share_is_that_of_the_mix_beside_it() {
    let orchard = Orchard::new("Test");
    let block = orchard.block("River", "1-2x60", "");
    let [much, little] = [1, 2].map(|n| orchard.pruner(n, "", false));
    for (pruner, row, pruned) in [(&much, 1, 60), (&little, 2, 10)] {
        orchard.work(pruner, &block, row, (1, pruned), 3);
        for place in 1..=10 {
            let n = u32::from(place);
            let tree = if row == 1 { light(n) } else { even(n) };
            orchard.count(pruner, &block, (row, place), 3, &tree);
        }
    }
    let season = orchard.season();
    let (crew, blocks) = season.all_standings(Period::so_far(day(3)));
    let standing = &blocks[0];
    let found = standing.wrong_age.unwrap();
    let mix = standing.mix.unwrap();
    assert!((found.share - off_target(mix, standing.target)).abs() < 1e-12);
    assert_eq!(found.interval, Interval::whole(), "none is known");
    // one pruner alone has all of it
    let rule = Rule::default();
    let mut alone = Sample::new(rule.target());
    for count in season.counts().iter().filter(|c| c.head.row == 1) {
        alone.add(&TreeFigures::of(&count.tally, &rule));
    }
    assert_eq!(crew[0].wrong_age, wrong_age(&alone));
}

/// Five trees of somebody were counted of whom no work is logged, beside 45 of one who was not looked at.
#[test]
fn trees_that_nobody_logged_are_trees_all_the_same() {
    let orchard = Orchard::new("Test");
    let block = orchard.block("River", "1-2x60", "");
    let [unlogged, unseen] = [1, 2].map(|n| orchard.pruner(n, "", false));
    for place in 1..=5 {
        orchard.count(&unlogged, &block, (1, place), 3, &even(1));
    }
    orchard.work(&unseen, &block, 2, (1, 45), 3);
    let blocks = orchard.season().block_standings(Period::so_far(day(3)));
    assert!((blocks[0].unsampled - 0.9).abs() < 1e-12);
    let judged = blocks[0].judgement.metric(Metric::One);
    assert!((blocks[0].unsampled - judged.unsampled).abs() < 1e-12);
}

#[test]
fn two_rules_make_two_sheets() {
    let orchard = Orchard::new("Test");
    let (old, young) = (
        orchard.block("Old", "1x60", ""),
        orchard.block("Young", "1x60", ""),
    );
    let pruner = orchard.pruner(7, "Aroha", false);
    let own = Rule::new(RuleDraft {
        parts: [2, 1, 1, 0],
        ..RuleDraft::default()
    })
    .unwrap();
    orchard
        .store
        .save_rule(orchard.winter.id, Some(young.id), &own)
        .unwrap();
    orchard.counted_row(&pruner, &old, 1, 20, 3, even);
    orchard.counted_row(&pruner, &young, 1, 20, 3, even);
    let season = orchard.season();
    let sheets = season.day_sheet(pruner.id, day(3));
    let mut targets: Vec<_> = sheets
        .iter()
        .map(|sheet| (sheet.standing.blocks.clone(), sheet.standing.target[0]))
        .collect();
    targets.sort_by(|a, b| a.0.cmp(&b.0));
    assert_eq!(
        targets,
        [
            (vec!["Old".to_owned()], 1.0 / 3.0),
            (vec!["Young".to_owned()], 0.5)
        ]
    );
    assert_eq!(season.crew_standings(Period::so_far(day(3))).len(), 2);
}
