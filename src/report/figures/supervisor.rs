//! The supervisor's page: every block and pruner against both rules, rows sent back, the trees to walk to.

use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::Serialize;

use super::calibration::CounterScore;
use super::day_sheet::MOSTLY_BY_EYE;
use super::drawn::{FateLine, WalkTree};
use super::lines::{GoBackLine, StandingLine};
use super::marked::MarkLine;
use super::repeat::CountingCaution;
use super::row_map::{BlockProgress, RowMap};
use super::season::{Period, Season};
use super::standing::Standing;
use crate::orchard::{Mark, Part, Stage};

/// Where the orchard stands on a day. Order is by name (blocks) and number (pruners) only: nobody is ranked.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct SupervisorPage {
    /// The orchard's name; may be empty.
    pub orchard: String,
    /// The winter's label.
    pub winter: String,
    /// The day.
    pub day: NaiveDate,
    /// Blocks in which work or counts are known, by name.
    pub blocks: Vec<StandingLine>,
    /// Trees done and left, of every block.
    pub progress: Vec<BlockProgress>,
    /// The rows of the blocks in which something is pruned, for pictures; data have [`SupervisorPage::progress`].
    #[serde(skip)]
    pub maps: Vec<RowMap>,
    /// Pruners who pruned or were counted, by number; one line for each rule.
    pub pruners: Vec<StandingLine>,
    /// The go-back list with what came of each row.
    pub go_backs: Vec<GoBackLine>,
    /// Trees with canker, in walking order.
    pub canker: Vec<MarkLine>,
    /// Trees drawn up to the day that still wait: the next walk.
    pub next: Vec<WalkTree>,
    /// What to keep in mind about the figures.
    pub quality: Quality,
}

/// How good the counts are that the figures rest on.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Quality {
    /// Trees counted after pruning.
    pub trees: u32,
    /// Of these, chosen by eye.
    pub by_eye: u32,
    /// Of these, counted on some of their stems only.
    pub in_part: u32,
    /// Of the last trees by leaders and pieces, those tapped too fast for each piece to be looked at.
    pub hasty: u32,
    /// Pieces by age of runs in the top third of a leader, over the same trees.
    pub in_top: [u32; 4],
    /// Trees counted before pruning.
    pub before: u32,
    /// Counts begun and not closed: not in the figures.
    pub open: u32,
    /// Drawn trees that were left out.
    pub skipped: u32,
    /// Pruners most of whose trees were chosen by eye, as shown.
    pub mostly_by_eye: Vec<String>,
    /// Pruners who pruned and of whose trees none was counted, as shown.
    pub not_looked_at: Vec<String>,
    /// Blocks with work and no counted tree, by name.
    pub blocks_without_counts: Vec<String>,
    /// Counted trees that the work log does not know as pruned.
    pub without_work: u32,
    /// Metrics in which much of the spread between trees seems to be the counter's.
    pub counting: Vec<CountingCaution>,
    /// Counters beside the agreed counts of reference trees, by name.
    pub calibration: Vec<CounterScore>,
    /// Counters of the winter who did not pass there, by name; empty without a reference tree.
    pub not_calibrated: Vec<String>,
}

impl Quality {
    /// Share of the counted trees that were chosen by eye; none without trees.
    pub fn by_eye_share(&self) -> Option<f64> {
        (self.trees > 0).then(|| f64::from(self.by_eye) / f64::from(self.trees))
    }
}

impl Season {
    /// The supervisor's page for a day, on the winter so far.
    pub fn supervisor_page(&self, day: NaiveDate) -> SupervisorPage {
        let period = Period::so_far(day);
        let (crew, blocks) = self.all_standings(period);
        SupervisorPage {
            orchard: self.orchard.clone(),
            winter: self.winter.label.clone(),
            day,
            maps: (self.row_maps(day).into_iter())
                .filter(|map| map.pruned > 0)
                .collect(),
            progress: self.progress(day),
            go_backs: self.go_back_lines(day),
            canker: (self.mark_lines().into_iter())
                .filter(|tree| tree.mark == Mark::Canker && tree.day <= day)
                .collect(),
            next: (self.waiting().into_iter())
                .filter(|tree| tree.drawn_on <= day)
                .collect(),
            quality: self.quality(day, &crew, &blocks),
            blocks: (blocks.iter().filter(|block| block.is_begun()))
                .map(StandingLine::new)
                .collect(),
            pruners: crew.iter().map(StandingLine::new).collect(),
        }
    }

    pub(super) fn quality(
        &self,
        day: NaiveDate,
        crew: &[Standing],
        blocks: &[Standing],
    ) -> Quality {
        let period = Period::so_far(day);
        let after = self.standing_counts(Stage::After, period);
        let pruned = self.pruned(period);
        let number = |wanted: &dyn Fn(&crate::orchard::TreeCount) -> bool| {
            after.iter().filter(|count| wanted(count)).count() as u32
        };
        // a pruner with several rules has several standings: look at the pruner as a whole
        let mut by_pruner: Vec<(&str, u32, u32)> = Vec::new();
        for standing in crew {
            match by_pruner.last_mut() {
                Some((shown, trees, drawn)) if *shown == standing.subject.shown() => {
                    *trees += standing.trees;
                    *drawn += standing.drawn;
                }
                _ => by_pruner.push((standing.subject.shown(), standing.trees, standing.drawn)),
            }
        }
        let names = |wanted: &dyn Fn(u32, u32) -> bool| {
            (by_pruner.iter())
                .filter(|(_, trees, drawn)| wanted(*trees, *drawn))
                .map(|(shown, _, _)| (*shown).to_owned())
                .collect()
        };
        Quality {
            trees: after.len() as u32,
            by_eye: number(&|count| !Self::is_drawn(count)),
            hasty: self.learned.hasty,
            in_top: self.learned.in_top,
            in_part: number(&|count| count.head.part != Part::Whole),
            before: self.standing_counts(Stage::Before, period).len() as u32,
            open: (self.open_counts().iter())
                .filter(|count| period.holds(count.head.at.day) && !count.head.again)
                .count() as u32,
            skipped: self.skipped(day),
            mostly_by_eye: names(&|trees, drawn| {
                f64::from(trees - drawn) > MOSTLY_BY_EYE * f64::from(trees)
            }),
            not_looked_at: names(&|trees, _| trees == 0),
            blocks_without_counts: (blocks.iter())
                .filter(|block| block.pruned > 0 && block.trees == 0)
                .map(|block| block.subject.shown().to_owned())
                .collect(),
            counting: self.repeats(day).cautions,
            calibration: self.calibration(day),
            not_calibrated: self.not_calibrated(day),
            without_work: number(&|count| {
                let head = &count.head;
                !pruned.contains_key(&(head.block, head.row, head.tree))
            }),
        }
    }

    fn skipped(&self, day: NaiveDate) -> u32 {
        let drawn = self.drawn(self.draws.iter().filter(|draw| draw.day <= day));
        drawn
            .filter(|drawn| matches!(drawn.fate, FateLine::Skipped { .. }))
            .count() as u32
    }
}
