//! The winter's work on paper.

use super::parts::{Head, Put, paper, sheet, table};
use super::words;
use crate::report::WinterProgress;
use crate::report::document::pictures::{Labels, on_paper, progress};
use crate::report::document::{Document, Part, Sheet};
use crate::report::fit::Align::{Left, Right};

const TITLE: &str = "Winter progress";
const SO_FAR: &str = "The winter's work";
const SO_FAR_HEADS: [Head<'static>; 2] = [("What", Left), ("How it stands", Left)];
const BLOCKS: &str = "Blocks, by name";
const FINISH: &str = "When each block is through";
const FINISH_HEADS: [Head<'static>; 7] = [
    ("Block", Left),
    ("Done", Right),
    ("Left", Right),
    ("Budburst", Left),
    ("In time", Right),
    ("Through", Left),
    ("Needed", Left),
];
const PACE: &str = "Pace and quality";
const PACE_HEADS: [Head<'static>; 4] = [
    ("Block", Left),
    ("Trees/hour", Right),
    ("Trees/day", Right),
    ("Quality", Left),
];
const PRUNERS: &str = "Pruners, by number";
const NOBODY: &str = "Nobody worked yet.";
const SPEED: &str = "Trees an hour and a day (in brackets: likely range of the mean)";
const SPEED_HEADS: [Head<'static>; 6] = [
    ("Pruner", Left),
    ("Trees", Right),
    ("Days", Right),
    ("Trees/hour", Right),
    ("Trees/day", Right),
    ("Quality", Left),
];

/// The winter's work as a paper.
pub fn winter(of: &WinterProgress) -> Document {
    let day = words::day(of.day);
    let mut page = sheet(&of.orchard, &of.winter, TITLE.to_owned(), day.clone());
    page.lead(format!("Through: {}", words::finish(&of.finish)));
    page.parts.extend(pictures(of));
    let lines = words::winter_lines(of).into_iter();
    let rows = lines.map(|(name, words)| vec![name.to_owned(), words]);
    page.part(table(SO_FAR, &SO_FAR_HEADS, rows.collect()));
    blocks(&mut page, of);
    pruners(&mut page, of);
    page.note(words::HOW_DATES_COME);
    paper(format!("{TITLE}, {day}"), vec![page])
}

/// The pictures of the work done and to come.
fn pictures(of: &WinterProgress) -> Vec<Part> {
    let drawn = progress(of, &Labels::english(), on_paper::PROGRESS);
    vec![Part::Picture(drawn)]
}

fn blocks(page: &mut Sheet, of: &WinterProgress) {
    page.heading(BLOCKS);
    let finish = of.blocks.iter().map(|block| {
        vec![
            block.name.clone(),
            block.done.to_string(),
            block.left.to_string(),
            block.deadline.to_string(),
            words::in_time(&block.finish),
            words::finish(&block.finish),
            words::needed(&block.finish),
        ]
    });
    page.part(table(FINISH, &FINISH_HEADS, finish.collect()));
    let pace = of.blocks.iter().map(|block| {
        let [hour, day] = words::mean_rates(block.speed.as_ref());
        vec![block.name.clone(), hour, day, words::found(&block.found)]
    });
    page.part(table(PACE, &PACE_HEADS, pace.collect()));
}

fn pruners(page: &mut Sheet, of: &WinterProgress) {
    page.heading(PRUNERS);
    if of.pruners.is_empty() {
        page.para(NOBODY);
        return;
    }
    let rows = of.pruners.iter().map(|pruner| {
        let speed = &pruner.speed;
        vec![
            pruner.shown.clone(),
            speed.trees.to_string(),
            speed.person_days.to_string(),
            words::rate(speed.per_hour),
            words::rate(speed.per_day),
            words::found(&pruner.found),
        ]
    });
    page.part(table(SPEED, &SPEED_HEADS, rows.collect()));
}
