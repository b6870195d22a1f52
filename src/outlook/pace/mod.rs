//! Pace and finish: how fast the crew prunes, when it is through, whether that is in time, and what it costs.
//!
//! Everything is made afresh from the work log ([`DayWork`]) and a [`Plan`]; nothing here reads a clock, a file or a
//! random device. The forecast resamples the days actually seen ([`forecast()`] says how, and what it leaves out).
//! Money is exact ([`Money`], [`Rate`]); hours and dates of a forecast are estimates with a 10-90 % range.

mod calendar;
#[cfg(test)]
mod coverage_tests;
mod crew;
mod earned;
mod effort;
mod forecast;
#[cfg(test)]
mod forecast_tests;
mod job;
#[cfg(test)]
mod law_tests;
mod money;
mod order;
mod pay;
mod plan;
mod resample;
mod speed;
mod student;
mod work;

pub use calendar::{DaysSeen, MAX_LISTED_DAYS, WorkCalendar, parse_weekdays, weekdays_text};
pub use crew::{Member, Newcomers};
pub use earned::{CostSoFar, PaidFor, PayLine, cost_of, pay_lines};
pub use forecast::{
    BlockForecast, Finish, Forecast, Needed, Never, Span, ToCome, forecast, forecast_with_days,
};
pub use money::{Currency, Money, Rate};
pub use pay::{Pay, PayPlan, PaySpot};
pub use plan::{BlockPlan, HORIZON_DAYS, MIN_DAYS_SEEN, NEEDED_CHANCE, Plan, RUNS};
pub use speed::{
    MIN_RANGE_DAYS, MeanRate, Speed, speed_by_block, speed_by_kind, speed_by_pruner, speed_of_all,
};
pub use work::{DayWork, winter_pruning};
