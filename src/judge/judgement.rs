//! The verdict on a pruner: metric by metric, and as a whole.

use super::early::{self, Hint};
use super::evidence::{Alphas, Evidence, Forecast, floor_by_common_spread};
use super::verdict::decide;
use super::{Band, Interval, Metric, More, Sample, Sums, Until, Verdict};
use schemars::JsonSchema;
use serde::Serialize;

/// One metric judged.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct MetricVerdict {
    /// Which metric.
    pub metric: Metric,
    /// Trees that give a value.
    pub n: u32,
    /// Estimate, in [0, 1]; none without such trees.
    pub mean: Option<f64>,
    /// Standard deviation between trees.
    pub s: f64,
    /// Interval that light, heavy and leaning rest on.
    pub flag: Interval,
    /// Interval that in balance rests on.
    pub balance: Interval,
    /// What may be said.
    pub verdict: Verdict,
    /// How many more trees until in balance, light or heavy.
    pub more: More,
    /// Share of the trees that stand in strata without counts (0 for a pruner in one block).
    pub unsampled: f64,
}

/// A pruner or a block judged.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct Judgement {
    /// The five metrics, in the order of [`Metric::ALL`].
    pub metrics: [MetricVerdict; 5],
    /// The whole: in balance only if all five metrics are; otherwise the verdict of the metric in `lead`.
    pub overall: Verdict,
    /// The metric that the whole rests on when it is light, heavy or leaning: the one that is most surely off.
    pub lead: Option<Metric>,
    /// How many more trees until the next verdict on the whole: that nothing is badly wrong, that it is in balance, or that
    /// one metric is light or heavy.
    pub more: More,
    /// How many more trees until the whole is in balance, or one metric is light or heavy: draws are shared out by it.
    #[serde(skip)]
    pub until_settled: More,
    /// The same for each word that may come next: draws in minutes are shared out by it.
    #[serde(skip)]
    pub until: Until,
    /// What may be told the supervisor before a verdict; in no data, for it is not for the pruner's sheet.
    #[serde(skip)]
    pub hint: Option<Hint>,
    /// The hint that stays, if one was given before.
    #[serde(skip)]
    pub stays: Option<Hint>,
}

impl Judgement {
    /// The verdict on one metric.
    pub fn metric(&self, metric: Metric) -> &MetricVerdict {
        &self.metrics[metric.index()]
    }

    /// The metrics that may be spoken of: light and heavy before leaning, and the surest first. `bands` as judged by.
    pub fn spoken(&self, bands: &[Band; 5]) -> Vec<Metric> {
        let mut spoken: Vec<_> = (self.metrics.iter().zip(bands))
            .filter(|(m, _)| m.verdict.is_spoken())
            .map(|(m, band)| (m.verdict.is_out(), certainty(m, band), m.metric))
            .collect();
        // a stable sort: equals stay in the order of the metrics
        spoken.sort_by(|a, b| b.0.cmp(&a.0).then(b.1.total_cmp(&a.1)));
        spoken.into_iter().map(|(_, _, metric)| metric).collect()
    }
}

/// Judges one metric of a pruner by itself, on the running sums of the counted trees. [`judge`] knows more: how much the
/// trees differ in the other ages, which may widen the interval.
pub fn judge_metric(metric: Metric, sums: &Sums, band: &Band) -> MetricVerdict {
    judge_evidence(
        metric,
        Evidence::of(metric, sums).as_ref(),
        band,
        Alphas::PRUNER,
    )
    .0
}

/// Judges a pruner. `bands` in the order of [`Metric::ALL`].
///
/// The whole is in balance only when all five metrics are (so no correction for five is needed); it is out of balance
/// when any metric is light or heavy, each at a one-sided 1 %, so 5 % for the five together.
pub fn judge(sample: &Sample, bands: &[Band; 5]) -> Judgement {
    let seen = Metric::ALL.map(|metric| Evidence::of(metric, sample.metric(metric)));
    assemble(bands, seen, Alphas::PRUNER, |_, judged| judged)
}

/// Judges five metrics on their evidence, lets `amend` look at each, and puts them together.
pub(super) fn assemble(
    bands: &[Band; 5],
    mut seen: [Option<Evidence>; 5],
    alphas: Alphas,
    amend: impl Fn(Metric, (MetricVerdict, Forecast)) -> (MetricVerdict, Forecast),
) -> Judgement {
    let as_counted = seen;
    floor_by_common_spread(&mut seen);
    let judged = Metric::ALL.map(|metric| {
        let at = metric.index();
        let alone = judge_evidence(metric, seen[at].as_ref(), &bands[at], alphas);
        amend(metric, alone)
    });
    let forecasts = [0, 1, 2, 3, 4].map(|k: usize| judged[k].1);
    let metrics = judged.map(|(verdict, _)| verdict);
    let (overall, lead) = overall(&metrics, bands);
    let mut judgement = Judgement {
        metrics,
        overall,
        lead,
        more: More::Settled,
        until_settled: More::Settled,
        until: Until::FAR,
        hint: None,
        stays: None,
    };
    if !overall.is_settled() {
        let early = alphas.early && !forecasts.contains(&Forecast::NotLookedAt);
        let fine = early && early::nothing_badly_wrong(&seen, bands);
        let waited_for = early && !fine && overall == Verdict::KeepCounting;
        let until_fine = waited_for.then(|| early::until_fine(&seen, bands));
        judgement.more = more_overall(&metrics, &forecasts, until_fine.flatten());
        judgement.until_settled = more_overall(&metrics, &forecasts, None);
        judgement.until = until(&metrics, &forecasts, early::until_fine(&seen, bands));
        if early {
            let verdicts = metrics.map(|m| m.verdict);
            judgement.hint = early::hint(&as_counted, verdicts, bands, false);
            judgement.stays = early::hint(&as_counted, verdicts, bands, true);
        }
        if fine && overall == Verdict::KeepCounting {
            judgement.overall = Verdict::NothingBadlyWrong;
        }
    }
    judgement
}

/// Judges one metric on its evidence, if there is any.
fn judge_evidence(
    metric: Metric,
    seen: Option<&Evidence>,
    band: &Band,
    alphas: Alphas,
) -> (MetricVerdict, Forecast) {
    let Some(seen) = seen else {
        return (nothing_known(metric), Forecast::TooFew);
    };
    let (flag, balance) = (seen.interval(alphas.flag), seen.interval(alphas.balance));
    let verdict = decide(band, &flag, &balance, seen.n);
    let forecast = if verdict.is_settled() {
        Forecast::TooFew
    } else {
        seen.forecast(band, alphas)
    };
    let judged = MetricVerdict {
        metric,
        n: seen.n,
        mean: Some(seen.mean),
        s: seen.s,
        flag,
        balance,
        verdict,
        more: if verdict.is_settled() {
            More::Settled
        } else {
            forecast.more()
        },
        unsampled: 0.0,
    };
    (judged, forecast)
}

/// No tree gives a value for this metric.
fn nothing_known(metric: Metric) -> MetricVerdict {
    MetricVerdict {
        metric,
        n: 0,
        mean: None,
        s: 0.0,
        flag: Interval::whole(),
        balance: Interval::whole(),
        verdict: Verdict::KeepCounting,
        more: More::Unknown,
        unsampled: 0.0,
    }
}

fn overall(metrics: &[MetricVerdict; 5], bands: &[Band; 5]) -> (Verdict, Option<Metric>) {
    if metrics.iter().all(|m| m.verdict == Verdict::InBalance) {
        return (Verdict::InBalance, None);
    }
    let surest = |wanted: fn(Verdict) -> bool| {
        let mut best: Option<(f64, &MetricVerdict)> = None;
        for (m, band) in metrics.iter().zip(bands).filter(|(m, _)| wanted(m.verdict)) {
            let certainty = certainty(m, band);
            if best.is_none_or(|(most, _)| certainty > most) {
                best = Some((certainty, m));
            }
        }
        best.map(|(_, m)| (m.verdict, Some(m.metric)))
    };
    surest(Verdict::is_out)
        .or_else(|| surest(Verdict::is_leaning))
        .unwrap_or((Verdict::KeepCounting, None))
}

/// How far the mean is beyond the edge (or, leaning, the target), in half widths of the interval toward it: 1 is just
/// enough for the verdict.
fn certainty(judged: &MetricVerdict, band: &Band) -> f64 {
    let Some(mean) = judged.mean else { return 0.0 };
    let (beyond, half) = match judged.verdict {
        Verdict::Light => (band.lo - mean, judged.flag.hi - mean),
        Verdict::Heavy => (mean - band.hi, mean - judged.flag.lo),
        Verdict::LeaningLight => (band.target - mean, judged.flag.hi - mean),
        Verdict::LeaningHeavy => (mean - band.target, mean - judged.flag.lo),
        Verdict::InBalance | Verdict::NothingBadlyWrong | Verdict::KeepCounting => return 0.0,
    };
    beyond / half.max(f64::MIN_POSITIVE)
}

/// One flag is enough to settle the whole, but all metrics must be in balance for it to be in balance.
/// Trees to each word: the soonest metric speaks of what is off, and the slowest of what is well.
fn until(metrics: &[MetricVerdict; 5], forecasts: &[Forecast; 5], fine: Option<u32>) -> Until {
    let (mut out, mut leaning, mut balance) = (None, None, Some(0));
    for (judged, forecast) in metrics.iter().zip(forecasts) {
        if judged.verdict == Verdict::InBalance {
            continue;
        }
        let (flag, leans, holds) = match *forecast {
            Forecast::TooFew | Forecast::NotLookedAt => (None, None, None),
            Forecast::Trees {
                flag,
                leaning,
                balance,
            } => (flag, leaning, balance),
        };
        out = out.into_iter().chain(flag).min();
        leaning = leaning.into_iter().chain(leans).min();
        balance = balance.zip(holds).map(|(x, y): (u32, u32)| x.max(y));
    }
    let far = |trees: Option<u32>| trees.map_or(Until::MOST, |trees| trees.min(Until::MOST));
    Until {
        out: far(out),
        leaning: far(leaning),
        fine: far(fine),
        balance: far(balance),
    }
}

/// That nothing is badly wrong comes sooner.
fn more_overall(
    metrics: &[MetricVerdict; 5],
    forecasts: &[Forecast; 5],
    until_fine: Option<u32>,
) -> More {
    let mut flag: Option<u32> = None;
    let mut balance: Option<u32> = Some(0);
    let (mut too_few, mut not_looked_at) = (false, false);
    for (judged, forecast) in metrics.iter().zip(forecasts) {
        if judged.verdict == Verdict::InBalance {
            continue;
        }
        match *forecast {
            Forecast::TooFew => {
                too_few = true;
                balance = None;
            }
            Forecast::NotLookedAt => {
                not_looked_at = true;
                balance = None;
            }
            Forecast::Trees {
                flag: f,
                balance: b,
                ..
            } => {
                flag = flag.into_iter().chain(f).min();
                balance = balance.zip(b).map(|(x, y)| x.max(y));
            }
        }
    }
    match flag.into_iter().chain(balance).chain(until_fine).min() {
        Some(trees) => More::about(trees),
        None if not_looked_at => More::NotLookedAt,
        None if too_few => More::Unknown,
        None => More::TooClose,
    }
}

#[cfg(test)]
#[path = "judgement_tests.rs"]
mod tests;
