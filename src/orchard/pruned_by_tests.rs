use std::collections::HashMap;

use proptest::prelude::*;
use uuid::Uuid;

use super::*;
use crate::drafts::block_draft;
use crate::orchard::{Block, BlockDraft, How, WinterId, WorkDraft, WorkId};

fn block() -> Block {
    let draft = BlockDraft {
        stems: 4,
        ..block_draft("River", "1-2x60", "")
    };
    Block::new(BlockId(Uuid::from_u128(5)), draft).unwrap()
}

fn who(n: u128) -> PrunerId {
    PrunerId(Uuid::from_u128(n))
}

fn day(n: u32) -> NaiveDate {
    NaiveDate::from_ymd_opt(2027, 1, n).unwrap()
}

/// Number of the entry, pruner, day, first and last place.
fn entry(id: u128, pruner: u128, on: u32, places: (u16, u16), how: How) -> WorkEntry {
    let draft = WorkDraft {
        winter: WinterId(Uuid::nil()),
        pruner: who(pruner),
        block: block().id,
        row: 1,
        first: places.0,
        last: places.1,
        day: day(on),
        minutes: Some(240),
        how,
    };
    WorkEntry::new(WorkId(Uuid::from_u128(id)), draft, &block()).unwrap()
}

fn zone(zone: Zone) -> How {
    How {
        zone,
        ..How::default()
    }
}

fn kind(kind: WorkKind) -> How {
    How {
        kind,
        ..How::default()
    }
}

fn doer(work: &[WorkEntry], tree: u16, on: u32, zone: Zone) -> Option<Doer> {
    doer_of(work, (block().id, 1, tree), day(on), zone)
}

fn team(members: &[u128]) -> Doer {
    Doer::of(&members.iter().map(|n| who(*n)).collect())
}

/// Trees of each entry, by its number.
fn trees(work: &[WorkEntry]) -> HashMap<u128, f64> {
    let mut sums: HashMap<u128, Trees> = HashMap::new();
    let standing = |first: u16, last: u16| u32::from(last + 1 - first);
    RowWork::of(work, (block().id, 1)).shares(day(28), standing, |entry, share| {
        *sums.entry(entry.id.0.as_u128()).or_default() += share;
    });
    let number = |(id, trees): (u128, Trees)| (id, trees.number());
    sums.into_iter().map(number).collect()
}

#[test]
fn three_on_one_row_share_its_trees_and_are_judged_together() {
    let work = [1, 2, 3].map(|n| entry(n, n, 4, (1, 60), How::default()));
    assert_eq!(
        trees(&work),
        HashMap::from([(1, 20.0), (2, 20.0), (3, 20.0)])
    );
    assert_eq!(doer(&work, 30, 4, Zone::Whole), Some(team(&[1, 2, 3])));
    assert_eq!(doer(&work, 30, 3, Zone::Whole), None);
    let teams = RowLog::of(work.iter()).teams();
    assert_eq!(teams[&team(&[1, 2, 3]).subject()], [who(1), who(2), who(3)]);
}

#[test]
fn each_side_is_that_of_who_did_it_and_the_tree_is_theirs_together() {
    let work = [
        entry(1, 1, 4, (1, 60), zone(Zone::SideA)),
        entry(2, 2, 5, (1, 60), zone(Zone::SideB)),
    ];
    assert_eq!(doer(&work, 9, 6, Zone::SideA), Some(Doer::One(who(1))));
    assert_eq!(doer(&work, 9, 6, Zone::SideB), Some(Doer::One(who(2))));
    // the later day does not take the first one's side
    assert_eq!(doer(&work, 9, 6, Zone::Whole), Some(team(&[1, 2])));
    assert_eq!(doer(&work, 9, 6, Zone::Top), Some(team(&[1, 2])));
    assert_eq!(doer(&work, 9, 4, Zone::SideB), None);
    assert_eq!(trees(&work), HashMap::from([(1, 30.0), (2, 30.0)]));
    let row = RowWork::of(&work, (block().id, 1));
    let whole = |on| row.done(9, (None, day(on)), Zone::Whole).unwrap().whole;
    assert!(!whole(4) && whole(5), "half a tree is not done");
}

#[test]
fn base_and_top_with_given_shares() {
    let base = How {
        share: Some(60),
        ..zone(Zone::Base)
    };
    let work = [
        entry(1, 1, 4, (1, 50), base),
        entry(2, 2, 4, (1, 50), zone(Zone::Top)),
    ];
    assert_eq!(trees(&work), HashMap::from([(1, 30.0), (2, 20.0)]));
    assert!(!work[0].disputes(&work[1]));
    assert_eq!(doer(&work, 1, 4, Zone::Base), Some(Doer::One(who(1))));
}

#[test]
fn mending_takes_the_counts_and_no_trees() {
    let work = [
        entry(1, 1, 4, (1, 60), How::default()),
        entry(2, 2, 8, (1, 10), How::default()),
        entry(3, 3, 4, (41, 60), kind(WorkKind::Rework)),
    ];
    let trees = trees(&work);
    let theirs = [1, 2].map(|id| trees.get(&id).copied());
    assert_eq!(theirs, [Some(60.0), Some(0.0)]);
    assert_eq!(trees.get(&3), None);
    for (tree, by) in [(5, 2), (30, 1), (50, 3)] {
        assert_eq!(doer(&work, tree, 9, Zone::Whole), Some(Doer::One(who(by))));
    }
}

#[test]
fn a_tree_counts_once_for_each_kind_of_work_and_is_judged_after_the_last() {
    let work = [
        entry(1, 1, 4, (1, 60), kind(WorkKind::FirstPass)),
        entry(2, 2, 6, (1, 60), kind(WorkKind::SecondPass)),
        entry(3, 3, 2, (1, 60), kind(WorkKind::Hedging)),
    ];
    let sixty = HashMap::from([(1, 60.0), (2, 60.0), (3, 60.0)]);
    assert_eq!(trees(&work), sixty);
    assert_eq!(doer(&work, 5, 5, Zone::Whole), None, "not done yet");
    assert_eq!(doer(&work, 5, 6, Zone::Whole), Some(Doer::One(who(2))));
}

#[test]
fn who_claims_the_same_trees_is_told_unless_it_is_meant() {
    let meant = How {
        team: Some(WorkId(Uuid::from_u128(9))),
        ..How::default()
    };
    let one = entry(1, 1, 4, (1, 40), How::default());
    assert!(one.disputes(&entry(2, 2, 4, (40, 60), How::default())));
    assert!(one.disputes(&entry(2, 1, 4, (1, 40), How::default())));
    for beside in [
        entry(2, 2, 4, (41, 60), How::default()),
        entry(2, 2, 5, (1, 40), How::default()),
        entry(2, 2, 4, (1, 40), kind(WorkKind::Hedging)),
        entry(2, 2, 4, (1, 40), kind(WorkKind::Rework)),
    ] {
        assert!(!one.disputes(&beside), "{beside:?}");
    }
    let (a, b) = (
        entry(1, 1, 4, (1, 40), meant),
        entry(2, 2, 4, (1, 40), meant),
    );
    assert!(!a.disputes(&b));
}

/// Pruner, day, first place, length, zone, kind, share.
type Made = (u128, u32, u16, u16, usize, usize, Option<u8>);

proptest! {
    /// Whatever is logged, in whatever order: each tree is shared out once, nobody has more than was there, and the
    /// order of the entries changes nothing.
    #[test]
    fn shares_add_up_to_the_trees(
        made in proptest::collection::vec(
            (1u128..5, 1u32..5, 1u16..60, 1u16..30, 0usize..5, 0usize..6, proptest::option::of(1u8..99)), 1..9),
    ) {
        let of = |(id, (pruner, on, first, length, zone, kind, share)): (u128, Made)| {
            let how = How { kind: WorkKind::ALL[kind], zone: Zone::ALL[zone], share, team: None };
            entry(id, pruner, on, (first, (first + length).min(60)), how)
        };
        let mut work: Vec<WorkEntry> = (1u128..).zip(made).map(of).collect();
        let sums = trees(&work);
        for group in [WorkKind::Pruning, WorkKind::FirstPass, WorkKind::Hedging, WorkKind::SawWork] {
            let own: Vec<&WorkEntry> = work.iter().filter(|e| e.how.kind.counted_as() == Some(group)).collect();
            let shared: f64 = own.iter().filter_map(|e| sums.get(&e.id.0.as_u128())).sum();
            let quarters = (1..=60u16).map(|tree| {
                let here = own.iter().filter(|e| (e.first..=e.last).contains(&tree));
                here.fold(0u8, |all, e| all | e.how.zone.quarters()).count_ones()
            });
            let there = f64::from(quarters.sum::<u32>()) / 4.0;
            prop_assert!((shared - there).abs() < 1e-9, "{shared} of {there}");
        }
        let doers = |work: &[WorkEntry]| -> Vec<Option<Doer>> { (1..=60).map(|tree| doer(work, tree, 9, Zone::Whole)).collect() };
        let before = doers(&work);
        work.reverse();
        prop_assert_eq!(before, doers(&work));
        let again = trees(&work);
        for (id, sum) in &sums {
            // what does not divide goes to one or the other
            prop_assert!((again[id] - sum).abs() < 0.01, "{} and {}", again[id], sum);
        }
    }
}
