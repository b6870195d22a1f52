//! Marked trees: three marks take a tree out of the draw and out of every figure; canker is a walk.

use thirdwood::exchange::{Table, export};
use thirdwood::orchard::*;
use thirdwood::report::{FateLine, Period, Season};
use thirdwood::store::{Change, Thing, ThingId};

use crate::builder::*;

fn mark(orchard: &Orchard, block: &Block, (row, tree): (u16, u16), mark: Mark, on: u64) {
    let marked = TreeMark {
        block: block.id,
        row,
        tree,
        mark,
        note: String::new(),
        day: day(on),
    };
    let marked = marked.check(block).unwrap();
    let change = Change::save(Thing::Mark(marked));
    orchard.store.apply(&[change]).unwrap();
}

/// What was counted and what it comes to, for pruners and blocks; with the wood that the crop rests on.
fn figures(season: &Season) -> Vec<String> {
    let (crew, blocks) = season.all_standings(Period::so_far(day(20)));
    let standings = crew.iter().chain(&blocks);
    let wood = season.wood(Period::so_far(day(20)));
    let left = season.blocks.iter().map(|block| {
        let trees = wood.after(block.id);
        format!("{trees:?}")
    });
    let said =
        standings.map(|of| format!("{} {} {:?} {:?}", of.pruned, of.trees, of.mix, of.judgement));
    said.chain(left).collect()
}

fn counted() -> (Orchard, Block) {
    let orchard = Orchard::new("Invented");
    let block = orchard.block("River", "1-3x40", "");
    let (one, two) = (orchard.pruner(1, "", false), orchard.pruner(2, "", false));
    orchard.work(&one, &block, 1, (1, 40), 3);
    orchard.work(&two, &block, 2, (1, 40), 3);
    for place in 1..=8 {
        orchard.count(&one, &block, (1, place), 3, &even(place.into()));
        orchard.count(&two, &block, (2, place), 3, &even(2));
    }
    (orchard, block)
}

#[test]
fn a_tree_outside_the_rule_is_in_no_figure() {
    let (orchard, block) = counted();
    let one = orchard.season().pruners[0].clone();
    let without = figures(&orchard.season());
    let young = [
        orchard.count(&one, &block, (1, 20), 4, &light(9)),
        orchard.count(&one, &block, (1, 21), 4, &light(9)),
        orchard.count(&one, &block, (1, 22), 4, &light(9)),
    ];
    assert_ne!(figures(&orchard.season()), without);
    for (tree, word) in [
        (20, Mark::InFormation),
        (21, Mark::Replant),
        (22, Mark::Pollinizer),
    ] {
        mark(&orchard, &block, (1, tree), word, 5);
    }
    let season = orchard.season();
    let (crew, _) = season.all_standings(Period::so_far(day(20)));
    assert_eq!((crew[0].trees, crew[0].pruned), (8, 40));
    let marked = figures(&season);
    for count in &young {
        assert_eq!(season.how_it_stands(count), Stands::Outside);
        orchard.store.remove_count(count.id, true).unwrap();
    }
    // as if these trees had not been counted; and the rest of the pruner's trees weighs as much as it is
    let gone = figures(&orchard.season());
    assert_eq!(marked, gone);
    let weight =
        |season: &Season| season.trees_pruned(Period::so_far(day(20)))[&(one.id, block.id)].clone();
    let weighs = weight(&season);
    assert_eq!((weighs.all, weighs.judged), (40, 37));
    assert_eq!(
        season.progress(day(20))[0].pruned,
        80,
        "to do they are trees as others"
    );
    // canker and other are judged as all trees
    for tree in [1, 2] {
        mark(&orchard, &block, (1, tree), Mark::Canker, 5);
    }
    assert_eq!(figures(&orchard.season()), gone);
}

#[test]
fn a_tree_outside_the_rule_is_never_drawn() {
    let (orchard, block) = counted();
    mark(&orchard, &block, (1, 30), Mark::Replant, 4);
    mark(&orchard, &block, (2, 31), Mark::Canker, 4);
    let season = orchard.season();
    assert_eq!(season.trees_to_draw(day(1), day(5)), 2 * 32 - 1);
    let draw = |season: &Season, trees| {
        let id = DrawId(uuid::Uuid::from_u128(trees as u128));
        season
            .plan_draw(trees, day(1), day(5), 7, id, day(5))
            .unwrap()
    };
    let all = draw(&season, 500);
    let drawn = |row, tree| {
        all.trees
            .iter()
            .any(|known| (known.row, known.tree) == (row, tree))
    };
    assert!(all.trees.len() == 63 && !drawn(1, 30) && drawn(2, 31));
    // one that waits, and is marked then, is left out with that reason; and waits again without the mark
    orchard.store.add_draw(&all).unwrap();
    mark(&orchard, &block, (1, 33), Mark::Pollinizer, 5);
    let fate = || {
        let season = orchard.season();
        let lines = season.draw_lines(&season.draws[0]);
        let line = lines
            .into_iter()
            .find(|line| (line.row, line.tree) == (1, 33));
        (line.unwrap().fate, season.waiting().len())
    };
    let reason = "pollinizer".to_owned();
    assert_eq!(fate(), (FateLine::Skipped { reason }, 62));
    let gone = Change::Remove(ThingId::Mark(block.id, 1, 33));
    orchard.store.apply(&[gone]).unwrap();
    assert_eq!(fate(), (FateLine::Waiting, 63));
}

#[test]
fn canker_is_walked_to_row_by_row() {
    let (orchard, block) = counted();
    let early = orchard.block("Early", "1x20", "");
    for (block, row, tree) in [
        (&block, 3, 5),
        (&block, 1, 7),
        (&block, 3, 4),
        (&early, 1, 9),
    ] {
        mark(&orchard, block, (row, tree), Mark::Canker, 6);
    }
    mark(&orchard, &block, (2, 2), Mark::Replant, 6);
    let page = orchard.season().supervisor_page(day(6));
    let walk: Vec<_> = (page.canker.iter())
        .map(|tree| (tree.block_name.as_str(), tree.row, tree.tree))
        .collect();
    let wanted = [
        ("Early", 1, 9),
        ("River", 1, 7),
        ("River", 3, 4),
        ("River", 3, 5),
    ];
    assert_eq!(walk, wanted);
    let mut table = Vec::new();
    export(&orchard.store, Table::Marks, &mut table).unwrap();
    let table = String::from_utf8(table).unwrap();
    let canker: Vec<_> = table
        .lines()
        .filter(|line| line.contains("canker"))
        .collect();
    assert_eq!(
        canker,
        [
            "Early,1,9,canker,,2027-01-06",
            "River,1,7,canker,,2027-01-06",
            "River,3,4,canker,,2027-01-06",
            "River,3,5,canker,,2027-01-06",
        ]
    );
    assert!(orchard.season().supervisor_page(day(5)).canker.is_empty());
}

#[test]
fn a_mark_holds_from_its_winter_on() {
    let (orchard, block) = counted();
    let next = WinterDraft {
        label: "2028".into(),
        start: day(330),
        budburst: day(420),
        block_budburst: std::collections::BTreeMap::new(),
    };
    let next = Winter::new(WinterId(uuid::Uuid::now_v7()), next).unwrap();
    orchard.store.save_winter(&next).unwrap();
    mark(&orchard, &block, (1, 4), Mark::Replant, 340);
    let before = orchard.season();
    assert_eq!(
        before.marks.iter().count(),
        0,
        "what was counted of the old tree stays"
    );
    let season = Season::load(&orchard.store, next).unwrap();
    assert!(season.marks.is_outside((block.id, 1, 4)));
    // made while the earlier winter is looked at, it holds there
    assert_eq!(before.mark_day(day(340)), day(329));
    assert_eq!(before.mark_day(day(20)), day(20));
    assert_eq!(season.mark_day(day(340)), day(340));
}
