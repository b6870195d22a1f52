//! What changed after feedback: the first week that a pruner was counted in, against the last.

use chrono::{Days, NaiveDate};
use schemars::JsonSchema;
use serde::Serialize;

use crate::judge::{Interval, Metric, MetricVerdict};
use crate::report::figures::day_sheet::nearer;
use crate::report::figures::season::{Period, Season};
use crate::report::figures::standing::{Standing, Subject};

/// Seven days, first and last included, and the trees counted in them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
pub struct WeekSpan {
    /// First day.
    pub since: NaiveDate,
    /// Last day.
    pub until: NaiveDate,
    /// Trees counted.
    pub trees: u32,
}

/// How far apart two shares may be, -1 to 1.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct Difference {
    /// Lower end.
    pub lo: f64,
    /// Upper end.
    pub hi: f64,
}

impl Difference {
    /// Last less first. Each week's interval holds at any look with 98 %; subtracted end from end they hold the
    /// difference with at least 96 % (Bonferroni), whatever ties the two weeks to each other. Wider than an interval
    /// for one look would be: the price of looking whenever one likes.
    fn between(first: Interval, last: Interval) -> Self {
        Self {
            lo: last.lo - first.hi,
            hi: last.hi - first.lo,
        }
    }

    /// Whether it says that something changed: 0 lies outside.
    pub fn is_change(self) -> bool {
        self.lo > 0.0 || self.hi < 0.0
    }

    /// Whether it says anything at all.
    pub fn is_known(self) -> bool {
        self.hi - self.lo < 1.0
    }
}

/// One metric in both weeks.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct MetricChange {
    /// Which metric.
    pub metric: Metric,
    /// Mean share in the first week; none without trees that give a value.
    pub first: Option<f64>,
    /// Mean share in the last week.
    pub last: Option<f64>,
    /// Last less first; -1 to 1 where nothing is known.
    pub difference: Difference,
    /// Where it is sure that something changed: whether the share is nearer to what the rule asks for than before.
    pub better: Option<bool>,
}

/// A pruner's first and last week under one rule.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct FirstAndLast {
    /// The pruner.
    pub subject: Subject,
    /// The blocks counted in over the winter.
    pub blocks: Vec<String>,
    /// The first seven days from the first counted tree on.
    pub first: WeekSpan,
    /// The seven days up to the last counted tree.
    pub last: WeekSpan,
    /// The five metrics.
    pub metrics: [MetricChange; 5],
}

/// Standings by week, each made once: most of a crew begins and ends together.
#[derive(Default)]
struct Weeks(Vec<(Period, Vec<Standing>)>);

impl Weeks {
    /// The standing of a pruner under the same rule in a week.
    fn of(&mut self, season: &Season, standing: &Standing, week: Period) -> Option<&Standing> {
        if !self.0.iter().any(|(known, _)| *known == week) {
            self.0.push((week, season.crew_standings(week)));
        }
        let (_, crew) = self.0.iter().find(|(known, _)| *known == week)?;
        crew.iter().find(|one| one.is_same(standing))
    }
}

impl Season {
    /// First week against last, of all whose counts reach over two weeks that share no day.
    pub(super) fn first_and_last(&self, crew: &[Standing], day: NaiveDate) -> Vec<FirstAndLast> {
        let mut weeks = Weeks::default();
        let of = |standing: &Standing| self.weeks_of(standing, day, &mut weeks);
        crew.iter().filter_map(of).collect()
    }

    fn weeks_of(
        &self,
        standing: &Standing,
        day: NaiveDate,
        weeks: &mut Weeks,
    ) -> Option<FirstAndLast> {
        let (begin, end) = (
            standing.by_day.first()?.day,
            standing.by_day.last()?.day.min(day),
        );
        let (first_until, last_since) = (begin + Days::new(6), end - Days::new(6));
        if last_since <= first_until {
            return None;
        }
        let week = |since, until| Period {
            since: Some(since),
            until,
        };
        let first = weeks.of(self, standing, week(begin, first_until))?.clone();
        let last = weeks.of(self, standing, week(last_since, end))?;
        let span = |since, until, standing: &Standing| WeekSpan {
            since,
            until,
            trees: standing.trees,
        };
        let change = |metric: Metric| {
            let band = &standing.bands[metric.index()];
            let (was, is) = (
                first.judgement.metric(metric),
                last.judgement.metric(metric),
            );
            metric_change(was, is, |was, is| nearer(band, was, is))
        };
        Some(FirstAndLast {
            subject: standing.subject.clone(),
            blocks: standing.blocks.clone(),
            first: span(begin, first_until, &first),
            last: span(last_since, end, last),
            metrics: Metric::ALL.map(change),
        })
    }
}

fn metric_change(
    was: &MetricVerdict,
    is: &MetricVerdict,
    nearer: impl Fn(f64, f64) -> bool,
) -> MetricChange {
    let difference = Difference::between(was.flag, is.flag);
    let means = was.mean.zip(is.mean).filter(|_| difference.is_change());
    MetricChange {
        metric: is.metric,
        first: was.mean,
        last: is.mean,
        difference,
        better: means.map(|(was, is)| nearer(was, is)),
    }
}
