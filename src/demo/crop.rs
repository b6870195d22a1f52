//! What is kept of the invented blocks' crops: aims, harvests and tagged units.

use super::maker::{Maker, made};
use super::planting::Orchard;
use crate::outlook::{HarvestEntry, SetCount, TaggedUnit, Target, Weighed, Yield};
use crate::report::harvest_year;
use crate::store::{Store, StoreError};

/// Sets this apart from all else that the same seed makes.
const APART: u64 = 0x00c0_ffee;
/// Units that are tagged each spring.
const TAGGED: usize = 16;

/// Aim, t/ha, and yields of the three seasons before, t/ha: the old block swings, the young one comes into bearing.
const BLOCKS: [(f64, [f64; 3]); 3] = [
    (38.0, [41.0, 24.0, 47.0]),
    (52.0, [48.0, 50.0, 45.0]),
    (45.0, [19.0, 28.0, 37.0]),
];

/// Stores it. The young block had units tagged in two springs.
pub(super) fn keep(store: &Store, seed: u64, orchard: &Orchard) -> Result<(), StoreError> {
    let mut maker = Maker::new(seed ^ APART);
    let next = harvest_year(&orchard.winter);
    for (planting, (aim, yields)) in orchard.blocks.iter().zip(BLOCKS) {
        let block = planting.block.id;
        store.save_aim(orchard.winter.id, block, Some(Target::TonnesPerHa(aim)))?;
        for (season, tonnes) in (next - 3..).zip(yields) {
            let mean_g = maker.between(175.0, 215.0).round();
            let entry = HarvestEntry {
                season,
                amount: Yield::TonnesPerHa(tonnes),
                weighed: Some(Weighed { mean_g, fruit: 60 }),
            };
            store.save_harvest(block, &made(entry.checked())?)?;
        }
    }
    if let Some(young) = orchard.blocks.last() {
        for season in [next - 2, next - 1] {
            let units: Result<Vec<TaggedUnit>, _> = (0..TAGGED)
                .map(|_| made(unit(&mut maker).checked()))
                .collect();
            let set = SetCount {
                season,
                units: units?,
            };
            store.save_set_count(young.block.id, &set)?;
        }
    }
    Ok(())
}

fn unit(maker: &mut Maker) -> TaggedUnit {
    let buds = 2 + maker.below(3) as u32;
    let of = |maker: &mut Maker, n: u32, share: f64| {
        (0..n).map(|_| u32::from(maker.chance(share))).sum::<u32>()
    };
    let fruit_buds = of(maker, buds, 0.85);
    let clusters = of(maker, fruit_buds, 0.65);
    // one fruit on each cluster, on some a second
    let fruit = clusters + of(maker, clusters, 0.45);
    TaggedUnit {
        buds,
        fruit_buds: Some(fruit_buds),
        clusters,
        fruit,
    }
}
