//! The winter run through many times over days drawn from those seen.

use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;

use super::crew::MILLI;
use super::effort::Effort;
use super::money::{Money, half_up};
use super::order::thresholds;
use super::student::student_90;
use crate::outlook::Z_90;

/// A day's index that stands for "not within the horizon".
pub(super) const NEVER: u16 = u16::MAX;

/// What a crew does and costs on one of the days seen.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct DayTotal {
    /// Thousandths of the average tree.
    pub work: u64,
    pub minutes: u64,
    /// Pay by the hour.
    pub hourly: Money,
    /// Pay by the tree: work × rate.
    pub piece: i128,
}

impl DayTotal {
    pub fn add(&mut self, other: &Self) {
        self.work += other.work;
        self.minutes += other.minutes;
        self.hourly = self.hourly.plus(other.hourly);
        self.piece += other.piece;
    }
}

/// Somebody without days seen, who works like a pruner of the crew drawn at random.
pub(super) struct Unknown {
    /// First and last day, as indexes.
    pub days: (u16, u16),
    /// Which of [`Job::likenesses`]: one for each way of pay.
    pub likeness: usize,
}

/// Everything that one run needs, by indexes: days from today (0) on, days seen, blocks of the plan.
pub(super) struct Job {
    /// Whether each day is worked, rain apart.
    pub works: Vec<bool>,
    /// Which of `totals` holds on each day.
    pub era: Vec<u16>,
    /// For each make-up of the crew, each day seen.
    pub totals: Vec<Vec<DayTotal>>,
    pub unknown: Vec<Unknown>,
    /// For each way of pay, each pruner to be like, each day seen.
    pub likenesses: Vec<Vec<Vec<DayTotal>>>,
    /// What an average pruner does on each day seen.
    pub average: Vec<u64>,
    /// Work already logged for today.
    pub done_today: u64,
    /// Days seen that rain took, and that it did not, half a day added to each.
    pub urn: (f64, f64),
    /// Trees left in each block, and the effort of one.
    pub left: Vec<(u32, Effort)>,
    /// Each block's share of the work seen lately.
    pub shares: Vec<f64>,
    /// Days in a run's pool, on average: see [`pool_size`].
    pub pool: f64,
    /// Each block's last day, as an index; negative if it is over.
    pub deadlines: Vec<i64>,
}

/// What came of one run.
pub(super) struct Run {
    /// The day each block is through.
    pub finish: Vec<u16>,
    /// Average pruners needed to have each block through in time: in all, and beyond the crew.
    pub needed: Vec<(u32, u32)>,
    pub minutes: u64,
    pub pay: Money,
}

/// How many of `n` days seen are drawn as the pool for a run: m = (n − 1) z² / t².
///
/// Drawing m of n with replacement gives the pool's mean the variance s²(n − 1)/(n m). With m = n − 1 that is the
/// usual estimate s²/n; the factor makes the 10-90 % range as wide as Student's with n − 1 degrees of freedom.
pub(super) fn pool_size(n: usize) -> f64 {
    let nu = (n.max(2) - 1) as f64;
    (nu * (Z_90 / student_90(nu)).powi(2)).max(1.0)
}

/// Randomness by purpose, so that changing one thing leaves the draws for the others as they were.
fn stream(base: &ChaCha8Rng, run: u64, purpose: u64) -> ChaCha8Rng {
    let mut generator = base.clone();
    generator.set_stream(run * 4 + purpose);
    generator
}

impl Job {
    /// Run number `run` of the given seed: always the same.
    pub fn run(&self, base: &ChaCha8Rng, run: u64) -> Run {
        let left = self.draw_left(base, run);
        let through = thresholds(&self.shares, &left);
        let all: u64 = left.iter().sum();
        let pool = self.draw_pool(base, run);
        let likes = self.draw_likes(base, run);
        let mut days = stream(base, run, 0);
        let (mut wet, mut dry) = self.urn;
        let last_deadline = self.deadlines.iter().copied().max().unwrap_or(-1);
        let mut after = Vec::with_capacity(self.works.len());
        let (mut sum, mut helper) = (0, 0);
        let mut spent = DayTotal::default();
        for day in 0..self.works.len() {
            if sum >= all && day as i64 > last_deadline {
                break;
            }
            // one draw for every date, worked or not: a day off changes nothing about the other days
            let draw = days.random::<u64>();
            let rains = (draw >> 32) as f64 / 4_294_967_296.0 * (wet + dry) < wet;
            *if rains { &mut wet } else { &mut dry } += 1.0;
            if self.works[day] && !rains {
                let seen = pool[(((draw & 0xffff_ffff) * pool.len() as u64) >> 32) as usize];
                let total = self.day_total(day, seen, &likes);
                let (worked, work) = self.rest_of_day(day, total.work);
                if sum < all {
                    spend(&mut spent, &total, work.min(all - sum));
                }
                sum += work;
                helper += if worked { 0 } else { self.average[seen] };
            }
            after.push((sum, helper));
        }
        Run {
            finish: through
                .iter()
                .map(|work| Self::finish(&after, *work))
                .collect(),
            needed: self.needed(&after, &through),
            minutes: spent.minutes,
            pay: self.pay(&spent, &left, all),
        }
    }

    /// Whether the day's work is (partly) logged already, and the work still to come of it.
    fn rest_of_day(&self, day: usize, work: u64) -> (bool, u64) {
        if day > 0 || self.done_today == 0 {
            (false, work)
        } else {
            (true, work.saturating_sub(self.done_today))
        }
    }

    fn draw_left(&self, base: &ChaCha8Rng, run: u64) -> Vec<u64> {
        let mut generator = stream(base, run, 3);
        // Box and Muller's normal draws, which come in pairs
        let mut spare = None;
        let mut normal = || {
            spare.take().unwrap_or_else(|| {
                let (u, v) = (1.0 - generator.random::<f64>(), generator.random::<f64>());
                let (sin, cos) = (std::f64::consts::TAU * v).sin_cos();
                let radius = (-2.0 * u.ln()).sqrt();
                spare = Some(radius * sin);
                radius * cos
            })
        };
        let shared = normal();
        let draw = |(trees, effort): &(u32, Effort)| {
            let off = effort.own * normal() + effort.shared * shared;
            (f64::from(*trees) * effort.mean * off.exp() * MILLI).round() as u64
        };
        self.left.iter().map(draw).collect()
    }

    fn draw_pool(&self, base: &ChaCha8Rng, run: u64) -> Vec<usize> {
        let mut generator = stream(base, run, 1);
        let more = generator.random::<f64>() < self.pool.fract();
        let size = self.pool as usize + usize::from(more);
        (0..size)
            .map(|_| generator.random_range(0..self.average.len() as u64) as usize)
            .collect()
    }

    fn draw_likes(&self, base: &ChaCha8Rng, run: u64) -> Vec<usize> {
        let mut generator = stream(base, run, 2);
        let draw = |unknown: &Unknown| {
            let among = self.likenesses[unknown.likeness].len().max(1) as u64;
            generator.random_range(0..among) as usize
        };
        self.unknown.iter().map(draw).collect()
    }

    fn day_total(&self, day: usize, seen: usize, likes: &[usize]) -> DayTotal {
        let mut total = self.totals[usize::from(self.era[day])][seen];
        for (unknown, like) in self.unknown.iter().zip(likes) {
            let (first, last) = unknown.days;
            if (usize::from(first)..=usize::from(last)).contains(&day) {
                total.add(&self.likenesses[unknown.likeness][*like][seen]);
            }
        }
        total
    }

    fn finish(after: &[(u64, u64)], work: u64) -> u16 {
        let day = after.partition_point(|(sum, _)| *sum < work);
        if day < after.len() { day as u16 } else { NEVER }
    }

    /// T work is in time with k average pruners beside C done by the crew if C + k A ≥ T, A being what one of them does.
    fn needed(&self, after: &[(u64, u64)], through: &[u64]) -> Vec<(u32, u32)> {
        let of = |(deadline, work): (&i64, &u64)| {
            if *work == 0 {
                return (0, 0);
            }
            let Ok(day) = usize::try_from(*deadline) else {
                return (u32::MAX, u32::MAX);
            };
            let (sum, helper) = after.get(day).or(after.last()).copied().unwrap_or((0, 0));
            let pruners = |work: u64| match (work, helper) {
                (0, _) => 0,
                (_, 0) => u32::MAX,
                _ => u32::try_from(work.div_ceil(helper)).unwrap_or(u32::MAX),
            };
            (pruners(*work), pruners(work.saturating_sub(sum)))
        };
        self.deadlines.iter().zip(through).map(of).collect()
    }

    /// Work turned back into trees by the mean effort of the trees left, so that pay by the tree pays every tree once.
    fn pay(&self, spent: &DayTotal, left: &[u64], all: u64) -> Money {
        let trees: i128 = self
            .left
            .iter()
            .zip(left)
            .map(|(block, _)| i128::from(block.0))
            .sum();
        if all == 0 {
            return Money::ZERO;
        }
        spent.hourly.plus(Money(half_up(
            spent.piece * trees,
            i128::from(all) * 10_000,
        )))
    }
}

/// Adds the part of a day's time and pay that `work` of its work takes.
fn spend(spent: &mut DayTotal, day: &DayTotal, work: u64) {
    if day.work == 0 || work == day.work {
        return spent.add(day);
    }
    spent.add(&DayTotal {
        work,
        minutes: (2 * day.minutes * work + day.work) / (2 * day.work),
        hourly: day.hourly.portion(work, day.work),
        piece: day.piece * i128::from(work) / i128::from(day.work),
    });
}

/// The generator of a seed.
pub(super) fn generator(seed: u64) -> ChaCha8Rng {
    ChaCha8Rng::seed_from_u64(seed)
}
