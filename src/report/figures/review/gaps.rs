//! How good the counts of a winter are, and where there are none.

use std::collections::{BTreeMap, HashSet};

use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::Serialize;

use crate::orchard::Stage;
use crate::report::figures::season::{Period, Place, Season};
use crate::report::figures::standing::Standing;
use crate::report::figures::supervisor::Quality;

/// How much the review rests on.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct DataQuality {
    /// What the supervisor's page says of the counts.
    pub counts: Quality,
    /// Share of the trees counted after pruning that were drawn, 0 to 1; none without trees.
    pub drawn_share: Option<f64>,
    /// Share of the pruned trees that were counted, 0 to 1; none where none was pruned.
    pub counted_share: Option<f64>,
    /// Days with work of which no tree was counted after pruning.
    pub days_without_counts: Vec<NaiveDate>,
}

impl Season {
    pub(super) fn data_quality(
        &self,
        day: NaiveDate,
        crew: &[Standing],
        blocks: &[Standing],
    ) -> DataQuality {
        let period = Period::so_far(day);
        let counts = self.quality(day, crew, blocks);
        let counted: HashSet<Place> = (self.standing_counts(Stage::After, period).iter())
            .map(|count| (count.head.block, count.head.row, count.head.tree))
            .collect();
        let pruned = self.pruned(period);
        let mut looked_at: BTreeMap<NaiveDate, bool> = BTreeMap::new();
        for (place, entry) in &pruned {
            *looked_at.entry(entry.day).or_default() |= counted.contains(place);
        }
        let both = pruned
            .keys()
            .filter(|place| counted.contains(place))
            .count();
        let share = |part: usize, all: usize| (all > 0).then(|| part as f64 / all as f64);
        DataQuality {
            drawn_share: counts.by_eye_share().map(|by_eye| 1.0 - by_eye),
            counted_share: share(both, pruned.len()),
            days_without_counts: (looked_at.into_iter())
                .filter_map(|(day, seen)| (!seen).then_some(day))
                .collect(),
            counts,
        }
    }
}
