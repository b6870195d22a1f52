//! Metrics, verdicts and forecasts in words: the one place where figures become sentences.
//!
//! What stands on a sheet for the crew is said by a [`Tongue`], in the language of its reader, by the messages in
//! `assets/lang`. The functions here say the same in English for the screens; what only the supervisor reads is English.

mod brief;
mod cells;
mod change;
mod clock;
mod crop;
mod english;
mod marked;
mod names;
mod pace;
mod part;
mod payroll;
mod repeat;
mod review;
mod sheet;
mod standings;
mod tablets;
mod tongue;
mod winter;

pub use cells::{day_cells, metric_cells, repeat_cells, work_cells};
pub use crop::{
    NO_OUTLOOK, counted, crop_of, crop_rests_on, crop_short, held, mend, not_ahead, pieces, range,
    units_wanted, winter_name,
};
pub use english::{
    OTHER_LETTERS, aim, band, change, day, days, factor, figure, finding, go_back, growth, hint,
    interval, list, metric, metric_short, more, not_there, place, plural, share, source, taking,
    trees, verdict, what_if, whole,
};
pub use marked::{canker, marks_of_row};
pub use pace::{
    amount, cost, days_seen, finish, finish_short, found, hours, in_time, needed, rate, through,
};
pub use part::{
    LEADERS_NUMBERED, begin_on_leader, leader, leader_found, part, run_begin, runs_line, runs_short,
};
pub use payroll::{paid_by, paid_for, payroll_cautions};
pub use repeat::{HOW_REPEATS, counters, counting, repeat_figure, repeats, too_few_pairs};
use repeat::{counter_share, limits, repeat_ranged, repeat_value};
pub use review::{
    HOW_WEEKS, ahead, asked, buds_left, changes_of, crop_review, go_back_totals, known, labour,
    looked_at, metric_change, two_weeks,
};
pub use standings::{
    against_rules, drawn_from, left_out, named, next_walk, not_looked_at, only_in, quality, tick,
};
pub use tablets::taken;
pub use tongue::{Tongue, sentence};
pub use winter::{HOW_DATES_COME, mean_rates, winter_lines};

/// Said where there is no day sheet.
pub const NO_DAY_SHEET: &str = "No day sheet: nobody worked or was counted on this day.";
/// Said where there is no brief.
pub const NO_BRIEF: &str = "No brief: no block is entered yet.";
