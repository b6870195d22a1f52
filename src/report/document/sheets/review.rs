//! The winter review on paper.

use super::parts::{Head, Put, paper, sheet, table};
use super::words;
use crate::report::document::pictures::{Labels, mix_of, on_paper};
use crate::report::document::{Document, Part, Sheet};
use crate::report::fit::Align::{Left, Right};
use crate::report::{RepeatGroup, ReviewLine, WinterReview};

const TITLE: &str = "Winter review";
const ASKED: &str = "What was asked";
const BLOCKS: &str = "What was left: blocks, by name";
const PRUNERS: &str = "What was left: pruners, by number";
const LEFT_HEADS: [Head; 6] = [
    ("Wood", Left),
    ("Left", Right),
    ("Interval", Right),
    ("Rule", Right),
    ("Trees", Right),
    ("Verdict", Left),
];
const CHANGED: &str = "First week and last";
const SENT_BACK: &str = "Rows sent back";
const LABOUR: &str = "Labour";
const WORK: &str = "Trees and pace (in brackets: likely range of the mean)";
const WORK_HEADS: [Head; 5] = [
    ("Block or pruner", Left),
    ("Done", Right),
    ("Left", Right),
    ("Trees/hour", Right),
    ("Trees/day", Right),
];
const CROPS: &str = "Crop and outlook";
const TWICE: &str = "Trees counted twice";
const TWICE_HEADS: [Head; 6] = [
    ("Figure", Left),
    ("Trees", Right),
    ("Difference", Right),
    ("Repeat", Right),
    ("Limits", Right),
    ("Counter's %", Right),
];
const KNOWN: &str = "How much is known";
const NO_BLOCK: &str = "No block is entered.";
const NONE: &str = "None.";
const NOTHING: &str = "Nothing was pruned or counted.";
const NOT_YET: &str = "Nobody was counted over two weeks.";

/// The winter review as a paper.
pub fn review(of: &WinterReview) -> Document {
    let day = words::day(of.day);
    let mut page = sheet(&of.orchard, &of.winter, TITLE.to_owned(), day.clone());
    page.heading(ASKED);
    if of.asked.is_empty() {
        page.para(NO_BLOCK);
    }
    page.list(false, of.asked.iter().map(words::asked).collect());
    standings(&mut page, BLOCKS, &of.blocks);
    standings(&mut page, PRUNERS, &of.pruners);
    changed(&mut page, of);
    go_backs(&mut page, of);
    labour(&mut page, of);
    page.heading(CROPS);
    if of.crops.is_empty() {
        page.para(NO_BLOCK);
    }
    for crop in &of.crops {
        page.para(format!("{}: {}.", crop.name, words::crop_review(crop)));
        page.note(words::ahead(crop).map_or_else(String::new, |ahead| words::sentence(&ahead)));
    }
    twice(&mut page, of);
    page.heading(KNOWN);
    page.list(false, words::known(&of.quality));
    for caution in words::Tongue::english().cautions() {
        page.caution(caution);
    }
    paper(format!("{TITLE}, {day}"), vec![page])
}

fn standings(page: &mut Sheet, title: &str, lines: &[ReviewLine]) {
    page.heading(title);
    if lines.is_empty() {
        page.para(NOTHING);
    }
    let labels = Labels::english();
    for one in lines {
        let whose = words::named(&one.line, lines.iter().map(|one| &one.line));
        let name = format!("{whose}: {}", one.line.words());
        page.para(format!("{name}. {}.", words::looked_at(one)));
        if one.line.trees == 0 {
            continue;
        }
        let rows = one.metrics.iter();
        let rows = rows.map(|metric| words::metric_cells(metric).to_vec());
        let about = (whose.as_str(), one.line.trees);
        let picture = mix_of(about, &one.metrics, &labels, on_paper::MIX);
        page.part(Part::Picture(picture));
        page.part(table(name, &LEFT_HEADS, rows.collect()));
        page.note(words::sentence(&words::buds_left(one)) + ".");
    }
}

fn changed(page: &mut Sheet, of: &WinterReview) {
    page.heading(CHANGED);
    if of.changed.is_empty() {
        page.para(NOT_YET);
        return;
    }
    for one in &of.changed {
        let metrics: Vec<_> = one
            .metrics
            .iter()
            .filter_map(words::metric_change)
            .collect();
        page.para(format!(
            "{}: {}.",
            words::two_weeks(one, of),
            words::changes_of(&metrics)
        ));
    }
    page.note(words::HOW_WEEKS);
}

fn go_backs(page: &mut Sheet, of: &WinterReview) {
    page.heading(SENT_BACK);
    if of.go_backs.is_empty() {
        page.para(NONE);
        return;
    }
    page.para(words::go_back_totals(&of.go_back_totals));
    let lines = of.go_backs.iter();
    page.list(
        false,
        lines.map(|line| words::go_back(line, true)).collect(),
    );
}

fn labour(page: &mut Sheet, of: &WinterReview) {
    page.heading(LABOUR);
    page.list(false, words::labour(&of.labour));
    let all = of.labour.blocks.iter().chain(&of.labour.pruners);
    let rows: Vec<_> = all.map(|work| words::work_cells(work).to_vec()).collect();
    if !rows.is_empty() {
        page.part(table(WORK, &WORK_HEADS, rows));
    }
}

fn twice(page: &mut Sheet, of: &WinterReview) {
    page.heading(TWICE);
    page.para(words::repeats(&of.repeats));
    for group in &of.repeats.groups {
        if group.figures.is_empty() {
            page.para(words::too_few_pairs(group));
        } else {
            agreement(page, group);
        }
    }
    if of
        .repeats
        .groups
        .iter()
        .any(|group| !group.figures.is_empty())
    {
        page.note(words::HOW_REPEATS);
    }
    page.caution(words::counting(&of.repeats.cautions));
}

fn agreement(page: &mut Sheet, group: &RepeatGroup) {
    let rows = group.figures.iter();
    let rows = rows.map(|line| words::repeat_cells(line).to_vec());
    let caption = format!("{}: {}", words::counters(group), words::trees(group.pairs));
    page.part(table(caption, &TWICE_HEADS, rows.collect()));
}
