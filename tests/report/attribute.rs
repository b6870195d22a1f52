//! Whose a counted tree is: the work log says, also where it is mended after the count.

use thirdwood::exchange::{Table, export};
use thirdwood::orchard::*;
use thirdwood::report::{Period, Season};

use crate::builder::{Orchard, day, even, light};

fn counted_for(season: &Season, pruner: &Pruner) -> u32 {
    let standings = season.crew_standings(Period::so_far(day(20)));
    let mut of = standings.iter();
    let theirs = of.find(|s| s.subject.pruner_id() == Some(pruner.id));
    theirs.map_or(0, |s| s.trees)
}

/// The last entry of the log is another pruner's.
fn mend_last_entry(orchard: &Orchard, block: &Block, pruner: &Pruner) {
    let season = orchard.season();
    let last = season.work.last().unwrap();
    let draft = WorkDraft {
        winter: last.winter,
        pruner: pruner.id,
        block: last.block,
        row: last.row,
        first: last.first,
        last: last.last,
        day: last.day,
        minutes: last.minutes,
        how: How::default(),
    };
    let entry = WorkEntry::new(last.id, draft, block).unwrap();
    orchard.store.save_work(&entry).unwrap();
}

#[test]
fn a_log_that_is_mended_takes_the_counts_along() {
    let orchard = Orchard::new("Invented");
    let block = orchard.block("River", "1-3x40", "");
    let (one, two) = (orchard.pruner(1, "", false), orchard.pruner(2, "", false));
    orchard.work(&one, &block, 1, (1, 40), 3);
    orchard.work(&two, &block, 2, (1, 40), 3);
    for place in 1..=3 {
        orchard.count(&two, &block, (2, place), 3, &light(1));
    }
    assert_eq!(counted_for(&orchard.season(), &two), 3);
    mend_last_entry(&orchard, &block, &one);
    let mut table = Vec::new();
    export(&orchard.store, Table::Counts, &mut table).unwrap();
    let table = String::from_utf8(table).unwrap();
    let lines = table.lines().skip(1);
    let pruners: Vec<_> = lines.map(|line| line.split(',').nth(4).unwrap()).collect();
    assert_eq!(pruners, ["1", "1", "1"], "the table says the same: {table}");
    let season = orchard.season();
    assert_eq!(
        [&one, &two].map(|pruner| counted_for(&season, pruner)),
        [3, 0]
    );
    // what was said with the count stays as it was said
    for count in season.counts() {
        assert_eq!(
            (count.head.pruner, count.pruner()),
            (Some(two.id), Some(one.id))
        );
    }
}

#[test]
fn a_day_that_is_logged_late_is_the_menders() {
    let orchard = Orchard::new("Invented");
    let block = orchard.block("River", "1x40", "");
    let (one, two) = (orchard.pruner(1, "", false), orchard.pruner(2, "", false));
    orchard.work(&one, &block, 1, (1, 40), 3);
    for place in [5, 25] {
        orchard.count(&one, &block, (1, place), 6, &even(1));
    }
    orchard.count(&one, &block, (1, 6), 3, &even(1));
    orchard.work(&two, &block, 1, (1, 20), 5);
    let season = orchard.season();
    // tree 25 was not mended, and tree 6 was counted before it was
    assert_eq!(
        [&one, &two].map(|pruner| counted_for(&season, pruner)),
        [2, 1]
    );
}

#[test]
fn whom_a_count_names_holds_where_nothing_is_logged() {
    let orchard = Orchard::new("Invented");
    let block = orchard.block("River", "1-2x40", "");
    let (one, two) = (orchard.pruner(1, "", false), orchard.pruner(2, "", false));
    orchard.work(&one, &block, 1, (1, 20), 3);
    orchard.count(&two, &block, (1, 21), 3, &even(1));
    orchard.count(&two, &block, (1, 20), 3, &even(1));
    orchard.count(&two, &block, (2, 1), 3, &even(1));
    let season = orchard.season();
    assert_eq!(
        [&one, &two].map(|pruner| counted_for(&season, pruner)),
        [1, 2]
    );
}
