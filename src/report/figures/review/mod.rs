//! The winter review: what was asked, what was left, and how much of it is known.

mod feedback;
mod gaps;

use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::Serialize;

use super::lines::{GoBackLine, MetricLine, StandingLine};
use super::outlook::CropLine;
use super::repeat::Repeats;
use super::season::{Period, Season};
use super::standing::{BudFigures, Standing};
use super::{Taken, WinterProgress};
use crate::judge::{Band, bands};
use crate::orchard::{Block, BlockId, BudLimit, Invalid, Outcome};
use crate::outlook::pace::{CostSoFar, Currency, Finish, Speed};
use crate::outlook::{Scenario, Target};

pub use feedback::{Difference, FirstAndLast, MetricChange, WeekSpan};
pub use gaps::DataQuality;

/// What was asked of a block.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Asked {
    /// The block.
    pub block: BlockId,
    /// Its name.
    pub name: String,
    /// Share by age.
    pub target: [f64; 4],
    /// What the rule accepts, by metric.
    pub bands: [Band; 5],
    /// Buds that may stay on thin, medium and thick units.
    pub buds: [BudLimit; 3],
    /// What it was to bear after this winter; none where no aim was set.
    pub aim: Option<Target>,
}

/// A block or a pruner at the end: the verdicts and what they rest on.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct ReviewLine {
    /// Both rules in a line.
    pub line: StandingLine,
    /// The five metrics with the intervals that the verdicts rest on.
    pub metrics: [MetricLine; 5],
    /// Buds left, by size of unit.
    pub buds: [BudFigures; 3],
}

/// Work done on a block, or by a pruner.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct WorkDone {
    /// The block's name, or the pruner as shown.
    pub shown: String,
    /// Trees pruned.
    pub done: u32,
    /// Trees left; none for a pruner.
    pub left: Option<u32>,
    /// How fast; none where nobody worked.
    pub speed: Option<Speed>,
}

/// The winter's work and what it cost.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct LabourReview {
    /// Trees pruned.
    pub done: u32,
    /// Trees left.
    pub left: u32,
    /// When all is through.
    pub finish: Finish,
    /// Days with work, the day of the review among them if it has some.
    pub days: u32,
    /// Hours and pace of all; none where nobody worked.
    pub speed: Option<Speed>,
    /// The orchard's currency.
    pub currency: Currency,
    /// Cost, in the currency's smallest unit.
    pub cost: CostSoFar,
    /// Pruners for whom no pay is entered, as shown.
    pub without_pay: Vec<String>,
    /// By block.
    pub blocks: Vec<WorkDone>,
    /// By pruner.
    pub pruners: Vec<WorkDone>,
}

/// One of the winters ahead, if the wood is pruned on as it was.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct WinterAhead {
    /// Winters from now; 0 is this one.
    pub ahead: usize,
    /// Share by age.
    pub mix: [f64; 4],
    /// Crop after it, t/ha, expected value.
    pub tonnes_per_ha: f64,
}

/// What a block's wood bears.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct CropReview {
    /// The block.
    pub block: BlockId,
    /// Its name.
    pub name: String,
    /// The aim; none where none was set.
    pub aim: Option<Target>,
    /// The crop of the counted wood; none where no buds were counted.
    pub crop: Option<CropLine>,
    /// This winter and those after it, pruned on as it was; empty where no wood was counted after pruning, or where
    /// neither buds were counted nor an aim is set.
    pub ahead: Vec<WinterAhead>,
    /// Winters until the block is in balance if it is mended now; none where that is not within four, or not known.
    pub balanced_in: Option<usize>,
    /// Why nothing could be worked out; none where it could. Said in words alone.
    #[serde(skip)]
    pub problem: Option<Invalid>,
}

/// Rows sent back, by what came of them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, JsonSchema)]
pub struct GoBackTotals {
    /// Mended.
    pub mended: u32,
    /// Still wrong when looked at again.
    pub still_wrong: u32,
    /// Left as it is.
    pub left_as_is: u32,
    /// Not looked at again.
    pub open: u32,
}

/// A winter as it stands on a day, from what was asked to how much is known.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct WinterReview {
    /// The orchard's name; may be empty.
    pub orchard: String,
    /// The winter's label.
    pub winter: String,
    /// The day.
    pub day: NaiveDate,
    /// The first day of pruning.
    pub start: NaiveDate,
    /// Budburst, where a block has no day of its own.
    pub budburst: NaiveDate,
    /// What was asked, by block.
    pub asked: Vec<Asked>,
    /// Where each block stands, by name.
    pub blocks: Vec<ReviewLine>,
    /// Where each pruner stands, by number; one line for each rule.
    pub pruners: Vec<ReviewLine>,
    /// The first week of each pruner against the last, where two weeks were counted.
    pub changed: Vec<FirstAndLast>,
    /// Rows sent back, in order of day.
    pub go_backs: Vec<GoBackLine>,
    /// What came of them.
    pub go_back_totals: GoBackTotals,
    /// Hours, cost and pace.
    pub labour: LabourReview,
    /// Trees counted twice.
    pub repeats: Repeats,
    /// Crop and outlook, by block.
    pub crops: Vec<CropReview>,
    /// How good the counts are.
    pub quality: DataQuality,
}

impl Season {
    /// The winter as it stands on a day.
    pub fn review(&self, day: NaiveDate) -> WinterReview {
        let (crew, blocks) = self.all_standings(Period::so_far(day));
        let progress = self.winter_progress_among(day, &crew, &blocks);
        let go_backs = self.go_back_lines(day);
        WinterReview {
            orchard: self.orchard.clone(),
            winter: self.winter.label.clone(),
            day,
            start: self.winter.start,
            budburst: self.winter.budburst,
            asked: self.blocks.iter().map(|block| self.asked(block)).collect(),
            changed: self.first_and_last(&crew, day),
            go_back_totals: totals(&go_backs),
            go_backs,
            labour: labour(progress),
            repeats: self.repeats(day),
            crops: self.crops(day),
            quality: self.data_quality(day, &crew, &blocks),
            blocks: (blocks.iter().filter(|block| block.is_begun()))
                .map(review_line)
                .collect(),
            pruners: crew.iter().map(review_line).collect(),
        }
    }

    fn asked(&self, block: &Block) -> Asked {
        let rule = self.rule(block.id);
        Asked {
            block: block.id,
            name: block.name.clone(),
            target: rule.target(),
            bands: bands(rule),
            buds: rule.buds,
            aim: self.crop.of(block.id).aim,
        }
    }

    fn crops(&self, day: NaiveDate) -> Vec<CropReview> {
        let wood = self.wood(Period::so_far(day));
        let of = |block: &Block| {
            let mut review = CropReview {
                block: block.id,
                name: block.name.clone(),
                aim: self.crop.of(block.id).aim,
                crop: None,
                ahead: Vec::new(),
                balanced_in: None,
                problem: None,
            };
            match self.outlook(block.id, &wood, &Taken::default(), day) {
                Ok(sheet) => {
                    let as_pruned =
                        (sheet.ahead.iter()).find(|ahead| ahead.scenario == Scenario::AsPruned);
                    review.ahead = as_pruned.map(years).unwrap_or_default();
                    review.crop = sheet.crop;
                    review.balanced_in = sheet.mend.and_then(|mend| mend.balanced_in);
                }
                Err(why) => review.problem = Some(why),
            }
            review
        };
        self.blocks.iter().map(of).collect()
    }
}

fn years(ahead: &super::Ahead) -> Vec<WinterAhead> {
    let year = |year: &crate::outlook::Year| WinterAhead {
        ahead: year.ahead,
        mix: year.mix,
        tonnes_per_ha: year.crop.tonnes_per_ha.mean,
    };
    ahead.years.iter().map(year).collect()
}

fn review_line(standing: &Standing) -> ReviewLine {
    ReviewLine {
        line: StandingLine::new(standing),
        metrics: MetricLine::all(standing),
        buds: standing.buds.clone(),
    }
}

fn totals(lines: &[GoBackLine]) -> GoBackTotals {
    let with = |outcome: Option<Outcome>| {
        lines.iter().filter(|line| line.outcome == outcome).count() as u32
    };
    GoBackTotals {
        mended: with(Some(Outcome::Mended)),
        still_wrong: with(Some(Outcome::StillWrong)),
        left_as_is: with(Some(Outcome::LeftAsIs)),
        open: with(None),
    }
}

fn labour(progress: WinterProgress) -> LabourReview {
    LabourReview {
        done: progress.done,
        left: progress.left,
        finish: progress.finish,
        days: progress.by_day.len() as u32,
        speed: progress.speed,
        currency: progress.currency,
        cost: progress.cost,
        without_pay: progress.without_pay,
        blocks: (progress.blocks.into_iter())
            .map(|block| WorkDone {
                shown: block.name,
                done: block.done,
                left: Some(block.left),
                speed: block.speed,
            })
            .collect(),
        pruners: (progress.pruners.into_iter())
            .map(|pruner| WorkDone {
                shown: pruner.shown,
                done: pruner.speed.trees.rounded(),
                left: None,
                speed: Some(pruner.speed),
            })
            .collect(),
    }
}
