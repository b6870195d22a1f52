//! The day sheet: what is right, the one or two things to change, and what that rests on.

mod changes;
mod weeks;

use std::collections::BTreeSet;

use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::Serialize;

pub use changes::{BudChange, Change, MAX_CHANGES, NotThere, Swap, changes, not_there};
pub use weeks::WeekChange;
use weeks::Weeks;
pub(in crate::report) use weeks::nearer;

use super::lines::{GoBackLine, MetricLine};
use super::marked::MarkLine;
use super::repeat::CountingCaution;
use super::season::{Period, Season};
use super::standing::{DayFigures, Standing};
use crate::judge::{Metric, Verdict};
use crate::orchard::{Language, Pruner, PrunerId, TreeCount};

/// Of the counted trees, the share chosen by eye above which the sheet warns of it.
pub const MOSTLY_BY_EYE: f64 = 0.5;

/// Days that the trend of a sheet shows, at most: the last ones.
const TREND_DAYS: usize = 10;

/// What a pruner is told at the end of a day, under one rule.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct DaySheet {
    /// Language of the sheet: the pruner's, else the orchard's. Data say the same in any.
    pub language: Language,
    /// The orchard's name; may be empty.
    pub orchard: String,
    /// The winter's label.
    pub winter: String,
    /// The day.
    pub day: NaiveDate,
    /// The pruner's winter up to and with the day: what the verdict rests on.
    pub standing: Standing,
    /// The day alone; none where no tree was counted on it.
    pub today: Option<DayFigures>,
    /// Whether most trees were chosen by eye.
    pub mostly_by_eye: bool,
    /// Metrics with evidence that they are in balance.
    pub right: Vec<Metric>,
    /// What to change, the surest first; together at most [`MAX_CHANGES`] things.
    pub changes: Vec<Change>,
    /// Wood that is light and was not there to be left: no change is asked of it.
    pub not_there: Vec<NotThere>,
    /// Metrics on which nothing can be said yet.
    pub open: Vec<Metric>,
    /// The five metrics beside their rule.
    pub table: [MetricLine; 5],
    /// Metrics that changed from the week before to this one, where the intervals are apart.
    pub weeks: Vec<WeekChange>,
    /// The pruner's rows to go back to.
    pub go_backs: Vec<GoBackLine>,
    /// Metrics in which much of the spread between trees seems to be the counter's.
    pub counting: Vec<CountingCaution>,
    /// Reference trees of the blocks, to look at together.
    pub together: Vec<MarkLine>,
}

impl DaySheet {
    /// The pruner as shown.
    pub fn shown(&self) -> &str {
        self.standing.subject.shown()
    }

    /// Whether more wood of some age is asked for.
    pub fn asks_for_more(&self) -> bool {
        self.changes.iter().any(|change| {
            matches!(change, Change::Wood { asked, .. } if asked.iter().any(|swap| swap.pieces > 0))
        })
    }

    /// The mean of a metric over the trees counted on the day alone; none without trees that give a value.
    pub fn on_the_day(&self, metric: Metric) -> Option<f64> {
        let today = self.today.as_ref()?;
        match metric {
            Metric::Buds => today.buds_within,
            age => today.mix.map(|mix| mix[age.index()]),
        }
    }

    /// The days of the trend, oldest first.
    pub fn last_days(&self) -> &[DayFigures] {
        let days = &self.standing.by_day;
        &days[days.len().saturating_sub(TREND_DAYS)..]
    }
}

impl Season {
    /// A pruner's sheets for a day: one for each rule that the pruner worked under so far.
    pub fn day_sheet(&self, pruner: PrunerId, day: NaiveDate) -> Vec<DaySheet> {
        self.sheets(day, &|period| self.pruner_standings(pruner, period))
    }

    /// The sheets of all who worked or were counted on a day, by number.
    pub fn day_sheets(&self, day: NaiveDate) -> Vec<DaySheet> {
        let shared = self.trees_pruned(Period::day(day));
        let worked = (self.work.iter())
            .filter(|entry| entry.day == day && entry.how.kind.leaves_pruned())
            .map(|entry| entry.pruner)
            .chain(shared.into_keys().map(|(subject, _)| subject));
        let counted = (self.counts().iter())
            .filter(|count| count.closed && !count.head.again && count.head.at.day == day)
            .filter_map(TreeCount::pruner);
        let there: BTreeSet<PrunerId> = worked.chain(counted).collect();
        self.sheets(day, &|period| {
            let mut standings = self.crew_standings(period);
            standings.retain(|s| s.subject.pruner_id().is_some_and(|id| there.contains(&id)));
            standings
        })
    }

    /// One sheet for each of the standings that `stand` gives for the winter so far.
    fn sheets(&self, day: NaiveDate, stand: &dyn Fn(Period) -> Vec<Standing>) -> Vec<DaySheet> {
        let weeks = Weeks::of(stand, day);
        let go_backs = self.open_go_backs(day);
        let counting = self.repeats(day).cautions;
        (stand(Period::so_far(day)).into_iter())
            .map(|standing| DaySheet {
                counting: counting.clone(),
                together: (self.reference_trees(day).into_iter())
                    .filter(|tree| standing.blocks.contains(&tree.block_name))
                    .collect(),
                ..self.sheet(day, standing, &weeks, &go_backs)
            })
            .collect()
    }

    fn sheet(
        &self,
        day: NaiveDate,
        standing: Standing,
        weeks: &Weeks,
        go_backs: &[GoBackLine],
    ) -> DaySheet {
        let with = |wanted: fn(Verdict) -> bool| {
            (standing.judgement.metrics.iter())
                .filter(|judged| wanted(judged.verdict))
                .map(|judged| judged.metric)
                .collect()
        };
        let by_eye = standing.trees - standing.drawn;
        let pruner = standing.subject.pruner_id();
        let own = pruner.and_then(|pruner| self.pruner(pruner));
        let own = own.and_then(Pruner::language);
        DaySheet {
            language: own.unwrap_or(self.sheet_language),
            orchard: self.orchard.clone(),
            winter: self.winter.label.clone(),
            day,
            today: (standing.by_day.iter())
                .find(|figures| figures.day == day)
                .cloned(),
            mostly_by_eye: f64::from(by_eye) > MOSTLY_BY_EYE * f64::from(standing.trees),
            right: with(|verdict| verdict == Verdict::InBalance),
            changes: changes(&standing),
            not_there: not_there(&standing),
            open: with(|verdict| verdict == Verdict::KeepCounting),
            table: MetricLine::all(&standing),
            weeks: weeks.changes(&standing),
            go_backs: (go_backs.iter())
                .filter(|line| Some(line.pruner) == pruner)
                .cloned()
                .collect(),
            counting: Vec::new(),
            together: Vec::new(),
            standing,
        }
    }
}
