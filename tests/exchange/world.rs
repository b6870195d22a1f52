//! Random orchards.

use std::collections::{BTreeMap, BTreeSet};

use chrono::{Days, NaiveDate};
use proptest::prelude::*;
use thirdwood::orchard::*;
use thirdwood::outlook::{HarvestEntry, Weighed, Yield};
use thirdwood::store::Store;
use uuid::Uuid;

use crate::roundtrip::today;

/// A name that tries the way of writing.
pub fn hard_text() -> impl Strategy<Value = String> {
    prop_oneof![
        "[a-z]{1,8}",
        "['=+@\"-][=+@'\" a-z,;-]{0,12}",
        "[ñ梨й€\u{1F350}a-z\"',;:|]{1,20}",
        "[0-9]{1,4}[-:./x][0-9]{1,2}",
    ]
}

/// Name, variety, stems, spacing, rows with their places, missing trees.
pub type BlockSeed = (String, String, u8, f64, Vec<(u16, u16)>, Vec<u16>);
/// Choices, taps, text, milliseconds.
pub type CountSeed = ([u16; 8], Vec<(u8, u8)>, String, i64);

#[derive(Debug, Clone)]
pub struct Seeds {
    pub blocks: Vec<BlockSeed>,
    pub crew: Vec<(u16, String, bool, bool)>,
    pub winters: Vec<(String, u8, bool, Option<u8>)>,
    pub work: Vec<[u16; 6]>,
    pub counts: Vec<CountSeed>,
    pub draws: Vec<(u64, Vec<[u16; 4]>)>,
    pub back: Vec<([u16; 5], String)>,
}

pub fn seeds() -> impl Strategy<Value = Seeds> {
    let rows = proptest::collection::vec((1u16..30, 2u16..40), 1..5);
    let missing = proptest::collection::vec(0u16..2_000, 0..6);
    let block = (
        hard_text(),
        hard_text(),
        1u8..8,
        0.5f64..20.0,
        rows,
        missing,
    );
    let blocks = proptest::collection::vec(block, 1..4);
    let crew = proptest::collection::vec(
        (1u16..9_999, hard_text(), any::<bool>(), any::<bool>()),
        1..6,
    );
    let winter = (
        hard_text(),
        0u8..200,
        any::<bool>(),
        proptest::option::of(0u8..90),
    );
    let taps = proptest::collection::vec((0u8..7, any::<u8>()), 0..30);
    let count = (
        any::<[u16; 8]>(),
        taps,
        hard_text(),
        -3_000_000_000i64..3_000_000_000,
    );
    let draw = (
        any::<u64>(),
        proptest::collection::vec(any::<[u16; 4]>(), 0..8),
    );
    (
        blocks,
        crew,
        proptest::collection::vec(winter, 1..3),
        proptest::collection::vec(any::<[u16; 6]>(), 0..12),
        proptest::collection::vec(count, 0..12),
        proptest::collection::vec(draw, 0..3),
        proptest::collection::vec((any::<[u16; 5]>(), hard_text()), 0..4),
    )
        .prop_map(|(blocks, crew, winters, work, counts, draws, back)| Seeds {
            blocks,
            crew,
            winters,
            work,
            counts,
            draws,
            back,
        })
}

pub struct World {
    pub store: Store,
    pub blocks: Vec<Block>,
    pub crew: Vec<PrunerId>,
    pub winters: Vec<Winter>,
}

pub fn pick<T>(from: &[T], at: u16) -> &T {
    &from[usize::from(at) % from.len()]
}

impl World {
    fn tree(&self, at: [u16; 3]) -> (&Block, u16, u16) {
        let block = pick(&self.blocks, at[0]);
        let row = pick(block.rows.rows(), at[1]);
        let standing: Vec<u16> = (1..=row.places).filter(|p| row.has_tree(*p)).collect();
        (block, row.number, *pick(&standing, at[2]))
    }
}

pub fn build(seeds: &Seeds) -> World {
    let store = Store::in_memory().unwrap();
    let mut taken = BTreeSet::new();
    let mut blocks = Vec::new();
    for (name, variety, stems, spacing, rows, missing) in &seeds.blocks {
        let rows: BTreeMap<u16, u16> = rows.iter().copied().collect();
        let keys: Vec<_> = rows.iter().collect();
        let gaps = missing.iter().map(|at| {
            let (number, places) = keys[usize::from(*at) % keys.len()];
            format!("{number}:{}", 1 + at % (places - 1))
        });
        let gaps: Vec<_> = gaps.collect();
        let rows: Vec<_> = rows.iter().map(|(n, p)| format!("{n}x{p}")).collect();
        let draft = BlockDraft {
            name: name.clone(),
            variety: variety.clone(),
            planted: (*stems > 3).then_some(1990 + i32::from(*stems)),
            row_spacing_m: *spacing,
            tree_spacing_m: *spacing / 1.7 + 0.2,
            stems: *stems,
            sides: Sides::ALL[usize::from(stems % 2)],
            lean_deg: spacing * 3.0,
            rows: RowPlan::parse(&rows.join(","), &gaps.join(",")).unwrap(),
            ..BlockDraft::default()
        };
        let Ok(block) = Block::new(BlockId(Uuid::now_v7()), draft) else {
            continue;
        };
        if taken.insert(block.name.clone()) {
            store.save_block(&block).unwrap();
            blocks.push(block);
        }
    }
    let mut crew = Vec::new();
    let mut taken = BTreeSet::new();
    for (number, name, active, number_only) in &seeds.crew {
        let draft = PrunerDraft {
            number: *number,
            name: name.clone(),
            label: name.trim().chars().take(4).collect(),
            active: *active,
            number_only: *number_only,
            language: ["", "es", "fr", "es-MX"][usize::from(number % 4)].into(),
        };
        if taken.insert(*number) {
            let id = PrunerId(Uuid::now_v7());
            store.save_pruner(&Pruner::new(id, draft).unwrap()).unwrap();
            crew.push(id);
        }
    }
    let mut winters: Vec<Winter> = Vec::new();
    for (label, start, rule, own) in &seeds.winters {
        let start = NaiveDate::from_ymd_opt(2026, 6, 1).unwrap() + Days::new(u64::from(*start));
        let own = own.map(|d| (blocks.first(), start + Days::new(1 + u64::from(d))));
        let own = own.and_then(|(block, day)| Some((block?.id, day)));
        let draft = WinterDraft {
            label: label.clone(),
            start,
            budburst: start + Days::new(70),
            block_budburst: own.into_iter().collect(),
        };
        let Ok(winter) = Winter::new(WinterId(Uuid::now_v7()), draft) else {
            continue;
        };
        if winters.iter().any(|known| known.label == winter.label) {
            continue;
        }
        store.save_winter(&winter).unwrap();
        if *rule {
            let own = RuleDraft {
                parts: [3, 2, 1, 0],
                compliance: 0.123_456_789_012_345_6,
                ..RuleDraft::default()
            };
            let own = Rule::new(own).unwrap();
            store.save_rule(winter.id, None, &own).unwrap();
            let block = blocks.first().map(|block| block.id);
            store.save_rule(winter.id, block, &Rule::default()).unwrap();
        }
        winters.push(winter);
    }
    World {
        store,
        blocks,
        crew,
        winters,
    }
}

/// Marks on trees that something was logged of.
fn marks(world: &World, seeds: &Seeds) {
    for w in &seeds.work {
        let (block, row, tree) = world.tree([w[0], w[1], w[5]]);
        let mark = TreeMark {
            block: block.id,
            row,
            tree,
            mark: *pick(&Mark::ALL, w[4]),
            note: "=cut, 'low'".into(),
            day: today(),
        };
        world.store.save_mark(&mark.check(block).unwrap()).unwrap();
    }
}

pub fn fill(world: &World, seeds: &Seeds) {
    harvests(world, seeds);
    marks(world, seeds);
    for w in &seeds.work {
        let (block, row, tree) = world.tree([w[0], w[1], w[2]]);
        let draft = WorkDraft {
            winter: pick(&world.winters, w[3]).id,
            pruner: *pick(&world.crew, w[4]),
            block: block.id,
            row,
            first: tree,
            last: tree.max(w[5] % 40).min(block.rows.row(row).unwrap().places),
            day: today(),
            minutes: (!w[5].is_multiple_of(3)).then_some(1 + w[5] % 1_440),
            how: How::default(),
        };
        let entry = WorkEntry::new(WorkId(Uuid::now_v7()), draft, block).unwrap();
        world.store.save_work(&entry).unwrap();
    }
    for (n, taps, text, ms) in &seeds.counts {
        world
            .store
            .add_count(&count(world, n, taps, text, *ms))
            .unwrap();
    }
    for (seed, trees) in &seeds.draws {
        let trees = trees.iter().map(|t| {
            let (block, row, tree) = world.tree([t[0], t[1], t[2]]);
            DrawnTree {
                runs: None,
                block: block.id,
                row,
                tree,
                pruner: *pick(&world.crew, t[3]),
                fate: if t[3].is_multiple_of(3) {
                    Fate::skipped("=fallen").unwrap()
                } else {
                    Fate::Waiting
                },
            }
        });
        let draw = Draw {
            id: DrawId(Uuid::now_v7()),
            winter: world.winters[0].id,
            day: today(),
            since: today() - Days::new(seed % 3),
            until: today(),
            seed: *seed,
            trees: trees.collect(),
        };
        world.store.add_draw(&draw).unwrap();
    }
    for (b, reason) in &seeds.back {
        let (block, row, _) = world.tree([b[0], b[1], 0]);
        let settled = (b[2].is_multiple_of(2)).then(|| Settled {
            outcome: *pick(&Outcome::ALL, b[3]),
            day: today(),
        });
        let entry = GoBack {
            id: GoBackId(Uuid::now_v7()),
            winter: pick(&world.winters, b[4]).id,
            block: block.id,
            row,
            pruner: world.crew[0],
            day: today(),
            reason: reason.clone(),
            settled,
        };
        world
            .store
            .save_go_back(&entry.check(block).unwrap())
            .unwrap();
    }
}

/// A harvest for each block and a few years, with and without fruit weighed.
fn harvests(world: &World, seeds: &Seeds) {
    for (at, (block, seed)) in world.blocks.iter().zip(&seeds.work).enumerate() {
        for season in 2020..2020 + i32::from(seed[0] % 4) {
            let tenths = f64::from(seed[1] % 500) / 10.0;
            let entry = HarvestEntry {
                season,
                amount: if at.is_multiple_of(2) {
                    Yield::TonnesPerHa(tenths)
                } else {
                    Yield::KgPerTree(tenths)
                },
                weighed: (season % 2 == 0).then(|| Weighed {
                    mean_g: 150.0 + tenths,
                    fruit: u32::from(seed[2]) + 1,
                }),
            };
            let entry = entry.checked().unwrap();
            world.store.save_harvest(block.id, &entry).unwrap();
        }
    }
}

pub fn count(world: &World, n: &[u16; 8], taps: &[(u8, u8)], text: &str, ms: i64) -> TreeCount {
    let (block, row, tree) = world.tree([n[0], n[1], n[2]]);
    let before = n[3].is_multiple_of(4);
    let offset = i32::from(n[4] % 97) * 15 - 720;
    let moment = 1_800_000_000_000 + ms;
    let local = moment + i64::from(offset) * 60_000;
    let local = chrono::DateTime::from_timestamp_millis(local)
        .unwrap()
        .date_naive();
    // now and then the orchard's day is not the day of the moment
    let day = local + Days::new(u64::from(n[5].is_multiple_of(5)));
    let part = if block.stems > 1 && n[6].is_multiple_of(2) {
        Part::Stems(1 + (n[6] / 2) as u8 % (block.stems - 1))
    } else {
        Part::Whole
    };
    let head = CountHead {
        winter: pick(&world.winters, n[7]).id,
        block: block.id,
        row,
        tree,
        pruner: (!before).then(|| *pick(&world.crew, n[7] / 7)),
        stage: if before { Stage::Before } else { Stage::After },
        part,
        chosen: *pick(&Chosen::ALL, n[5]),
        counter: text.to_owned(),
        at: Stamp::new(moment, offset, day).unwrap(),
        note: format!("{text}\"{text}"),
        again: n[6].is_multiple_of(3),
    };
    let mut tally = Tally::default();
    for (kind, more) in taps {
        let tap = match kind {
            0..4 => Tap::Piece(Age::ALL[usize::from(*kind)]),
            4 => Tap::Upright,
            5 => Tap::ThickTop,
            _ => Tap::Unit(
                Size::ALL[usize::from(more % 3)],
                Buds::new(more / 3 % 8).unwrap(),
            ),
        };
        tally.add(tap).unwrap();
    }
    TreeCount {
        id: CountId(Uuid::now_v7()),
        head: head.check(block).unwrap(),
        tally,
        closed: !n[6].is_multiple_of(5),
        by_log: None,
        pruned_on: None,
    }
}
