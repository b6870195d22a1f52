//! Counters beside the reference tree: a table worked by hand.

use thirdwood::orchard::*;
use thirdwood::report::document::sheets;
use thirdwood::report::text;
use thirdwood::store::{Change, Thing};

use crate::builder::*;

fn reference(orchard: &Orchard, block: &Block, (row, tree): (u16, u16)) {
    let marked = TreeMark {
        block: block.id,
        row,
        tree,
        mark: Mark::Reference,
        note: String::new(),
        day: day(3),
    };
    let change = Change::save(Thing::Mark(marked.check(block).unwrap()));
    orchard.store.apply(&[change]).unwrap();
}

/// Two reference trees with agreed counts of 10 / 10 / 10 / 0 and 8 / 12 / 10 / 0, twenty medium pieces of three buds. Ann
/// counts them 12 / 9 / 9 / 0 and 10 / 11 / 9 / 0: one-year +2/30 both times. Bo counts the first alone, 16 / 7 / 7 / 0.
fn orchard() -> (Orchard, Pruner, Block) {
    let orchard = Orchard::new("Invented");
    let block = orchard.block("River", "1-3x40", "");
    let pruner = orchard.pruner(1, "", false);
    orchard.work(&pruner, &block, 1, (1, 40), 3);
    let of = |ages: [u32; 4], buds: u8| (ages, [(Size::Medium, buds, 20)]);
    let counts = [
        (1, "Cleo", false, of([10, 10, 10, 0], 3)),
        (2, "Cleo", false, of([8, 12, 10, 0], 3)),
        (1, "Ann", true, of([12, 9, 9, 0], 3)),
        (2, "Ann", true, of([10, 11, 9, 0], 4)),
        (1, "Bo", true, of([16, 7, 7, 0], 3)),
        // a counter's second count of a tree says nothing new
        (1, "Bo", true, of([10, 10, 10, 0], 3)),
        // nobody knows whose this is
        (1, "", true, of([1, 1, 28, 0], 3)),
        (7, "Ann", false, of([10, 10, 10, 0], 3)),
        (8, "Bo", false, of([10, 10, 10, 0], 3)),
    ];
    for (place, counter, again, (ages, units)) in counts {
        orchard.count_as(
            &pruner,
            &block,
            (1, place),
            4,
            &Tree(ages, &units),
            |count| {
                counter.clone_into(&mut count.head.counter);
                count.head.again = again;
            },
        );
    }
    (orchard, pruner, block)
}

#[test]
fn without_a_reference_tree_nothing_is_said() {
    let (orchard, ..) = orchard();
    let season = orchard.season();
    assert_eq!(season.calibration(day(9)), []);
    assert_eq!(season.not_calibrated(day(9)), Vec::<String>::new());
    let page = text::render(&sheets::supervisor(&season.supervisor_page(day(9))));
    assert!(!page.contains("alibrated"), "{page}");
}

#[test]
fn counters_are_held_against_the_agreed_counts() {
    let (orchard, pruner, block) = orchard();
    reference(&orchard, &block, (1, 1));
    reference(&orchard, &block, (1, 2));
    let season = orchard.season();
    let scores = season.calibration(day(9));
    let near = |a: f64, b: f64| assert!((a - b).abs() < 1e-12, "{a} is not {b}");
    assert_eq!(scores.len(), 2);
    let (ann, bo) = (&scores[0], &scores[1]);
    assert_eq!(
        (ann.counter.as_str(), ann.trees, ann.passed),
        ("Ann", 2, true)
    );
    near(ann.shares[0], 2.0 / 30.0);
    near(ann.shares[1], -1.0 / 30.0);
    near(ann.buds.unwrap(), 0.5);
    near(ann.spread.unwrap(), 0.0);
    assert_eq!((bo.counter.as_str(), bo.trees, bo.passed), ("Bo", 1, false));
    near(bo.shares[0], 0.2);
    assert_eq!(bo.spread, None);
    // who made the agreed counts is held against them like everybody
    assert_eq!(season.not_calibrated(day(9)), ["Bo", "Cleo"]);
    // not yet on the day before
    assert_eq!(season.calibration(day(2)), []);

    let page = text::render(&sheets::supervisor(&season.supervisor_page(day(9))));
    let page = page.split_whitespace().collect::<Vec<_>>().join(" ");
    for said in [
        "Ann beside the reference tree (2 trees): one-year +7, two-year -3, three-year -3, four-plus 0 points; buds +0.5 a \
         piece; one-year differs by 0 points from tree to tree: passed.",
        "Bo beside the reference tree (1 tree): one-year +20, two-year -10, three-year -10, four-plus 0 points; buds 0.0 a \
         piece: not passed.",
        "Not calibrated: Bo and Cleo.",
    ] {
        assert!(page.contains(said), "{said}\n{page}");
    }
    let sheets: Vec<_> = season.day_sheet(pruner.id, day(9));
    let sheet = text::render(&sheets::day_sheets(&sheets));
    assert!(
        sheet.contains("Look together at: River, row 1, tree 1"),
        "{sheet}"
    );
}
