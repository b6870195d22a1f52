//! The winter's work as text.

use super::page::{Page, head};
use crate::outlook::pace::{CostSoFar, Finish, Speed};
use crate::report::fit::Align::{Left, Right};
use crate::report::fit::percent;
use crate::report::{WinterProgress, words};

/// The winter's work as text.
pub fn winter(progress: &WinterProgress) -> String {
    let mut page = Page::default();
    let title = "WINTER: done and left, pace, finish, cost";
    head(
        &mut page,
        &progress.orchard,
        &progress.winter,
        title,
        &words::day(progress.day),
    );
    summary(&mut page, progress);
    blocks(&mut page, progress);
    pruners(&mut page, progress);
    page.blank();
    page.para(
        "How the dates come about: the days to come are drawn at random from the days seen, many times over. \
         Learning, wet spells and a hurry near the end are not in them. Speed is no measure of the pruner: blocks \
         differ, and the verdict beside it is about the wood left.",
        0,
    );
    page.finish()
}

fn summary(page: &mut Page, progress: &WinterProgress) {
    let all = progress.done + progress.left;
    page.item(
        "Trees     ",
        &format!("{} of {all} pruned, {} left", progress.done, progress.left),
    );
    page.item("Through   ", &words::finish(&progress.finish));
    if matches!(progress.finish, Finish::Expected { .. }) {
        page.item(
            "In time   ",
            &format!(
                "{} chance: every block by its budburst (general {})",
                words::in_time(&progress.finish),
                progress.budburst
            ),
        );
        page.item(
            "Needed    ",
            &format!(
                "for a chance of 80 %, {} ({} today)",
                words::needed(&progress.finish),
                progress.crew
            ),
        );
    }
    page.item("Days      ", &words::days_seen(&progress.days));
    if let Some(speed) = &progress.speed {
        page.item("Hours     ", &hours_known(speed));
    }
    page.item("Cost      ", &cost_so_far(progress));
    if let Some(to_come) = &progress.to_come {
        page.item("To come   ", &words::hours(to_come));
        match &to_come.total {
            Some(total) => {
                page.item("In all    ", &words::amount(total, &progress.currency));
            }
            None => page.item(
                "In all    ",
                "not known: pay or hours are not entered for everybody",
            ),
        }
    }
    if !progress.without_pay.is_empty() && progress.cost != CostSoFar::default() {
        page.item(
            "No pay for",
            &format!(" {}", words::list(&progress.without_pay)),
        );
    }
}

fn cost_so_far(progress: &WinterProgress) -> String {
    format!("so far {}", words::cost(&progress.cost, &progress.currency))
}

fn hours_known(speed: &Speed) -> String {
    format!(
        "{:.1} noted, on {} of {}",
        speed.minutes as f64 / 60.0,
        percent(speed.hours_known),
        words::plural(speed.person_days, "person-day", "person-days")
    )
}

fn blocks(page: &mut Page, progress: &WinterProgress) {
    page.heading("BLOCKS, by name");
    page.row(&[
        ("Block", 22, Left),
        ("Done", 6, Right),
        ("Left", 6, Right),
        ("Trees/h", 7, Right),
        ("Trees/day", 9, Right),
        ("Budburst", 10, Right),
        ("In time", 7, Right),
    ]);
    for block in &progress.blocks {
        let (hour, day) = rates(block.speed.as_ref());
        page.row(&[
            (&block.name, 22, Left),
            (&block.done.to_string(), 6, Right),
            (&block.left.to_string(), 6, Right),
            (&hour, 7, Right),
            (&day, 9, Right),
            (&block.deadline.to_string(), 10, Right),
            (&words::in_time(&block.finish), 7, Right),
        ]);
        page.para(&words::finish(&block.finish), 4);
        if matches!(block.finish, Finish::Expected { .. }) {
            page.para(&format!("needed: {}", words::needed(&block.finish)), 4);
        }
        page.para(&format!("quality: {}", words::found(&block.found)), 4);
    }
}

/// Mean trees an hour and a day.
fn rates(speed: Option<&Speed>) -> (String, String) {
    let mean = |rate: Option<crate::outlook::pace::MeanRate>| {
        rate.map_or_else(|| "-".to_owned(), |rate| format!("{:.1}", rate.mean))
    };
    speed.map_or_else(
        || ("-".to_owned(), "-".to_owned()),
        |speed| (mean(speed.per_hour), mean(speed.per_day)),
    )
}

fn pruners(page: &mut Page, progress: &WinterProgress) {
    page.heading("PRUNERS, by number (in brackets: 10-90 % range of the mean)");
    if progress.pruners.is_empty() {
        page.line("  nobody worked yet");
        return;
    }
    page.row(&[
        ("Pruner", 24, Left),
        ("Trees", 6, Right),
        ("Days", 5, Right),
        ("Trees/hour", 19, Right),
        ("Trees/day", 20, Right),
    ]);
    for pruner in &progress.pruners {
        let speed = &pruner.speed;
        page.row(&[
            (&pruner.shown, 24, Left),
            (&speed.trees.to_string(), 6, Right),
            (&speed.person_days.to_string(), 5, Right),
            (&words::rate(speed.per_hour), 19, Right),
            (&words::rate(speed.per_day), 20, Right),
        ]);
        page.para(&format!("quality: {}", words::found(&pruner.found)), 4);
    }
}
