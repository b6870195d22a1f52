//! The winter's work as a whole in words.

use super::{amount, cost, days_seen, finish, hours, in_time, list, needed, plural};
use crate::outlook::pace::{CostSoFar, Finish, MeanRate, Speed};
use crate::report::WinterProgress;
use crate::report::fit::percent;

/// How the dates come about, and what is not in them.
pub const HOW_DATES_COME: &str = "How the dates come about: the days to come are drawn at random from the days seen, \
    many times over; likely is what comes true 4 times of 5. Learning, wet spells and a hurry near the end are not in them. Speed is no measure of the \
    pruner: blocks differ, and the verdict beside it is about the wood left.";

/// The winter's work line by line, each with its name.
pub fn winter_lines(progress: &WinterProgress) -> Vec<(&'static str, String)> {
    let all = progress.done + progress.left;
    let trees = format!("{} of {all} pruned, {} left", progress.done, progress.left);
    let mut lines = vec![("Trees", trees), ("Through", finish(&progress.finish))];
    if matches!(progress.finish, Finish::Expected { .. }) {
        lines.push((
            "In time",
            format!(
                "{} chance: every block by its budburst (general {})",
                in_time(&progress.finish),
                progress.budburst
            ),
        ));
        lines.push((
            "Needed",
            format!(
                "for a chance of 80 %, {} ({} today)",
                needed(&progress.finish),
                progress.crew
            ),
        ));
    }
    lines.push(("Days", days_seen(&progress.days)));
    if let Some(speed) = &progress.speed {
        lines.push(("Hours", hours_known(speed)));
    }
    lines.extend(money(progress));
    lines
}

fn money(progress: &WinterProgress) -> Vec<(&'static str, String)> {
    let so_far = format!("so far {}", cost(&progress.cost, &progress.currency));
    let mut lines = vec![("Cost", so_far)];
    if let Some(to_come) = &progress.to_come {
        lines.push(("To come", hours(to_come)));
        let total = (to_come.total.as_ref()).map_or_else(
            || "not known: pay or hours are not entered for everybody".to_owned(),
            |total| amount(total, &progress.currency),
        );
        lines.push(("In all", total));
    }
    if !progress.without_pay.is_empty() && progress.cost != CostSoFar::default() {
        lines.push(("No pay", list(&progress.without_pay)));
    }
    lines
}

fn hours_known(speed: &Speed) -> String {
    format!(
        "{:.1} noted, on {} of {}",
        speed.minutes as f64 / 60.0,
        percent(speed.hours_known),
        plural(
            speed.person_days,
            "day worked by a pruner",
            "days worked by a pruner"
        )
    )
}

/// Mean trees an hour and a day; `-` where they are not known.
pub fn mean_rates(speed: Option<&Speed>) -> [String; 2] {
    let mean = |rate: Option<MeanRate>| {
        rate.map_or_else(|| "-".to_owned(), |rate| format!("{:.1}", rate.mean))
    };
    speed.map_or_else(
        || [mean(None), mean(None)],
        |speed| [mean(speed.per_hour), mean(speed.per_day)],
    )
}
