//! The winter's work as text.

use super::page::{Page, head};
use crate::outlook::pace::Finish;
use crate::report::fit::Align::{Left, Right};
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
    page.para(words::HOW_DATES_COME, 0);
    page.finish()
}

fn summary(page: &mut Page, progress: &WinterProgress) {
    for (name, words) in words::winter_lines(progress) {
        page.item(&format!("{name:<10}"), &words);
    }
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
        let [hour, day] = words::mean_rates(block.speed.as_ref());
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

fn pruners(page: &mut Page, progress: &WinterProgress) {
    page.heading("PRUNERS, by number (in brackets: likely range of the mean)");
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
