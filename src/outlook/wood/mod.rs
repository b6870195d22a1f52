//! The age classes of fruiting wood over winters: a stage-structured model.
//!
//! State: pieces a tree after pruning, n = (one-, two-, three-year, four-plus). Until the next pruning a share s of each
//! class is still there, all of it a year older, and g new one-year pieces have grown. What is offered to the pruner is
//!
//! ```text
//!     o = A n + (g, 0, 0, 0),   A = | 0   0   0   0  |
//!                                   | s1  0   0   0  |
//!                                   | 0   s2  0   0  |
//!                                   | 0   0   s3  s4 |
//! ```
//!
//! and pruning keeps n' = o − cut. A pruner with fixed habits keeps a share k of each class, n' = K (A n + g): this is
//! [`Growing::matrix`], a matrix on (n, 1). A pruner on the rule keeps what the rule asks for as far as it is offered,
//! never wood older than the rule's oldest, and fills a shortage with older wood that the rule lets stay ([`winter()`]).
//! Matrix models of age and stage: Caswell, Matrix Population Models, 2001.
//!
//! New wood is taken as the same number a tree every winter, whatever was left. Losses and growth are means: the ranges
//! of the coming winters' crops hold the spread of counts and factors, not that of growth and losses.

mod matrix;
mod mend;
mod scenario;
mod year;

pub use matrix::{Dominant, Matrix};
pub use mend::{Mend, mend};
pub use scenario::{Carries, Outset, Scenario, WINTERS_AHEAD, Year, mix, outlook, wrong_age_share};
pub use year::{ByAge, Growing, Habit, Targets, Winter, winter};
