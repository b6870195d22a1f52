//! Metrics, verdicts and forecasts in words: the one place where figures become sentences.
//!
//! What stands on a sheet for the crew is said by a [`Tongue`], in the language of its reader, by the messages in
//! `assets/lang`. The functions here say the same in English for the screens; what only the supervisor reads is English.

mod brief;
mod change;
mod crop;
mod english;
mod names;
mod pace;
mod sheet;
mod tongue;

pub use crop::{counted, crop_rests_on, held, mend, pieces, units_wanted, winter_name};
pub use english::{
    aim, band, change, day, factor, figure, finding, go_back, growth, interval, list, metric,
    metric_short, more, not_there, place, plural, source, trees, verdict, what_if, whole,
};
pub use pace::{
    amount, cost, days_seen, finish, finish_short, found, hours, in_time, needed, rate,
};
pub use tongue::{Tongue, sentence};
