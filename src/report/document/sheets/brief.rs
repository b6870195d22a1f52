//! Briefs on paper, a sheet a block, in the language of the sheet.

use super::parts::{Put, nothing, paper, sheet_in, table};
use super::words::{self, Tongue, sentence};
use crate::orchard::Age;
use crate::outlook::Brief;
use crate::report::BriefSheet;
use crate::report::document::{Document, Sheet};
use crate::report::fit::Align::{Left, Right};

/// Briefs as a paper.
pub fn briefs(sheets: &[BriefSheet]) -> Document {
    let Some(first) = sheets.first() else {
        return nothing(Tongue::english().label("paper-briefs"), words::NO_BRIEF);
    };
    let words = Tongue::of(first.language);
    let title = format!("{}, {}", words.label("paper-briefs"), words.day(first.day));
    paper(title, sheets.iter().map(brief).collect())
}

fn brief(of: &BriefSheet) -> Sheet {
    let words = Tongue::of(of.language);
    let title = words.say("brief-title", [("block", of.block_name.as_str().into())]);
    let mut page = sheet_in(words, &of.orchard, &of.winter, [title, words.day(of.day)]);
    let aimed = of.aim.zip(of.brief.as_ref());
    page.lead(aimed.map_or_else(
        || words.label("brief-no-aim").to_owned(),
        |(aim, brief)| words.to_leave(aim, brief),
    ));
    page.note(words.block_facts(of));
    page.note(words.what_if(&of.what_if));
    if let Some((_, brief)) = aimed {
        to_leave(&mut page, of, brief, words);
        by_buds(&mut page, brief, words);
    }
    factors(&mut page, of, words);
    page.heading(words.label("brief-seasons"));
    page.para(words.yields(of).unwrap_or_default());
    for line in words.bearing(of) {
        page.para(line);
    }
    for caution in words.cautions() {
        page.caution(caution);
    }
    page
}

fn to_leave(page: &mut Sheet, of: &BriefSheet, brief: &Brief, words: &Tongue) {
    let heads = ["brief-a-tree", "brief-a-stem"].map(|key| sentence(words.label(key)));
    let heads = [
        (words.label("paper-what"), Left),
        (heads[0].as_str(), Right),
        (heads[1].as_str(), Right),
    ];
    let lines = words.to_leave_lines(of, brief).into_iter();
    let rows = lines.map(|(_, name, [tree, stem])| vec![sentence(&name), tree, stem]);
    page.part(table(words.label("paper-leave"), &heads, rows.collect()));
    page.para(words.buds_rule(of));
    page.note(words.growth(&of.growth));
}

fn by_buds(page: &mut Sheet, brief: &Brief, words: &Tongue) {
    let keys = [
        "brief-buds-a-unit",
        "brief-units-a-tree",
        "brief-units-a-stem",
    ];
    let first = keys.map(|key| sentence(words.label(key)));
    let ages = [Age::One, Age::Two, Age::Three];
    let mut heads = vec![(first[0].as_str(), Left)];
    heads.extend(first[1..].iter().map(|head| (head.as_str(), Right)));
    heads.extend(ages.map(|age| (words.age_column(age), Right)));
    heads.push((words.label("brief-tonnes-same"), Right));
    let rows = words.by_buds(brief).map(Vec::from).collect();
    page.part(table(words.label("paper-by-buds"), &heads, rows));
}

fn factors(page: &mut Sheet, of: &BriefSheet, words: &Tongue) {
    page.heading(words.label("paper-rests-on"));
    let [value, within] = ["brief-value", "brief-within"].map(|key| sentence(words.label(key)));
    let heads = [
        (words.label("paper-factor"), Left),
        (value.as_str(), Right),
        (within.as_str(), Right),
        (words.label("paper-source"), Left),
    ];
    let rows = of.factors.iter().map(|line| {
        vec![
            sentence(words.factor(line.kind)),
            words.figure(line.value),
            words.factor_range(line),
            words.factor_source(line),
        ]
    });
    page.part(table(words.label("brief-factors"), &heads, rows.collect()));
}
