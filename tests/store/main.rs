//! The file: what is saved comes back, and what must hold is held.

#[path = "../common/drafts.rs"]
mod drafts;
mod small;

use small::{block, day, small};
use thirdwood::orchard::*;
use thirdwood::store::{CountFilter, Store, StoreError};
use uuid::Uuid;

#[test]
fn what_is_saved_comes_back_the_same() {
    let s = small();
    assert_eq!(s.store.blocks().unwrap(), vec![s.block.clone()]);
    assert_eq!(s.store.pruners().unwrap(), vec![s.pruner.clone()]);
    assert_eq!(s.store.winters().unwrap(), vec![s.winter.clone()]);
    assert_eq!(s.store.winter_on(day(1)).unwrap().unwrap().id, s.winter.id);

    let own = Rule::new(RuleDraft {
        parts: [2, 1, 1, 0],
        compliance: 0.75,
        ..RuleDraft::default()
    })
    .unwrap();
    s.store
        .save_rule(s.winter.id, Some(s.block.id), &own)
        .unwrap();
    let rules = s.store.rules(s.winter.id).unwrap();
    assert_eq!(
        (rules.of(s.block.id), &rules.general),
        (&own, &Rule::default())
    );
    s.store.clear_rule(s.winter.id, Some(s.block.id)).unwrap();
    assert_eq!(
        s.store.rules(s.winter.id).unwrap().of(s.block.id),
        &Rule::default()
    );

    let work = s.work(2, 1, 40);
    s.store.save_work(&work).unwrap();
    assert_eq!(s.store.work(s.winter.id).unwrap(), vec![work.clone()]);
    s.store.remove_work(work.id).unwrap();
    assert!(s.store.work(s.winter.id).unwrap().is_empty());
    s.store.save_work(&work).unwrap();
    assert_eq!(s.store.work(s.winter.id).unwrap().len(), 1);

    let back = GoBack {
        id: GoBackId(Uuid::now_v7()),
        winter: s.winter.id,
        block: s.block.id,
        row: 2,
        pruner: s.pruner.id,
        day: day(13),
        reason: "thick tops".into(),
        settled: Some(Settled {
            outcome: Outcome::Mended,
            day: day(15),
        }),
    };
    s.store.save_go_back(&back).unwrap();
    assert_eq!(s.store.go_backs(s.winter.id).unwrap(), vec![back]);
}

#[test]
fn taps_are_summed_and_taken_back_in_order() {
    let s = small();
    let id = CountId(Uuid::now_v7());
    let head = s.head(4);
    let unit = Tap::TwoYear(Size::Thick, Buds::new(7).unwrap());
    let taps = [
        Tap::Piece(Age::One),
        unit,
        Tap::Upright,
        Tap::Piece(Age::FourPlus),
        Tap::ThickTop,
        unit,
    ];
    for (tap, seq) in taps.into_iter().zip(1..) {
        let begin = (seq == 1).then_some(&head);
        assert_eq!(s.store.tap(id, begin, tap).unwrap().seq, seq);
    }
    let mut tally = Tally::default();
    for tap in taps {
        tally.add(tap).unwrap();
    }
    let count = s.store.count(id).unwrap().unwrap();
    assert_eq!(
        count,
        TreeCount {
            id,
            head,
            tally,
            closed: false,
            by_log: None,
            pruned_on: None,
        }
    );
    assert_eq!(s.store.taps(id).unwrap(), taps);
    assert_eq!(
        s.store.counts(CountFilter::Open(s.winter.id)).unwrap(),
        vec![count]
    );
    for tap in taps.iter().rev() {
        assert_eq!(s.store.undo_tap(id).unwrap(), Some(*tap));
    }
    assert_eq!(s.store.undo_tap(id).unwrap(), None);
    assert!(s.store.count(id).unwrap().unwrap().tally.is_empty());
    s.store.close_count(id, true).unwrap();
    assert!(
        s.store
            .counts(CountFilter::Open(s.winter.id))
            .unwrap()
            .is_empty()
    );
    assert_eq!(s.store.check().unwrap().problems, Vec::<String>::new());
}

#[test]
fn a_removed_count_leaves_the_figures_and_can_come_back() {
    let s = small();
    let id = CountId(Uuid::now_v7());
    s.store
        .tap(id, Some(&s.head(4)), Tap::Piece(Age::Two))
        .unwrap();
    s.store.remove_count(id, true).unwrap();
    let all = CountFilter::Winter(s.winter.id);
    assert!(s.store.counts(all).unwrap().is_empty());
    assert!(matches!(
        s.store.tap(id, None, Tap::Upright),
        Err(StoreError::Gone(_))
    ));
    s.store.remove_count(id, false).unwrap();
    assert_eq!(s.store.counts(all).unwrap()[0].tally.ages, [0, 1, 0, 0]);
}

#[test]
fn a_draw_comes_back_with_what_was_left_out() {
    let s = small();
    let tree = |tree| DrawnTree {
        runs: None,
        block: s.block.id,
        row: 1,
        tree,
        pruner: s.pruner.id,
        fate: Fate::Waiting,
    };
    let draw = Draw {
        id: DrawId(Uuid::now_v7()),
        winter: s.winter.id,
        day: day(12),
        since: day(11),
        until: day(12),
        seed: u64::MAX - 5,
        trees: vec![tree(4), tree(19)],
    };
    s.store.add_draw(&draw).unwrap();
    assert_eq!(s.store.draws(s.winter.id).unwrap(), vec![draw.clone()]);
    let fates = || {
        s.store.draws(s.winter.id).unwrap()[0]
            .trees
            .iter()
            .map(|tree| tree.fate.clone())
            .collect::<Vec<_>>()
    };
    s.store.skip_drawn(draw.id, 1, Some("fallen")).unwrap();
    assert_eq!(fates(), [Fate::Waiting, Fate::Skipped("fallen".into())]);
    s.store.skip_drawn(draw.id, 1, None).unwrap();
    assert_eq!(fates(), [Fate::Waiting, Fate::Waiting]);
}

#[test]
fn what_others_rely_on_cannot_be_taken_away() {
    let s = small();
    s.store.save_work(&s.work(3, 1, 30)).unwrap();
    assert!(matches!(
        s.store.remove_block(s.block.id),
        Err(StoreError::InUse(_))
    ));
    assert!(matches!(
        s.store.remove_pruner(s.pruner.id),
        Err(StoreError::InUse(_))
    ));
    assert!(matches!(
        s.store.remove_winter(s.winter.id),
        Err(StoreError::InUse(_))
    ));
    let changed = |rows| Block::new(s.block.id, block("River", rows, "")).unwrap();
    let gone = s
        .store
        .save_block(&changed("1-2x40"))
        .unwrap_err()
        .to_string();
    assert!(gone.contains("row 3"), "{gone}");
    let short = s
        .store
        .save_block(&changed("1-2x40, 3x29"))
        .unwrap_err()
        .to_string();
    assert!(short.contains("up to place 30"), "{short}");
    assert_eq!(
        s.store.blocks().unwrap(),
        vec![s.block.clone()],
        "a refused change leaves nothing behind"
    );
    s.store.save_block(&changed("3x30")).unwrap();
}

#[test]
fn work_stays_readable_when_its_trees_die() {
    let s = small();
    s.store.save_work(&s.work(1, 4, 6)).unwrap();
    let died = Block::new(s.block.id, block("River", "1-3x40, 5x12", "1:4-6")).unwrap();
    s.store.save_block(&died).unwrap();
    assert_eq!(s.store.work(s.winter.id).unwrap().len(), 1);
    assert_eq!(s.store.check().unwrap().problems, Vec::<String>::new());
}

#[test]
fn names_and_numbers_are_unique() {
    let s = small();
    let twin = Block::new(BlockId(Uuid::now_v7()), block("River", "1x2", "")).unwrap();
    assert!(matches!(
        s.store.save_block(&twin),
        Err(StoreError::Taken(_))
    ));
    let twin = Pruner::new(PrunerId(Uuid::now_v7()), s.pruner.draft().clone()).unwrap();
    assert!(matches!(
        s.store.save_pruner(&twin),
        Err(StoreError::Taken(_))
    ));
}

#[test]
fn a_failed_change_of_several_parts_leaves_nothing() {
    let s = small();
    let failed: Result<(), StoreError> = s.store.atomically(|store| {
        store.save_work(&s.work(1, 1, 5))?;
        store.add_count(&TreeCount {
            id: CountId(Uuid::now_v7()),
            head: s.head(2),
            tally: Tally {
                ages: [3, 2, 1, 0],
                ..Tally::default()
            },
            closed: true,
            by_log: None,
            pruned_on: None,
        })?;
        Err(StoreError::Gone("anything"))
    });
    assert!(failed.is_err());
    assert!(s.store.work(s.winter.id).unwrap().is_empty());
    assert!(
        s.store
            .counts(CountFilter::Winter(s.winter.id))
            .unwrap()
            .is_empty()
    );
}

#[test]
fn two_programs_can_write_to_one_file() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("orchard.db");
    let one = Store::open(&path).unwrap();
    let two = Store::open(&path).unwrap();
    let before = two.changes_by_others().unwrap();
    let s = small();
    one.save_block(&s.block).unwrap();
    assert_ne!(two.changes_by_others().unwrap(), before);
    two.save_pruner(&s.pruner).unwrap();
    one.save_winter(&s.winter).unwrap();
    let id = CountId(Uuid::now_v7());
    one.tap(id, Some(&s.head(4)), Tap::Piece(Age::One)).unwrap();
    assert_eq!(two.tap(id, None, Tap::Piece(Age::Two)).unwrap().seq, 2);
    assert_eq!(one.count(id).unwrap().unwrap().tally.ages, [1, 1, 0, 0]);
}

#[test]
fn what_is_kept_of_the_crop_comes_back_the_same() {
    use thirdwood::outlook::*;
    let s = small();
    let (winter, block) = (s.winter.id, s.block.id);
    let aim = Target::FruitPerTcsa {
        fruit_per_cm2: 4.5,
        girth_cm: 31.0,
    };
    let factor = Factor::new(FactorKind::Set, 0.7, 0.1, Source::Entered).unwrap();
    let growth = Growing::new(22.0, [0.9, 0.95, 0.95, 0.8]).unwrap();
    let set = SetCount {
        season: 2026,
        units: tagged("4 3 5, 3 3 2 2").unwrap(),
    };
    let harvest = HarvestEntry {
        season: 2026,
        amount: Yield::KgPerTree(25.0),
        weighed: Some(Weighed {
            mean_g: 190.0,
            fruit: 40,
        }),
    };
    s.store.save_aim(winter, block, Some(aim)).unwrap();
    s.store.save_factor(block, &factor).unwrap();
    s.store.save_growth(block, Some(&growth)).unwrap();
    s.store.save_set_count(block, &set).unwrap();
    s.store.save_harvest(block, &harvest).unwrap();
    let wanted = BlockBook {
        aim: Some(aim),
        factors: vec![factor],
        growth: Some(growth),
        sets: vec![set.clone()],
        harvests: vec![harvest],
    };
    assert_eq!(s.store.crop_book(winter).unwrap().of(block), wanted);
    assert_eq!(s.store.check().unwrap().problems, Vec::<String>::new());

    // another way of saying the aim replaces the first, and all of it can be taken away
    let aim = Target::TonnesPerHa(65.0);
    s.store.save_aim(winter, block, Some(aim)).unwrap();
    assert_eq!(s.store.crop_book(winter).unwrap().of(block).aim, Some(aim));
    s.store.save_aim(winter, block, None).unwrap();
    s.store.clear_factor(block, FactorKind::Set).unwrap();
    s.store.save_growth(block, None).unwrap();
    let none = SetCount {
        units: Vec::new(),
        ..set
    };
    s.store.save_set_count(block, &none).unwrap();
    s.store.remove_harvest(block, 2026).unwrap();
    assert_eq!(
        s.store.crop_book(winter).unwrap().of(block),
        BlockBook::default()
    );
    assert!(matches!(
        s.store.remove_harvest(block, 2026),
        Err(StoreError::Gone(_))
    ));
    // a block may go with what is kept of its crop
    s.store.save_harvest(block, &harvest).unwrap();
    s.store.remove_block(block).unwrap();
    assert_eq!(s.store.crop_book(winter).unwrap(), CropBook::default());
}
