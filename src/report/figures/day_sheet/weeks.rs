//! Whether the last seven days differ from the seven before: said only where the evidence does.

use chrono::{Days, NaiveDate};
use schemars::JsonSchema;
use serde::Serialize;

use crate::judge::{Band, BandKind, Metric, MetricVerdict};
use crate::report::figures::season::Period;
use crate::report::figures::standing::Standing;

/// A metric whose intervals, valid at any look, of this week and the week before share no value.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct WeekChange {
    /// Which metric.
    pub metric: Metric,
    /// Mean share in the seven days before.
    pub before: f64,
    /// Mean share in the last seven days.
    pub now: f64,
    /// Trees counted in the seven days before.
    pub trees_before: u32,
    /// Trees counted in the last seven days.
    pub trees_now: u32,
    /// Nearer to what the rule asks for than before.
    pub better: bool,
}

/// Standings of two weeks.
pub(super) struct Weeks {
    before: Vec<Standing>,
    now: Vec<Standing>,
}

impl Weeks {
    /// The seven days that end with `day`, and the seven before, as `stand` has them.
    pub fn of(stand: &dyn Fn(Period) -> Vec<Standing>, day: NaiveDate) -> Self {
        let back = |days| day.checked_sub_days(Days::new(days)).unwrap_or(day);
        let between = |since, until| {
            stand(Period {
                since: Some(since),
                until,
            })
        };
        Self {
            before: between(back(13), back(7)),
            now: between(back(6), day),
        }
    }

    /// What changed for whom `standing` is about, under the same rule.
    pub fn changes(&self, standing: &Standing) -> Vec<WeekChange> {
        let metrics = |standings: &[Standing]| {
            (standings.iter())
                .find(|s| s.is_same(standing))
                .map(|s| s.judgement.metrics)
        };
        let (Some(before), Some(now)) = (metrics(&self.before), metrics(&self.now)) else {
            return Vec::new();
        };
        (before.iter().zip(&now).zip(&standing.bands))
            .filter_map(|((before, now), band)| change(before, now, band))
            .collect()
    }
}

fn change(before: &MetricVerdict, now: &MetricVerdict, band: &Band) -> Option<WeekChange> {
    if !before.flag.apart(&now.flag) {
        return None;
    }
    let (was, is) = (before.mean?, now.mean?);
    Some(WeekChange {
        metric: now.metric,
        before: was,
        now: is,
        trees_before: before.n,
        trees_now: now.n,
        better: nearer(band, was, is),
    })
}

/// Whether a share `is` nearer to what a rule asks for than it `was`.
pub(in crate::report) fn nearer(band: &Band, was: f64, is: f64) -> bool {
    let off = |mean: f64| match band.kind {
        BandKind::Kept => (mean - band.target).abs(),
        BandKind::TooOld => mean,
        BandKind::Compliance => -mean,
    };
    off(is) < off(was)
}
