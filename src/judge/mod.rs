//! Statistics of counted trees: how far a pruner or a block is from the rule, and how sure that is.
//!
//! Pure functions of running sums: one tree is added in constant time, and a figure takes no longer however many there
//! are. Nothing here reads a clock, a file or a random device.
//!
//! A *metric* is one number in [0, 1] per counted tree ([`Metric`]). Its plain mean over a pruner's trees is the
//! estimate. The supervisor looks after every tree and stops when it suits, so an ordinary t interval would be wrong
//! about somebody far too often: the intervals here ([`interval()`]) are made for looking at any time.
//!
//! Where the method fails: botched trees that stand in clusters not yet met, trees not chosen at random, a pruner who
//! changes during the winter; a truth within about 0.03 of a band's edge stays undecided for a long time.

mod agreement;
mod draw;
mod early;
mod effort;
mod evidence;
mod few;
mod interval;
mod judgement;
mod metric;
mod part_drawn;
mod quantile;
mod repeat;
mod rule;
mod sample;
mod share;
mod strata;
mod sums;
mod swaps;
mod verdict;
mod wrong_age;

pub use agreement::{LEVEL, MeanSquares, Ranged};
pub use draw::{MIN_DRAW, Need, allocate, systematic, systematic_in};
pub use early::Hint;
pub use effort::{Alike, Gap, Seconds, TreeRuns, advise, alike_of, loss, seconds_of};
pub use evidence::{COMMON_SPREAD, FORECAST_CAP, MIN_FORECAST_TREES, More, trees_to_verdict};
pub use few::{MIN_LIKE, Usual, usual_pieces};
pub use interval::{
    ALPHA_BALANCE, ALPHA_BLOCK, ALPHA_FLAG, Interval, TAU, interval, log_bayes_factor, multiplier,
};
pub use judgement::{Judgement, MetricVerdict, judge, judge_metric};
pub use metric::{Metric, off_target};
pub use part_drawn::{
    Leaders, Lot, THIRDS, Take, leaders_of, learned_pieces, learned_thirds, lot, pieces_of, runs,
};
pub use quantile::{f_quantile, t_half_width};
pub use repeat::{LARGE_COUNTER_SHARE, LIMITS_SD, MIN_PAIRS, Pairing, Repeat};
pub use rule::bands;
pub use sample::{Sample, TreeFigures};
pub use share::{Candidate, Known, Lie, Until, reach_m, share_out};
pub use strata::{
    Estimate, MAX_UNSAMPLED, MIN_BETWEEN_SD, Stratum, by_batch, judge_block, judge_strata,
    stratified, unsampled,
};
pub use sums::Sums;
pub use swaps::swaps;
pub use verdict::{Band, BandKind, MIN_BALANCE_TREES, Verdict};
pub use wrong_age::{WrongAge, wrong_age};
