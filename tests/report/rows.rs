//! The map of a block's rows, and the supervisor's page.

use thirdwood::judge::{Metric, Verdict};
use thirdwood::orchard::*;
use thirdwood::report::{AgainstRule, PlaceState};

use crate::builder::*;

#[test]
fn every_place_has_its_mark_as_of_the_day() {
    let orchard = Orchard::new("Test");
    let block = orchard.block("River", "1x6, 2x4", "1:2");
    let (a, b) = (
        orchard.pruner(1, "Ana", false),
        orchard.pruner(2, "Ben", true),
    );
    orchard.work(&a, &block, 1, (1, 4), 3);
    orchard.work(&b, &block, 1, (5, 5), 4);
    orchard.count(&a, &block, (1, 3), 4, &even(1));
    orchard.send_back(&a, &block, 1, 4, "thick tops");
    let season = orchard.season();
    let map = season.row_map(block.id, day(4)).unwrap();
    let row = &map.rows[0];
    assert_eq!(
        row.places,
        [
            PlaceState::Pruned,
            PlaceState::Missing,
            PlaceState::Counted,
            PlaceState::Pruned,
            PlaceState::Pruned,
            PlaceState::Unpruned
        ]
    );
    let who: Vec<_> = (row.pruners.iter())
        .map(|part| (part.first, part.last, part.pruner_short.as_str()))
        .collect();
    assert_eq!(
        who,
        [(1, 4, "An"), (5, 5, "2")],
        "a missing tree parts nobody's stretch"
    );
    assert_eq!((row.trees, row.pruned, row.counted), (5, 4, 1));
    assert_eq!((map.pruned, map.left, map.total), (4, 5, 9));
    assert_eq!(row.sent_back.as_ref().unwrap().reason, "thick tops");

    let before = season.row_map(block.id, day(3)).unwrap();
    assert_eq!((before.pruned, before.rows[0].counted), (3, 0));
    assert!(before.rows[0].sent_back.is_none());
    assert!(season.row_map(BlockId(uuid::Uuid::nil()), day(3)).is_none());
    assert_eq!(season.progress(day(4))[0].left, 5);
}

#[test]
fn the_supervisor_reads_names_in_order_and_what_the_counts_are_worth() {
    let orchard = Orchard::new("Test");
    let (west, east) = (
        orchard.block("West", "1-5x60", ""),
        orchard.block("East", "1-5x60", ""),
    );
    let [third, first, second] = [3, 1, 2].map(|n| orchard.pruner(n, "", false));
    orchard.counted_row(&third, &west, 1, 30, 3, light);
    orchard.counted_row(&first, &west, 2, 20, 3, even);
    orchard.work(&second, &east, 1, (1, 60), 3);
    orchard.count_as(&first, &west, (3, 1), 3, &even(1), |count| {
        count.head.chosen = Chosen::ByEye;
    });
    orchard.count_as(&first, &west, (3, 2), 3, &even(1), |count| {
        count.closed = false;
    });
    let season = orchard.season();
    let page = season.supervisor_page(day(4));
    let shown = |lines: &[thirdwood::report::StandingLine]| -> Vec<String> {
        lines
            .iter()
            .map(|line| line.subject.shown().to_owned())
            .collect()
    };
    assert_eq!(shown(&page.blocks), ["East", "West"]);
    assert_eq!(shown(&page.pruners), ["Nr 1", "Nr 2", "Nr 3"]);
    let against = |rule: AgainstRule| (rule.verdict, rule.lead);
    let light = (Verdict::Light, Some(Metric::One));
    assert_eq!(against(page.pruners[2].wood), light);
    assert_eq!(against(page.pruners[2].buds), (Verdict::InBalance, None));
    let quality = &page.quality;
    assert_eq!(
        (
            quality.trees,
            quality.by_eye,
            quality.open,
            quality.without_work
        ),
        (51, 1, 1, 1)
    );
    assert_eq!(quality.not_looked_at, ["Nr 2"]);
    assert_eq!(quality.blocks_without_counts, ["East"]);
    assert!(quality.mostly_by_eye.is_empty());
    assert_eq!(page.blocks[0].not_looked_at, ["Nr 2"]);
}

#[test]
fn the_page_of_a_past_day_knows_no_later_draw() {
    let orchard = Orchard::new("Test");
    let block = orchard.block("River", "1x60", "");
    let pruner = orchard.pruner(1, "Ana", false);
    orchard.work(&pruner, &block, 1, (1, 60), 3);
    let id = DrawId(uuid::Uuid::now_v7());
    let season = orchard.season();
    let draw = season.plan_draw(5, day(3), day(3), 1, id, day(4));
    orchard.store.add_draw(&draw.unwrap()).unwrap();
    let season = orchard.season();
    let next = |on| season.supervisor_page(day(on)).next.len();
    assert_eq!((next(3), next(4)), (0, 5));
}
