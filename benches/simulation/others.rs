//! Two other methods, for comparison.

use crate::model::{Grower, Truth};
use crate::spread;
use thirdwood::judge::{ALPHA_BALANCE, ALPHA_FLAG, Band, BandKind, Metric, Sums};

/// First flags by the two methods, pruner by pruner.
pub struct Others {
    pub t: Vec<Option<u32>>,
    pub wald: Vec<Option<u32>>,
}

/// A metric whose truth is at (or beyond) an edge of its band.
#[derive(Clone, Copy)]
pub struct Edge {
    metric: Metric,
}

impl Edge {
    pub fn age(k: usize) -> Self {
        Self {
            metric: Metric::ALL[k],
        }
    }

    pub fn four_plus() -> Self {
        Self {
            metric: Metric::FourPlus,
        }
    }
}

/// Quantiles of Student's t by degrees of freedom, 2 to `most` (places 0 and 1 are not used).
struct Quantiles(Vec<f64>);

impl Quantiles {
    fn new(part: f64, most: u32) -> Self {
        Self(
            (0..=most)
                .map(|nu| {
                    if nu < 2 {
                        f64::INFINITY
                    } else {
                        quantile(part, f64::from(nu))
                    }
                })
                .collect(),
        )
    }

    /// Half width of the interval of these trees.
    fn half(&self, sums: &Sums) -> f64 {
        if sums.n() < 3 {
            return f64::INFINITY;
        }
        self.0[sums.n() as usize - 1] * (sums.variance() / f64::from(sums.n())).sqrt()
    }
}

/// The angle a = atan(t / sqrt(nu)) has a density proportional to cos(a)^(nu - 1): Simpson's rule and halving.
fn quantile(part: f64, nu: f64) -> f64 {
    let area = |to: f64| {
        let steps = 400;
        let h = to / f64::from(steps);
        let f = |i: i32| (f64::from(i) * h).cos().powf(nu - 1.0);
        let inner: f64 = (1..steps)
            .map(|i| f(i) * if i % 2 == 1 { 4.0 } else { 2.0 })
            .sum();
        h / 3.0 * (f(0) + inner + f(steps))
    };
    let half = area(std::f64::consts::FRAC_PI_2);
    let (mut lo, mut hi) = (0.0, std::f64::consts::FRAC_PI_2);
    for _ in 0..60 {
        let middle = f64::midpoint(lo, hi);
        if 0.5 + 0.5 * area(middle) / half < part {
            lo = middle;
        } else {
            hi = middle;
        }
    }
    lo.tan() * nu.sqrt()
}

fn flagged(sums: &Sums, band: &Band, quantiles: &Quantiles) -> bool {
    let Some(mean) = sums.mean() else {
        return false;
    };
    let half = quantiles.half(sums);
    (band.kind != BandKind::TooOld && mean + half < band.lo)
        || (band.kind != BandKind::Compliance && mean - half > band.hi)
}

/// Times to a flag of one metric: by t intervals at the same error rate, and by Wald's test at 1 %.
pub fn run(
    truth: Truth,
    bands: &[Band; 5],
    metric: Metric,
    looks: u32,
    pruners: u64,
    seed: u64,
) -> Others {
    let band = bands[metric.index()];
    let mean = truth.means()[metric.index()];
    let edge = if mean < band.lo { band.lo } else { band.hi };
    let variance = true_variance(truth, metric, seed);
    let quantiles = Quantiles::new(1.0 - ALPHA_FLAG / 2.0, looks);
    let times = spread(pruners, |stream| {
        let mut grower = Grower::new(seed, stream);
        let mut sums = Sums::default();
        let (mut t, mut wald, mut ratio) = (None, None, 0.0);
        for n in 1..=looks {
            let (c, m) = grower.tree(&truth).metric(metric);
            sums.add(c, m);
            if m > 0 {
                let x = f64::from(c) / f64::from(m);
                ratio += (mean - edge) / variance * (x - f64::midpoint(mean, edge));
            }
            if t.is_none() && flagged(&sums, &band, &quantiles) {
                t = Some(n);
            }
            if wald.is_none() && ratio >= -f64::ln(ALPHA_FLAG / 2.0) {
                wald = Some(n);
            }
        }
        (t, wald)
    });
    let (t, wald) = times.into_iter().unzip();
    Others { t, wald }
}

fn true_variance(truth: Truth, metric: Metric, seed: u64) -> f64 {
    let mut grower = Grower::new(seed, u64::MAX);
    let mut sums = Sums::default();
    for _ in 0..50_000 {
        let (c, m) = grower.tree(&truth).metric(metric);
        sums.add(c, m);
    }
    sums.variance()
}

/// Share of pruners of whom t intervals ever flag any metric.
pub fn ever_flagged(truth: Truth, bands: &[Band; 5], looks: u32, pruners: u64, seed: u64) -> f64 {
    let quantiles = Quantiles::new(1.0 - ALPHA_FLAG / 2.0, looks);
    ever(truth, looks, pruners, seed, |all| {
        all.iter()
            .zip(bands)
            .any(|(sums, band)| flagged(sums, band, &quantiles))
    })
}

/// Share of pruners of whom a t interval ever lies wholly within the band of one metric, from ten trees.
pub fn ever_in_balance(truth: Truth, edge: Edge, looks: u32, pruners: u64, seed: u64) -> f64 {
    let band = crate::model::bands(0.10)[edge.metric.index()];
    let quantiles = Quantiles::new(1.0 - ALPHA_BALANCE / 2.0, looks);
    ever(truth, looks, pruners, seed, |all| {
        let sums = &all[edge.metric.index()];
        let (mean, half) = (sums.mean().unwrap_or(0.0), quantiles.half(sums));
        let above = band.kind == BandKind::TooOld || mean - half >= band.lo;
        sums.n() >= 10 && above && mean + half <= band.hi
    })
}

fn ever(
    truth: Truth,
    looks: u32,
    pruners: u64,
    seed: u64,
    event: impl Fn(&[Sums; 5]) -> bool + Sync,
) -> f64 {
    let happened = spread(pruners, |stream| {
        let mut grower = Grower::new(seed, stream);
        let mut all: [Sums; 5] = Default::default();
        (0..looks).any(|_| {
            let tree = grower.tree(&truth);
            for (sums, metric) in all.iter_mut().zip(Metric::ALL) {
                let (c, m) = tree.metric(metric);
                sums.add(c, m);
            }
            event(&all)
        })
    });
    happened.iter().filter(|&&h| h).count() as f64 / pruners as f64
}
